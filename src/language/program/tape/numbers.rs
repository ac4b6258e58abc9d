//! A tape at one point: the numbers that the ordinary evaluator gives.

use super::{Slice, Tape, Work};
use crate::language::program::lanes::alone;
use crate::language::program::steps::{Operand, Step};

impl Tape {
    /// Returns what a slice comes to where its sources stand at `parts` (by their numbers);
    /// nothing where it has no value. A truth is 0 or 1.
    pub fn at(&self, slice: &Slice, parts: &[f64], work: &mut Work) -> Option<f64> {
        for (at, segment) in self.segments(slice) {
            let mut missing = false;
            for line in self.of(segment) {
                let number = |operand| work.number(operand);
                let value = alone(&line.step, number, parts);
                let bad = match line.step {
                    Step::Need(segment) => work.missing.get(segment).is_none_or(|missing| *missing),
                    Step::Require(truth) => number(truth) == 0.0,
                    Step::Compare(..)
                    | Step::And(..)
                    | Step::Or(..)
                    | Step::Not(_)
                    | Step::Select(..)
                    | Step::Size(..)
                    | Step::Unknown(_) => false,
                    Step::Binary(..) | Step::Unary(..) => !value.is_finite(),
                };
                missing |= bad && line.guard.is_none_or(|guard| number(guard) != 0.0);
                if let Some(place) = work.numbers.get_mut(line.to as usize) {
                    *place = value;
                }
            }
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
    fn number(&self, operand: Operand) -> f64 {
        match operand {
            Operand::Constant(value) => value,
            Operand::Register(at) => self.numbers.get(at as usize).copied().unwrap_or(f64::NAN),
            Operand::Column(_) => f64::NAN,
        }
    }
}
