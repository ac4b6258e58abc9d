//! `draw turned profile of NAME`: a part from the lathe, step by step.

use super::form::Given;
use crate::diagnostic::Fault;
use crate::language::{Table, Value};
use crate::quantity::Quantity;

/// Checks what was given and adds what follows from it.
pub fn derive(given: &mut Given) -> Result<(), Fault> {
    let Some(table) = given.table() else {
        return Ok(());
    };
    let column = |name: &str| table.column(name);
    let si = |row: &[Value], name: &str| -> Option<f64> {
        Some(row.get(column(name)?)?.quantity().ok()?.si)
    };
    let drawn = |row: &[Value], name: &str| -> Option<f64> {
        Some(row.get(column(name)?)?.clone().drawn().quantity().ok()?.si)
    };
    let mut length = 0.0;
    for (number, row) in (1..).zip(&table.rows) {
        let diameter = si(row, "diameter").unwrap_or(0.0);
        let end = si(row, "end_diameter").unwrap_or(diameter);
        let step = drawn(row, "length").unwrap_or(0.0);
        length += step;
        let thin = diameter.min(end);
        if si(row, "bore").is_some_and(|bore| bore >= thin) {
            let message = format!("row {number} of the table: the bore leaves no wall");
            return Err(Fault::new(message));
        }
        if si(row, "chamfer").is_some_and(|chamfer| chamfer * 2.0 >= thin || chamfer > step) {
            let message = format!("row {number} of the table: the chamfer is larger than the step");
            return Err(Fault::new(message));
        }
        for name in ["thread", "inside_thread"] {
            let Some(Value::Text(thread)) = column(name).and_then(|place| row.get(place)) else {
                continue;
            };
            if name == "inside_thread" && si(row, "bore").is_none() {
                let message = format!("row {number} of the table: a thread inside needs a `bore`");
                return Err(Fault::new(message));
            }
            crate::trade::threads::thread(thread).map_err(|fault| {
                let message = format!("row {number} of the table: {}", fault.message);
                Fault {
                    message,
                    argument: None,
                    ..fault
                }
            })?;
        }
    }
    let like = first_length(table);
    let total = Quantity {
        si: length,
        ..like.unwrap_or(Quantity::number(0.0))
    };
    given.add("total_length", total);
    Ok(())
}

fn first_length(table: &Table) -> Option<Quantity> {
    let place = table.column("length")?;
    table.rows.first()?.get(place)?.quantity().ok()
}
