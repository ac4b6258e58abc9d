//! Trying values out: a copy of the values that is put back after each trial.

use std::collections::HashMap;

use super::order::{Group, affected_by};
use super::outcome::Outcome;
use super::recalculate::{AtRest, Deviations, Values, compute};
use super::workspace::Workspace;
use crate::language::Value;

/// A copy of a workspace's values to try things on; the workspace itself stays as
/// it is.
pub struct Trial<'a> {
    workspace: &'a Workspace,
    now: Vec<Outcome>,
    drawing: HashMap<u32, Outcome>,
    undo: Vec<(u32, Outcome)>,
    readings: bool,
    moves_sizes: bool,
}

impl<'a> Trial<'a> {
    /// A trial that starts from the values as they are.
    #[must_use]
    pub fn new(workspace: &'a Workspace) -> Self {
        Self {
            workspace,
            now: workspace.values.clone(),
            drawing: workspace.drawing.clone(),
            undo: Vec::new(),
            readings: true,
            moves_sizes: false,
        }
    }

    /// A trial that starts from what the drawing says, without readings.
    #[must_use]
    pub fn of_drawing(workspace: &'a Workspace) -> Self {
        let mut trial = Self::new(workspace);
        for (slot, outcome) in std::mem::take(&mut trial.drawing) {
            if let Some(place) = trial.now.get_mut(slot as usize) {
                *place = outcome;
            }
        }
        trial.readings = false;
        trial
    }

    /// The same trial, for moving sizes between their limits: what is worked out
    /// from the drawing (`shaft.journal H7`) stays as the drawing says.
    #[must_use]
    pub fn moving_sizes(self) -> Self {
        Self {
            moves_sizes: true,
            ..self
        }
    }

    fn at_rest(&self) -> Option<AtRest<'a>> {
        let workspace = self.workspace;
        self.moves_sizes.then_some(AtRest {
            now: &workspace.values,
            drawing: &workspace.drawing,
        })
    }

    /// What depends on some slots, in the order in which it is computed, the slots
    /// themselves too.
    #[must_use]
    pub fn order(&self, slots: &[u32]) -> Vec<Group> {
        affected_by(self.workspace, slots)
    }

    /// Gives a slot a value of its own.
    pub fn set(&mut self, slot: u32, value: Value) {
        self.put(slot, Ok(value));
    }

    /// Gives a slot a value of its own, or none.
    pub fn put(&mut self, slot: u32, outcome: Outcome) {
        if let Some(place) = self.now.get_mut(slot as usize) {
            let before = std::mem::replace(place, outcome);
            self.undo.push((slot, before));
        }
    }

    /// Computes groups of slots with the sizes standing where `deviations` says.
    pub fn compute(&mut self, groups: &[Group], deviations: &Deviations) {
        let at_rest = self.at_rest();
        let mut values = Values {
            at_rest,
            slots: &self.workspace.slots,
            now: &mut self.now,
            drawing: &mut self.drawing,
            deviations,
            readings: self.readings,
            undo: Some(&mut self.undo),
            warnings: None,
        };
        compute(self.workspace, &mut values, groups);
    }

    /// The value of a slot, or why it has none.
    #[must_use]
    pub fn outcome(&self, slot: u32) -> Option<&Outcome> {
        self.now.get(slot as usize)
    }

    /// The value of a slot.
    #[must_use]
    pub fn value(&self, slot: u32) -> Option<&Value> {
        self.outcome(slot)?.as_ref().ok()
    }

    /// Evaluates something against the trial's values.
    pub fn with_view<T>(
        &self,
        deviations: &Deviations,
        evaluate: impl FnOnce(&dyn crate::language::Cells) -> T,
    ) -> T {
        super::recalculate::view(
            &self.workspace.slots,
            &self.now,
            &self.drawing,
            deviations,
            self.at_rest(),
            evaluate,
        )
    }

    /// Puts everything back as it was.
    pub fn reset(&mut self) {
        while let Some((slot, before)) = self.undo.pop() {
            if let Some(place) = self.now.get_mut(slot as usize) {
                *place = before;
            }
        }
        if self.readings {
            self.drawing.clone_from(&self.workspace.drawing);
        } else {
            self.drawing.clear();
        }
    }
}
