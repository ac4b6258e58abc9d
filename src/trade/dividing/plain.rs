//! Plain indexing: whole turns and holes on one circle.

use crate::diagnostic::Fault;
use crate::trade::dividing::plates::{check_plates, circles};
use crate::trade::dividing::{Movement, Plate, crank_turns, movement};

/// Returns the crank's movement for one division on every circle of the plates that gives a
/// number of divisions, in the order of the plates.
///
/// Arguments: `divisions` of the work (count); `ratio`, turns of the crank to
/// one turn of the work; `plates` with the holes of their circles.
///
/// # Errors
/// A fault where an argument is out of bounds, and where no circle gives the
/// divisions: it says what a circle would need.
///
/// Source: Machinery's Handbook, simple indexing: turns = ratio / divisions.
pub fn plain_indexing(
    divisions: u32,
    ratio: u32,
    plates: &[Plate],
) -> Result<Vec<Movement>, Fault> {
    check_plates(plates, 2)?;
    let turns = crank_turns(divisions, ratio, 1);
    let circles = circles(plates).into_iter();
    let found: Vec<Movement> = circles
        .filter_map(|circle| movement(turns, circle))
        .collect();
    if found.is_empty() {
        return Err(Fault::new(format!(
            "no circle of these plates gives {divisions} divisions at {ratio}:1: it takes one whose holes are a multiple of {}",
            turns.bottom
        ))
        .advise("try compound_indexing or differential_indexing")
        .in_argument(2));
    }
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_answer_and_no_other_is_found() {
        let plates = [Plate::of_circles(&[15, 16, 17, 18, 19, 20, 21, 23, 24, 49])];
        for ratio in [1, 5, 40, 60, 72, 90] {
            for divisions in 1..=400_u32 {
                // By brute force: step the crank hole by hole and see whether
                // `divisions` such steps make `ratio` turns.
                let wanted: Vec<(u32, u32)> = plates[0]
                    .circles
                    .iter()
                    .filter_map(|circle| {
                        (0..=circle * ratio)
                            .find(|holes| holes * divisions == circle * ratio)
                            .map(|holes| (*circle, holes))
                    })
                    .collect();
                let found: Vec<(u32, u32)> = plain_indexing(divisions, ratio, &plates)
                    .unwrap_or_default()
                    .iter()
                    .map(|row| {
                        let turns = u32::try_from(row.turns).unwrap();
                        (row.circle, turns * row.circle + row.holes)
                    })
                    .collect();
                assert_eq!(found, wanted, "{divisions} divisions at {ratio}:1");
            }
        }
    }

    #[test]
    fn what_no_circle_gives_says_what_would() {
        let plates = [Plate::of_circles(&[20])];
        let fault = plain_indexing(119, 40, &plates).unwrap_err();
        assert_eq!(fault.argument, Some(2), "{fault}");
        assert!(fault.message.contains("multiple of 119"), "{fault}");
    }
}
