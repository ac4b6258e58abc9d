//! A `find` on a tape: where its solution lies while the sizes lie within a box.
//!
//! A `find` becomes steps only where its solution is proven to be the only one all over
//! the box: on the stretch in which it lies the condition only rises or only falls with
//! the unknown, it has opposite signs at the ends, and elsewhere between the bounds it
//! is 0 nowhere. From there the interval Newton step narrows it.
//!
//! Source: R. E. Moore, "Methods and Applications of Interval Analysis" (1979), 5.2;
//! E. Hansen, "Global Optimization Using Interval Analysis" (1992), chapter 7.

use super::backward::through;
use super::{Lack, Line, Operand, Slice, Step, Tape, Work};
use crate::language::program::interval::Interval;

/// The most Newton steps.
const NARROWED: usize = 6;
/// The most stretches that the way between the bounds is cut into.
const STRETCHES: usize = 200;

impl Tape {
    /// Takes the steps of a condition with the unknown anywhere within `unknown`.
    fn condition(
        &self,
        block: &[Line],
        unknown: Interval,
        cube: &[Interval],
        work: &mut Work,
    ) -> Lack {
        let [first, steps @ .., _] = block else {
            return Lack::Somewhere;
        };
        if let Some(place) = work.values.get_mut(first.to as usize) {
            *place = unknown;
        }
        // Folds within are on both sides; a box is not split at them.
        let (open, jumps) = (work.open.len(), work.jumps);
        work.jumps = false;
        let mut possible = true;
        let mut lack = Lack::Nowhere;
        for line in steps {
            lack = lack.max(self.line(line, cube, &[], work, &mut possible));
        }
        work.open.truncate(open);
        let jumped = std::mem::replace(&mut work.jumps, jumps);
        if jumped {
            lack.max(Lack::Somewhere)
        } else {
            lack
        }
    }

    /// Returns how steeply the condition goes with the unknown in the stretch looked at last.
    fn own_slope(block: &[Line], difference: Operand, work: &mut Work) -> Interval {
        let [first, steps @ .., _] = block else {
            return Interval::ALL;
        };
        for line in block {
            if let Some(slope) = work.slopes.get_mut(line.to as usize) {
                *slope = Interval::ZERO;
            }
        }
        work.add(difference, Interval::point(1.0));
        for line in steps.iter().rev() {
            let slope = work.slopes.get(line.to as usize).copied();
            let Some(slope) = slope.filter(|slope| !slope.is_zero()) else {
                continue;
            };
            let side = work.sides.get(line.to as usize).copied().unwrap_or(0);
            through(&line.step, line.to, slope, side, work);
        }
        let slope = work.slopes.get(first.to as usize);
        slope.copied().unwrap_or(Interval::ALL)
    }

    /// Narrows the solution of a `find`, whose steps are `block`, over a box.
    pub(super) fn solve(&self, block: &[Line], cube: &[Interval], work: &mut Work) -> Lack {
        let (
            Some(Line {
                step: Step::Trial(_, low, high),
                ..
            }),
            Some(last),
        ) = (block.first().copied(), block.last())
        else {
            return Lack::Somewhere;
        };
        let Step::Solve(difference, _) = last.step else {
            return Lack::Somewhere;
        };
        let mut within = Interval::new(low, high);
        let mut slope = Interval::ALL;
        for _ in 0..NARROWED {
            self.condition(block, within, cube, work);
            slope = Self::own_slope(block, difference, work);
            if slope.holds(0.0) || !slope.is_finite() {
                break;
            }
            let middle = Interval::point(within.middle());
            self.condition(block, middle, cube, work);
            let step = work.value(difference).over(slope).0;
            let Some(narrowed) = within.and(middle - step) else {
                break;
            };
            let closer = narrowed.width() < 0.9 * within.width();
            within = narrowed;
            if !closer {
                break;
            }
        }
        let lack = self.condition(block, within, cube, work);
        let narrowed = Self::own_slope(block, difference, work);
        let slope = slope.and(narrowed).unwrap_or(narrowed);
        work.solved.push((last.to, slope));
        if let Some(place) = work.values.get_mut(last.to as usize) {
            *place = within;
        }
        lack
    }

