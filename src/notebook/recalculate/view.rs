//! What formulas see of a workspace's values.

use std::collections::HashMap;
use std::sync::Arc;

use crate::language::{Cells, Code, SizeCode, Source, UserFunction, Value};
use crate::notebook::content::Content;
use crate::notebook::effort;
use crate::notebook::outcome::Outcome;
use crate::notebook::workspace::Slot;

/// How many names for one another's sizes are followed.
const NAMES: usize = 64;

/// Where the sizes stand between their limits.
#[derive(Clone, Debug, Default)]
pub struct Deviations {
    /// The part of the way from the lower to the upper limit at which a size
    /// stands; sizes not named stand at their drawing size.
    pub parts: HashMap<Source, f64>,
}

/// Values while every size stands at its drawing size.
#[derive(Clone, Copy, Debug)]
pub struct AtRest<'a> {
    /// The value of each slot.
    pub now: &'a [Outcome],
    /// The values that the drawing gives, where they differ.
    pub drawing: &'a HashMap<u32, Outcome>,
}

impl AtRest<'_> {
    fn drawing(&self, slot: u32) -> Option<&Value> {
        let outcome = self
            .drawing
            .get(&slot)
            .or_else(|| self.now.get(slot as usize));
        outcome?.as_ref().ok()
    }
}

/// What the evaluator sees of the values.
pub(super) struct View<'a> {
    pub(super) slots: &'a [Slot],
    pub(super) now: &'a [Outcome],
    pub(super) drawing: &'a HashMap<u32, Outcome>,
    pub(super) deviations: &'a Deviations,
    pub(super) at_rest: Option<AtRest<'a>>,
}

/// How far a size stands from its drawing size, `part` of the way between its
/// deviations.
#[inline]
pub fn deviation(part: f64, low: f64, high: f64) -> f64 {
    if part <= 0.0 {
        low
    } else if part >= 1.0 {
        high
    } else {
        low + part * (high - low)
    }
}

impl Cells for View<'_> {
    #[inline]
    fn value(&self, slot: u32) -> Option<&Value> {
        self.now.get(slot as usize)?.as_ref().ok()
    }

    fn drawing(&self, slot: u32) -> Option<&Value> {
        if let Some(at_rest) = &self.at_rest {
            return at_rest.drawing(slot);
        }
        match self.drawing.get(&slot) {
            Some(outcome) => outcome.as_ref().ok(),
            None => self.value(slot),
        }
    }

    fn deviation(&self, source: Source, low: f64, high: f64) -> f64 {
        match self.deviations.parts.get(&source) {
            None => 0.0,
            Some(part) => deviation(*part, low, high),
        }
    }

    fn size(&self, slot: u32) -> Option<&SizeCode> {
        let mut slot = self.slots.get(slot as usize)?;
        // A name for another cell's size is that size.
        for _ in 0..NAMES {
            match &slot.content {
                Content::Cell(node) if slot.measured.is_empty() => match &node.code {
                    Code::Size(size) => return Some(size),
                    Code::Cell(other) => slot = self.slots.get(*other as usize)?,
                    _ => return None,
                },
                _ => return None,
            }
        }
        None
    }

    fn function(&self, slot: u32) -> Option<&Arc<UserFunction>> {
        match &self.slots.get(slot as usize)?.content {
            Content::Function(function) => Some(function),
            _ => None,
        }
    }

    fn steps(&self) -> u64 {
        effort::left()
    }

    fn took(&self, steps: u64) {
        effort::took(steps);
    }
}

/// Evaluates something against values.
pub fn view<T>(
    slots: &[Slot],
    now: &[Outcome],
    drawing: &HashMap<u32, Outcome>,
    deviations: &Deviations,
    at_rest: Option<AtRest>,
    evaluate: impl FnOnce(&dyn Cells) -> T,
) -> T {
    evaluate(&View {
        slots,
        now,
        drawing,
        deviations,
        at_rest,
    })
}
