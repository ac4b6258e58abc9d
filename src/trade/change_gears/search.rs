//! The search: every choice of drivers against every choice of driven gears,
//! met in the middle on their sorted products.

use std::cmp::Ordering;

use crate::trade::change_gears::mesh;
use crate::trade::fraction::Fraction;
use crate::trade::work;

/// What making a choice of gears and looking for its mates counts, in operations.
const CHOICE: usize = 60;
/// The same for putting one gear beside others.
const GEAR: usize = 16;
/// The same for looking at one train.
const TRAIN: usize = 100;

/// The gears owned: each size with how many there are, smallest first.
pub(super) struct Wheels {
    sizes: Vec<(u32, usize)>,
}

/// A choice of gears for one side of the train, smallest first.
struct Choice {
    wheels: Vec<u32>,
    product: u64,
}

/// A train in the order in which it meshes.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Found {
    pub(super) drivers: Vec<u32>,
    pub(super) driven: Vec<u32>,
    /// Error as a part of the ratio wanted.
    pub(super) error: f64,
    teeth: u32,
}

impl Found {
    /// Orders trains: the smallest error first, then fewest teeth, then by the gears themselves.
    fn order(&self, other: &Self) -> Ordering {
        self.error
            .abs()
            .total_cmp(&other.error.abs())
            .then(self.teeth.cmp(&other.teeth))
            .then_with(|| self.drivers.cmp(&other.drivers))
            .then_with(|| self.driven.cmp(&other.driven))
    }
}

impl Wheels {
    /// Returns the gears owned, from their teeth with repeats.
    pub(super) fn new(gears: &[u32]) -> Self {
        let mut teeth = gears.to_vec();
        teeth.sort_unstable();
        let mut sizes: Vec<(u32, usize)> = Vec::new();
        for size in teeth {
            match sizes.last_mut() {
                Some((last, count)) if *last == size => *count += 1,
                _ => sizes.push((size, 1)),
            }
        }
        Self { sizes }
    }

    /// Returns whether two gears of a size are owned.
    fn two_of(&self, teeth: u32) -> bool {
        self.sizes
            .iter()
            .any(|(size, count)| *size == teeth && *count > 1)
    }

    /// Returns every choice of `count` gears, by rising product.
    fn choices(&self, count: usize) -> Vec<Choice> {
        let mut all = vec![(Vec::new(), 0, 1_u64)];
        for _ in 0..count {
            all = all
                .iter()
                .flat_map(|(wheels, from, product): &(Vec<u32>, usize, u64)| {
                    self.sizes
                        .iter()
                        .enumerate()
                        .skip(*from)
                        .filter(|(_, (size, owned))| {
                            wheels.iter().filter(|wheel| *wheel == size).count() < *owned
                        })
                        .map(move |(index, (size, _))| {
                            let mut more = wheels.clone();
                            more.push(*size);
                            (more, index, product * u64::from(*size))
                        })
                })
                .collect();
        }
        let mut choices: Vec<Choice> = all
            .into_iter()
            .map(|(wheels, _, product)| Choice { wheels, product })
            .collect();
        choices.sort_by_key(|choice| choice.product);
        choices
    }
}

/// Returns the `most` best trains of `count` pairs whose ratio is within an error of
/// the one wanted, best first.
pub(super) fn nearest(
    target: Fraction,
    wheels: &Wheels,
    count: usize,
    within: f64,
    most: usize,
) -> Vec<Found> {
    // Each gear is put beside each, whatever comes of it.
    if !work::count(GEAR * wheels.sizes.len().pow(u32::try_from(count).unwrap_or(1))) {
        return Vec::new();
    }
    let choices = wheels.choices(count);
    let wanted = target.to_f64();
    let mut kept: Vec<Found> = Vec::new();
    // A little slack for the floating-point window; the error itself is exact.
    let mut window = within;
    for drivers in &choices {
        let middle = drivers.product as f64 / wanted;
        let low = middle / (1.0 + window) * (1.0 - 1e-12);
        let high = middle / (1.0 - window) * (1.0 + 1e-12);
        let start = choices.partition_point(|choice| (choice.product as f64) < low);
        if !work::count(CHOICE) {
            break;
        }
        for driven in choices
            .iter()
            .skip(start)
            .take_while(|choice| choice.product as f64 <= high)
        {
            if !work::count(TRAIN) {
                break;
            }
            let error = error(target, drivers.product, driven.product);
            if error.abs() > window {
                continue;
            }
            let alike = drivers
                .wheels
                .iter()
                .any(|wheel| driven.wheels.contains(wheel));
            let pair_alike =
                count == 1 && alike && drivers.wheels.iter().all(|w| wheels.two_of(*w));
            if alike && !pair_alike {
                continue;
            }
            let Some((first, second)) = mesh::arranged(&drivers.wheels, &driven.wheels) else {
                continue;
            };
            let found = Found {
                teeth: first.iter().chain(&second).sum(),
                drivers: first,
                driven: second,
                error,
            };
            let place = kept.partition_point(|other| other.order(&found).is_lt());
            if place < most {
                kept.insert(place, found);
                kept.truncate(most);
            }
            if kept.len() == most {
                window = kept.last().map_or(window, |worst| worst.error.abs());
            }
        }
    }
    kept
}

