//! Values as JSON: numbers in their shown unit, with the unit and the SI value
//! beside.

use serde_json::{Map, Value as Json, json};

use super::formatted_value::Writer;
use super::model::Data;
use crate::language::Value;

/// Returns a number as JSON; null where it is none.
pub fn number(value: f64) -> Json {
    serde_json::Number::from_f64(value).map_or(Json::Null, Json::Number)
}

/// Returns a number in a unit as JSON, to twelve significant digits: beyond those stands only
/// the noise of conversions.
pub fn rounded(value: f64) -> Json {
    number(without_noise(value))
}

/// Returns a number to twelve significant digits.
pub fn without_noise(value: f64) -> f64 {
    format!("{value:.11e}").parse().unwrap_or(value)
}

/// Returns a value as other programs get it: in its shown unit, with the unit and in SI,
/// each shaped like the value itself.
pub fn data_of(writer: &Writer, value: &Value) -> Data {
    match value {
        Value::Quantity(quantity) => {
            let unit = writer.unit(*quantity);
            Data {
                value: rounded(quantity.in_unit(unit)),
                unit: json!(unit.symbol()),
                si: number(quantity.si),
            }
        }
        Value::Size(size) => data_of(writer, &Value::Quantity(size.value)),
        Value::Text(text) => Data::of(json!(&**text)),
        Value::Truth(truth) => Data::of(json!(truth)),
        Value::None => Data::default(),
        Value::List(items) => Data::list(items.iter().map(|item| data_of(writer, item))),
        Value::Record(record) => fields(
            writer,
            record.fields.iter().map(|(name, value)| (&**name, value)),
        ),
        Value::Table(table) => Data::list(table.rows.iter().map(|row| {
            let names = table.columns.iter().map(|name| &**name);
            fields(writer, names.zip(row))
        })),
    }
}

fn fields<'a>(writer: &Writer, fields: impl Iterator<Item = (&'a str, &'a Value)>) -> Data {
    let all = fields.map(|(name, value)| {
        let Data { value, unit, si } = data_of(writer, value);
        let name = name.to_owned();
        ((name.clone(), value), (name.clone(), unit), (name, si))
    });
    let (values, units, si): (Map<_, _>, Map<_, _>, Map<_, _>) = all.collect();
    Data {
        value: values.into(),
        unit: units.into(),
        si: si.into(),
    }
}

impl Data {
    /// Returns what has no unit.
    fn of(value: Json) -> Self {
        Self {
            value,
            ..Self::default()
        }
    }

    /// Returns the values of a list.
    pub(super) fn list(items: impl Iterator<Item = Self>) -> Self {
        let all = items.map(|item| (item.value, item.unit, item.si));
        let (values, units, si): (Vec<_>, Vec<_>, Vec<_>) = all.collect();
        Self {
            value: values.into(),
            unit: units.into(),
            si: si.into(),
        }
    }
}
