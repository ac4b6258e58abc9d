//! Trying values out: a copy of the values that is put back after each trial.

use foldhash::{HashMap, HashSet};

use super::definition::Definition;
use super::order::{Group, affected_by};
use super::outcome::Faces;
use super::outcome::Outcome;
use super::recalculate::{Values, compute};
use super::view::{AtRest, Deviations, view};
use super::workspace::Workspace;
use crate::diagnostic::Fault;
use crate::language::{Node, ResolvedExpr, SlotId, Value, with_tolerance};

/// A copy of a workspace's values to try things on; the workspace itself stays as
/// it is.
pub struct Trial<'a> {
    workspace: &'a Workspace,
    now: Vec<Outcome>,
    faces: HashMap<SlotId, Faces>,
    undo: Vec<(SlotId, Outcome)>,
    undo_faces: Vec<(SlotId, Option<Faces>)>,
    aside: HashSet<SlotId>,
    moves_sizes: bool,
}

impl<'a> Trial<'a> {
    /// Returns a trial that starts from the values as they are.
    #[must_use]
    pub fn new(workspace: &'a Workspace) -> Self {
        Self {
            workspace,
            now: workspace.values.clone(),
            faces: workspace.faces.clone(),
            undo: Vec::new(),
            undo_faces: Vec::new(),
            aside: HashSet::default(),
            moves_sizes: false,
        }
    }

    /// Returns a trial that starts from values that are being computed.
    #[must_use]
    pub fn from_values(
        workspace: &'a Workspace,
        now: Vec<Outcome>,
        faces: HashMap<SlotId, Faces>,
    ) -> Self {
        Self {
            workspace,
            now,
            faces,
            undo: Vec::new(),
            undo_faces: Vec::new(),
            aside: HashSet::default(),
            moves_sizes: false,
        }
    }

    /// Returns the values as they were before anything was tried, with what slots have
    /// besides.
    pub fn into_values(mut self) -> (Vec<Outcome>, HashMap<SlotId, Faces>) {
        self.reset();
        (self.now, self.faces)
    }

    /// Returns the values, with what slots have besides.
    pub fn held(&self) -> (&[Outcome], &HashMap<SlotId, Faces>) {
        (&self.now, &self.faces)
    }

    /// Sets the readings of some slots aside, and those of all that follows from them.
    pub fn set_aside(&mut self, slots: &[SlotId]) {
        if self.workspace.measured.is_empty() {
            return;
        }
        let follow = self.order(slots);
        let measured = &self.workspace.measured;
        let aside = follow
            .iter()
            .flatten()
            .filter(|slot| measured.contains(slot));
        self.aside = aside.copied().collect();
    }

    /// Returns whether the readings of a slot are set aside.
    #[must_use]
    pub fn is_aside(&self, slot: SlotId) -> bool {
        self.aside.contains(&slot)
    }

    /// Returns a trial that starts from the values as they are, but for the readings of
    /// one slot, which are set aside; other readings count.
    #[must_use]
    pub fn without_readings_of(workspace: &'a Workspace, slot: SlotId) -> Self {
        let mut trial = Self::new(workspace);
        trial.aside.insert(slot);
        let aimed = workspace.faces.get(&slot).and_then(|f| f.aimed.clone());
        if let (Some(place), Some(aimed)) = (trial.now.get_mut(slot.index()), aimed) {
            *place = aimed;
        }
        trial
    }

    /// Returns the same trial, for moving sizes between their limits: what is worked out
    /// from drawn figures (`shaft.journal H7`) stays as the drawing says.
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
            faces: &workspace.faces,
        })
    }

    /// Returns what depends on some slots, in the order in which it is computed, the slots
    /// themselves too.
    #[must_use]
    pub fn order(&self, slots: &[SlotId]) -> Vec<Group> {
        affected_by(self.workspace, slots)
    }

    /// Puts a value in place of a slot's drawn figure. A size keeps its tolerance, unless
    /// the value brings another; readings are to be set aside before.
    ///
    /// # Errors
    /// When the tolerance does not fit the value.
    pub fn set(&mut self, slot: SlotId, value: Value) -> Result<(), Fault> {
        let tolerance = match self.workspace.slot(slot).map(|slot| &slot.content) {
            Some(Definition::Cell(node)) => own_tolerance(node),
            _ => None,
        };
        let value = match (tolerance, value) {
            (Some(tolerance), Value::Quantity(drawn)) => with_tolerance(drawn, tolerance)?,
            (_, value) => value,
        };
        if let Some(limited) = self.faces.get(&slot).map(|faces| faces.limited) {
            let faces = Faces {
                drawn: Ok(value.drawn()),
                aimed: None,
                limited,
                decides_otherwise: false,
            };
            let before = self.faces.insert(slot, faces);
            self.undo_faces.push((slot, before));
        }
        self.put(slot, Ok(value));
        Ok(())
    }

    /// Gives a slot a value of its own, or none.
    pub fn put(&mut self, slot: SlotId, outcome: Outcome) {
        if let Some(place) = self.now.get_mut(slot.index()) {
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
            faces: &mut self.faces,
            deviations,
            aside: &self.aside,
            undo: Some(&mut self.undo),
            undo_faces: Some(&mut self.undo_faces),
            held: None,
            warnings: None,
        };
        compute(self.workspace, &mut values, groups);
    }

    /// Returns the value of a slot, or why it has none.
    #[must_use]
    pub fn outcome(&self, slot: SlotId) -> Option<&Outcome> {
        self.now.get(slot.index())
    }

    /// Returns the value of a slot.
    #[must_use]
    pub fn value(&self, slot: SlotId) -> Option<&Value> {
        self.outcome(slot)?.as_ref().ok()
    }

    /// Evaluates something against the trial's values.
    pub fn with_view<T>(
        &self,
        deviations: &Deviations,
        evaluate: impl FnOnce(&dyn crate::language::Cells) -> T,
    ) -> T {
        view(
            self.workspace,
            &self.now,
            &self.faces,
            deviations,
            self.at_rest(),
            evaluate,
        )
    }

    /// Puts everything back as it was.
    pub fn reset(&mut self) {
        while let Some((slot, before)) = self.undo.pop() {
            if let Some(place) = self.now.get_mut(slot.index()) {
                *place = before;
            }
        }
        while let Some((slot, before)) = self.undo_faces.pop() {
            match before {
                Some(before) => self.faces.insert(slot, before),
                None => self.faces.remove(&slot),
            };
        }
    }
}

/// Returns the tolerance that a cell's formula gives itself.
#[must_use]
pub fn own_tolerance(node: &Node) -> Option<&crate::syntax::Tolerance> {
    match &node.code {
        ResolvedExpr::Size(size) => Some(&size.tolerance),
        ResolvedExpr::Where(_, _, value) => own_tolerance(value),
        _ => None,
    }
}