/// Returns the error of drivers / driven as a part of the ratio wanted, exactly 0 where
/// they are equal.
fn error(target: Fraction, drivers: u64, driven: u64) -> f64 {
    let got = Fraction::new(i128::from(drivers), i128::from(driven));
    Fraction::new(
        got.top * target.bottom - got.bottom * target.top,
        got.bottom * target.top,
    )
    .to_f64()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Returns all orders of choosing `count` gears by their places, as a brute force.
    fn picks(gears: &[u32], count: usize) -> Vec<Vec<usize>> {
        let mut all: Vec<Vec<usize>> = vec![vec![]];
        for _ in 0..count {
            all = all
                .iter()
                .flat_map(|pick| {
                    (0..gears.len())
                        .filter(|place| !pick.contains(place))
                        .map(|place| [pick.as_slice(), &[place]].concat())
                        .collect::<Vec<_>>()
                })
                .collect();
        }
        all
    }

    /// A choice of gears on both sides, each side sorted, with its error in
    /// units of 1e-15.
    type Key = (i64, Vec<u32>, Vec<u32>);

    fn brute_force(gears: &[u32], ratio: f64, count: usize, within: f64) -> Vec<Key> {
        let mut found: Vec<Key> = Vec::new();
        for pick in picks(gears, 2 * count) {
            let mut sides: Vec<Vec<u32>> = pick
                .chunks(count)
                .map(|side| side.iter().map(|place| gears[*place]).collect())
                .collect();
            let product = |side: &[u32]| side.iter().map(|t| f64::from(*t)).product::<f64>();
            let error = product(&sides[0]) / product(&sides[1]) / ratio - 1.0;
            // a + b >= c + 15 and c + d >= b + 15 along the train.
            let (d, v) = (&sides[0], &sides[1]);
            let meshes = (1..count)
                .all(|i| d[i - 1] + v[i - 1] >= d[i] + 15 && d[i] + v[i] >= v[i - 1] + 15);
            let alike = count > 1 && sides[0].iter().any(|wheel| sides[1].contains(wheel));
            if error.abs() > within + 1e-13 || !meshes || alike {
                continue;
            }
            sides[0].sort_unstable();
            sides[1].sort_unstable();
            let key = (
                (error.abs() * 1e12).round() as i64,
                sides[0].clone(),
                sides[1].clone(),
            );
            if !found.contains(&key) {
                found.push(key);
            }
        }
        found.sort();
        found
    }

    #[test]
    fn nothing_better_exists() {
        let sets: [&[u32]; 3] = [
            &[20, 20, 30, 35, 40, 50, 63, 65, 127],
            &[20, 25, 30, 45, 50, 60, 75, 80],
            &[24, 24, 32, 40, 44, 56, 64, 100],
        ];
        for gears in sets {
            for (ratio, within) in [
                (127.0 / 300.0, 0.02),
                (1.0, 0.001),
                (0.5, 0.03),
                (std::f64::consts::PI / 3.0, 0.05),
                (120.0 / 127.0, 0.01),
                (0.07, 0.05),
            ] {
                let target = Fraction::near(ratio).unwrap();
                for count in 1..=3 {
                    let wanted = brute_force(gears, ratio, count, within);
                    let found = nearest(target, &Wheels::new(gears), count, within, usize::MAX);
                    let mut keys: Vec<Key> = found
                        .iter()
                        .map(|found| {
                            let (mut a, mut b) = (found.drivers.clone(), found.driven.clone());
                            a.sort_unstable();
                            b.sort_unstable();
                            ((found.error.abs() * 1e12).round() as i64, a, b)
                        })
                        .collect();
                    assert!(found.is_sorted_by(|a, b| a.order(b).is_lt()), "{found:?}");
                    // The best few must be the first few of all, by error.
                    let few = nearest(target, &Wheels::new(gears), count, within, 5);
                    assert_eq!(few.as_slice(), &found[..few.len()]);
                    assert_eq!(few.len(), found.len().min(5));
                    keys.sort();
                    assert_eq!(keys, wanted, "{gears:?} {ratio} {count}");
                }
            }
        }
    }
}
