//! How the values of a notebook are written, by its settings.

use crate::language::{Record, Size, SizeLimits, Value};
use crate::notebook::Settings;
use crate::quantity::{
    Dimension, Quantity, Rounding, Style, System, Unit, aim_text, decimals_for, ends_text,
    in_system, in_unit, number, trimmed,
};
use crate::syntax::Tolerance;

/// A value as it is written: a number and its unit, so that decimal points can
/// line up, or text.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct FormattedValue {
    /// The number; empty for text.
    pub number: String,
    /// The unit behind the number, or the text.
    pub unit: String,
}

impl FormattedValue {
    /// Returns a value that is text.
    pub fn text(text: impl Into<String>) -> Self {
        Self {
            number: String::new(),
            unit: text.into(),
        }
    }

    /// Returns the value on one line.
    #[must_use]
    pub fn line(&self) -> String {
        match (self.number.is_empty(), self.unit.is_empty()) {
            (true, _) => self.unit.clone(),
            (false, true) => self.number.clone(),
            (false, false) => format!("{} {}", self.number, self.unit),
        }
    }
}

/// Returns the fields of a record that have something to say. Of a record that has a name of its
/// own (a thread), what is false says nothing either.
pub(super) fn said_fields(record: &Record) -> impl Iterator<Item = (&str, &Value)> {
    let fields = record.fields.iter();
    let fields = fields.map(|(name, value)| (&**name, value));
    fields.filter(|(_, value)| match value {
        Value::None => false,
        Value::Text(text) => !text.is_empty(),
        Value::List(items) => !items.is_empty(),
        Value::Truth(truth) => *truth || record.said_as.is_none(),
        _ => true,
    })
}

/// Writes values as a notebook's settings ask.
#[derive(Clone, Copy, Debug)]
pub struct Writer<'a> {
    settings: &'a Settings,
}

impl<'a> Writer<'a> {
    /// Returns a writer for a notebook's settings.
    #[must_use]
    pub const fn new(settings: &'a Settings) -> Self {
        Self { settings }
    }

    /// Returns the system that leads.
    #[must_use]
    pub fn system(&self) -> System {
        self.settings.lengths.first().copied().unwrap_or_default()
    }

    /// Returns the unit in which a quantity is shown.
    #[must_use]
    pub fn unit(&self, quantity: Quantity) -> Unit {
        let unit = quantity.shown_unit(self.system());
        let plain_angle = quantity.dimension == Dimension::ANGLE && unit.style() == Style::Decimal;
        if plain_angle
            && self.settings.angles == Style::DegreesMinutesSeconds
            && unit.symbol() == "deg"
        {
            return unit.styled(Style::DegreesMinutesSeconds);
        }
        // With both systems asked for, the first leads whatever the cell was written in.
        if let [first, _] = self.settings.lengths.as_slice() {
            return in_system(unit, *first).unwrap_or(unit);
        }
        unit
    }

    /// Returns a quantity in the unit in which it is shown.
    #[must_use]
    pub fn quantity(&self, quantity: Quantity) -> FormattedValue {
        self.in_unit(quantity, self.unit(quantity))
    }

    /// Returns how much something is, above 0: where that is less than the last decimal
    /// shows, so many words.
    pub fn amount(&self, quantity: Quantity) -> String {
        let unit = self.unit(quantity);
        let last = decimals_for(unit)
            .and_then(|decimals| i32::try_from(decimals).ok())
            .map(|decimals| 10_f64.powi(-decimals) * unit.factor());
        match last.filter(|last| quantity.si > 0.0 && quantity.si < 0.5 * last) {
            Some(last) => {
                let last = Quantity {
                    si: last,
                    ..quantity
                };
                format!("less than {}", self.quantity(last).line())
            }
            None => self.quantity(quantity).line(),
        }
    }

    /// Returns a quantity in a unit.
    #[must_use]
    pub fn in_unit(&self, quantity: Quantity, unit: Unit) -> FormattedValue {
        let number = in_unit(quantity, unit, self.settings.readout);
        let symbol = match unit.style() {
            Style::DegreesMinutesSeconds => String::new(),
            _ => unit.printed(),
        };
        FormattedValue {
            number,
            unit: symbol,
        }
    }

