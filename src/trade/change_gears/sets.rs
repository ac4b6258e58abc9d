//! Sets of change gears in common use.

use std::iter::repeat_n;

use serde::{Deserialize, Serialize};

use crate::diagnostic::Fault;
use crate::trade::table::table;
use crate::trade::words::{each_once, unknown};

/// A set of change gears in common use.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct GearSet {
    /// What the set is called.
    pub name: String,
    /// The leadscrew that it is usual with, in words.
    pub leadscrew: String,
    /// Teeth of every gear, repeats included.
    pub gears: Vec<u32>,
    /// What the set is good for.
    pub note: String,
}

#[derive(Deserialize)]
struct Row {
    set: String,
    lead_screw: String,
    teeth: u32,
    quantity: usize,
    note: String,
}

table!(TABLE: Row = "change_gears");

/// Names of sets that were one maker's list and left the library, with their gears:
/// a notebook that used one lists them instead.
const RETIRED: [(&str, &str); 2] = [
    (
        "by fives, two of the smallest",
        "[20, 20, 25, 30, 35, 38, 40, 45, 50, 55, 60, 65]",
    ),
    (
        "small metric bench lathe",
        "[20, 20, 30, 35, 40, 40, 45, 50, 55, 57, 60, 65, 80, 80]",
    ),
];

/// Returns the names of the gear sets in common use.
#[must_use]
pub fn gear_set_names() -> Vec<&'static str> {
    each_once(TABLE.rows.iter().map(|row| row.set.as_str()))
}

/// Returns a set of change gears in common use, by its name.
///
/// Arguments: `name` of the set, such as "by fives with 127".
///
/// # Errors
/// A fault that lists the known sets where the name is none of them, or the gears to
/// write where the set left the library.
///
/// Source: library/tables/change_gears.csv; common practice, no source.
pub fn gear_set(name: &str) -> Result<GearSet, Fault> {
    let wanted = name.trim().to_lowercase();
    let rows = TABLE
        .rows
        .iter()
        .filter(|row| row.set.to_lowercase() == wanted);
    if let Some(first) = rows.clone().next() {
        return Ok(GearSet {
            name: first.set.clone(),
            leadscrew: first.lead_screw.clone(),
            gears: rows
                .flat_map(|row| repeat_n(row.teeth, row.quantity))
                .collect(),
            note: first.note.clone(),
        });
    }
    Err(match RETIRED.iter().find(|(old, _)| *old == wanted) {
        Some((old, gears)) => Fault::new(format!(
            "\"{old}\" was one maker's list and is no longer a set of the library"
        ))
        .advise(format!("write the gears instead: {gears}")),
        None => {
            let otherwise = "name one of these, or list the teeth of the gears in hand";
            let known = gear_set_names();
            unknown(
                ("set of change gears", name),
                "the library",
                &known,
                [],
                otherwise,
            )
        }
    }
    .in_argument(0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_set_has_every_gear_as_often_as_it_is_owned() {
        let set = gear_set("dividing head gears").unwrap();
        assert_eq!(set.gears, [24, 24, 28, 32, 40, 44, 48, 56, 64, 72, 86, 100]);
        assert!(gear_set("").is_err());
    }
}
