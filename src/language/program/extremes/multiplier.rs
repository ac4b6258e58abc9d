//! Folds that divide a box: each is held against the value by a multiplier.
//!
//! On the side where a margin L is at least 0, f ≥ f - λL for every λ ≥ 0, and the
//! right side is bounded over the whole box by its linear form about the middle. The
//! best λ is found at the breaks of that bound.

use super::{Node, Search};
use crate::language::program::interval::Interval;
use crate::language::program::tape::rounding;

/// How often the multipliers are improved in turn.
const ROUNDS: usize = 3;

/// A fold that divides a box.
pub(super) struct Active {
    line: u32,
    /// 1 where the margin must be above 0, -1 where below.
    sign: f64,
    /// How steeply the margin goes with each source.
    pub(super) slopes: Vec<Interval>,
    /// The margin in the middle of the box.
    pub(super) middle: Interval,
}

impl Search<'_> {
    /// Returns the folds whose side was chosen and that still divide the box last run; nothing
    /// where no point of it stands on those sides.
    pub(super) fn active(&mut self, node: &Node) -> Option<Vec<Active>> {
        let mut found = Vec::new();
        for (line, side) in &node.sides {
            let margin = self.tape.margin_at(*line, self.work)?;
            let sign = if *side { 1.0 } else { -1.0 };
            let inside = if *side {
                margin.low >= 0.0
            } else {
                margin.high <= 0.0
            };
            if inside {
                continue;
            }
            self.spend(2);
            self.tape
                .turning(self.slice, *line, self.work, &mut self.scratch.others);
            let of = |source: &usize| {
                self.scratch
                    .others
                    .get(*source)
                    .copied()
                    .unwrap_or(Interval::ALL)
            };
            let slopes = self.slice.sources.iter().map(of).collect();
            found.push(Active {
                line: *line,
                sign,
                slopes,
                middle: margin,
            });
        }
        if found.is_empty() {
            return Some(found);
        }
        let points: Vec<Interval> = node
            .cube
            .iter()
            .map(|part| Interval::point(part.middle()))
            .collect();
        self.run_at(&points, &node.sides);
        for active in &mut found {
            let all = active.middle;
            active.middle = self.tape.margin_at(active.line, self.work)?;
            // The margin by its slopes: on the other side everywhere?
            let reach: f64 = active
                .slopes
                .iter()
                .zip(&node.cube)
                .map(|(slope, part)| super::slope_times(slope.magnitude(), part.width() / 2.0))
                .sum();
            let furthest = if active.sign > 0.0 {
                active.middle.high + reach
            } else {
                reach - active.middle.low
            };
            if furthest < -rounding(all) {
                return None;
            }
        }
        Some(found)
    }

    /// Returns a bound of the value on the sides chosen, with how much the linear form still
    /// goes with each source, and the strongest fold does.
    pub(super) fn multiplied(
        &self,
        node: &Node,
        slopes: &[Interval],
        active: &[Active],
        about: f64,
    ) -> (f64, Vec<(f64, f64)>) {
        let half: Vec<f64> = node.cube.iter().map(|part| part.width() / 2.0).collect();
        let left = |multipliers: &[f64], index: usize| {
            let mut slope = slopes.get(index).copied().unwrap_or(Interval::ALL);
            for (active, multiplier) in active.iter().zip(multipliers) {
                if *multiplier > 0.0 {
                    let fold = active.slopes.get(index).copied().unwrap_or(Interval::ALL);
                    slope = slope - Interval::point(multiplier * active.sign) * fold;
                }
            }
            slope
        };
        let bound = |multipliers: &[f64]| {
            let mut bound = about;
            for (active, multiplier) in active.iter().zip(multipliers) {
                if *multiplier > 0.0 {
                    let signed = if active.sign > 0.0 {
                        active.middle.high
                    } else {
                        -active.middle.low
                    };
                    bound -= multiplier * (signed + rounding(active.middle));
                }
            }
            for (index, half) in half.iter().enumerate() {
                bound -= super::slope_times(left(multipliers, index).magnitude(), *half);
            }
            bound - 1e-15 * bound.abs()
        };
        let mut best = vec![0.0; active.len()];
        let mut reached = bound(&best);
        for _ in 0..ROUNDS {
            let before = reached;
            for place in 0..active.len() {
                let mut tried = best.clone();
                let others: Vec<f64> = {
                    if let Some(own) = tried.get_mut(place) {
                        *own = 0.0;
                    }
                    (0..half.len())
                        .map(|index| left(&tried, index).middle())
                        .collect()
                };
                for (index, other) in others.iter().enumerate() {
                    let fold = active
                        .get(place)
                        .and_then(|active| Some(active.sign * active.slopes.get(index)?.middle()));
                    let multiplier = fold.map_or(0.0, |fold| other / fold);
                    if !(multiplier > 0.0 && multiplier.is_finite()) {
                        continue;
                    }
                    if let Some(own) = tried.get_mut(place) {
                        *own = multiplier;
                    }
                    let found = bound(&tried);
                    if found > reached {
                        reached = found;
                        best.clone_from(&tried);
                    }
                }
            }
            if reached <= before {
                break;
            }
        }
        let steepness = (0..half.len()).map(|index| {
            let fold = active
                .iter()
                .filter_map(|active| Some(active.slopes.get(index)?.magnitude()))
                .fold(0.0, f64::max);
            (left(&best, index).middle(), fold)
        });
        (reached, steepness.collect())
    }
}