    /// Returns a quantity in the second system, where both are asked for and it is a size or
    /// a feed.
    #[must_use]
    pub fn other(&self, quantity: Quantity) -> Option<FormattedValue> {
        let [_, second] = self.settings.lengths.as_slice() else {
            return None;
        };
        let unit = in_system(self.unit(quantity), *second)?;
        Some(self.in_unit(quantity, unit))
    }

    /// Returns a size as the drawing gives it, `12 f7` or `64 ±0.05`; without limits what it is
    /// worked to.
    #[must_use]
    pub fn size(&self, size: &Size) -> FormattedValue {
        let Some(limits) = &size.limits else {
            return self.quantity(size.like(size.aim));
        };
        let unit = self.plain_unit(size.drawn);
        let mut written = self.in_unit(size.drawn, unit);
        written.number = format!(
            "{}{}",
            self.drawn_number(size.drawn, unit),
            self.tolerance(size, limits, unit)
        );
        written
    }

    /// Returns the figure of a drawing, without zeros behind its decimals.
    fn drawn_number(&self, drawn: Quantity, unit: Unit) -> String {
        let usual = decimals_for(unit);
        match usual.filter(|_| unit.style() == Style::Decimal) {
            Some(usual) => trimmed(&number(drawn.in_unit(unit), usual + 1)).to_owned(),
            None => trimmed(&self.in_unit(drawn, unit).number).to_owned(),
        }
    }

    /// Returns what stands behind a figure on the drawing: ` f7`, ` ±0.05`, ` (+0.02/-0.01)`.
    fn tolerance(&self, size: &Size, limits: &SizeLimits, unit: Unit) -> String {
        if let Tolerance::Class(class) = &limits.tolerance {
            return format!(" {class}");
        }
        let [lower, upper] = self.deviations(size, limits, unit);
        if lower.trim_start_matches('-') == upper && lower.starts_with('-') {
            return format!(" ±{upper}");
        }
        let sign = |text: String| {
            if text.starts_with('-') || text == "0" {
                text
            } else {
                format!("+{text}")
            }
        };
        format!(" ({}/{})", sign(upper), sign(lower))
    }

    /// Returns the two deviations of a size in a unit, lower first, without zeros at their end;
    /// where they don't come out even, rounded into the limits.
    fn deviations(&self, size: &Size, limits: &SizeLimits, unit: Unit) -> [String; 2] {
        if unit.style() == Style::DegreesMinutesSeconds {
            return [limits.low, limits.high].map(|si| match si - size.drawn.si {
                off if off.abs() < 1e-9 => "0".to_owned(),
                off => self.in_unit(size.like(off), unit).number,
            });
        }
        let unit = match unit.style() {
            Style::Decimal => unit,
            _ => unit.styled(Style::Decimal),
        };
        let factor = unit.factor();
        let off = |si: f64| Quantity {
            si: (si - size.drawn.si) / factor * factor,
            unit: if unit.from_another_zero() {
                Unit::NONE
            } else {
                unit
            },
            ..size.drawn
        };
        let ends = (off(limits.low), off(limits.high));
        let shown = ends.0.shown_unit(self.system());
        let texts = ends_text(ends, shown, "", Rounding::Inward);
        texts.map(|text| trimmed(&text).to_owned())
    }

    /// Returns the limits of a size as they are printed, `11.966 to 11.984`, and what one works to
    /// where that is not the drawn figure, `aim 11.975`.
    #[must_use]
    pub fn allowed(&self, size: &Size) -> Option<(String, Option<String>)> {
        let limits = size.limits.as_ref()?;
        let unit = self.plain_unit(size.value);
        let ends = (size.like(limits.low), size.like(limits.high));
        let ends = ends_text(ends, unit, "", Rounding::Inward);
        let aim = size.like(size.aim);
        let off = (size.aim - size.drawn.si).abs() > 1e-9 * (limits.high - limits.low);
        let text = aim_text(aim, unit, &ends);
        let aim = match (size.aim_set, off) {
            (true, _) => Some(format!("aim {text}, set")),
            (false, true) => Some(format!("aim {text}")),
            (false, false) => None,
        };
        Some((ends.join(" to "), aim))
    }

    /// Returns what a result may come out as, `0.016 to 0.052`: no part comes out further.
    #[must_use]
    pub fn possible(&self, value: Quantity, low: f64, high: f64) -> String {
        let unit = self.unit(value);
        let of = |si: f64| Quantity { si, ..value };
        let text = self.in_unit(value, unit).number;
        ends_text((of(low), of(high)), unit, &text, Rounding::Outward).join(" to ")
    }

