//! The least and the greatest value of a slice while its sizes lie within a box,
//! with a proof.
//!
//! A size with which the value only rises or only falls goes to its end. What is left
//! is bounded by its slopes about the middle, split where a formula folds or chooses,
//! and halved along the size that matters most, the box with the best bound first.
//! Where a fold divides a box, each side is bounded by its linear form, held against
//! the fold by a multiplier.
//!
//! Source: R. E. Moore, "Methods and Applications of Interval Analysis" (1979),
//! chapter 6; E. Hansen, "Global Optimization Using Interval Analysis" (1992),
//! chapters 9 and 14 (monotonicity, multipliers).

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use super::interval::Interval;
use super::scatter::Scatter;
use super::tape::{Lack, Side, Slice, Tape, Work};

mod boxes;
mod descent;
mod multiplier;

/// What is left open of a range counts as nothing from here on: this part of it.
pub const CLOSE: f64 = 1e-6;
/// So many scattered points are looked at before the search.
const POINTS: u64 = 16;

/// One end of a range.
#[derive(Clone, Debug, PartialEq)]
pub struct End {
    /// No value lies beyond this.
    pub bound: f64,
    /// The value furthest out that was found.
    pub found: f64,
    /// Where it was found: the part of the way between its limits of each source of
    /// the slice.
    pub at: Vec<f64>,
    /// Whether the bound is as good as the value found.
    pub proven: bool,
}

/// What a search came to.
#[derive(Clone, Debug, PartialEq)]
pub struct Range {
    /// The least value.
    pub low: End,
    /// The greatest value.
    pub high: End,
    /// Whether the value may jump somewhere.
    pub jumps: bool,
    /// A place where there is no value.
    pub gap: Option<Vec<f64>>,
    /// Whether there is a value everywhere, as far as is proven.
    pub whole: bool,
    /// Whether the value rises or falls only with every size.
    pub monotone: bool,
    /// The steps that it took.
    pub steps: u64,
}

/// What is known of a condition over a box.
#[derive(Clone, Debug, PartialEq)]
pub enum Decision {
    /// It holds everywhere.
    Holds,
    /// It fails here.
    Fails(Vec<f64>),
    /// Neither could be shown within the steps allowed.
    Open,
    /// It has no value here.
    Gap(Vec<f64>),
}

/// The memory of searches, by number of source: one after the other uses the same.
#[derive(Clone, Debug)]
pub struct Scratch {
    cube: Vec<Interval>,
    slopes: Vec<Interval>,
    others: Vec<Interval>,
    parts: Vec<f64>,
}

impl Scratch {
    /// Returns room for so many sources.
    #[must_use]
    pub fn of(sources: usize) -> Self {
        Self {
            cube: vec![Interval::new(0.0, 1.0); sources],
            slopes: vec![Interval::ZERO; sources],
            others: vec![Interval::ZERO; sources],
            parts: vec![0.0; sources],
        }
    }
}

/// A search over the box of a slice's sources.
pub struct Search<'a> {
    tape: &'a Tape,
    slice: &'a Slice,
    work: &'a mut Work,
    scratch: &'a mut Scratch,
    /// 1 where the least is looked for, -1 where the greatest.
    sign: f64,
    /// The steps that are left.
    left: u64,
    gap: Option<Vec<f64>>,
    jumps: bool,
    unsure: bool,
}

struct Node {
    bound: f64,
    cube: Vec<Interval>,
    sides: Vec<Side>,
}

impl PartialEq for Node {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Node {}

impl PartialOrd for Node {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Node {
    /// Orders boxes so that the one with the least bound comes first out of a heap.
    fn cmp(&self, other: &Self) -> Ordering {
        other.bound.total_cmp(&self.bound)
    }
}

/// What looking at a box brought.
enum Looked {
    /// Nothing in it lies below this.
    Closed(f64),
    /// It is split into these.
    Split(Vec<Node>),
    /// It can't be.
    Impossible,
}

/// The best point found.
#[derive(Clone, Debug)]
struct Best {
    value: f64,
    at: Vec<f64>,
}

impl<'a> Search<'a> {
    /// Returns a search in which so many steps may be taken.
    pub fn new(
        tape: &'a Tape,
        slice: &'a Slice,
        work: &'a mut Work,
        scratch: &'a mut Scratch,
        steps: u64,
    ) -> Self {
        Self {
            tape,
            slice,
            work,
            scratch,
            sign: 1.0,
            left: steps,
            gap: None,
            jumps: false,
            unsure: false,
        }
    }

