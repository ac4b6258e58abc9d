//! How the values of a notebook are written, by its settings.

use crate::language::{Record, Value};
use crate::notebook::Settings;
use crate::quantity::{Dimension, Quantity, Style, System, Unit, in_system, in_unit};

/// A value as it is written: a number and its unit, so that decimal points can
/// line up, or text.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Written {
    /// The number; empty for text.
    pub number: String,
    /// The unit behind the number, or the text.
    pub unit: String,
}

impl Written {
    /// Text.
    pub fn text(text: impl Into<String>) -> Self {
        Self {
            number: String::new(),
            unit: text.into(),
        }
    }

    /// The value on one line.
    #[must_use]
    pub fn line(&self) -> String {
        match (self.number.is_empty(), self.unit.is_empty()) {
            (true, _) => self.unit.clone(),
            (false, true) => self.number.clone(),
            (false, false) => format!("{} {}", self.number, self.unit),
        }
    }
}

/// Writes values as a notebook's settings ask.
#[derive(Clone, Copy, Debug)]
pub struct Writer<'a> {
    settings: &'a Settings,
    exact: bool,
}

impl<'a> Writer<'a> {
    /// A writer for a notebook's settings.
    #[must_use]
    pub const fn new(settings: &'a Settings) -> Self {
        Self {
            settings,
            exact: false,
        }
    }

    /// The same writer without rounding to the step of the readout.
    #[must_use]
    pub const fn exact(self) -> Self {
        Self {
            exact: true,
            ..self
        }
    }

    /// The system that leads.
    #[must_use]
    pub fn system(&self) -> System {
        self.settings.lengths.first().copied().unwrap_or_default()
    }

    /// The unit in which a quantity is shown.
    #[must_use]
    pub fn unit(&self, quantity: Quantity) -> Unit {
        let unit = quantity.shown_unit(self.system());
        let plain_angle =
            quantity.dimension == Dimension::ANGLE && unit.get().style == Style::Decimal;
        if plain_angle
            && self.settings.angles == Style::DegreesMinutesSeconds
            && unit.get().symbol == "deg"
        {
            return unit.styled(Style::DegreesMinutesSeconds);
        }
        // With both systems asked for, the first leads whatever the cell was written in.
        if let [first, _] = self.settings.lengths.as_slice() {
            return in_system(unit, *first).unwrap_or(unit);
        }
        unit
    }

    /// A quantity in the unit in which it is shown.
    #[must_use]
    pub fn quantity(&self, quantity: Quantity) -> Written {
        self.in_unit(quantity, self.unit(quantity))
    }

    /// A quantity in a unit.
    #[must_use]
    pub fn in_unit(&self, quantity: Quantity, unit: Unit) -> Written {
        let step = self.settings.readout.filter(|_| !self.exact);
        let number = in_unit(quantity, unit, step);
        let symbol = match unit.get().style {
            Style::DegreesMinutesSeconds => String::new(),
            _ => unit.get().symbol.clone(),
        };
        Written {
            number,
            unit: symbol,
        }
    }

    /// A quantity in the second system, where both are asked for and it is a size or
    /// a feed.
    #[must_use]
    pub fn other(&self, quantity: Quantity) -> Option<Written> {
        let [_, second] = self.settings.lengths.as_slice() else {
            return None;
        };
        let unit = in_system(self.unit(quantity), *second)?;
        Some(self.in_unit(quantity, unit))
    }

    /// Any value.
    #[must_use]
    pub fn value(&self, value: &Value) -> Written {
        match value {
            Value::Quantity(quantity) => self.quantity(*quantity),
            Value::Record(record) => self.record(record),
            Value::List(items) => self.list(items),
            Value::Text(text) => Written::text(&**text),
            Value::None => Written::text(""),
            other => Written::text(other.to_string()),
        }
    }

    /// A record: what it stands for with its name, or its fields.
    fn record(&self, record: &Record) -> Written {
        let Some(lead) = record.stands_for else {
            let fields = record
                .fields
                .iter()
                .map(|(name, value)| format!("{name} {}", self.value(value).line()));
            return Written::text(fields.collect::<Vec<_>>().join(", "));
        };
        let mut written = self.quantity(lead);
        if let Some(Value::Text(name)) = record.get("name")
            && !name.starts_with(|c: char| c.is_ascii_digit() && !name.contains('/'))
        {
            written.unit = format!("{} {name}", written.unit);
        }
        written
    }

    /// A list: its unit once where all share it.
    fn list(&self, items: &[Value]) -> Written {
        let written: Vec<Written> = items.iter().map(|item| self.value(item)).collect();
        let unit = written.first().map_or("", |first| &first.unit);
        let shared = written.len() > 1
            && written
                .iter()
                .all(|item| item.unit == unit && !item.number.is_empty());
        if shared {
            let numbers: Vec<&str> = written.iter().map(|item| item.number.as_str()).collect();
            Written::text(format!("{} {unit}", numbers.join(", ")).trim_end())
        } else {
            Written::text(
                written
                    .iter()
                    .map(Written::line)
                    .collect::<Vec<_>>()
                    .join(", "),
            )
        }
    }

    /// A text with values in it, such as that of an op.
    #[must_use]
    pub fn sentence(&self, value: &Value) -> String {
        match value {
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
