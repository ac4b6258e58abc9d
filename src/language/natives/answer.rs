//! Answers of native functions: plain structs of `crate::trade`, made values by
//! what the function's documentation says of each field.

use serde::Serialize;
use serde_json::Value as Plain;

use crate::diagnostic::Fault;
use crate::language::arguments::Arguments;
use crate::language::shape::{Fields, Shape};
use crate::language::{Record, Table, Value};
use crate::quantity::{Dimension, Quantity, Unit, parse_unit};

impl Arguments {
    /// Returns what a function of trade found as the value that its documentation
    /// describes, lengths in the unit of the first length among the arguments.
    ///
    /// # Errors
    /// What is wrong with the arguments.
    pub fn give<T: Serialize>(&self, found: Result<T, Fault>) -> Result<Value, Fault> {
        let lengths = self.values.iter().filter_map(|value| match value {
            Value::List(items) => items.first()?.quantity().ok(),
            value => value.quantity().ok(),
        });
        let unit = lengths
            .filter(|quantity| quantity.dimension == Dimension::LENGTH)
            .map(|quantity| quantity.unit)
            .next();
        self.give_in(unit.unwrap_or(Unit::NONE), found)
    }

    /// Returns the same with lengths in `unit`.
    ///
    /// # Errors
    /// What is wrong with the arguments.
    pub fn give_in<T: Serialize>(
        &self,
        unit: Unit,
        found: Result<T, Fault>,
    ) -> Result<Value, Fault> {
        let plain = serde_json::to_value(found?).map_err(|error| Fault::new(error.to_string()))?;
        Ok(value(&plain, &self.gives, unit))
    }
}

/// Returns the value of a shape; lengths without a unit of their own in `unit`.
fn value(plain: &Plain, shape: &Shape, unit: Unit) -> Value {
    match (plain, shape) {
        (Plain::Null, _) => Value::None,
        (Plain::Bool(truth), _) => (*truth).into(),
        (Plain::String(text), _) => text.as_str().into(),
        (Plain::Number(number), shape) => {
            let si = number.as_f64().unwrap_or(f64::NAN);
            measured(si, shape, unit).into()
        }
        (_, Shape::As(function)) => match function.gives() {
            Some(shape) => value(plain, shape, unit),
            None => Value::None,
        },
        (Plain::Array(rows), Shape::Fields(fields)) => {
            let rows = rows.iter().map(|row| cells(row, fields, unit).collect());
            let columns = fields.fields.iter().map(|(name, _)| name.clone());
            Value::from(Table {
                columns: columns.collect(),
                rows: rows.collect(),
                choices: fields.choices,
            })
        }
        (Plain::Array(items), shape) => {
            let item = match shape {
                Shape::List(item) => item,
                shape => shape,
            };
            let items = items.iter().map(|plain| value(plain, item, unit));
            items.collect::<Vec<_>>().into()
        }
        (Plain::Object(_), Shape::Fields(fields)) => {
            let names = fields.fields.iter().map(|(name, _)| name.clone());
            let record = Record::new(names.zip(cells(plain, fields, unit)));
            fields.presented(record.into())
        }
        (Plain::Object(_), _) => Value::None,
    }
}

/// Returns the values of a row's fields, in the order of the documentation.
fn cells<'a>(plain: &'a Plain, fields: &'a Fields, unit: Unit) -> impl Iterator<Item = Value> + 'a {
    // A drill is measured as it is marked: "6.8 mm" in millimetres, "#7" and "F" in inches.
    let marked = plain.get("name").and_then(Plain::as_str);
    let marked = marked.map_or("in", |name| if name.ends_with("mm") { "mm" } else { "in" });
    fields.fields.iter().map(move |(name, shape)| {
        let plain = plain.get(&**name).unwrap_or(&Plain::Null);
        match shape {
            Shape::Marked => value(
                plain,
                &Shape::Measure(Dimension::LENGTH, None),
                symbol(marked),
            ),
            shape => value(plain, shape, unit),
        }
    })
}

/// Returns a number with its dimension and unit.
fn measured(si: f64, shape: &Shape, unit: Unit) -> Quantity {
    let (dimension, stated) = match shape {
        Shape::Measure(dimension, stated) => (dimension, stated),
        Shape::Limit(side) => {
            let length = Quantity::si(si, Dimension::LENGTH);
            return Quantity { unit, ..length }.as_limit(*side);
        }
        Shape::Coordinate => {
            let length = Quantity {
                unit,
                ..Quantity::si(si, Dimension::LENGTH)
            };
            return length.as_coordinate().unwrap_or(length);
        }
        _ => return Quantity::number(si),
    };
    let unit = stated.unwrap_or_else(|| power_of(unit, *dimension));
    Quantity {
        unit,
        ..Quantity::si(si, *dimension)
    }
}

/// Returns the unit of a length, an area or a volume whose lengths are in `unit`.
fn power_of(unit: Unit, dimension: Dimension) -> Unit {
    let power = dimension.length;
    match unit.parts() {
        [(length, 1)] if power > 0 && dimension == Dimension::new(power, 0, 0, 0, 0) => {
            Unit::of(&[(*length, power)]).unwrap_or_default()
        }
        _ => Unit::NONE,
    }
}

/// Returns the unit of this symbol; the default of its dimension where it is none.
pub fn symbol(symbol: &str) -> Unit {
    parse_unit(symbol).unwrap_or(Unit::NONE)
}
