//! Computing slots: the one engine under loading, editing, what-if, `find`,
//! limits and sampling.

use std::cell::Cell;
use std::collections::HashMap;
use std::sync::Arc;

use super::content::{Content, FindCell, OpPartCode, TableCode};
use super::explain_cycle::ring;
use super::order::{Group, affected, within};
use super::outcome::{Failure, Outcome};
use super::workspace::{Slot, Workspace};
use crate::diagnostic::{Diagnostic, Fault, Span};
use crate::language::{
    Cells, Code, Evaluator, Node, SizeCode, Source, Table, Trouble, UserFunction, Value, bracket,
    only_root, solve,
};
use crate::quantity::Quantity;

/// The most steps that all evaluations after one change may take together, beyond
/// [`FREE`] each: a notebook can't keep the program busy without end.
const EFFORT: u64 = 20_000_000;
/// The same for all what-if tables and graphs of a notebook.
const TABLES: u64 = 10_000_000;
/// The same for the limits of a notebook's results, or for one sample.
const LIMITS: u64 = 40_000_000;
/// The steps of an evaluation that don't count.
const FREE: u64 = 100;

/// How many names for one another's sizes are followed.
const NAMES: usize = 64;

thread_local! {
    static LEFT: Cell<u64> = const { Cell::new(EFFORT) };
}

