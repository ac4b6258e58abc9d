//! `draw turned profile of NAME`: a part from the lathe, step by step.

use super::form::{Column, Form, Given, Subject};
use crate::diagnostic::Fault;
use crate::language::{Table, Value};
use crate::quantity::Quantity;

/// A turned part.
pub const FORM: Form = Form {
    name: "turned profile",
    shows: "a turned part to scale, its steps from left to right, with lengths and diameters; cut open to the axis where it is bored",
    subject: Subject::Table(&[
        Column {
            name: "step",
            contract: "any",
            needed: false,
            meaning: "what the step is called",
        },
        Column {
            name: "diameter",
            contract: "length > 0 mm",
            needed: true,
            meaning: "diameter of the step, at its left end where it tapers",
        },
        Column {
            name: "length",
            contract: "length > 0 mm",
            needed: true,
            meaning: "length of the step",
        },
        Column {
            name: "end_diameter",
            contract: "length >= 0 mm",
            needed: false,
            meaning: "diameter at the right end of a step that tapers",
        },
        Column {
            name: "thread",
            contract: "text",
            needed: false,
            meaning: "designation of the thread on the step",
        },
        Column {
            name: "chamfer",
            contract: "length > 0 mm",
            needed: false,
            meaning: "chamfer of 45 deg on the step's free edges",
        },
        Column {
            name: "bore",
            contract: "length > 0 mm",
            needed: false,
            meaning: "diameter of the bore through the step",
        },
        Column {
            name: "inside_thread",
            contract: "text",
            needed: false,
            meaning: "designation of the thread in the bore of the step",
        },
        Column {
            name: "knurl",
            contract: "text",
            needed: false,
            meaning: "kind and pitch of the knurl on the step",
        },
        Column {
            name: "centre",
            contract: "any",
            needed: false,
            meaning: "anything, at the first or the last step: a centre hole in its end",
        },
        Column {
            name: "rest",
            contract: "any",
            needed: false,
            meaning: "anything, at the step that takes the rest of the whole length",
        },
    ]),
    parameters: &[],
    options: &[
        ("half view", "only the half above the axis"),
        (
            "stations",
            "distances of the shoulders from the right-hand end instead of lengths",
        ),
    ],
    example: "draw turned profile of spindle",
    derive,
};

fn derive(given: &mut Given) -> Result<(), Fault> {
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
