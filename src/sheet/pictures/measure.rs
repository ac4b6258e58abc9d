//! Sizes with the text they are written with.

use crate::language::{Record, Size, Table, Value};
use crate::quantity::{Dimension, Quantity, System, Unit, parse_unit};
use crate::sheet::Writer;
use crate::syntax::Tolerance;

/// A size with the text it is written with.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Measure {
    /// The size: millimetres or radians.
    pub size: f64,
    /// Its text, without a unit for lengths.
    pub text: String,
}

/// The fields of a picture's record, read as a drawing writes them: every length
/// in the notebook's leading unit.
pub struct Fields<'a> {
    pub record: &'a Record,
    pub writer: &'a Writer<'a>,
    unit: Unit,
    /// The unit of lengths: `mm` or `in`.
    pub symbol: &'static str,
}

impl<'a> Fields<'a> {
    /// Returns the fields of a record.
    pub fn new(record: &'a Record, writer: &'a Writer<'a>) -> Self {
        let symbol = match writer.system() {
            System::Metric => "mm",
            System::Inch => "in",
        };
        Self {
            record,
            writer,
            unit: parse_unit(symbol).unwrap_or(Unit::NONE),
            symbol,
        }
    }

    /// Returns a field that is a length or an angle that follows from others.
    pub fn measure(&self, name: &str) -> Option<Measure> {
        self.of_value(self.record.get(name)?)
    }

    /// Returns a size that was given, with its tolerance; only a coordinate without limits is
    /// rounded to the readout.
    pub fn size(&self, name: &str) -> Option<Measure> {
        let quantity = self.record.get(name)?.quantity().ok()?;
        let dialled = quantity.unit.is_coordinate();
        let mut measure = if dialled && self.record.get(&format!("{name}_low")).is_none() {
            self.coordinate(quantity.si)
        } else {
            self.exact_length(quantity.si)
        };
        let end = |end: &str| {
            let limit = self.record.get(&format!("{name}_{end}"))?;
            Some(limit.quantity().ok()?.si - quantity.si)
        };
        if let Some(class) = self.text(&format!("{name}_class")) {
            measure.text = toleranced(&measure.text, &class);
        } else if let Some((low, high)) = end("low").zip(end("high")) {
            measure.text = toleranced(&measure.text, &self.tolerance(low, high));
        }
        if let Some(reading) = self.exact(&format!("{name}_measured")) {
            measure.text = with_reading(&measure.text, &reading.text);
        }
        Some(measure)
    }

    /// Returns a tolerance on one line: `±0.05`, `+0.018/0`.
    fn tolerance(&self, low: f64, high: f64) -> String {
        if (low + high).abs() < 1e-12 {
            return format!("±{}", self.exact_length(high).text);
        }
        let [high, low] = equal_decimals([self.deviation(high).text, self.deviation(low).text]);
        format!("{high}/{low}")
    }

    /// Returns a field that is a length, not rounded to the readout: a limit of size.
    pub fn exact(&self, name: &str) -> Option<Measure> {
        let quantity = self.record.get(name)?.quantity().ok()?;
        Some(self.exact_length(quantity.si))
    }

    /// Returns a value that is a length or an angle.
    pub fn of_value(&self, value: &Value) -> Option<Measure> {
        if let Value::Size(size) = value {
            return Some(self.of_size(size));
        }
        let quantity = value.quantity().ok()?;
        Some(if quantity.dimension == Dimension::ANGLE {
            self.angle(quantity)
        } else if quantity.unit.is_coordinate() {
            self.coordinate(quantity.si)
        } else {
            self.exact_length(quantity.si)
        })
    }

    /// Returns a size of a table, as drawn: with its class or its deviations, and its reading.
    fn of_size(&self, size: &Size) -> Measure {
        let mut measure = self.exact_length(size.drawn.si);
        if let Some(limits) = &size.limits {
            let text = match &limits.tolerance {
                Tolerance::Class(class) => class.to_string(),
                _ => self.tolerance(limits.low - size.drawn.si, limits.high - size.drawn.si),
            };
            measure.text = toleranced(&measure.text, &text);
        }
        if let Some(reading) = size.reading {
            measure.text = with_reading(&measure.text, &self.exact_length(reading).text);
        }
        measure
    }

    /// Returns a coordinate in metres, in steps of the readout it is set on.
    pub fn coordinate(&self, metres: f64) -> Measure {
        let quantity = Quantity::si(metres, Dimension::LENGTH);
        let unit = self.unit.styled(crate::quantity::Style::Coordinate);
        let text = self.writer.in_unit(quantity, unit).number;
        Measure {
            size: metres * 1000.0,
            text: minus(&trimmed(&text)),
        }
    }

    /// Returns a length in metres.
    pub fn exact_length(&self, metres: f64) -> Measure {
        let quantity = Quantity::si(metres, Dimension::LENGTH);
        let text = self.writer.in_unit(quantity, self.unit).number;
        Measure {
            size: metres * 1000.0,
            text: figures(&text, quantity.in_unit(self.unit)),
        }
    }

    /// Returns a deviation in metres, with its sign.
    pub fn deviation(&self, metres: f64) -> Measure {
        let plain = self.exact_length(metres);
        let signed = if metres > 0.0 && plain.text != "0" {
            format!("+{}", plain.text)
        } else {
            plain.text
        };
        Measure {
            text: signed,
            ..plain
        }
    }

