//! What formulas see of a workspace's values.

use std::sync::Arc;

use foldhash::HashMap;

use super::definition::Definition;
use super::outcome::{Faces, Outcome};
use super::step_budget;
use super::workspace::{Slot, Workspace};
use crate::language::{Cells, PageId, SlotId, Source, UserFunction, Value, deviation};
use crate::quantity::System;

/// Where the sizes stand between their limits.
#[derive(Clone, Debug, Default)]
pub struct Deviations {
    /// The part of the way from the lower to the upper limit at which a size
    /// stands; sizes not named stand where they are aimed.
    pub parts: HashMap<Source, f64>,
}

impl Deviations {
    /// Returns whether a size of this slot is moved.
    pub fn moves(&self, slot: SlotId) -> bool {
        !self.parts.is_empty() && self.parts.keys().any(|source| source.slot == slot)
    }
}

/// Values while every size stands where it is aimed or was measured.
#[derive(Clone, Copy, Debug)]
pub struct AtRest<'a> {
    /// The value of each slot.
    pub now: &'a [Outcome],
    /// What slots have besides.
    pub faces: &'a HashMap<SlotId, Faces>,
}

/// What the evaluator sees of the values.
pub(super) struct View<'a> {
    pub(super) slots: &'a [Arc<Slot>],
    pub(super) now: &'a [Outcome],
    pub(super) faces: &'a HashMap<SlotId, Faces>,
    pub(super) deviations: &'a Deviations,
    pub(super) at_rest: Option<AtRest<'a>>,
    /// The system that lengths are asked for in.
    pub(super) lengths: Option<System>,
}

impl View<'_> {
    /// Returns what stays while sizes move: faces and values at rest.
    fn still(&self) -> (&[Outcome], &HashMap<SlotId, Faces>) {
        match &self.at_rest {
            Some(at_rest) => (at_rest.now, at_rest.faces),
            None => (self.now, self.faces),
        }
    }
}

impl Cells for View<'_> {
    #[inline]
    fn value(&self, slot: SlotId) -> Option<&Value> {
        self.now.get(slot.index())?.as_ref().ok()
    }

    fn drawn(&self, slot: SlotId) -> Option<&Value> {
        let (now, faces) = self.still();
        let outcome = match faces.get(&slot) {
            Some(faces) => &faces.drawn,
            None => now.get(slot.index())?,
        };
        outcome.as_ref().ok()
    }

    fn gauged(&self, slot: SlotId) -> Option<&Value> {
        let (now, faces) = self.still();
        match faces.get(&slot) {
            Some(faces) if !faces.limited && faces.aimed.is_some() => {
                now.get(slot.index())?.as_ref().ok()
            }
            _ => self.drawn(slot),
        }
    }

    fn aimed(&self, slot: SlotId) -> Option<&Value> {
        let (now, faces) = self.still();
        let aimed = faces.get(&slot).and_then(|faces| faces.aimed.as_ref());
        aimed.or_else(|| now.get(slot.index()))?.as_ref().ok()
    }

    fn limited(&self, slot: SlotId) -> bool {
        let (_, faces) = self.still();
        faces.get(&slot).is_some_and(|faces| faces.limited)
    }

    fn has_faces(&self) -> bool {
        !self.still().1.is_empty()
    }

    fn deviation(&self, source: Source, low: f64, high: f64) -> f64 {
        match self.deviations.parts.get(&source) {
            None => f64::midpoint(low, high),
            Some(part) => deviation(*part, low, high),
        }
    }

    fn function(&self, slot: SlotId) -> Option<&Arc<UserFunction>> {
        match &self.slots.get(slot.index())?.content {
            Definition::Function(function) => Some(function),
            _ => None,
        }
    }

    fn lengths(&self) -> Option<System> {
        self.lengths
    }

    fn steps(&self) -> u64 {
        step_budget::left()
    }

    fn took(&self, steps: u64) {
        step_budget::took(steps);
    }
}

/// Evaluates something of the main notebook against values of a workspace.
pub fn view<T>(
    workspace: &Workspace,
    now: &[Outcome],
    faces: &HashMap<SlotId, Faces>,
    deviations: &Deviations,
    at_rest: Option<AtRest>,
    evaluate: impl FnOnce(&dyn Cells) -> T,
) -> T {
    evaluate(&View {
        slots: &workspace.slots,
        now,
        faces,
        deviations,
        at_rest,
        lengths: workspace.lengths_of(PageId::MAIN),
    })
}
