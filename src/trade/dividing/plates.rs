//! Hole plates: those the user has, and the sets in common use.

use std::sync::LazyLock;

use serde::{Deserialize, Serialize};

use crate::diagnostic::{Fault, did_you_mean};
use crate::trade::table::table;

/// The most circles that a search takes.
const MOST_CIRCLES: usize = 120;
/// The most holes that a circle may have.
const MOST_HOLES: u32 = 1_000;

/// A dividing plate, or one side of it: circles that can be used together.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Plate {
    /// What the plate is called.
    #[serde(rename = "plate")]
    pub name: String,
    /// Holes in each of its circles.
    pub circles: Vec<u32>,
}

impl Plate {
    /// Returns a plate of these circles, which has no name but that it was listed.
    #[must_use]
    pub fn of_circles(circles: &[u32]) -> Self {
        Self {
            name: "as listed".to_owned(),
            circles: circles.to_vec(),
        }
    }
}

/// A set of plates in common use.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlateSet {
    /// What the set is called.
    pub name: String,
    /// The ratios it is met with.
    pub ratios: Vec<u32>,
    /// Its plates.
    pub plates: Vec<Plate>,
}

#[derive(Deserialize)]
struct Row {
    set: String,
    ratio: u32,
    plate: String,
    holes: u32,
}

table!(TABLE: Row = "indexing_plates");

static SETS: LazyLock<Vec<PlateSet>> = LazyLock::new(|| {
    let mut sets: Vec<PlateSet> = Vec::new();
    for row in &TABLE.rows {
        let at = sets.iter().position(|set| set.name == row.set);
        let at = at.unwrap_or_else(|| {
            sets.push(PlateSet {
                name: row.set.clone(),
                ratios: Vec::new(),
                plates: Vec::new(),
            });
            sets.len() - 1
        });
        let set = &mut sets[at];
        if !set.ratios.contains(&row.ratio) {
            set.ratios.push(row.ratio);
        }
        match set.plates.iter_mut().find(|plate| plate.name == row.plate) {
            Some(plate) if plate.circles.contains(&row.holes) => {}
            Some(plate) => plate.circles.push(row.holes),
            None => set.plates.push(Plate {
                name: row.plate.clone(),
                circles: vec![row.holes],
            }),
        }
    }
    sets
});

/// Returns the names of the plate sets in common use.
#[must_use]
pub fn plate_set_names() -> Vec<&'static str> {
    SETS.iter().map(|set| set.name.as_str()).collect()
}

/// Returns a set of dividing plates in common use, by its name.
///
/// Arguments: `name` of the set, such as "three-plate set".
///
/// # Errors
/// A fault that lists the known sets where the name is none of them.
///
/// Source: library/tables/indexing_plates.csv; common practice, no source.
pub fn plate_set(name: &str) -> Result<PlateSet, Fault> {
    let wanted = name.trim().to_lowercase();
    SETS.iter()
        .find(|set| set.name.to_lowercase() == wanted)
        .cloned()
        .ok_or_else(|| {
            let known = plate_set_names();
            let hint = did_you_mean(name, known.iter().copied())
                .unwrap_or_else(|| "or list the circles of the plate in hand".to_owned());
            Fault::new(format!(
                "no set of dividing plates is called \"{name}\"; known are {}",
                known.join(", ")
            ))
            .advise(hint)
            .in_argument(0)
        })
}

/// Plates within bounds: some circles, none without holes or beyond all sense.
pub(super) fn check_plates(plates: &[Plate], argument: usize) -> Result<(), Fault> {
    let count: usize = plates.iter().map(|plate| plate.circles.len()).sum();
    if count == 0 || count > MOST_CIRCLES {
        return Err(Fault::new(format!(
            "the plates must have from 1 to {MOST_CIRCLES} circles together, found {count}"
        ))
        .advise("list the holes of each circle, such as [15, 16, 17, 18, 19, 20]")
        .in_argument(argument));
    }
    let wrong = plates
        .iter()
        .flat_map(|plate| &plate.circles)
        .find(|circle| !(1..=MOST_HOLES).contains(*circle));
    match wrong {
        None => Ok(()),
        Some(circle) => Err(Fault::new(format!(
            "a circle must have from 1 to {MOST_HOLES} holes, found {circle}"
        ))
        .in_argument(argument)),
    }
}

/// Returns each circle of the plates with the name of its plate, every size once a plate.
pub(super) fn circles(plates: &[Plate]) -> Vec<(&str, u32)> {
    let mut all: Vec<(&str, u32)> = Vec::new();
    for plate in plates {
        for circle in &plate.circles {
            if !all.contains(&(plate.name.as_str(), *circle)) {
                all.push((plate.name.as_str(), *circle));
            }
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_set_is_found_by_name_and_a_slip_is_mended() {
        let set = plate_set(" Three-Plate set").unwrap();
        assert_eq!(set.ratios, [40, 90]);
        assert_eq!(set.plates.len(), 3);
        assert_eq!(set.plates[1].circles, [21, 23, 27, 29, 31, 33]);
        let fault = plate_set("three plate set").unwrap_err();
        assert_eq!(
            fault.advice.as_deref(),
            Some("did you mean `three-plate set`?")
        );
    }

    #[test]
    fn plates_without_circles_or_holes_are_refused() {
        for plates in [
            vec![],
            vec![Plate::of_circles(&[])],
            vec![Plate::of_circles(&[15, 0])],
            vec![Plate::of_circles(&[u32::MAX])],
            vec![Plate::of_circles(&[20; 121])],
        ] {
            assert!(check_plates(&plates, 2).is_err());
        }
    }
}
