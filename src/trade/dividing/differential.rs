//! Differential indexing: the plate is geared to the spindle and turns a
//! little with or against the crank.

use crate::diagnostic::Fault;
use crate::trade::change_gears::{check_gears, exact_train};
use crate::trade::dividing::plates::{check_plates, circles};
use crate::trade::dividing::{MOST_DIVISIONS, Movement, Plate, crank_turns, movement};
use crate::trade::fraction::Fraction;
use crate::trade::work;
use serde::Serialize;

/// The most rows that are returned.
const MOST_ROWS: usize = 40;

/// A way to index differentially.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct DifferentialIndex {
    /// The number of divisions that the crank is turned for.
    pub assumed: u32,
    /// The movement of the crank for one division.
    #[serde(flatten)]
    pub crank: Movement,
    /// Driving gears, the one on the spindle first.
    pub drivers: Vec<u32>,
    /// Driven gears, the one on the worm (plate) side last.
    pub driven: Vec<u32>,
    /// Which way the plate must turn: `with the crank` or `against the crank`.
    pub plate_turns: &'static str,
    /// Idlers that the usual head needs for that direction; check it by trial.
    pub idlers: u32,
}

/// Ways to index a number of divisions with the plate geared to the spindle:
/// fewest gears first, then the assumed number nearest to the wanted one.
///
/// All assumed numbers that a circle of the plates can index, and all trains of
/// one and two pairs, are searched; each assumed number is listed once, with
/// its smallest circle and its simplest train. At most 40 rows are returned.
/// The direction is certain; the count of idlers is that of the usual head
/// (simple train: one with the crank, two against it; two pairs: none with the
/// crank, one against it), so turn the crank and look before cutting.
///
/// Arguments: `divisions` of the work (count); `ratio`, turns of the crank to
/// one turn of the work; `plates` with the holes of their circles; `gears`, the
/// teeth of every gear owned, repeats included.
///
/// # Errors
/// A fault where an argument is out of bounds or where nothing fits.
///
/// Source: Machinery's Handbook, differential indexing: gear ratio = ratio x
/// (assumed - divisions) / assumed; the plate turns with the crank where the
/// assumed number is the greater.
pub fn differential_indexing(
    divisions: u32,
    ratio: u32,
    plates: &[Plate],
    gears: &[u32],
) -> Result<Vec<DifferentialIndex>, Fault> {
    check_plates(plates, 2)?;
    check_gears(gears, 3)?;
    let mut rows: Vec<DifferentialIndex> = Vec::new();
    let candidates = assumed_numbers(divisions, ratio, plates);
    for (assumed, crank) in candidates {
        let off = i128::from(assumed) - i128::from(divisions);
        let gearing = Fraction::new(i128::from(ratio) * off, i128::from(assumed));
        if let Some((drivers, driven)) = exact_train(gearing.size(), gears, 2) {
            let with_the_crank = off > 0;
            rows.push(DifferentialIndex {
                assumed,
                crank,
                idlers: u32::from(drivers.len() == 1) + u32::from(!with_the_crank),
                drivers,
                driven,
                plate_turns: if with_the_crank {
                    "with the crank"
                } else {
                    "against the crank"
                },
            });
        }
    }
    if rows.is_empty() {
        return Err(Fault::new(format!(
            "no assumed number near {divisions} can be indexed with these plates and geared with these gears"
        ))
        .advise("add gears or plates, or try compound_indexing")
        .in_argument(3));
    }
    rows.sort_by_key(|row| {
        (
            row.drivers.len(),
            row.assumed.abs_diff(divisions),
            row.assumed,
        )
    });
    rows.truncate(MOST_ROWS);
    Ok(rows)
}

