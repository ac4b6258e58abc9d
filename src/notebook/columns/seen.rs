//! What columns hold in one sample, as values.

use std::sync::Arc;

use super::Block;
use crate::language::{Place, Record, Shape, Size, SlotId, Table, Value};
use crate::notebook::outcome::{Failure, Outcome};
use crate::quantity::Quantity;

/// Returns a value made of columns as it is in one sample: like the value at rest, a size
/// with its faces.
pub(super) fn rebuilt(
    slot: SlotId,
    place: &Place,
    at_rest: &Value,
    sample: usize,
    block: &Block,
) -> Option<Outcome> {
    let all = |places: &[Place], values: &[Value]| -> Option<Result<Vec<Value>, Arc<Failure>>> {
        let pairs = places.iter().zip(values);
        pairs
            .map(|(place, value)| rebuilt(slot, place, value, sample, block))
            .collect()
    };
    Some(match (place, at_rest) {
        (Place::Known(value), _) => Ok(value.clone()),
        (Place::Truth(number), _) => seen(slot, (*number, Shape::Truth), sample, block)?,
        (Place::Column(number, like), at_rest) => {
            let seen = seen(slot, (*number, Shape::Quantity(*like)), sample, block)?;
            match (seen, at_rest) {
                (Ok(Value::Quantity(value)), Value::Size(size)) => {
                    Ok(Value::Size(Arc::new(Size {
                        value,
                        ..(**size).clone()
                    })))
                }
                (seen, _) => seen,
            }
        }
        (Place::List(places), Value::List(values)) => all(places, values)?.map(Value::from),
        (Place::Record(fields, lead), Value::Record(record)) => {
            let places: Vec<Place> = fields.iter().map(|(_, place)| place.clone()).collect();
            let values: Vec<Value> = record.fields.iter().map(|(_, v)| v.clone()).collect();
            all(&places, &values)?.map(|values| {
                let lead = lead.and_then(|place| values.get(place)?.quantity().ok());
                let names = fields.iter().map(|(name, _)| name.clone());
                Value::from(Record {
                    fields: names.zip(values).collect(),
                    scalar_value: lead,
                    said_as: record.said_as.clone(),
                })
            })
        }
        (Place::Table(columns, places), Value::Table(table)) => {
            let rows = places.iter().zip(&table.rows);
            let rows = rows.map(|(places, values)| all(places, values));
            let rows: Result<Vec<Vec<Value>>, _> = rows.collect::<Option<_>>()?;
            rows.map(|rows| {
                Value::from(Table {
                    columns: columns.clone(),
                    rows,
                    choices: table.choices,
                })
            })
        }
        // It is of another make than at rest, as the columns can't be.
        _ => return None,
    })
}

/// Returns what a column of a slot holds in one sample.
pub(super) fn seen(
    slot: SlotId,
    (number, shape): (usize, Shape),
    sample: usize,
    block: &Block,
) -> Option<Outcome> {
    let column = block.columns.get(number)?;
    if column.missing.get(sample) == Some(&true) {
        return Some(Err(Arc::new(Failure::Because(slot))));
    }
    let si = *column.values.get(sample)?;
    Some(Ok(match shape {
        Shape::Quantity(shape) => Value::Quantity(Quantity { si, ..shape }),
        Shape::Truth => Value::Truth(si != 0.0),
    }))
}
