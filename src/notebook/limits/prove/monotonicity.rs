//! How a result goes between its limits: steadily, turning, in steps.

use super::Prover;
use crate::language::{End, Range, SHARES, Slice};
use crate::notebook::limits::Monotonicity;
use crate::notebook::limits::jumps::jumps;

impl Prover<'_> {
    /// Puts what may as well stand at a limit there: a size that does nothing at an end
    /// does not turn there.
    pub(super) fn settle(&mut self, slice: &Slice, end: &mut End, slack: f64) {
        for (source, part) in slice.sources.iter().zip(&end.at) {
            if let Some(place) = self.parts.get_mut(*source) {
                *place = *part;
            }
        }
        for (source, part) in slice.sources.iter().zip(&mut end.at) {
            if *part <= 0.0 || *part >= 1.0 || self.left == 0 {
                continue;
            }
            for limit in [0.0, 1.0] {
                self.move_to(*source, limit);
                let there = self.at(slice);
                if there.is_some_and(|there| (there - end.found).abs() <= slack) {
                    *part = limit;
                    break;
                }
                self.move_to(*source, *part);
            }
        }
        self.put_to_rest(&slice.sources);
    }

    fn move_to(&mut self, source: usize, part: f64) {
        if let Some(place) = self.parts.get_mut(source) {
            *place = part;
        }
    }

    pub(super) fn course(&mut self, slice: &Slice, range: &Range) -> Monotonicity {
        if range.gap.is_some() {
            return Monotonicity::Breaks;
        }
        if !range.whole || !range.low.bound.is_finite() || !range.high.bound.is_finite() {
            return Monotonicity::Untold;
        }
        if range.jumps && self.steps(slice, range) {
            return Monotonicity::Steps;
        }
        let inside = |part: &f64| (1e-6..=1.0 - 1e-6).contains(part);
        let ends = [&range.low.at, &range.high.at];
        if !range.monotone && ends.iter().any(|at| at.iter().any(inside)) {
            return Monotonicity::Turns;
        }
        Monotonicity::Steady
    }

    /// Returns whether the value jumps on the way from its lowest to its highest place, or while
    /// one source moves.
    fn steps(&mut self, slice: &Slice, range: &Range) -> bool {
        let mut lines = vec![(range.low.at.clone(), range.high.at.clone())];
        let rest: Vec<f64> = slice
            .sources
            .iter()
            .map(|source| self.rest.get(*source).copied().unwrap_or(0.5))
            .collect();
        for index in 0..rest.len().min(SHARES) {
            if self.left == 0 {
                break;
            }
            let (mut from, mut to) = (rest.clone(), rest.clone());
            if let (Some(from), Some(to)) = (from.get_mut(index), to.get_mut(index)) {
                (*from, *to) = (0.0, 1.0);
            }
            lines.push((from, to));
        }
        let jumps = lines.iter().any(|(from, to)| self.jumps(slice, from, to));
        self.put_to_rest(&slice.sources);
        jumps
    }

    fn jumps(&mut self, slice: &Slice, from: &[f64], to: &[f64]) -> bool {
        let mut at = |place: f64| {
            for ((source, from), to) in slice.sources.iter().zip(from).zip(to) {
                if let Some(part) = self.parts.get_mut(*source) {
                    *part = from + place * (to - from);
                }
            }
            self.at(slice)
        };
        jumps(0.0, &mut at)
    }
}