/// Where the sizes stand between their limits.
#[derive(Clone, Debug, Default)]
pub struct Deviations {
    /// The part of the way from the lower to the upper limit at which a size
    /// stands; sizes not named stand at their drawing size.
    pub parts: HashMap<Source, f64>,
}

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
struct View<'a> {
    slots: &'a [Slot],
    now: &'a [Outcome],
    drawing: &'a HashMap<u32, Outcome>,
    deviations: &'a Deviations,
    at_rest: Option<AtRest<'a>>,
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
        LEFT.get() + FREE
    }

    fn took(&self, steps: u64) {
        LEFT.set(LEFT.get().saturating_sub(steps.saturating_sub(FREE)));
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
    LEFT.set(EFFORT);
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

/// Allows all the steps again that evaluations may take together: for work that
/// was asked for by itself and is bounded by what was asked.
pub fn afresh() {
    LEFT.set(LIMITS);
}

/// Counts steps that are not those of an evaluation.
pub fn spend(steps: u64) {
    LEFT.set(LEFT.get().saturating_sub(steps));
}

/// Whether the steps ran out.
pub fn exhausted() -> bool {
    LEFT.get() == 0
}

/// Allows the part of the steps that one of so many what-if tables or graphs may take.
pub fn allow(pieces: usize) {
    LEFT.set(TABLES / u64::try_from(pieces).unwrap_or(u64::MAX).max(1));
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

    /// Solves for a `find` cell and leaves all values as they were; `drawn` asks for
    /// what the drawing gives.
    fn find(
        &mut self,
        workspace: &Workspace,
        slot: u32,
        find: &FindCell,
        members: &[u32],
        drawn: bool,
    ) -> Outcome {
        let undo = self.undo.take();
        let tried = std::iter::once(&slot).chain(members);
        let before: Vec<(u32, Outcome)> = tried
            .filter_map(|slot| Some((*slot, self.now.get(*slot as usize)?.clone())))
            .collect();
        let found = self.solved(workspace, slot, find, members, drawn);
        for (slot, before) in before {
            if drawn {
                self.drawing.remove(&slot);
            } else if let Some(place) = self.now.get_mut(slot as usize) {
                *place = before;
            }
        }
        self.undo = undo;
        found
    }

    /// What solves a `find` cell: it takes trial values, and the slots between it and
    /// its condition are computed with each.
    fn solved(
        &mut self,
        workspace: &Workspace,
        slot: u32,
        find: &FindCell,
        members: &[u32],
        drawn: bool,
    ) -> Outcome {
        let (low, high) = match ends(&self.view(), find, drawn) {
            Ok(ends) => ends,
            Err(failed) => return failed,
        };
        let mut unit = Quantity::number(0.0);
        let mut first: Option<Trouble> = None;
        let mut steps = 20_000_u32;
        let roots = solve(low.si, high.si, |x| {
            steps = steps.checked_sub(1).ok_or(())?;
            self.try_out(slot, Ok(Value::Quantity(Quantity { si: x, ..low })), drawn);
            for member in members {
                let tried = if drawn {
                    self.drawn(workspace, *member)
                } else {
                    self.slot(workspace, *member, &[]).0
                };
                self.try_out(*member, tried, drawn);
            }
            match condition(&evaluator(&self.view(), drawn), find) {
                Ok(difference) => {
                    unit = difference;
                    Ok::<_, ()>(Some(difference.si))
                }
                Err(trouble) => {
                    first.get_or_insert(trouble);
                    Ok(None)
                }
            }
        });
        let span = find.low.span.to(find.right.span);
        let Ok(roots) = roots else {
            return fail(Diagnostic::error(
                "this takes too many steps to solve",
                span,
            ));
        };
        if let (true, (None, None), Some(trouble)) = (roots.found.is_empty(), roots.ends, first) {
            return outcome(Err(one_trouble(trouble)), &self.view());
        }
        let name = workspace
            .slots
            .get(slot as usize)
            .map_or("", |slot| &*slot.name);
        match only_root(name, low, high, &roots, unit) {
            Ok(root) => Ok(Value::Quantity(Quantity { si: root, ..low })),
            Err(fault) => fail(Diagnostic::at(fault, span)),
        }
    }

    /// Puts a trial value into its place.
    fn try_out(&mut self, slot: u32, tried: Outcome, drawn: bool) {
        if drawn {
            self.drawing.insert(slot, tried);
        } else if let Some(place) = self.now.get_mut(slot as usize) {
            *place = tried;
        }
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

fn evaluator<'a>(view: &'a View, drawn: bool) -> Evaluator<'a> {
    if drawn {
        Evaluator::of_drawing(view)
    } else {
        Evaluator::new(view)
    }
}

/// The bracket of a `find` cell.
fn ends(view: &View, find: &FindCell, drawn: bool) -> Result<(Quantity, Quantity), Outcome> {
    let evaluator = evaluator(view, drawn);
    let end = |node: &Node| -> Result<Quantity, Trouble> {
        evaluator
            .evaluate(node)?
            .quantity()
            .map_err(|fault| Trouble::at(fault, node.span))
    };
    let span = find.low.span.to(find.high.span);
    end(&find.low)
        .and_then(|low| Ok((low, end(&find.high)?)))
        .and_then(|(low, high)| bracket(low, high).map_err(|fault| Trouble::at(fault, span)))
        .map_err(|trouble| outcome(Err(one_trouble(trouble)), view))
}

fn condition(evaluator: &Evaluator, find: &FindCell) -> Result<Quantity, Trouble> {
    let side = |node: &Node| {
        evaluator
            .evaluate(node)?
            .quantity()
            .map_err(|fault| Trouble::at(fault, node.span))
    };
    let (left, right) = (side(&find.left)?, side(&find.right)?);
    left.minus(right)
        .map_err(|fault| Trouble::at(fault, find.left.span.to(find.right.span)))
}

fn fail(diagnostic: Diagnostic) -> Outcome {
    Err(Box::new(Failure::Wrong(vec![diagnostic])))
}

/// What went wrong in one slot: several things in a table, one elsewhere.
type Troubles = Vec<Trouble>;

fn one_trouble(trouble: Trouble) -> Troubles {
    vec![trouble]
}

fn outcome(result: Result<Value, Troubles>, view: &View) -> Outcome {
    let troubles = match result {
        Ok(value) => return Ok(value),
        Err(troubles) => troubles,
    };
    let mut wrong = Vec::new();
    let mut missing = None;
    for trouble in troubles {
        match trouble {
            Trouble::Wrong(diagnostic) => wrong.push(*diagnostic),
            Trouble::Missing(slot) => missing = missing.or(Some(slot)),
        }
    }
    let failure = match missing {
        Some(slot) if wrong.is_empty() => Failure::Because(root(slot, view)),
        _ => Failure::Wrong(wrong),
    };
    Err(Box::new(failure))
}

/// The slot where the trouble began.
fn root(slot: u32, view: &View) -> u32 {
    match view
        .now
        .get(slot as usize)
        .map(|outcome| outcome.as_ref().map_err(|failure| &**failure))
    {
        Some(Err(Failure::Because(root))) => *root,
        _ => slot,
    }
}

/// What the content of a slot comes to.
fn content(evaluator: &Evaluator, content: &Content, view: &View) -> Result<Value, Troubles> {
    match content {
        Content::Nothing => Err(Vec::new()),
        Content::Broken(wrong) => Err(wrong.iter().cloned().map(Trouble::from).collect()),
        Content::Cell(node) | Content::Bare(node) => evaluator.evaluate(node).map_err(one_trouble),
        Content::Check(node) => {
            let value = evaluator.evaluate(node).map_err(one_trouble)?;
            match value.truth() {
                Ok(truth) => Ok(Value::Truth(truth)),
                Err(fault) => Err(one_trouble(Trouble::at(fault, node.span))),
            }
        }
        Content::Op(parts) => {
            // The values, in order; the sheet puts them into the text.
            let mut values = Vec::new();
            for part in parts {
                if let OpPartCode::Value(node) = part {
                    values.push(evaluator.evaluate(node).map_err(one_trouble)?);
                }
            }
            Ok(values.into())
        }
        Content::Table(table) => table_value(evaluator, table),
        Content::Function(function) => match missing_need(function, view) {
            Some(slot) => Err(one_trouble(Trouble::Missing(slot))),
            None => Ok(Value::None),
        },
        Content::Draw(code) => {
            super::draw::value(evaluator, code, view, view.slots).map_err(one_trouble)
        }
        Content::Vary(_) => Ok(Value::None),
        Content::Find(_) => Err(one_trouble(Trouble::at(
            Fault::new("this is solved elsewhere"),
            Span::default(),
        ))),
    }
}

/// Functions fail where they are called, not where they stand.
fn missing_need(_: &UserFunction, _: &View) -> Option<u32> {
    None
}

fn table_value(evaluator: &Evaluator, table: &TableCode) -> Result<Value, Troubles> {
    let mut rows = Vec::with_capacity(table.rows.len());
    let mut troubles = Vec::new();
    for row in &table.rows {
        let mut cells: Vec<Value> = Vec::with_capacity(table.columns.len());
        for cell in row {
            match cell.as_ref().map(|node| evaluator.evaluate(node)) {
                None => cells.push(Value::None),
                Some(Ok(value)) => cells.push(value),
                Some(Err(trouble)) => {
                    troubles.push(trouble);
                    cells.push(Value::None);
                }
            }
        }
        if troubles.is_empty() {
            for (place, formula) in &table.computed {
                let mut locals = cells.clone();
                match evaluator.with_locals(formula, &mut locals) {
                    Ok(value) => {
                        if let Some(cell) = cells.get_mut(*place) {
                            *cell = value;
                        }
                    }
                    Err(trouble) => troubles.push(trouble),
                }
            }
        }
        rows.push(cells);
    }
    troubles.dedup();
    if troubles.is_empty() {
        let value = Value::from(Table {
            columns: table.columns.clone(),
            rows,
        });
        evaluator
            .bounded(value, Span::new(0, "table".len()))
            .map_err(one_trouble)
    } else {
        Err(troubles)
    }
}