    fn whole(&self) -> Vec<Interval> {
        vec![Interval::new(0.0, 1.0); self.slice.sources.len()]
    }

    fn spend(&mut self, times: usize) {
        let cost = (self.slice.steps.max(1) * times) as u64;
        self.left = self.left.saturating_sub(cost);
    }

    /// Returns the value at a point, counted so that the least is looked for.
    fn at(&mut self, at: &[f64]) -> Option<f64> {
        self.spend(1);
        for (source, part) in self.slice.sources.iter().zip(at) {
            if let Some(place) = self.scratch.parts.get_mut(*source) {
                *place = *part;
            }
        }
        let value = self.tape.at(self.slice, &self.scratch.parts, self.work);
        if value.is_none() && self.gap.is_none() {
            self.gap = Some(at.to_vec());
        }
        value.map(|value| self.sign * value)
    }

    /// Takes a point if it is better.
    fn consider(&mut self, at: &[f64], best: &mut Best) -> Option<f64> {
        let value = self.at(at)?;
        if value < best.value {
            best.value = value;
            best.at = at.to_vec();
        }
        Some(value)
    }

    /// Runs a box; gives what the value lies in, or nothing where no point of the box
    /// stands on those sides.
    fn run(&mut self, cube: &[Interval], sides: &[Side]) -> Option<(Interval, Lack)> {
        self.spend(1);
        for (source, part) in self.slice.sources.iter().zip(cube) {
            if let Some(place) = self.scratch.cube.get_mut(*source) {
                *place = *part;
            }
        }
        let possible = self
            .tape
            .forward(self.slice, &self.scratch.cube, sides, self.work);
        let value = self.work.result(self.slice);
        let value = if self.sign < 0.0 { -value } else { value };
        possible.then(|| (value, self.work.lack(self.slice)))
    }

    /// Returns how steeply the value goes with each source of the slice, in the box last run.
    fn go_back(&mut self) -> Vec<Interval> {
        self.spend(2);
        self.tape
            .backward(self.slice, self.work, &mut self.scratch.slopes);
        let of = |source: &usize| {
            let slope = self
                .scratch
                .slopes
                .get(*source)
                .copied()
                .unwrap_or(Interval::ALL);
            if self.sign < 0.0 { -slope } else { slope }
        };
        self.slice.sources.iter().map(of).collect()
    }

    /// Returns the range of the value.
    pub fn range(mut self, noise: f64) -> Range {
        let count = self.slice.sources.len();
        let allowed = self.left;
        let mut least = Best {
            value: f64::INFINITY,
            at: vec![0.5; count],
        };
        let mut most = least.clone();
        let whole = self.whole();
        let steady = self.steady(&whole);
        let jumps = self.work.jumps;
        let mut both = |search: &mut Self, at: &[f64]| {
            if let Some(value) = search.at(at) {
                if value < least.value {
                    least = Best {
                        value,
                        at: at.to_vec(),
                    };
                }
                if -value < most.value {
                    most = Best {
                        value: -value,
                        at: at.to_vec(),
                    };
                }
            }
        };
        if let Some(signs) = &steady {
            let corner = |up: bool| -> Vec<f64> {
                let part = |sign: &i8| f64::from(u8::from((*sign > 0) == up));
                signs.iter().map(part).collect()
            };
            both(&mut self, &corner(true));
            both(&mut self, &corner(false));
            let proven = self.gap.is_none();
            let end = |best: &Best, sign: f64| End {
                bound: sign * best.value,
                found: sign * best.value,
                at: best.at.clone(),
                proven,
            };
            return Range {
                low: end(&least, 1.0),
                high: end(&most, -1.0),
                jumps,
                gap: self.gap,
                whole: proven,
                monotone: true,
                steps: allowed - self.left,
            };
        }
        both(&mut self, &vec![0.5; count]);
        let mut scatter = Scatter::new(1);
        for _ in 0..POINTS {
            let at: Vec<f64> = (0..count).map(|_| scatter.part()).collect();
            both(&mut self, &at);
            let at: Vec<f64> = at.iter().map(|part| part.round()).collect();
            both(&mut self, &at);
        }
        let whole_gap = self.gap.is_some();
        let half = self.left / 2;
        let spare = self.left - half;
        self.left = half;
        let low = if whole_gap {
            None
        } else {
            Some(self.least(least.clone(), noise, most.value))
        };
        self.sign = -1.0;
        self.left += spare;
        let high = if whole_gap {
            None
        } else {
            Some(self.least(most.clone(), noise, least.value))
        };
        let end = |end: Option<(f64, Best)>, best: Best, sign: f64| match end {
            Some((bound, best)) => (sign * bound, sign * best.value, best.at),
            None => (sign * f64::NEG_INFINITY, sign * best.value, best.at),
        };
        let (low_bound, low_found, low_at) = end(low, least, 1.0);
        let (high_bound, high_found, high_at) = end(high, most, -1.0);
        let slack = (CLOSE * (high_found - low_found)).max(noise);
        let whole = self.gap.is_none() && !self.unsure;
        Range {
            low: End {
                bound: low_bound,
                found: low_found,
                at: low_at,
                proven: whole && low_found - low_bound <= slack,
            },
            high: End {
                bound: high_bound,
                found: high_found,
                at: high_at,
                proven: whole && high_bound - high_found <= slack,
            },
            jumps: jumps || self.jumps,
            gap: self.gap,
            whole,
            monotone: false,
            steps: allowed - self.left,
        }
    }