    fn angle(&self, quantity: Quantity) -> Measure {
        let written = self.writer.quantity(quantity);
        let text = if written.unit == "deg" {
            let unit = self.writer.unit(quantity);
            format!("{}°", figures(&written.number, quantity.in_unit(unit)))
        } else {
            written.line()
        };
        Measure {
            size: quantity.si,
            text: minus(&text),
        }
    }

    /// Returns a field that is text.
    pub fn text(&self, name: &str) -> Option<String> {
        match self.record.get(name)? {
            Value::Text(text) => Some(text.to_string()),
            _ => None,
        }
    }

    /// Returns whether `name` stands after `with`.
    pub fn with(&self, name: &str) -> bool {
        self.record.get(name) == Some(&Value::Truth(true))
    }

    /// Returns a field that is a whole number from 0.
    pub fn whole(&self, name: &str) -> Option<u32> {
        let value = self.record.get(name)?.quantity().ok()?.si.round();
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // bounded here
        (0.0..=1e6).contains(&value).then_some(value as u32)
    }

    /// Returns the numbers of a field, in coherent SI: one, or a list.
    pub fn numbers(&self, name: &str) -> Vec<f64> {
        let value = self.record.get(name);
        value.map_or_else(Vec::new, Value::numbers)
    }

    /// Returns the lengths of a field: one, or a list.
    pub fn lengths(&self, name: &str) -> Vec<Measure> {
        let numbers = self.numbers(name).into_iter();
        numbers.map(|metres| self.exact_length(metres)).collect()
    }

    /// Returns a field that is a table.
    pub fn table(&self, name: &str) -> Option<&'a Table> {
        match self.record.get(name)? {
            Value::Table(table) => Some(table),
            _ => None,
        }
    }

    /// Returns a cell of a table.
    pub fn cell<'t>(&self, table: &'t Table, row: &'t [Value], name: &str) -> Option<&'t Value> {
        row.get(table.column(name)?)
            .filter(|value| **value != Value::None)
    }

    /// Returns a cell of a table that is a length.
    pub fn cell_length(&self, table: &Table, row: &[Value], name: &str) -> Option<Measure> {
        self.of_value(self.cell(table, row, name)?)
    }

    /// Returns a cell of a table that is a coordinate.
    pub fn cell_coordinate(&self, table: &Table, row: &[Value], name: &str) -> Option<Measure> {
        match self.cell(table, row, name)? {
            Value::Size(size) => Some(self.of_size(size)),
            value => Some(self.coordinate(value.quantity().ok()?.si)),
        }
    }

    /// Returns a cell of a table as a short label.
    pub fn cell_label(&self, table: &Table, row: &[Value], name: &str) -> Option<String> {
        let value = self.cell(table, row, name)?;
        let text = match value {
            Value::Quantity(quantity) => trimmed(&self.writer.quantity(*quantity).line()),
            other => self.writer.value(other).line(),
        };
        Some(short(&text))
    }
}

/// Returns a size as a drawing writes it with its tolerance on one line (ISO 129-1,
/// ISO 14405-1): `12 H7`, `64 ±0.05`, `20 +0.018/0`.
pub fn toleranced(figure: &str, tolerance: &str) -> String {
    format!("{figure} {tolerance}")
}

/// Returns a size as a drawing writes it with what it measured.
pub fn with_reading(size: &str, reading: &str) -> String {
    format!("{size}, measured {reading}")
}

/// Returns two deviations with as many decimals each (ISO 129-1); nothing is written `0`.
fn equal_decimals(texts: [String; 2]) -> [String; 2] {
    let decimals = |text: &String| text.split_once('.').map_or(0, |(_, behind)| behind.len());
    let most = texts.iter().map(decimals).max().unwrap_or(0);
    texts.map(|mut text| {
        let missing = most - decimals(&text);
        if text == "0" || missing == 0 {
            return text;
        }
        if !text.contains('.') {
            text.push('.');
        }
        text.extend(std::iter::repeat_n('0', missing));
        text
    })
}

/// Returns a number without zeros behind its decimals and with a true minus sign; to three
/// figures where its decimals would tell less than half a percent of it.
fn figures(text: &str, value: f64) -> String {
    let plain = trimmed(text);
    let told: Option<f64> = plain.parse().ok();
    let lost = told.is_some_and(|told| (told - value).abs() > 0.005 * value.abs());
    if lost && value.abs() > 1e-9 {
        return minus(&crate::quantity::significant(value, 3));
    }
    minus(&plain)
}

/// The longest label in a picture, in characters.
const LABEL: usize = 16;

/// Returns a label cut to what a picture has room for.
pub fn short(text: &str) -> String {
    cut(text, LABEL)
}

/// Returns a text of at most so many characters.
pub fn cut(text: &str, most: usize) -> String {
    let text = text.trim();
    if text.chars().count() <= most {
        return text.to_owned();
    }
    let cut: String = text.chars().take(most.saturating_sub(1)).collect();
    cut.trim_end().to_owned() + "…"
}

/// Returns a number without zeros behind its decimals, as ISO 129-1 writes sizes.
pub fn trimmed(number: &str) -> String {
    if number.contains(['e', ' ', '\'']) {
        return number.to_owned();
    }
    crate::quantity::trimmed(number).to_owned()
}

/// Returns the text with a true minus sign.
fn minus(text: &str) -> String {
    match text.strip_prefix('-') {
        Some(rest) => format!("−{rest}"),
        None => text.to_owned(),
    }
}
