//! Compound indexing: two movements on two circles of one plate, the crank
//! against the plate and the plate against the head.

use serde::Serialize;
use std::cmp::Ordering;

use uom::si::angle::degree;
use uom::si::f64::Angle;

use crate::diagnostic::Fault;
use crate::trade::dividing::plates::check_plates;
use crate::trade::dividing::{Plate, crank_turns};
use crate::trade::fraction::{Fraction, common_divisor, common_multiple};
use crate::trade::work;

/// The most divisions that may be indexed at once.
const MOST_AT_ONCE: u32 = 10;
/// The most rows that are returned.
const MOST_ROWS: usize = 100;
/// What two circles count, in operations, and a hole that is tried on one of them.
const PAIR: usize = 2_000;
const HOLE: usize = 40;

/// Two movements that together make one division, or several at once.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CompoundIndex {
    /// Name of the plate.
    pub plate: String,
    /// Holes in the circle of the first movement.
    pub first_circle: u32,
    /// Whole turns of the first movement.
    pub turns: u64,
    /// Holes of the first movement after the whole turns.
    pub first_holes: u32,
    /// Holes in the circle of the second movement.
    pub second_circle: u32,
    /// Holes of the second movement.
    pub second_holes: u32,
    /// Which way the second movement goes: `the same way` as the first, or `back`.
    pub direction: &'static str,
    /// Divisions passed at each indexing; 1 unless several give a smaller error.
    pub at_once: u32,
    /// How much further than wanted the work turns at each indexing; 0 where it is exact.
    pub error: Angle,
    /// The error that adds up over all the divisions.
    pub closing_error: Angle,
}

/// A pair of movements in whole holes, the first of them forwards.
#[derive(Clone, Copy)]
struct Pair {
    first: (u32, i128),
    second: (u32, i128),
    off: Fraction,
    at_once: u32,
}

impl Pair {
    /// Returns the crank turns of both movements together, whichever way they go.
    fn travel(&self) -> Fraction {
        let common = i128::from(self.first.0) * i128::from(self.second.0);
        Fraction::new(
            self.first.1 * i128::from(self.second.0)
                + self.second.1.abs() * i128::from(self.first.0),
            common,
        )
    }

    /// Orders movements: the smaller error first, then fewer divisions at once, shorter movements,
    /// smaller circles.
    fn order(&self, other: &Self) -> Ordering {
        self.off
            .size()
            .against(other.off.size())
            .then(self.at_once.cmp(&other.at_once))
            .then_with(|| self.travel().against(other.travel()))
            .then(self.first.cmp(&other.first))
            .then(self.second.cmp(&other.second))
    }
}

/// Returns the compound movements on any two circles of one plate that give a number
/// of divisions: all exact ones, shortest movements first; where there is none,
/// the nearest for each pair of circles, smallest error first.
///
/// At most 100 rows are returned. Without an exact answer, up to 10 divisions
/// at once are tried (any number that has no divisor in common with the
/// divisions reaches every place in turn); the error of each indexing and what
/// it adds up to over all the divisions are stated.
///
/// Arguments: `divisions` of the work (count); `ratio`, turns of the crank to
/// one turn of the work; `plates`, each with circles that can be used together.
///
/// # Errors
/// A fault where an argument is out of bounds or no plate has two circles.
///
/// Source: Machinery's Handbook, compound indexing: a/c1 + b/c2 = ratio /
/// divisions, b negative when the second movement goes back.
pub fn compound_indexing(
    divisions: u32,
    ratio: u32,
    plates: &[Plate],
) -> Result<Vec<CompoundIndex>, Fault> {
    check_plates(plates, 2)?;
    let mut found: Vec<(Pair, &str)> = Vec::new();
    let mut pairs = 0_u32;
    for exact in [true, false] {
        for plate in plates {
            let mut circles = plate.circles.clone();
            circles.sort_unstable();
            circles.dedup();
            for (index, small) in circles.iter().enumerate() {
                for large in circles.iter().skip(index + 1) {
                    pairs += 1;
                    if !work::count(PAIR) {
                        break;
                    }
                    let seen = if exact {
                        exact_pairs(divisions, ratio, *small, *large)
                    } else {
                        nearest_pair(divisions, ratio, *small, *large)
                            .into_iter()
                            .collect()
                    };
                    found.extend(seen.into_iter().map(|pair| (pair, plate.name.as_str())));
                    if found.len() > 20 * MOST_ROWS {
                        keep_best(&mut found);
                    }
                }
            }
        }
        if !found.is_empty() {
            break;
        }
    }
    if pairs == 0 {
        return Err(Fault::new(
            "compound indexing takes two circles on one plate, found no such plate",
        )
        .advise("list the circles plate by plate, or try differential_indexing")
        .in_argument(2));
    }
    keep_best(&mut found);
    Ok(found
        .into_iter()
        .map(|(pair, plate)| row(&pair, plate, divisions, ratio))
        .collect())
}

