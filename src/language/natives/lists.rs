//! What is asked of lists and tables: how many, in which order, which of them.

use std::cmp::Ordering;

use crate::diagnostic::Fault;
use crate::language::arguments::Arguments;
use crate::language::arguments::Topic;
use crate::language::{Table, Value};

/// The functions of this topic.
pub const FUNCTIONS: Topic = &[
    ("count", count),
    ("sort", sort),
    ("first", |a| end(a, |length| length.checked_sub(length))),
    ("last", |a| end(a, |length| length.checked_sub(1))),
    ("pick", pick),
    ("all", |a| {
        Ok(truths(a, 0)?.into_iter().all(|truth| truth).into())
    }),
    ("any", |a| {
        Ok(truths(a, 0)?.into_iter().any(|truth| truth).into())
    }),
];

fn count(arguments: &Arguments) -> Result<Value, Fault> {
    match arguments.value(0) {
        Value::List(items) => Ok(Value::whole(items.len() as i64)),
        Value::Table(table) => Ok(Value::whole(table.rows.len() as i64)),
        other => Err(Fault::new(format!("{} can't be counted", other.described())).in_argument(0)),
    }
}

/// Returns which of two values comes first; texts by their characters.
fn order(a: &Value, b: &Value) -> Result<Ordering, Fault> {
    match (a, b) {
        (Value::Text(a), Value::Text(b)) => Ok(a.cmp(b)),
        _ => {
            let (a, b) = (a.quantity()?, b.quantity()?);
            a.order(b)?;
            Ok(a.si.total_cmp(&b.si))
        }
    }
}

/// Returns the places of values in rising order; equal ones stay as they stand.
fn sorted(values: &[Value]) -> Result<Vec<usize>, Fault> {
    // Told before sorting, so that the order is one of values that can be compared.
    if let Some(first) = values.first() {
        for value in values {
            order(first, value)?;
        }
    }
    let mut places: Vec<usize> = (0..values.len()).collect();
    places.sort_by(|a, b| match (values.get(*a), values.get(*b)) {
        (Some(a), Some(b)) => order(a, b).unwrap_or(Ordering::Equal),
        _ => Ordering::Equal,
    });
    Ok(places)
}

fn sort(arguments: &Arguments) -> Result<Value, Fault> {
    let by = arguments.value(1);
    match (arguments.value(0), by) {
        (Value::List(items), Value::None) => {
            let places = sorted(items).map_err(|fault| fault.in_argument(0))?;
            Ok(taken(items, &places).into())
        }
        (Value::List(_), _) => {
            Err(Fault::new("a list has no columns to sort it by").in_argument(1))
        }
        (Value::Table(table), Value::Text(name)) => {
            let Some(column) = table.column(name) else {
                let columns: Vec<&str> = table.columns.iter().map(|name| &**name).collect();
                return Err(Fault::new(format!("the table has no column `{name}`"))
                    .advise(format!("it has {}", columns.join(", ")))
                    .in_argument(1));
            };
            let places = sorted(&table.values(column)).map_err(|fault| fault.in_argument(1))?;
            Ok(rows_taken(table, &places))
        }
        _ => Err(Fault::new("a table is sorted by one of its columns")
            .advise("name it, as in `sort(holes, \"x\")`")
            .in_argument(0)),
    }
}

fn taken(items: &[Value], places: &[usize]) -> Vec<Value> {
    let taken = places.iter().filter_map(|place| items.get(*place));
    taken.cloned().collect()
}

fn rows_taken(table: &Table, places: &[usize]) -> Value {
    let rows = places.iter().filter_map(|place| table.rows.get(*place));
    Table {
        columns: table.columns.clone(),
        rows: rows.cloned().collect(),
        choices: table.choices,
    }
    .into()
}

/// Returns the value or the row at a place that follows from the length.
fn end(arguments: &Arguments, place: fn(usize) -> Option<usize>) -> Result<Value, Fault> {
    let found = match arguments.value(0) {
        Value::List(items) => place(items.len()).and_then(|at| items.get(at).cloned()),
        Value::Table(table) => {
            let row = place(table.rows.len()).and_then(|at| table.row(at));
            row.map(Value::from)
        }
        _ => None,
    };
    found.ok_or_else(|| Fault::new("there is nothing in it").in_argument(0))
}

fn truths(arguments: &Arguments, index: usize) -> Result<Vec<bool>, Fault> {
    let items = arguments.list(index).iter();
    items
        .map(|item| item.truth().map_err(|fault| fault.in_argument(index)))
        .collect()
}

fn pick(arguments: &Arguments) -> Result<Value, Fault> {
    let truths = truths(arguments, 1)?;
    let length = match arguments.value(0) {
        Value::List(items) => items.len(),
        Value::Table(table) => table.rows.len(),
        _ => 0,
    };
    if truths.len() != length {
        let message = format!(
            "{length} are picked from, but the condition tells of {}",
            truths.len()
        );
        return Err(Fault::new(message)
            .advise("write the condition with a column of the same table, as in `pick(holes, holes.x > 0 mm)`")
            .in_argument(1));
    }
    let places = truths.iter().enumerate();
    let places: Vec<usize> = places
        .filter(|(_, kept)| **kept)
        .map(|(at, _)| at)
        .collect();
    Ok(match arguments.value(0) {
        Value::Table(table) => rows_taken(table, &places),
        Value::List(items) => taken(items, &places).into(),
        _ => Value::None,
    })
}
