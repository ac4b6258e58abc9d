//! Values as JSON: numbers in their shown unit, with the unit and the SI value
//! beside.

use serde_json::{Map, Value as Json, json};

use super::formatted_value::Writer;
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

/// Returns the value, its unit and its SI value, each shaped like the value itself.
pub fn json_of(writer: &Writer, value: &Value) -> (Json, Json, Json) {
    match value {
        Value::Quantity(quantity) => {
            let unit = writer.unit(*quantity);
            (
                rounded(quantity.in_unit(unit)),
                json!(unit.symbol()),
                number(quantity.si),
            )
        }
        Value::Size(size) => json_of(writer, &Value::Quantity(size.value)),
        Value::Text(text) => (json!(&**text), Json::Null, Json::Null),
        Value::Truth(truth) => (json!(truth), Json::Null, Json::Null),
        Value::None => (Json::Null, Json::Null, Json::Null),
        Value::List(items) => {
            let mut all = (Vec::new(), Vec::new(), Vec::new());
            for item in items.iter() {
                let (value, unit, si) = json_of(writer, item);
                all.0.push(value);
                all.1.push(unit);
                all.2.push(si);
            }
            (all.0.into(), all.1.into(), all.2.into())
        }
        Value::Record(record) => fields(
            writer,
            record.fields.iter().map(|(name, value)| (&**name, value)),
        ),
        Value::Table(table) => {
            let mut all = (Vec::new(), Vec::new(), Vec::new());
            for row in &table.rows {
                let names = table.columns.iter().map(|name| &**name);
                let (value, unit, si) = fields(writer, names.zip(row));
                all.0.push(value);
                all.1.push(unit);
                all.2.push(si);
            }
            (all.0.into(), all.1.into(), all.2.into())
        }
    }
}

fn fields<'a>(
    writer: &Writer,
    fields: impl Iterator<Item = (&'a str, &'a Value)>,
) -> (Json, Json, Json) {
    let mut all = (Map::new(), Map::new(), Map::new());
    for (name, value) in fields {
        let (value, unit, si) = json_of(writer, value);
        all.0.insert(name.to_owned(), value);
        all.1.insert(name.to_owned(), unit);
        all.2.insert(name.to_owned(), si);
    }
    (all.0.into(), all.1.into(), all.2.into())
}
