//! Computing slots: the one engine under loading, editing, what-if, `find`,
//! limits and sampling.

mod slot_value;
mod solve;
mod view;

pub use view::{AtRest, Deviations, deviation, view};

use std::collections::HashMap;

use slot_value::{content, one_trouble, outcome};
use view::View;

use super::content::Content;
use super::effort;
use super::explain_cycle::ring;
use super::order::{Group, affected, within};
use super::outcome::{Failure, Outcome};
use super::workspace::{Slot, Workspace};
use crate::diagnostic::Diagnostic;
use crate::language::{Evaluator, Node};

/// The values of a workspace while they are computed.
pub struct Values<'a> {
    /// What fills the slots.
    pub slots: &'a [Slot],
    /// The value of each slot.
    pub now: &'a mut Vec<Outcome>,
    /// The values that the drawing gives, where they differ.
    pub drawing: &'a mut HashMap<u32, Outcome>,
    /// Where the sizes stand.
    pub deviations: &'a Deviations,
    /// The values at the drawing sizes, where `now` holds others because the sizes
    /// stand elsewhere.
    pub at_rest: Option<AtRest<'a>>,
    /// Whether readings count; without them everything is as on the drawing.
    pub readings: bool,
    /// Takes what a slot held before, so that it can be put back.
    pub undo: Option<&'a mut Vec<(u32, Outcome)>>,
    /// Takes the warnings.
    pub warnings: Option<&'a mut HashMap<u32, Vec<Diagnostic>>>,
}

/// Computes every slot of a workspace.
pub fn everything(workspace: &mut Workspace) {
    let all: Vec<u32> = (0..u32::try_from(workspace.slots.len()).unwrap_or(u32::MAX)).collect();
    recompute(workspace, &all, None);
}

/// Computes the changed slots and all that depends on them; gives the slots that
/// were computed, in order, with what they held before.
pub fn changed(workspace: &mut Workspace, slots: &[u32]) -> Vec<(u32, Outcome)> {
    let mut before = Vec::new();
    recompute(workspace, slots, Some(&mut before));
    before
}

fn recompute(workspace: &mut Workspace, slots: &[u32], undo: Option<&mut Vec<(u32, Outcome)>>) {
    effort::begin();
    let groups = affected(workspace, slots);
    let mut now = std::mem::take(&mut workspace.values);
    let mut drawing = std::mem::take(&mut workspace.drawing);
    let mut warnings = std::mem::take(&mut workspace.warnings);
    let deviations = Deviations::default();
    let mut values = Values {
        slots: &workspace.slots,
        now: &mut now,
        drawing: &mut drawing,
        deviations: &deviations,
        at_rest: None,
        readings: true,
        undo,
        warnings: Some(&mut warnings),
    };
    compute(workspace, &mut values, &groups);
    workspace.values = now;
    workspace.drawing = drawing;
    workspace.warnings = warnings;
}

/// Computes groups of slots in order.
pub fn compute(workspace: &Workspace, values: &mut Values, groups: &[Group]) {
    for group in groups {
        match &**group {
            [slot] if !workspace.slots[*slot as usize].needs.contains(slot) => {
                one(workspace, values, *slot)
            }
            [slot]
                if matches!(
                    workspace.slots[*slot as usize].content,
                    Content::Function(_)
                ) =>
            {
                one(workspace, values, *slot);
            }
            many => together(workspace, values, many),
        }
    }
}

fn one(workspace: &Workspace, values: &mut Values, slot: u32) {
    let (now, drawn, warnings) = values.slot(workspace, slot, &[]);
    values.put(slot, now, drawn, warnings);
}

/// Slots that need one another: functions may, cells only through a `find`.
fn together(workspace: &Workspace, values: &mut Values, group: &[u32]) {
    let content = |slot: u32| &workspace.slots[slot as usize].content;
    if group
        .iter()
        .all(|slot| matches!(content(*slot), Content::Function(_) | Content::Broken(_)))
    {
        for slot in group {
            one(workspace, values, *slot);
        }
        return;
    }
    let finds: Vec<u32> = group
        .iter()
        .copied()
        .filter(|slot| matches!(content(*slot), Content::Find(_)))
        .collect();
    if let [find] = finds.as_slice()
        && let Content::Find(code) = content(*find)
        && !code.ends_need.iter().any(|need| group.contains(need))
    {
        let others: Vec<u32> = group.iter().copied().filter(|slot| slot != find).collect();
        let inner = within(workspace, &others);
        if inner.iter().all(|group| group.len() == 1) {
            let members: Vec<u32> = inner.iter().flatten().copied().collect();
            let (now, drawn, warnings) = values.slot(workspace, *find, &members);
            values.put(*find, now, drawn, warnings);
            for member in members {
                one(workspace, values, member);
            }
            return;
        }
    }
    let Some((at, diagnostic)) = ring(workspace, group) else {
        return;
    };
    for slot in group {
        let failure = if *slot == at {
            Failure::Wrong(vec![diagnostic.clone()])
        } else {
            Failure::Because(at)
        };
        values.put(*slot, Err(Box::new(failure)), None, Vec::new());
    }
}

