//! Computing slots: the one engine under loading, editing, what-if, `find`,
//! limits and sampling.

mod by_formula;
mod slot_value;
mod solve;

use std::sync::Arc;

use foldhash::{HashMap, HashSet};

use by_formula::{by_formula, compile};
use slot_value::{content, one_trouble, outcome};

use super::bounds::Held;
use super::definition::{Definition, node_needs};
use super::explain_cycle::ring;
use super::order::{Group, affected, within};
use super::outcome::{Faces, Failure, Outcome};
use super::readings::{fitting_reading, set_aim};
use super::step_budget;
use super::trial::Trial;
use super::view::{AtRest, Deviations, View};
use super::workspace::{Slot, Workspace};
use crate::diagnostic::Diagnostic;
use crate::language::{Cells, Evaluator, Node, PageId, Size, SlotId, Value};
use crate::quantity::Quantity;

/// The values of a workspace while they are computed.
pub struct Values<'a> {
    /// What fills the slots.
    pub slots: &'a [Arc<Slot>],
    /// The value of each slot.
    pub now: &'a mut Vec<Outcome>,
    /// What slots have besides their values.
    pub faces: &'a mut HashMap<SlotId, Faces>,
    /// Where the sizes stand.
    pub deviations: &'a Deviations,
    /// The values at rest, where `now` holds others because the sizes stand elsewhere.
    pub at_rest: Option<AtRest<'a>>,
    /// The slots whose readings are set aside.
    pub aside: &'a HashSet<SlotId>,
    /// Takes what a slot held before, so that it can be put back.
    pub undo: Option<&'a mut Vec<(SlotId, Outcome)>>,
    /// The same for what it has besides its value.
    pub undo_faces: Option<&'a mut Vec<(SlotId, Option<Faces>)>>,
    /// What all values come to, where that is bounded: of tries it is not.
    pub held: Option<Held>,
    /// Takes the warnings.
    pub warnings: Option<&'a mut HashMap<SlotId, Vec<Diagnostic>>>,
}

/// Computes every slot of a workspace.
pub fn everything(workspace: &mut Workspace) {
    let all: Vec<SlotId> = SlotId::all().take(workspace.slots.len()).collect();
    recompute(workspace, &all, None);
}

/// Computes the changed slots and all that depends on them; gives the slots that
/// were computed, in order, with what they held before.
pub fn changed(workspace: &mut Workspace, slots: &[SlotId]) -> Vec<(SlotId, Outcome)> {
    let mut before = Vec::new();
    recompute(workspace, slots, Some(&mut before));
    before
}

fn recompute(
    workspace: &mut Workspace,
    slots: &[SlotId],
    undo: Option<&mut Vec<(SlotId, Outcome)>>,
) {
    step_budget::begin();
    let groups = affected(workspace, slots);
    let mut now = std::mem::take(&mut workspace.values);
    let mut faces = std::mem::take(&mut workspace.faces);
    let mut warnings = std::mem::take(&mut workspace.warnings);
    let deviations = Deviations::default();
    let mut values = Values {
        slots: &workspace.slots,
        now: &mut now,
        faces: &mut faces,
        deviations: &deviations,
        at_rest: None,
        aside: &HashSet::default(),
        undo,
        undo_faces: None,
        held: Some(Held::default()),
        warnings: Some(&mut warnings),
    };
    compute(workspace, &mut values, &groups);
    let over = values.held.is_some_and(|held| held.over);
    workspace.values = now;
    workspace.faces = faces;
    workspace.warnings = warnings;
    workspace.crowded |= over;
}

/// Computes groups of slots in order.
pub fn compute(workspace: &Workspace, values: &mut Values, groups: &[Group]) {
    for group in groups {
        match &**group {
            [slot] if !workspace.slots[slot.index()].needs.contains(slot) => {
                one(workspace, values, *slot)
            }
            [slot]
                if matches!(
                    workspace.slots[slot.index()].content,
                    Definition::Function(_)
                ) =>
            {
                one(workspace, values, *slot);
            }
            many => together(workspace, values, many),
        }
    }
}

