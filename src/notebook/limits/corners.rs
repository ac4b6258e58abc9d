//! The worst corners: every source at one of its limits.

use std::collections::BTreeMap;
use std::rc::Rc;

use foldhash::HashMap;

use super::perturbation::{Parts, Perturbation};
use super::sensitivity::Path;
use crate::language::Scatter;
use crate::notebook::order::Group;

/// Up to so many sources all corners are computed.
const ALL_CORNERS: usize = 6;
/// In so many corners, taken by chance, a source that did nothing is tried again.
const CONTEXTS: usize = 16;
/// How far inward from a worst corner each source is tried.
const INWARD: [f64; 2] = [1.0 / 512.0, 0.5];

/// How far a target reaches, and where.
#[derive(Clone, Debug)]
pub struct Extremes {
    /// The least value at a corner.
    pub low: f64,
    /// Where that is.
    pub low_at: Rc<Parts>,
    /// The greatest value at a corner.
    pub high: f64,
    /// Where that is.
    pub high_at: Rc<Parts>,
    /// Whether it has no value somewhere.
    pub gap: bool,
    /// The least and the greatest value seen anywhere.
    pub seen: (f64, f64),
}

impl Extremes {
    fn new() -> Self {
        Self {
            low: f64::INFINITY,
            low_at: Rc::from([]),
            high: f64::NEG_INFINITY,
            high_at: Rc::from([]),
            gap: false,
            seen: (f64::INFINITY, f64::NEG_INFINITY),
        }
    }

    /// Takes a value at a corner.
    fn corner(&mut self, value: Option<f64>, at: &Rc<Parts>) {
        self.inside(value);
        let Some(value) = value else { return };
        if value < self.low {
            self.low = value;
            self.low_at = at.clone();
        }
        if value > self.high {
            self.high = value;
            self.high_at = at.clone();
        }
    }

    /// Takes a value anywhere between the limits.
    pub fn inside(&mut self, value: Option<f64>) {
        match value {
            Some(value) => self.seen = (self.seen.0.min(value), self.seen.1.max(value)),
            None => self.gap = true,
        }
    }
}

/// Targets that depend on the same sources, with what is computed for them.
pub struct Set {
    /// The numbers of the sources.
    pub sources: Vec<usize>,
    /// Their slots.
    pub slots: Vec<u32>,
    /// What is computed when the sources move.
    pub groups: Vec<Group>,
}

/// The slots put together by the sources they depend on.
pub fn sets(mover: &Perturbation, upstream: BTreeMap<u32, Vec<usize>>) -> Vec<Set> {
    let mut together: BTreeMap<Vec<usize>, Vec<u32>> = BTreeMap::new();
    for (slot, sources) in upstream {
        together.entry(sources).or_default().push(slot);
    }
    let set = |(sources, slots): (Vec<usize>, Vec<u32>)| Set {
        groups: mover.between(&sources, &slots),
        sources,
        slots,
    };
    together.into_iter().map(set).collect()
}

/// Computes the worst corners of every target.
pub fn reaches(mover: &mut Perturbation, sets: &[Set], paths: &[Vec<Path>]) -> Vec<Extremes> {
    let mut reaches = vec![Extremes::new(); mover.targets.len()];
    for set in sets {
        if set.sources.len() <= ALL_CORNERS {
            for corner in 0..1_u32 << set.sources.len() {
                let parts = set.sources.iter().enumerate();
                let parts = parts.map(|(bit, source)| (*source, f64::from(corner >> bit & 1)));
                take_corner(mover, set, parts.collect(), &mut reaches);
            }
        } else {
            worst_corners(mover, set, paths, &mut reaches);
        }
        inward(mover, set, &mut reaches);
    }
    reaches
}

fn take_corner(mover: &mut Perturbation, set: &Set, parts: Rc<Parts>, reaches: &mut [Extremes]) {
    mover.at(&set.groups, &set.slots, &parts, |target, value| {
        if let Some(reach) = reaches.get_mut(target) {
            reach.corner(value, &parts);
        }
    });
}

/// With many sources: the two corners that the directions name, for all targets with
/// the same directions at once.
fn worst_corners(
    mover: &mut Perturbation,
    set: &Set,
    paths: &[Vec<Path>],
    reaches: &mut [Extremes],
) {
    let mut directions: BTreeMap<usize, Vec<i8>> = BTreeMap::new();
    for slot in &set.slots {
        for target in mover.targets_of(*slot) {
            let noise = mover.targets.get(target).map_or(0.0, |target| target.noise);
            let paths = paths.get(target).map_or(&[][..], Vec::as_slice);
            directions.insert(
                target,
                paths.iter().map(|path| path.direction(noise)).collect(),
            );
        }
    }
    awaken(mover, set, &mut directions, reaches);
    let mut alike: BTreeMap<Vec<i8>, ()> = BTreeMap::new();
    for signs in directions.into_values() {
        alike.insert(signs, ());
    }
    for signs in alike.into_keys() {
        for side in [-1_i8, 1] {
            let parts = set.sources.iter().zip(&signs);
            let place = |(source, sign): (&usize, &i8)| match *sign {
                // What does nothing anywhere stays where it is aimed.
                0 => None,
                sign if sign == side => Some((*source, 1.0)),
                _ => Some((*source, 0.0)),
            };
            let parts: Rc<Parts> = parts.filter_map(place).collect();
            take_corner(mover, set, parts, reaches);
        }
    }
}