type Computed = (Outcome, Option<Outcome>, Vec<Diagnostic>);

impl Values<'_> {
    fn put(&mut self, slot: u32, now: Outcome, drawn: Option<Outcome>, warnings: Vec<Diagnostic>) {
        match drawn {
            Some(drawn) => {
                self.drawing.insert(slot, drawn);
            }
            None if !self.drawing.is_empty() => {
                self.drawing.remove(&slot);
            }
            None => {}
        }
        if let Some(all) = &mut self.warnings {
            if warnings.is_empty() {
                // Few slots have any: an empty map takes no looking up.
                if !all.is_empty() {
                    all.remove(&slot);
                }
            } else {
                all.insert(slot, warnings);
            }
        }
        if let Some(place) = self.now.get_mut(slot as usize) {
            let before = std::mem::replace(place, now);
            if let Some(undo) = &mut self.undo {
                undo.push((slot, before));
            }
        }
    }

    fn view(&self) -> View<'_> {
        View {
            slots: self.slots,
            now: self.now,
            drawing: self.drawing,
            deviations: self.deviations,
            at_rest: self.at_rest,
        }
    }

    /// The value of a slot, and what the drawing gives where that differs.
    /// `members` are the slots between a `find` and its condition.
    fn slot(&mut self, workspace: &Workspace, slot: u32, members: &[u32]) -> Computed {
        let Some(filled) = workspace.slots.get(slot as usize) else {
            return (Err(Box::new(Failure::Undefined)), None, Vec::new());
        };
        if matches!(filled.content, Content::Nothing) {
            return (Err(Box::new(Failure::Undefined)), None, Vec::new());
        }
        let measured = if self.readings {
            filled.measured.last()
        } else {
            None
        };
        let depends = !self.drawing.is_empty()
            && filled
                .needs
                .iter()
                .any(|need| self.drawing.contains_key(need));
        if let Content::Find(find) = &filled.content {
            for member in members {
                self.drawing.remove(member);
            }
            let among = |slot: &u32| {
                let needs = workspace.slots.get(*slot as usize);
                let mut needs = needs.into_iter().flat_map(|slot| &slot.needs);
                needs.any(|need| self.drawing.contains_key(need))
            };
            let depends = !self.drawing.is_empty() && (depends || members.iter().any(among));
            let drawn = (depends || measured.is_some())
                .then(|| self.find(workspace, slot, find, members, true));
            let now = match measured {
                Some(reading) => self.reading(reading),
                None => self.find(workspace, slot, find, members, false),
            };
            return (now, drawn, Vec::new());
        }
        let view = self.view();
        let evaluator = Evaluator::new(&view);
        match measured {
            Some(reading) => {
                let drawn = self.drawn(workspace, slot);
                (self.reading(reading), Some(drawn), Vec::new())
            }
            None => {
                let now = outcome(content(&evaluator, &filled.content, &view), &view);
                let drawn = depends.then(|| self.drawn(workspace, slot));
                (now, drawn, evaluator.warnings())
            }
        }
    }

    fn reading(&self, reading: &Node) -> Outcome {
        let view = self.view();
        outcome(
            Evaluator::new(&view).evaluate(reading).map_err(one_trouble),
            &view,
        )
    }

    /// What the drawing gives a slot.
    fn drawn(&self, workspace: &Workspace, slot: u32) -> Outcome {
        let view = self.view();
        match workspace.slots.get(slot as usize) {
            Some(filled) => outcome(
                content(&Evaluator::of_drawing(&view), &filled.content, &view),
                &view,
            ),
            None => Err(Box::new(Failure::Undefined)),
        }
    }
}
