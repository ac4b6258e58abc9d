//! Every root of a slice of one unknown between two bounds.
//!
//! Where the interval of a stretch leaves 0 out there is no root; where it only rises
//! or only falls there is one or none, and its ends tell; everything else is halved.
//! What neither rises nor falls down to a tiny stretch is a root that only touches, or
//! several together; a jump or a pole is none.
//!
//! Source: E. Hansen, "Global Optimization Using Interval Analysis" (1992), chapter 7.

use super::crossing::crossing;
use super::interval::Interval;
use super::tape::{Lack, Slice, Tape, Work};

/// A stretch is not halved below this part of the whole while it has a slope.
const TINY: f64 = 1e-7;
/// Roots nearer to one another than this part of the whole are the same one, found
/// from both sides.
const SAME_ROOT: f64 = 1e-13;

/// What was found between two bounds.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Solutions {
    /// The roots, in rising order.
    pub roots: Vec<f64>,
    /// Stretches all over which the two sides are equal.
    pub stretches: Vec<(f64, f64)>,
    /// Stretches in which nothing could be decided within the steps allowed.
    pub open: Vec<(f64, f64)>,
    /// The difference of the sides at the two bounds, where it has a value.
    pub ends: (Option<f64>, Option<f64>),
}

impl Solutions {
    /// Returns whether nothing fits and the sides may have no value anywhere, so that the
    /// evaluator must tell why.
    #[must_use]
    pub fn nowhere(&self) -> bool {
        self.roots.is_empty() && self.stretches.is_empty() && self.ends == (None, None)
    }
}

/// An equation of one unknown: the difference of its sides, and whether they are
/// equal within rounding.
pub struct Equation<'a> {
    /// The steps of both.
    pub tape: &'a Tape,
    /// The difference.
    pub difference: &'a Slice,
    /// The truth.
    pub equal: &'a Slice,
    /// Working memory.
    pub work: Work,
    /// The steps that are left.
    pub left: u64,
}

/// How a stretch that could not be decided looks.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    /// It has a slope everywhere, both ways.
    Smooth,
    /// It jumps, or has no value somewhere.
    Edge,
}