    /// Returns for each `find` in the last segment of a slice, in their order, the stretch in
    /// which its only solution lies wherever in the whole box the sizes stand; nothing
    /// where that is not proven.
    #[must_use]
    pub fn stretches(
        &mut self,
        slice: &Slice,
        cube: &[Interval],
        work: &mut Work,
    ) -> Option<Vec<(f64, f64)>> {
        let (last, before) = slice.segments.split_last()?;
        let before = Slice {
            segments: before.to_vec(),
            ..slice.clone()
        };
        if !self.forward(&before, cube, &[], work) {
            return None;
        }
        let segment = self.segments.get(*last as usize)?.lines.clone();
        let lines = segment.start as usize..segment.end as usize;
        let mut found = Vec::new();
        let mut next = lines.start;
        while next < lines.end {
            let line = *self.lines.get(next)?;
            let Step::Trial(steps, low, high) = line.step else {
                self.line(&line, cube, &[], work, &mut true);
                next += 1;
                continue;
            };
            let end = next + steps as usize + 1;
            let block = self.lines.get(next..=end)?.to_vec();
            let (low, high) = self.stretch(&block, Interval::new(low, high), cube, work)?;
            found.push((low, high));
            if let Some(line) = self.lines.get_mut(next) {
                line.step = Step::Trial(steps, low, high);
            }
            let block = self.lines.get(next..=end)?.to_vec();
            self.solve(&block, cube, work);
            next = end + 1;
        }
        Some(found)
    }

    /// Returns the stretch between two bounds in which the only solution is proven to lie.
    fn stretch(
        &self,
        block: &[Line],
        bounds: Interval,
        cube: &[Interval],
        work: &mut Work,
    ) -> Option<(f64, f64)> {
        let Step::Solve(difference, equal) = block.last()?.step else {
            return None;
        };
        // Where a bound fits within rounding it is a solution too.
        for end in [bounds.low, bounds.high] {
            let lack = self.condition(block, Interval::point(end), cube, work);
            if lack != Lack::Everywhere && work.margin(equal).high >= 0.0 {
                return None;
            }
        }
        let mut open: Vec<Interval> = vec![bounds];
        let mut left = STRETCHES;
        loop {
            let around = hull(&open)?;
            let lack = self.condition(block, around, cube, work);
            let slope = Self::own_slope(block, difference, work);
            if lack == Lack::Nowhere && slope.is_finite() && !slope.holds(0.0) {
                let mut sign = |x: f64| {
                    let lack = self.condition(block, Interval::point(x), cube, work);
                    let value = work.value(difference);
                    match lack {
                        Lack::Nowhere if value.low > 0.0 => Some(true),
                        Lack::Nowhere if value.high < 0.0 => Some(false),
                        _ => None,
                    }
                };
                let (from, to) = (sign(around.low)?, sign(around.high)?);
                return (from != to).then_some((around.low, around.high));
            }
            // The outermost are halved, for what lies between them is taken in.
            let mut cut: Vec<Interval> = Vec::new();
            for stretch in open {
                let middle = stretch.middle();
                if left == 0 || middle <= stretch.low || middle >= stretch.high {
                    return None;
                }
                left -= 1;
                for half in [
                    Interval::new(stretch.low, middle),
                    Interval::new(middle, stretch.high),
                ] {
                    let lack = self.condition(block, half, cube, work);
                    if lack != Lack::Everywhere && work.value(difference).holds(0.0) {
                        cut.push(half);
                    }
                }
            }
            open = cut;
        }
    }
}

fn hull(stretches: &[Interval]) -> Option<Interval> {
    let mut stretches = stretches.iter().copied();
    let first = stretches.next()?;
    Some(stretches.fold(first, Interval::or))
}