/// A source may do nothing where the others are aimed and still set a worst corner (the
/// idle side of a `max`): its direction is looked for in other corners.
fn awaken(
    mover: &mut Perturbation,
    set: &Set,
    directions: &mut BTreeMap<usize, Vec<i8>>,
    reaches: &mut [Extremes],
) {
    let idle: Vec<usize> = (0..set.sources.len())
        .filter(|index| {
            directions
                .values()
                .any(|signs| signs.get(*index) == Some(&0))
        })
        .collect();
    if idle.is_empty() {
        return;
    }
    let mut scatter = Scatter::new(0);
    for _ in 0..CONTEXTS {
        let corner = set.sources.iter().map(|source| (*source, scatter.side()));
        let corner: Vec<(usize, f64)> = corner.collect();
        let mut here: HashMap<usize, f64> = HashMap::default();
        let at: Rc<Parts> = corner.as_slice().into();
        mover.at(&set.groups, &set.slots, &corner, |target, value| {
            here.extend(value.map(|value| (target, value)));
            if let Some(reach) = reaches.get_mut(target) {
                reach.corner(value, &at);
            }
        });
        for index in &idle {
            let mut flipped = corner.clone();
            let Some((_, part)) = flipped.get_mut(*index) else {
                continue;
            };
            *part = 1.0 - *part;
            let upward = *part > 0.5;
            let mut there: Vec<(usize, f64)> = Vec::new();
            mover.at(&set.groups, &set.slots, &flipped, |target, value| {
                there.extend(value.map(|value| (target, value)));
            });
            for (target, value) in there {
                let noise = mover.targets.get(target).map_or(0.0, |target| target.noise);
                let change = here.get(&target).map_or(0.0, |here| value - here);
                let sign = directions
                    .get_mut(&target)
                    .and_then(|signs| signs.get_mut(*index));
                if let Some(sign) = sign.filter(|sign| **sign == 0)
                    && change.abs() > noise
                {
                    *sign = if (change > 0.0) == upward { 1 } else { -1 };
                }
            }
        }
    }
}

/// Steps inward from the worst corners: where one leads further out, the corner is
/// no extreme.
fn inward(mover: &mut Perturbation, set: &Set, reaches: &mut [Extremes]) {
    type Corner = (Rc<Parts>, Vec<u32>);
    let mut corners: BTreeMap<Vec<(usize, u64)>, Corner> = BTreeMap::new();
    for slot in &set.slots {
        for target in mover.targets_of(*slot) {
            if let Some(reach) = reaches.get(target) {
                for at in [&reach.low_at, &reach.high_at] {
                    let key = at.iter().map(|(source, part)| (*source, part.to_bits()));
                    let corner = corners.entry(key.collect());
                    let (_, slots) = corner.or_insert_with(|| (at.clone(), Vec::new()));
                    if slots.last() != Some(slot) {
                        slots.push(*slot);
                    }
                }
            }
        }
    }
    for (corner, slots) in corners.into_values() {
        // Only what has its extreme here is looked at.
        let groups = mover.between(&set.sources, &slots);
        for index in 0..corner.len() {
            for step in INWARD {
                let mut parts: Vec<(usize, f64)> = corner.to_vec();
                if let Some((_, part)) = parts.get_mut(index) {
                    *part = (*part - step).abs();
                }
                mover.at(&groups, &slots, &parts, |target, value| {
                    if let Some(reach) = reaches.get_mut(target) {
                        reach.inside(value);
                    }
                });
            }
        }
    }
}

/// Looks at so many points inside, all sources moving at once.
pub fn inside(mover: &mut Perturbation, sets: &[Set], points: usize, reaches: &mut [Extremes]) {
    let sources: Vec<usize> = (0..mover.sources.len()).collect();
    let slots: Vec<u32> = sets
        .iter()
        .flat_map(|set| set.slots.iter().copied())
        .collect();
    let groups = mover.between(&sources, &slots);
    let mut scatter = Scatter::new(1);
    for _ in 0..points {
        let parts: Vec<(usize, f64)> = sources
            .iter()
            .map(|source| (*source, scatter.part()))
            .collect();
        mover.at(&groups, &slots, &parts, |target, value| {
            if let Some(reach) = reaches.get_mut(target) {
                reach.inside(value);
            }
        });
    }
}
