//! The notebook around a formula that is compiled.

use std::cell::Cell;
use std::sync::Arc;

use foldhash::{HashMap, HashSet};

use crate::language::{
    Evaluator, Node, Place, Setting, SizeCode, SlotId, Source, UserFunction, Value,
};
use crate::notebook::trial::Trial;
use crate::notebook::view::Deviations;
use crate::notebook::{Definition, Workspace};
use crate::quantity::Quantity;

/// The notebook that formulas are compiled against.
pub(super) struct Around<'a> {
    pub(super) workspace: &'a Workspace,
    /// Values while nothing moves.
    pub(super) rest: &'a Trial<'a>,
    /// The numbers of the sources that vary.
    pub(super) sources: HashMap<Source, usize>,
    /// The slots that vary.
    pub(super) varying: HashSet<SlotId>,
    /// The slots that are columns.
    pub(super) places: HashMap<SlotId, Place>,
    /// The steps that may still be made or looked through in making programs.
    pub(super) room: Cell<usize>,
}

impl Setting for Around<'_> {
    fn value(&self, node: &Node, locals: &mut Vec<Value>) -> Option<Value> {
        let still = Deviations::default();
        let value = self.rest.with_view(&still, |cells| {
            Evaluator::new(cells).with_locals(node, locals)
        });
        value.ok()
    }

    fn drawn(&self, node: &Node) -> Option<Value> {
        let still = Deviations::default();
        let drawn = self
            .rest
            .with_view(&still, |cells| Evaluator::new(cells).evaluate_drawn(node));
        drawn.ok()
    }

    fn moves(&self, slot: SlotId) -> bool {
        self.varying.contains(&slot)
    }

    fn place(&self, slot: SlotId) -> Option<&Place> {
        self.places.get(&slot)
    }

    fn solves(&self) -> bool {
        true
    }

    fn source(&self, source: Source) -> Option<usize> {
        self.sources.get(&source).copied()
    }

    fn limits(&self, size: &SizeCode) -> Option<(Quantity, f64, f64)> {
        let still = Deviations::default();
        let limits = self.rest.with_view(&still, |cells| {
            Evaluator::new(cells).size_limits(size, &mut Vec::new(), 0)
        });
        limits.ok()
    }

    fn function(&self, slot: SlotId) -> Option<Arc<UserFunction>> {
        match self.workspace.slot(slot).map(|slot| &slot.content) {
            Some(Definition::Function(function)) => Some(function.clone()),
            _ => None,
        }
    }

    fn allows(&self, steps: usize) -> bool {
        self.room.set(self.room.get().saturating_sub(steps));
        self.room.get() > 0
    }
}
