//! `draw length stack of NAME`: parts side by side in the space they go into.

use super::form::Given;
use crate::diagnostic::Fault;
use crate::language::{Table, Value};

/// Checks what was given and adds what follows from it.
pub fn derive(given: &mut Given) -> Result<(), Fault> {
    let Some(table) = given.table() else {
        return Ok(());
    };
    let (parts, spaces) = lengths(table);
    let [space] = spaces.as_slice() else {
        return Err(
            Fault::new("exactly one row must be the space that the parts go into")
                .advise("write anything in its column `space`, and leave the others blank"),
        );
    };
    if parts.is_empty() {
        return Err(Fault::new("there is no part to go into the space"));
    }
    let gap = space - parts.iter().sum::<f64>();
    let like = table
        .column("length")
        .and_then(|place| table.rows.first()?.get(place).cloned());
    if let Some(like) = like {
        given.add("first_length", like);
    }
    given.add_length("gap", gap, "first_length");
    given.fields.retain(|(name, _)| &**name != "first_length");
    Ok(())
}

/// Returns the lengths of the parts and of the spaces, in metres.
fn lengths(table: &Table) -> (Vec<f64>, Vec<f64>) {
    let (mut parts, mut spaces) = (Vec::new(), Vec::new());
    let (length, space) = (table.column("length"), table.column("space"));
    for row in &table.rows {
        let si = length.and_then(|place| Some(row.get(place)?.quantity().ok()?.si));
        let marked = space
            .and_then(|place| row.get(place))
            .is_some_and(|value| *value != Value::None);
        if let Some(si) = si {
            if marked { &mut spaces } else { &mut parts }.push(si);
        }
    }
    (parts, spaces)
}
