//! `draw holes of NAME`: a pattern of holes with its coordinates.

use super::form::Given;
use crate::diagnostic::Fault;
use crate::language::{Table, Value};
use crate::quantity::{Dimension, Quantity};

/// Checks what was given and adds what follows from it.
pub fn derive(given: &mut Given) -> Result<(), Fault> {
    if !given.with("chords") {
        return Ok(());
    }
    let Some(table) = given.table() else {
        return Ok(());
    };
    let points = points(table);
    let count = points.len();
    if count < 2 {
        return Err(Fault::new("one hole has no chords").advise("leave out `with chords`"));
    }
    // Two holes have one chord; more close the ring.
    let chords = if count == 2 { 1 } else { count };
    let mut rows = Vec::new();
    for from in 0..chords {
        let to = (from + 1) % count;
        let (Some(a), Some(b)) = (points.get(from), points.get(to)) else {
            continue;
        };
        let length = Quantity {
            unit: a.0.unit,
            ..Quantity::si((b.0.si - a.0.si).hypot(b.1.si - a.1.si), Dimension::LENGTH)
        };
        rows.push(vec![
            Value::whole(from + 1),
            Value::whole(to + 1),
            length.into(),
        ]);
    }
    if let Some(field) = given
        .fields
        .iter_mut()
        .find(|(name, _)| &**name == "chords")
    {
        field.1 = Table::new(&["from", "to", "length"], rows).into();
    }
    Ok(())
}

fn points(table: &Table) -> Vec<(Quantity, Quantity)> {
    let (Some(x), Some(y)) = (table.column("x"), table.column("y")) else {
        return Vec::new();
    };
    let at = |row: &[Value], place: usize| row.get(place)?.quantity().ok();
    table
        .rows
        .iter()
        .filter_map(|row| Some((at(row, x)?, at(row, y)?)))
        .collect()
}