fn one(workspace: &Workspace, values: &mut Values, slot: SlotId) {
    let content = workspace.slot(slot).map(|slot| &slot.content);
    if let (Some(Definition::OpEach(_)), Some(held)) = (content, &values.held)
        && held.over
    {
        // It would be refused, and takes long.
        let refused = held.refused(workspace, slot);
        values.put(workspace, slot, Computed::of(refused));
        return;
    }
    let computed = values.slot(workspace, slot, &[]);
    values.put(workspace, slot, computed);
}

/// Slots that need one another: functions may, cells only through a `find`.
fn together(workspace: &Workspace, values: &mut Values, group: &[SlotId]) {
    let content = |slot: SlotId| &workspace.slots[slot.index()].content;
    if group.iter().all(|slot| {
        matches!(
            content(*slot),
            Definition::Function(_) | Definition::Broken(_)
        )
    }) {
        for slot in group {
            one(workspace, values, *slot);
        }
        return;
    }
    let finds: Vec<SlotId> = group
        .iter()
        .copied()
        .filter(|slot| matches!(content(*slot), Definition::Find(_)))
        .collect();
    if let [find] = finds.as_slice()
        && let Definition::Find(code) = content(*find)
        && !code.ends_need.iter().any(|need| group.contains(need))
        && !is_measured_by(workspace, *find, group)
    {
        let others: Vec<SlotId> = group.iter().copied().filter(|slot| slot != find).collect();
        let inner = within(workspace, &others);
        if inner.iter().all(|group| group.len() == 1) {
            let members: Vec<SlotId> = inner.iter().flatten().copied().collect();
            let computed = values.slot(workspace, *find, &members);
            values.put(workspace, *find, computed);
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
        values.put(workspace, *slot, Computed::of(Err(Arc::new(failure))));
    }
}

/// Returns whether a reading or the aim of a slot follows from some slots.
fn is_measured_by(workspace: &Workspace, slot: SlotId, group: &[SlotId]) -> bool {
    let mut needs = Vec::new();
    if let Some(slot) = workspace.slot(slot) {
        for node in slot.measured.iter().chain(&slot.aim) {
            node_needs(node, &mut needs);
        }
    }
    needs.iter().any(|need| group.contains(need))
}

/// What computing a slot came to.
pub(super) struct Computed {
    now: Outcome,
    faces: Option<Faces>,
    warnings: Vec<Diagnostic>,
}

impl Computed {
    const fn of(now: Outcome) -> Self {
        Self {
            now,
            faces: None,
            warnings: Vec::new(),
        }
    }
}

impl Values<'_> {
    fn put(&mut self, workspace: &Workspace, slot: SlotId, mut computed: Computed) {
        if let (Some(held), Some(before)) = (&mut self.held, self.now.get(slot.index())) {
            held.take(workspace, slot, before, &mut computed.now);
        }
        // While sizes move, what slots have besides their values stays as it is at rest.
        if self.at_rest.is_none() && (computed.faces.is_some() || !self.faces.is_empty()) {
            let before = match computed.faces {
                Some(faces) => self.faces.insert(slot, faces),
                None => self.faces.remove(&slot),
            };
            if let Some(undo) = &mut self.undo_faces {
                undo.push((slot, before));
            }
        }
        if let Some(all) = &mut self.warnings {
            if computed.warnings.is_empty() {
                // Few slots have any: an empty map takes no looking up.
                if !all.is_empty() {
                    all.remove(&slot);
                }
            } else {
                all.insert(slot, computed.warnings);
            }
        }
        if let Some(place) = self.now.get_mut(slot.index()) {
            let before = std::mem::replace(place, computed.now);
            if let Some(undo) = &mut self.undo {
                undo.push((slot, before));
            }
        }
    }

    fn view(&self, workspace: &Workspace, slot: SlotId) -> View<'_> {
        let page = workspace.slot(slot).map_or(PageId::MAIN, |slot| slot.page);
        View {
            lengths: workspace.lengths_of(page),
            slots: self.slots,
            now: self.now,
            faces: self.faces,
            deviations: self.deviations,
            at_rest: self.at_rest,
        }
    }

    /// Returns the value of a slot and what it has besides. `members` are the slots between a
    /// `find` and its condition.
    fn slot(&mut self, workspace: &Workspace, slot: SlotId, members: &[SlotId]) -> Computed {
        let nothing = || Computed::of(Err(Arc::new(Failure::Undefined)));
        let Some(filled) = workspace.slot(slot) else {
            return nothing();
        };
        if matches!(filled.content, Definition::Nothing) {
            return nothing();
        }
        if let Definition::Vary(code) = &filled.content {
            // While sizes move, the table of a what-if stays as it is at rest.
            let now = match (filled.name.is_empty(), self.at_rest) {
                (true, _) => Ok(Value::None),
                (false, Some(rest)) => rest
                    .now
                    .get(slot.index())
                    .cloned()
                    .unwrap_or(Ok(Value::None)),
                (false, None) => {
                    // The values are lent, for copies of all of them for each table take long.
                    let now = std::mem::take(self.now);
                    let faces = std::mem::take(self.faces);
                    let mut trial = Trial::from_values(workspace, now, faces);
                    let table = super::vary::table(workspace, code, &mut trial);
                    (*self.now, *self.faces) = trial.into_values();
                    table
                }
            };
            return Computed::of(now);
        }
        let reading = filled
            .measured
            .last()
            .filter(|_| !self.aside.contains(&slot));
        // What stands between a `find` and its condition is part of it, whatever it held
        // before.
        let sized = |slot: &SlotId| workspace.slot(*slot).is_some_and(|slot| slot.sized);
        let mut limited = filled.sized || members.iter().any(sized);
        let mut depends = limited;
        if !self.faces.is_empty() {
            let among = members.iter().filter_map(|slot| workspace.slot(*slot));
            let needs = std::iter::once(filled).chain(among);
            for need in needs.flat_map(|slot| &slot.needs) {
                if *need == slot || members.contains(need) {
                    continue;
                }
                if let Some(faces) = self.faces.get(need) {
                    depends = true;
                    limited |= faces.limited;
                }
            }
        }
        let moving = self.at_rest.is_some();
        if moving && let Some(reading) = reading {
            // A reading stays while sizes move.
            let aimed = self.aimed(slot);
            let drawn = self.at_rest.and_then(|rest| rest.faces.get(&slot));
            let drawn = drawn.map(|faces| faces.drawn.clone());
            let now = self.reading(workspace, slot, reading, &aimed, drawn.as_ref());
            return Computed::of(now);
        }
        let (aimed, decisions, warnings) = self.own(workspace, slot, filled, members, depends);
        if moving || !(depends || reading.is_some()) {
            return Computed {
                now: aimed,
                faces: None,
                warnings,
            };
        }
        let refused = self.held.as_ref().is_some_and(|held| held.refuses(&aimed));
        let (drawn, drawn_decisions) = if refused {
            // What the drawing gives would take as long again, for nothing.
            (Err(Arc::new(Failure::Undefined)), decisions)
        } else {
            self.drawn(workspace, slot, filled, members)
        };
        let faces = |aimed: Option<Outcome>| Faces {
            decides_otherwise: drawn.is_ok() && decisions != drawn_decisions,
            drawn: drawn.clone(),
            aimed,
            limited,
        };
        match reading {
            None => Computed {
                faces: Some(faces(None)),
                now: aimed,
                warnings,
            },
            Some(reading) => Computed {
                now: self.reading(workspace, slot, reading, &aimed, Some(&drawn)),
                faces: Some(faces(Some(aimed))),
                warnings: Vec::new(),
            },
        }
    }

    /// Returns the value of a slot without its own readings, a mark of what was decided on the
    /// way, and warnings. `depends` tells whether the mark is wanted.
    fn own(
        &mut self,
        workspace: &Workspace,
        slot: SlotId,
        filled: &Slot,
        members: &[SlotId],
        depends: bool,
    ) -> (Outcome, u64, Vec<Diagnostic>) {
        if let Definition::Find(find) = &filled.content {
            let found = self.find(workspace, slot, find, members, false);
            return (found, 0, Vec::new());
        }
        let view = self.view(workspace, slot);
        if let Some(value) = by_formula(filled, depends, |slot| view.value(slot)) {
            return (Ok(value), 0, Vec::new());
        }
        let evaluator = Evaluator::new(&view);
        let allowed = evaluator.steps_left();
        let mut own = outcome(content(&evaluator, &filled.content, &view), &view);
        let warnings = evaluator.warnings();
        if let (Some(Ok(_)), Ok(value)) = (self.now.get(slot.index()), &own)
            && warnings.is_empty()
        {
            let decided = evaluator.decisions() != 0;
            compile(
                filled,
                &view,
                value,
                allowed - evaluator.steps_left(),
                decided,
            );
        }
        if let (Ok(Value::Size(size)), Some(aim)) = (&own, &filled.aim)
            && let Ok(aim) = set_aim(&view, size, aim)
        {
            let moved = self.deviations.moves(slot);
            own = Ok(Value::Size(Arc::new(Size {
                value: if moved { size.value } else { size.like(aim) },
                aim,
                aim_set: true,
                ..(**size).clone()
            })));
        }
        (own, evaluator.decisions(), warnings)
    }

    /// Returns what a slot is worked to at rest.
    fn aimed(&self, slot: SlotId) -> Outcome {
        let faces = self.at_rest.and_then(|rest| rest.faces.get(&slot));
        faces
            .and_then(|faces| faces.aimed.clone())
            .unwrap_or_else(|| Err(Arc::new(Failure::Undefined)))
    }

    /// Returns a reading, with the faces of what was measured.
    fn reading(
        &self,
        workspace: &Workspace,
        slot: SlotId,
        reading: &Node,
        aimed: &Outcome,
        drawn: Option<&Outcome>,
    ) -> Outcome {
        let view = self.view(workspace, slot);
        let read = Evaluator::new(&view).evaluate(reading);
        let read = match read.map(Value::plain) {
            Ok(value) => value,
            Err(error) => return outcome(Err(one_trouble(error)), &view),
        };
        let name = workspace.slot(slot).map_or("", |slot| &slot.name);
        let checked = fitting_reading(name, &read, aimed.as_ref().ok());
        let quantity = match checked {
            Ok(quantity) => quantity,
            Err(fault) => return slot_value::fail(Diagnostic::at(fault, reading.span)),
        };
        let si = quantity.si;
        let drawn = drawn.and_then(|drawn| drawn.as_ref().ok()?.quantity().ok());
        Ok(match aimed {
            Ok(Value::Size(size)) => Value::Size(Arc::new(Size {
                value: size.like(si),
                reading: Some(si),
                ..(**size).clone()
            })),
            Ok(value) => match value.quantity() {
                Ok(aim) => {
                    let like = |si: f64| Quantity { si, ..aim };
                    Value::Size(Arc::new(Size {
                        value: like(si),
                        drawn: drawn.unwrap_or(aim),
                        aim: aim.si,
                        aim_set: false,
                        limits: None,
                        reading: Some(si),
                    }))
                }
                Err(_) => quantity.into(),
            },
            Err(_) => quantity.into(),
        })
    }

    /// Returns what the drawing gives a slot, with a mark of what was decided on the way.
    fn drawn(
        &mut self,
        workspace: &Workspace,
        slot: SlotId,
        filled: &Slot,
        members: &[SlotId],
    ) -> (Outcome, u64) {
        if let Definition::Find(find) = &filled.content {
            return (self.find(workspace, slot, find, members, true), 0);
        }
        let view = self.view(workspace, slot);
        if let Some(value) = by_formula(filled, true, |slot| view.gauged(slot)) {
            return (Ok(value), 0);
        }
        let evaluator = Evaluator::of_drawing(&view);
        let found = content(&evaluator, &filled.content, &view).map(|value| value.drawn());
        (outcome(found, &view), evaluator.decisions())
    }
}
