//! Cells that are solved for.

use std::sync::Arc;

use super::Values;
use super::slot_value::{fail, one_trouble, outcome};
use crate::diagnostic::Diagnostic;
use crate::language::{
    EvalError, Evaluator, Node, SlotId, Solutions, Unknown, Value, bracket, every_root, only_root,
    search,
};
use crate::notebook::definition::{Definition, FindCell};
use crate::notebook::outcome::{Faces, Failure, Outcome};
use crate::notebook::step_budget::exhausted;
use crate::notebook::view::View;
use crate::notebook::workspace::Workspace;
use crate::quantity::Quantity;

impl Values<'_> {
    /// Solves for a `find` cell and leaves all values as they were; `drawn` asks for
    /// what the drawing gives.
    pub(super) fn find(
        &mut self,
        workspace: &Workspace,
        slot: SlotId,
        find: &FindCell,
        members: &[SlotId],
        drawn: bool,
    ) -> Outcome {
        let undo = self.undo.take();
        // As when they are computed for the first time: what they held says nothing here.
        let nothing: Outcome = Err(Arc::new(Failure::Undefined));
        let tried = std::iter::once(&slot).chain(members);
        let held: Vec<(SlotId, Outcome, Option<Faces>)> = tried
            .filter_map(|slot| {
                let place = self.now.get_mut(slot.index())?;
                let value = std::mem::replace(place, nothing.clone());
                Some((*slot, value, self.faces.remove(slot)))
            })
            .collect();
        let found = self.solved(workspace, slot, find, members, drawn);
        for (slot, value, faces) in held {
            if let Some(place) = self.now.get_mut(slot.index()) {
                *place = value;
            }
            match faces {
                Some(faces) => self.faces.insert(slot, faces),
                None => self.faces.remove(&slot),
            };
        }
        self.undo = undo;
        found
    }

    /// Returns what solves a `find` cell: it takes trial values, and the slots between it and
    /// its condition are computed with each.
    fn solved(
        &mut self,
        workspace: &Workspace,
        slot: SlotId,
        find: &FindCell,
        members: &[SlotId],
        drawn: bool,
    ) -> Outcome {
        let (low, high) = match ends(&self.view(workspace, slot), find, drawn) {
            Ok(ends) => ends,
            Err(failed) => return failed,
        };
        let span = find.low.span.to(find.right.span);
        let name = workspace
            .slots
            .get(slot.index())
            .map_or("", |slot| &*slot.name);
        let only = |found: &Solutions, unit| match only_root(name, low, high, found, unit) {
            Ok(root) => Ok(Value::Quantity(Quantity { si: root, ..low })),
            Err(fault) => fail(Diagnostic::at(fault, span)),
        };
        let found = self.every_root(workspace, slot, find, members, (low, high), drawn);
        let open = |(found, _): &(Solutions, Quantity)| !found.open.is_empty();
        if found.as_ref().is_some_and(open) && exhausted() {
            // It would have been found with the steps that others took.
            let view = self.view(workspace, slot);
            let error = evaluator(&view, drawn).charge(usize::MAX, span).err();
            return outcome(Err(error.into_iter().collect()), &view);
        }
        if let Some((found, unit)) = found
            && !found.nowhere()
        {
            return only(&found, unit);
        }
        let mut unit = Quantity::number(0.0);
        let mut first: Option<EvalError> = None;
        let mut steps = 20_000_u32;
        let found = search(low.si, high.si, |x| {
            steps = steps.checked_sub(1).ok_or(())?;
            self.try_out(slot, Ok(Value::Quantity(Quantity { si: x, ..low })), drawn);
            for member in members {
                let Some(filled) = workspace.slot(*member) else {
                    continue;
                };
                let tried = if drawn {
                    self.drawn(workspace, *member, filled, &[]).0
                } else {
                    self.slot(workspace, *member, &[]).now
                };
                self.try_out(*member, tried, drawn);
            }
            match condition(&evaluator(&self.view(workspace, slot), drawn), find) {
                Ok(difference) => {
                    unit = difference;
                    Ok::<_, ()>(Some(difference.si))
                }
                Err(error) => {
                    first.get_or_insert(error);
                    Ok(None)
                }
            }
        });
        let Ok(found) = found else {
            return fail(Diagnostic::error(
                "this takes too many steps to solve",
                span,
            ));
        };
        if let (true, (None, None), Some(error)) = (found.roots.is_empty(), found.ends, first) {
            return outcome(Err(one_trouble(error)), &self.view(workspace, slot));
        }
        only(&found, unit)
    }

    /// Returns every root, where the condition and what stands between are programs.
    fn every_root(
        &self,
        workspace: &Workspace,
        slot: SlotId,
        find: &FindCell,
        members: &[SlotId],
        ends: (Quantity, Quantity),
        drawn: bool,
    ) -> Option<(Solutions, Quantity)> {
        let member = |slot: &SlotId| {
            let filled = workspace.slots.get(slot.index())?;
            match &filled.content {
                Definition::Cell(node) if filled.measured.is_empty() => Some((*slot, node)),
                _ => None,
            }
        };
        let members: Vec<(SlotId, &Node)> = members.iter().map(member).collect::<Option<_>>()?;
        let view = self.view(workspace, slot);
        let evaluator = evaluator(&view, drawn);
        let unknown = Unknown::Cell(slot);
        every_root(
            &evaluator,
            unknown,
            &members,
            [&find.left, &find.right],
            ends,
        )
    }

    /// Puts a trial value into its place.
    fn try_out(&mut self, slot: SlotId, tried: Outcome, drawn: bool) {
        if drawn {
            let faces = Faces {
                drawn: tried,
                aimed: None,
                limited: true,
                decides_otherwise: false,
            };
            self.faces.insert(slot, faces);
        } else if let Some(place) = self.now.get_mut(slot.index()) {
            *place = tried;
        }
    }
}

fn evaluator<'a>(view: &'a View, drawn: bool) -> Evaluator<'a> {
    if drawn {
        Evaluator::of_drawing(view)
    } else {
        Evaluator::new(view)
    }
}

/// Returns the bracket of a `find` cell.
fn ends(view: &View, find: &FindCell, drawn: bool) -> Result<(Quantity, Quantity), Outcome> {
    let evaluator = evaluator(view, drawn);
    let end = |node: &Node| -> Result<Quantity, EvalError> {
        evaluator
            .evaluate(node)?
            .quantity()
            .map_err(|fault| EvalError::at(fault, node.span))
    };
    let span = find.low.span.to(find.high.span);
    end(&find.low)
        .and_then(|low| Ok((low, end(&find.high)?)))
        .and_then(|(low, high)| bracket(low, high).map_err(|fault| EvalError::at(fault, span)))
        .map_err(|error| outcome(Err(one_trouble(error)), view))
}

fn condition(evaluator: &Evaluator, find: &FindCell) -> Result<Quantity, EvalError> {
    let side = |node: &Node| {
        evaluator
            .evaluate(node)?
            .quantity()
            .map_err(|fault| EvalError::at(fault, node.span))
    };
    let (left, right) = (side(&find.left)?, side(&find.right)?);
    left.minus(right)
        .map_err(|fault| EvalError::at(fault, find.left.span.to(find.right.span)))
}
