//! Sets of change gears in common use.

use std::sync::LazyLock;

use serde::{Deserialize, Serialize};

use crate::diagnostic::{Fault, did_you_mean};
use crate::trade::table::table;

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

static SETS: LazyLock<Vec<GearSet>> = LazyLock::new(|| {
    let mut sets: Vec<GearSet> = Vec::new();
    for row in &TABLE.rows {
        let wheels = std::iter::repeat_n(row.teeth, row.quantity);
        match sets.iter_mut().find(|set| set.name == row.set) {
            Some(set) => set.gears.extend(wheels),
            None => sets.push(GearSet {
                name: row.set.clone(),
                leadscrew: row.lead_screw.clone(),
                gears: wheels.collect(),
                note: row.note.clone(),
            }),
        }
    }
    sets
});

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
    SETS.iter().map(|set| set.name.as_str()).collect()
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
    SETS.iter()
        .find(|set| set.name.to_lowercase() == wanted)
        .cloned()
        .ok_or_else(|| {
            if let Some((old, gears)) = RETIRED.iter().find(|(old, _)| *old == wanted) {
                return Fault::new(format!(
                    "\"{old}\" was one maker's list and is no longer a set of the library"
                ))
                .advise(format!("write the gears instead: {gears}"))
                .in_argument(0);
            }
            let known = gear_set_names();
            let hint = did_you_mean(name, known.iter().copied())
                .unwrap_or_else(|| "or list the teeth of the gears in hand".to_owned());
            Fault::new(format!(
                "no set of change gears is called \"{name}\"; known are {}",
                known.join("; ")
            ))
            .advise(hint)
            .in_argument(0)
        })
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