    /// Returns the direction in which the value goes with each source, where each has one all
    /// over the box and there is a value everywhere.
    fn steady(&mut self, cube: &[Interval]) -> Option<Vec<i8>> {
        let (_, lack) = self.run(cube, &[])?;
        if lack != Lack::Nowhere {
            return None;
        }
        let slopes = self.go_back();
        let sign = |slope: &Interval| {
            if slope.low >= 0.0 {
                Some(1)
            } else if slope.high <= 0.0 {
                Some(-1)
            } else {
                None
            }
        };
        slopes.iter().map(sign).collect()
    }

    /// Returns the least value: a bound and the best point found. `other` is the least of the
    /// value with its sign changed that was found.
    fn least(&mut self, mut best: Best, noise: f64, other: f64) -> (f64, Best) {
        if best.value.is_finite() {
            self.descend(&mut best);
        }
        let width = |best: &Best| (-other - best.value).max(0.0);
        let mut heap = BinaryHeap::from([Node {
            bound: f64::NEG_INFINITY,
            cube: self.whole(),
            sides: Vec::new(),
        }]);
        let mut floor = f64::INFINITY;
        let mut looked = 0_usize;
        while let Some(node) = heap.pop() {
            let slack = (CLOSE / 2.0 * width(&best)).max(noise);
            if node.bound >= best.value - slack {
                floor = floor.min(node.bound);
                break;
            }
            if self.left == 0 || self.gap.is_some() {
                floor = floor.min(node.bound);
                break;
            }
            looked += 1;
            match self.look(node, &mut best, looked, slack) {
                Looked::Closed(bound) => floor = floor.min(bound),
                Looked::Split(parts) => heap.extend(parts),
                Looked::Impossible => {}
            }
        }
        if let Some(first) = heap.peek() {
            floor = floor.min(first.bound);
        }
        (floor.min(best.value), best)
    }

    /// Returns whether a condition holds all over the box, with the steps that it took.
    pub fn decide(mut self) -> (Decision, u64) {
        let allowed = self.left;
        let found = self.decided();
        (found, allowed - self.left)
    }

    fn decided(&mut self) -> Decision {
        let mut best = Best {
            value: f64::INFINITY,
            at: Vec::new(),
        };
        let mut heap = BinaryHeap::from([Node {
            bound: f64::NEG_INFINITY,
            cube: self.whole(),
            sides: Vec::new(),
        }]);
        let mut looked = 0_usize;
        let mut open = false;
        while let Some(node) = heap.pop() {
            if node.bound > 0.0 && !self.unsure {
                break;
            }
            if self.left == 0 {
                return Decision::Open;
            }
            looked += 1;
            let found = self.look(node, &mut best, looked, 0.0);
            if let Some(gap) = self.gap.take() {
                return Decision::Gap(gap);
            }
            // The value of a condition at a point is 0 or 1.
            if best.value <= 0.0 {
                return Decision::Fails(best.at);
            }
            match found {
                Looked::Closed(bound) => open |= bound <= 0.0,
                Looked::Split(parts) => heap.extend(parts),
                Looked::Impossible => {}
            }
        }
        if open {
            Decision::Open
        } else {
            Decision::Holds
        }
    }
}

/// Returns a slope times a distance; nothing where the distance is.
fn slope_times(slope: f64, distance: f64) -> f64 {
    if distance == 0.0 {
        0.0
    } else {
        slope * distance
    }
}