/// Returns every number other than the divisions that plain indexing gives and whose
/// gearing stays within 1:10 to 10:1, with the smallest circle for each.
fn assumed_numbers(divisions: u32, ratio: u32, plates: &[Plate]) -> Vec<(u32, Movement)> {
    let mut by_size = circles(plates);
    by_size.sort_by_key(|(_, circle)| *circle);
    let mut found: Vec<(u32, Movement)> = Vec::new();
    for (plate, circle) in by_size {
        // What a circle indexes divides ratio times circle.
        let most = u64::from(ratio) * u64::from(circle);
        if !work::count(usize::try_from(most.isqrt()).unwrap_or(usize::MAX)) {
            break;
        }
        for small in 1..=most.isqrt() {
            if most % small != 0 {
                continue;
            }
            for number in [small, most / small] {
                let Ok(assumed) = u32::try_from(number) else {
                    continue;
                };
                let off = u64::from(assumed.abs_diff(divisions)) * u64::from(ratio);
                let size = u64::from(assumed);
                let geared = off > 0 && off <= 10 * size && 10 * off >= size;
                if !geared
                    || assumed > 2 * MOST_DIVISIONS
                    || found.iter().any(|row| row.0 == assumed)
                {
                    continue;
                }
                let crank = movement(crank_turns(assumed, ratio, 1), (plate, circle));
                found.extend(crank.map(|crank| (assumed, crank)));
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    const GEARS: [u32; 12] = [24, 24, 28, 32, 40, 44, 48, 56, 64, 72, 86, 100];

    /// Returns whether the crank and the geared plate together make `divisions` equal
    /// parts: crank against plate, plus the plate's own turning, for each part.
    fn divides(row: &DifferentialIndex, divisions: u32, ratio: u32) -> bool {
        let product = |wheels: &[u32]| wheels.iter().map(|w| i128::from(*w)).product::<i128>();
        let sign = if row.plate_turns == "with the crank" {
            1
        } else {
            -1
        };
        let gearing = Fraction::new(sign * product(&row.drivers), product(&row.driven));
        // One turn of the work: `ratio` crank turns, of which the plate's own
        // `gearing` turns go off, make `divisions` movements against the plate.
        let against_plate = Fraction::new(i128::from(ratio), 1).minus(gearing);
        let circle = i128::from(row.crank.circle);
        let moved = i128::from(row.crank.turns) * circle + i128::from(row.crank.holes);
        against_plate.times(circle) == Fraction::new(moved * i128::from(divisions), 1)
    }

    #[test]
    fn each_row_divides_and_none_is_missed() {
        let plates = [
            Plate::of_circles(&[15, 16, 17, 18, 19, 20]),
            Plate::of_circles(&[21, 23, 27, 29, 31, 33]),
        ];
        for divisions in [
            51, 53, 57, 59, 61, 63, 67, 71, 83, 97, 101, 119, 127, 131, 139,
        ] {
            let rows = differential_indexing(divisions, 40, &plates, &GEARS).unwrap();
            for row in &rows {
                assert!(divides(row, divisions, 40), "{divisions}: {row:?}");
                assert!(
                    row.drivers.iter().all(|wheel| !row.driven.contains(wheel))
                        || row.drivers == [24] && row.driven == [24],
                    "{row:?}"
                );
            }
            // By brute force: the assumed numbers that one pair of gears reaches.
            let mut simple: Vec<u32> = (1..=400_u32)
                .filter(|assumed| {
                    let circle = plates.iter().flat_map(|plate| &plate.circles);
                    circle
                        .into_iter()
                        .any(|circle| (40 * circle) % assumed == 0)
                })
                .filter(|assumed| {
                    let off = i64::from(40 * assumed.abs_diff(divisions));
                    off > 0
                        && GEARS.iter().enumerate().any(|(i, a)| {
                            GEARS.iter().enumerate().any(|(j, b)| {
                                i != j && off * i64::from(*b) == i64::from(*assumed) * i64::from(*a)
                            })
                        })
                })
                .collect();
            let mut found: Vec<u32> = rows
                .iter()
                .filter(|row| row.drivers.len() == 1)
                .map(|row| row.assumed)
                .collect();
            simple.sort_unstable();
            found.sort_unstable();
            assert_eq!(found, simple, "{divisions}");
        }
    }

    #[test]
    fn what_is_out_of_bounds_is_named() {
        let plates = [Plate::of_circles(&[20])];
        for (divisions, ratio, gears, argument) in [
            (97, 40, &[][..], 3),
            (97, 40, &[0, 24][..], 3),
            (97, 40, &[u32::MAX, 24][..], 3),
            (97, 40, &[24, 28][..], 3),
        ] {
            let fault = differential_indexing(divisions, ratio, &plates, gears).unwrap_err();
            assert_eq!(fault.argument, Some(argument), "{fault}");
        }
    }
}