    /// Returns a size in a sentence: `12 f7 (11.966 to 11.984 mm, aim 11.975)`, with its reading.
    fn size_sentence(&self, size: &Size) -> String {
        let drawn = self.size(size);
        let mut text = match self.allowed(size) {
            None => drawn.line(),
            Some((ends, aim)) => {
                let aim = aim.map_or(String::new(), |aim| format!(", {aim}"));
                let second = self.second(size);
                format!("{} ({ends} {}{aim}{second})", drawn.number, drawn.unit)
            }
        };
        if let Some(reading) = size.reading {
            let reading = self.in_unit(size.like(reading), self.plain_unit(size.value));
            text += &format!("; measured {}", reading.number);
        }
        text
    }

    /// Returns the limits of a size in the second system, where both are asked for.
    fn second(&self, size: &Size) -> String {
        let ([_, second], Some(limits)) = (self.settings.lengths.as_slice(), &size.limits) else {
            return String::new();
        };
        let Some(unit) = in_system(self.plain_unit(size.value), *second) else {
            return String::new();
        };
        let ends = (size.like(limits.low), size.like(limits.high));
        let ends = ends_text(ends, unit, "", Rounding::Inward);
        format!("; {} {}", ends.join(" to "), unit.printed())
    }

    /// Returns the unit in which a size is shown: never in steps of the readout.
    fn plain_unit(&self, quantity: Quantity) -> Unit {
        let unit = self.unit(quantity);
        if unit.is_coordinate() {
            unit.styled(Style::Decimal)
        } else {
            unit
        }
    }

    /// Returns any value.
    #[must_use]
    pub fn value(&self, value: &Value) -> FormattedValue {
        match value {
            Value::Quantity(quantity) => self.quantity(*quantity),
            Value::Size(size) => self.size(size),
            Value::Record(record) => self.record(record),
            Value::List(items) => self.list(items),
            Value::Text(text) => FormattedValue::text(&**text),
            Value::None => FormattedValue::text(""),
            other => FormattedValue::text(other.to_string()),
        }
    }

    /// Returns a record: what it stands for with its name, what it is called, or its fields that
    /// say something.
    fn record(&self, record: &Record) -> FormattedValue {
        let Some(lead) = record.scalar_value else {
            let called = record.said_as.as_ref().and_then(|name| record.get(name));
            return match called {
                Some(called) => self.value(called),
                None => FormattedValue::text(self.fields(record)),
            };
        };
        let mut written = self.quantity(lead);
        if let Some(Value::Text(name)) = record.get("name")
            && !name.starts_with(|c: char| c.is_ascii_digit() && !name.contains('/'))
        {
            written.unit = format!("{} {name}", written.unit);
        }
        written
    }

    /// Returns the fields of a record that say something, in a sentence.
    #[must_use]
    pub fn fields(&self, record: &Record) -> String {
        let fields = said_fields(record);
        let fields = fields.map(|(name, value)| format!("{name} {}", self.value(value).line()));
        fields.collect::<Vec<_>>().join("; ")
    }

    /// Returns a list: its unit once where all share it.
    fn list(&self, items: &[Value]) -> FormattedValue {
        let written: Vec<FormattedValue> = items.iter().map(|item| self.value(item)).collect();
        let unit = written.first().map_or("", |first| &first.unit);
        let shared = written.len() > 1
            && written
                .iter()
                .all(|item| item.unit == unit && !item.number.is_empty());
        if shared {
            let numbers: Vec<&str> = written.iter().map(|item| item.number.as_str()).collect();
            FormattedValue::text(format!("{} {unit}", numbers.join(", ")).trim_end())
        } else {
            FormattedValue::text(
                written
                    .iter()
                    .map(FormattedValue::line)
                    .collect::<Vec<_>>()
                    .join(", "),
            )
        }
    }

    /// Returns a text with values in it, such as that of an op.
    #[must_use]
    pub fn sentence(&self, value: &Value) -> String {
        match value {
            Value::Size(size) => self.size_sentence(size),
            Value::Quantity(quantity) => {
                let line = self.quantity(*quantity).line();
                match self.other(*quantity) {
                    Some(other) => format!("{line} ({})", other.line()),
                    None => line,
                }
            }
            other => self.value(other).line(),
        }
    }
}