/// Sorts by merit and drops what is beyond the most rows.
fn keep_best(found: &mut Vec<(Pair, &str)>) {
    found.sort_by(|a, b| a.0.order(&b.0));
    found.truncate(MOST_ROWS);
}

/// Returns all pairs of movements on two circles that make exactly one division, the
/// second movement less than a turn.
fn exact_pairs(divisions: u32, ratio: u32, small: u32, large: u32) -> Vec<Pair> {
    let turns = crank_turns(divisions, ratio, 1);
    let common = common_multiple(i128::from(small), i128::from(large));
    let total = turns.times(common);
    if total.bottom != 1 {
        return Vec::new();
    }
    movements(total.top, small, large)
        .into_iter()
        .map(|(first, second)| Pair {
            first,
            second,
            off: Fraction::new(0, 1),
            at_once: 1,
        })
        .collect()
}

/// Returns every number of holes on one circle and on the other that add up to `total`
/// parts of a turn, of which their common multiple makes one turn.
///
/// The first movement is forwards and holds the whole turns; the second is less
/// than a turn either way, never nothing. Two movements that both go forwards
/// are listed once, the smaller circle first.
fn movements(total: i128, small: u32, large: u32) -> Vec<((u32, i128), (u32, i128))> {
    let common = common_multiple(i128::from(small), i128::from(large));
    let mut found = Vec::new();
    for (first, second, most) in [(small, large, i128::from(large)), (large, small, 0)] {
        let (first_part, second_part) = (common / i128::from(first), common / i128::from(second));
        // Answers lie this many holes of the second circle apart.
        let step = usize::try_from(first_part).unwrap_or(usize::MAX);
        let holes = 1 - i128::from(second)..most;
        if !work::count(PAIR + HOLE * step.min(second as usize)) {
            break;
        }
        let start = holes
            .clone()
            .take(step)
            .find(|holes| (total - holes * second_part) % first_part == 0);
        for holes in (start.unwrap_or(most)..most).step_by(step) {
            let other = (total - holes * second_part) / first_part;
            if holes != 0 && other > 0 {
                found.push(((first, other), (second, holes)));
            }
        }
    }
    found
}

/// Returns the pair of movements on two circles that comes nearest to a whole number
/// of divisions.
fn nearest_pair(divisions: u32, ratio: u32, small: u32, large: u32) -> Option<Pair> {
    let common = common_multiple(i128::from(small), i128::from(large));
    let mut best: Option<Pair> = None;
    for at_once in 1..=MOST_AT_ONCE.min(divisions) {
        if common_divisor(i128::from(at_once), i128::from(divisions)) != 1 {
            continue;
        }
        if !work::count(PAIR) {
            break;
        }
        let wanted = crank_turns(divisions, ratio, at_once);
        let exact = wanted.times(common);
        let total = (2 * exact.top + exact.bottom).div_euclid(2 * exact.bottom);
        let off = Fraction::new(total, common).minus(wanted);
        let not_better = best.is_some_and(|best| best.off.size().against(off.size()).is_le());
        if total <= 0 || not_better {
            continue;
        }
        let shortest = movements(total, small, large)
            .into_iter()
            .map(|(first, second)| Pair {
                first,
                second,
                off,
                at_once,
            })
            .min_by(Pair::order);
        best = shortest.or(best);
    }
    best
}

