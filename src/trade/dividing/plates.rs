//! Hole plates: those the user has, and the sets in common use.

use serde::{Deserialize, Serialize};

use crate::diagnostic::Fault;
use crate::trade::table::table;
use crate::trade::words::{each_once, unknown};

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

#[derive(Deserialize)]
struct Row {
    set: String,
    plate: String,
    holes: u32,
}

table!(TABLE: Row = "indexing_plates");

/// Returns the names of the plate sets in common use.
#[must_use]
pub fn plate_set_names() -> Vec<&'static str> {
    each_once(TABLE.rows.iter().map(|row| row.set.as_str()))
}

/// Returns the plates of a set in common use, by its name.
///
/// # Errors
/// A fault that lists the known sets where the name is none of them.
///
/// Source: library/tables/indexing_plates.csv; common practice, no source.
pub fn plate_set(name: &str) -> Result<Vec<Plate>, Fault> {
    let wanted = name.trim().to_lowercase();
    let mut plates: Vec<Plate> = Vec::new();
    for row in TABLE
        .rows
        .iter()
        .filter(|row| row.set.to_lowercase() == wanted)
    {
        match plates.iter_mut().find(|plate| plate.name == row.plate) {
            // A set stands in the table once for each ratio that it is met with.
            Some(plate) if plate.circles.contains(&row.holes) => {}
            Some(plate) => plate.circles.push(row.holes),
            None => plates.push(Plate {
                name: row.plate.clone(),
                circles: vec![row.holes],
            }),
        }
    }
    if plates.is_empty() {
        let (asked, known) = (("set of dividing plates", name), plate_set_names());
        let otherwise = "name one of these, or list the circles of the plate in hand";
        return Err(unknown(asked, "the library", &known, [], otherwise).in_argument(0));
    }
    Ok(plates)
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
        let plates = plate_set(" Three-Plate set").unwrap();
        assert_eq!(plates.len(), 3);
        assert_eq!(plates[1].circles, [21, 23, 27, 29, 31, 33]);
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