impl Equation<'_> {
    /// Returns all solutions from `low` to `high`.
    pub fn solve(&mut self, low: f64, high: f64) -> Solutions {
        let mut found = Solutions {
            ends: (self.at(low), self.at(high)),
            ..Solutions::default()
        };
        let span = high - low;
        let mut clusters: Vec<(f64, f64, Kind)> = Vec::new();
        let mut stack = vec![(low, high)];
        while let Some((a, b)) = stack.pop() {
            if self.left == 0 {
                join(&mut found.open, (a, b));
                continue;
            }
            let here = Interval::new(a, b);
            let (value, lack, jumps) = self.run(here);
            if lack == Lack::Everywhere || !value.holds(0.0) {
                continue;
            }
            let slope = self.slope();
            let steady = lack == Lack::Nowhere && !jumps && slope.is_finite();
            if steady && slope.is_zero() && value.is_zero() {
                join(&mut found.stretches, (a, b));
                continue;
            }
            if steady && !slope.holds(0.0) {
                self.only_one((a, b), &mut found.roots);
                continue;
            }
            let middle = here.middle();
            if steady {
                let (about, _, _) = self.run(Interval::point(middle));
                let linear = about + slope * (here - Interval::point(middle));
                if !linear.holds(0.0) {
                    continue;
                }
            }
            let smallest = middle <= a || middle >= b;
            if smallest || steady && b - a <= TINY * span {
                let kind = if steady { Kind::Smooth } else { Kind::Edge };
                match clusters.last_mut() {
                    Some((_, end, last)) if *end == a && *last == kind => *end = b,
                    _ => clusters.push((a, b, kind)),
                }
                continue;
            }
            stack.push((middle, b));
            stack.push((a, middle));
        }
        for (a, b, kind) in clusters {
            match kind {
                Kind::Smooth => {
                    let mut here = Vec::new();
                    self.touching((a, b), &mut here);
                    // Beside a root that touches, rounding alone makes zeros.
                    if !here.is_empty() {
                        let near = a - TINY * span..=b + TINY * span;
                        found.roots.retain(|root| !near.contains(root));
                    }
                    found.roots.extend(here);
                }
                Kind::Edge => {
                    let at = [a, b].into_iter().find(|x| self.equal(*x));
                    found.roots.extend(at);
                }
            }
        }
        for end in [low, high] {
            let near = |root: &f64| (root - end).abs() <= 1e-6 * span;
            let within = |(a, b): &(f64, f64)| (*a..=*b).contains(&end);
            if !found.roots.iter().any(near)
                && !found.stretches.iter().any(within)
                && self.equal(end)
            {
                found.roots.push(end);
            }
        }
        found.roots.sort_by(f64::total_cmp);
        let inside = |root: &f64| {
            found
                .stretches
                .iter()
                .any(|(a, b)| (*a..=*b).contains(root))
        };
        found.roots.retain(|root| !inside(root));
        found
            .roots
            .dedup_by(|a, b| (*a - *b).abs() <= SAME_ROOT * span + 4.0 * f64::EPSILON * b.abs());
        found
    }

    fn spend(&mut self, times: usize) {
        let cost = (self.difference.steps.max(1) * times) as u64;
        self.left = self.left.saturating_sub(cost);
    }

    fn run(&mut self, x: Interval) -> (Interval, Lack, bool) {
        self.spend(1);
        self.tape
            .forward(self.difference, &[x], &[], &mut self.work);
        let value = self.work.result(self.difference);
        (value, self.work.lack(self.difference), self.work.jumps)
    }

    /// Returns how steeply the difference goes in the stretch last run.
    fn slope(&mut self) -> Interval {
        self.spend(2);
        let mut slope = [Interval::ZERO];
        self.tape
            .backward(self.difference, &mut self.work, &mut slope);
        let [slope] = slope;
        slope
    }

    fn at(&mut self, x: f64) -> Option<f64> {
        self.spend(1);
        self.tape.at(self.difference, &[x], &mut self.work)
    }

    fn equal(&mut self, x: f64) -> bool {
        self.spend(1);
        self.tape.at(self.equal, &[x], &mut self.work) == Some(1.0)
    }

    /// Returns the root of a stretch that only rises or only falls, if it has one.
    fn only_one(&mut self, (a, b): (f64, f64), roots: &mut Vec<f64>) {
        let (Some(at_a), Some(at_b)) = (self.at(a), self.at(b)) else {
            return;
        };
        if at_a == 0.0 {
            roots.push(a);
        } else if at_b == 0.0 {
            roots.push(b);
        } else if (at_a > 0.0) != (at_b > 0.0) {
            roots.push(self.crossing(a, b));
        }
    }

    /// Returns where the difference changes its sign between two places, to the last digit.
    fn crossing(&mut self, a: f64, b: f64) -> f64 {
        let mut nearest = (a, f64::INFINITY);
        let found = crossing((a, b), |x| {
            let value = self.at(x)?;
            if value.abs() < nearest.1 {
                nearest = (x, value.abs());
            }
            Some(value)
        });
        found.unwrap_or(nearest.0)
    }

    /// Returns the roots in a tiny stretch in which the difference turns: where it touches 0,
    /// or the two that lie together.
    fn touching(&mut self, (a, b): (f64, f64), roots: &mut Vec<f64>) {
        let (Some(at_a), Some(at_b)) = (self.at(a), self.at(b)) else {
            return;
        };
        if at_a != 0.0 && at_b != 0.0 && (at_a > 0.0) != (at_b > 0.0) {
            roots.push(self.crossing(a, b));
            return;
        }
        let turn = self.turn(a, b);
        let Some(at_turn) = self.at(turn) else { return };
        if at_turn != 0.0
            && at_a != 0.0
            && at_b != 0.0
            && (at_turn > 0.0) != (at_a > 0.0)
            && !self.equal(turn)
        {
            roots.push(self.crossing(a, turn));
            roots.push(self.crossing(turn, b));
        } else if self.equal(turn) {
            roots.push(turn);
        } else {
            roots.extend([a, b].into_iter().find(|x| self.equal(*x)));
        }
    }

    /// Returns where the difference turns between two places: where its slope changes sign.
    fn turn(&mut self, mut a: f64, mut b: f64) -> f64 {
        let rises = |equation: &mut Self, x: f64| {
            equation.run(Interval::point(x));
            let slope = equation.slope().middle();
            (slope != 0.0).then_some(slope > 0.0)
        };
        let (Some(at_a), Some(at_b)) = (rises(self, a), rises(self, b)) else {
            return f64::midpoint(a, b);
        };
        if at_a == at_b {
            return f64::midpoint(a, b);
        }
        loop {
            let middle = f64::midpoint(a, b);
            if middle == a || middle == b {
                return middle;
            }
            match rises(self, middle) {
                None => return middle,
                Some(up) if up == at_a => a = middle,
                Some(_) => b = middle,
            }
        }
    }
}

/// Adds a stretch to those that touch it.
fn join(stretches: &mut Vec<(f64, f64)>, (a, b): (f64, f64)) {
    match stretches.last_mut() {
        Some((_, end)) if *end == a => *end = b,
        _ => stretches.push((a, b)),
    }
}