/// Returns a pair of movements as a row of the table.
fn row(pair: &Pair, plate: &str, divisions: u32, ratio: u32) -> CompoundIndex {
    let whole = i128::from(pair.first.0);
    let error = pair.off.to_f64() * 360.0 / f64::from(ratio);
    CompoundIndex {
        plate: plate.to_owned(),
        first_circle: pair.first.0,
        turns: u64::try_from(pair.first.1 / whole).unwrap_or(u64::MAX),
        first_holes: u32::try_from(pair.first.1 % whole).unwrap_or(u32::MAX),
        second_circle: pair.second.0,
        second_holes: u32::try_from(pair.second.1.abs()).unwrap_or(u32::MAX),
        direction: if pair.second.1 > 0 {
            "the same way"
        } else {
            "back"
        },
        at_once: pair.at_once,
        error: Angle::new::<degree>(error),
        closing_error: Angle::new::<degree>(error * f64::from(divisions)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Returns the rows of one pair of circles, by brute force over both movements.
    fn by_brute_force(divisions: u32, ratio: u32, small: u32, large: u32) -> Vec<[i64; 4]> {
        let (small, large) = (i64::from(small), i64::from(large));
        let (divisions, ratio) = (i64::from(divisions), i64::from(ratio));
        let mut found = Vec::new();
        for (first, second, both) in [(small, large, true), (large, small, false)] {
            for a in 1..=first * (ratio + 1) {
                for b in 1 - second..second {
                    let exact = (a * second + b * first) * divisions == ratio * first * second;
                    if exact && b != 0 && (both || b < 0) {
                        found.push([first, a, second, b]);
                    }
                }
            }
        }
        found.sort_unstable();
        found
    }

    #[test]
    fn every_exact_answer_and_no_other_is_found() {
        for (small, large) in [(15, 17), (21, 33), (12, 18), (5, 20), (23, 29)] {
            let plates = [Plate::of_circles(&[small, large])];
            for ratio in [4, 5] {
                for divisions in 1..=120 {
                    let wanted = by_brute_force(divisions, ratio, small, large);
                    let rows = compound_indexing(divisions, ratio, &plates).unwrap();
                    let mut found: Vec<[i64; 4]> = rows
                        .iter()
                        .filter(|row| row.error.value == 0.0)
                        .map(|row| {
                            let first = i64::from(row.first_circle);
                            let turns = i64::try_from(row.turns).unwrap();
                            let second = i64::from(row.second_holes);
                            [
                                first,
                                turns * first + i64::from(row.first_holes),
                                i64::from(row.second_circle),
                                if row.direction == "the same way" {
                                    second
                                } else {
                                    -second
                                },
                            ]
                        })
                        .collect();
                    found.sort_unstable();
                    assert_eq!(
                        found, wanted,
                        "{divisions} at {ratio}:1 on {small}, {large}"
                    );
                }
            }
        }
    }

    #[test]
    fn no_pair_of_movements_comes_nearer() {
        let circles = [15_u32, 16, 17, 18, 19, 20];
        let plates = [Plate::of_circles(&circles)];
        for divisions in [53_u32, 59, 61, 83, 106, 127, 131, 211] {
            let best = &compound_indexing(divisions, 40, &plates).unwrap()[0];
            let mut nearest = f64::INFINITY;
            for (index, first) in circles.iter().enumerate() {
                for second in circles.iter().skip(index + 1) {
                    for at_once in
                        (1..=10_u32).filter(|n| (2..=10).all(|d| n % d != 0 || divisions % d != 0))
                    {
                        let wanted = 40.0 * f64::from(at_once) / f64::from(divisions);
                        for a in 0..=40 * first {
                            let made = f64::from(a) / f64::from(*first);
                            let holes = ((wanted - made) * f64::from(*second)).round();
                            let off = (made + holes / f64::from(*second) - wanted).abs();
                            nearest = nearest.min(off);
                        }
                    }
                }
            }
            let error = best.error.get::<degree>().abs() * 40.0 / 360.0;
            assert!((error - nearest).abs() < 1e-12, "{divisions}: {best:?}");
        }
    }

    #[test]
    fn circles_on_two_plates_are_not_compounded() {
        let plates = [Plate::of_circles(&[23]), Plate::of_circles(&[33])];
        let fault = compound_indexing(69, 40, &plates).unwrap_err();
        assert_eq!(fault.argument, Some(2), "{fault}");
    }
}
