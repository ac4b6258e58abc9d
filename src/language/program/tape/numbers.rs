//! A tape at one point: the numbers that the ordinary evaluator gives.

use super::{Slice, Tape, Work};
use crate::language::program::crossing::crossing;
use crate::language::program::lanes::alone;
use crate::language::program::steps::{Line, Operand, Step};

impl Tape {
    /// Returns what a slice comes to where its sources stand at `parts` (by their numbers);
    /// nothing where it has no value. A truth is 0 or 1.
    pub fn at(&self, slice: &Slice, parts: &[f64], work: &mut Work) -> Option<f64> {
        for (at, segment) in self.segments(slice) {
            let missing = work.run(self.of(segment), parts);
            if let Some(place) = work.missing.get_mut(at as usize) {
                *place = missing;
            }
        }
        let last = slice.segments.last()?;
        if work.missing.get(*last as usize) != Some(&false) {
            return None;
        }
        Some(work.number(slice.result)).filter(|value| value.is_finite())
    }
}

impl Work {
    /// Takes the steps of a slot; tells whether it has no value.
    fn run(&mut self, lines: &[Line], parts: &[f64]) -> bool {
        let mut missing = false;
        let mut next = 0;
        while let Some(line) = lines.get(next) {
            if let Step::Trial(steps, low, high) = line.step {
                let end = next + steps as usize + 1;
                if let Some([first, block @ .., last]) = lines.get(next..=end) {
                    let root = self.root(first.to, block, last, (low, high), parts);
                    missing |= root.is_none() && self.counts(last);
                    self.put(last.to, root.unwrap_or(f64::NAN));
                }
                next = end + 1;
                continue;
            }
            missing |= self.take(line, parts);
            next += 1;
        }
        missing
    }

    /// Returns what the steps of one slot come to, those that it needs being there.
    pub(super) fn one(&mut self, lines: &[Line], result: Operand, parts: &[f64]) -> Option<f64> {
        if self.run(lines, parts) {
            return None;
        }
        Some(self.number(result)).filter(|value| value.is_finite())
    }

    /// Takes one step; tells whether it counts and has no value.
    fn take(&mut self, line: &Line, parts: &[f64]) -> bool {
        let value = alone(&line.step, |operand| self.number(operand), parts);
        let bad = match line.step {
            Step::Need(segment) => self.missing.get(segment).is_none_or(|missing| *missing),
            Step::Require(truth) => self.number(truth) == 0.0,
            Step::Binary(..) | Step::Unary(..) => !value.is_finite(),
            _ => false,
        };
        self.put(line.to, value);
        bad && self.counts(line)
    }

    /// Returns whether a step counts at this point.
    fn counts(&self, line: &Line) -> bool {
        line.guard.is_none_or(|guard| self.number(guard) != 0.0)
    }

    fn put(&mut self, at: u32, value: f64) {
        if let Some(place) = self.numbers.get_mut(at as usize) {
            *place = value;
        }
    }

    /// Returns the solution of a `find` at this point.
    fn root(
        &mut self,
        unknown: u32,
        block: &[Line],
        last: &Line,
        ends: (f64, f64),
        parts: &[f64],
    ) -> Option<f64> {
        let Step::Solve(difference, _) = last.step else {
            return None;
        };
        crossing(ends, |x| {
            self.put(unknown, x);
            let mut missing = false;
            for line in block {
                missing |= self.take(line, parts);
            }
            let value = self.number(difference);
            (!missing && value.is_finite()).then_some(value)
        })
    }

    fn number(&self, operand: Operand) -> f64 {
        match operand {
            Operand::Constant(value) => value,
            Operand::Register(at) => self.numbers.get(at as usize).copied().unwrap_or(f64::NAN),
            Operand::Column(_) => f64::NAN,
        }
    }
}
