//! What moved between two states of a notebook.

use std::borrow::Cow;
use std::cmp::Ordering;
use std::path::Path;

use foldhash::{HashMap, HashSet};

use super::definition::Definition;
use super::limits::{ToleranceAnalysis, Verdict};
use super::order::affected_by;
use super::outcome::Outcome;
use super::workspace::Workspace;
use crate::language::{SlotId, Value};
use crate::quantity::slack;
use crate::syntax::{parse_statement, print_statement};

/// Something whose value is not what it was.
#[derive(Clone, Debug, PartialEq)]
pub struct Moved {
    /// Its name as seen from the notebook that was opened; for a statement without
    /// one its text.
    pub name: String,
    /// Whether it is a check.
    pub check: bool,
    /// Whether it is an op, whose values come as a list.
    pub op: bool,
    /// What it was; nothing when it is new.
    pub was: Option<Outcome>,
    /// What it is now; nothing when it is gone.
    pub now: Option<Outcome>,
    /// Whether its formula is another.
    pub reworded: bool,
    /// What a check came to and comes to, its limits counted in.
    pub verdicts: [Option<Verdict>; 2],
    /// What a result could and can come out as, in coherent SI.
    pub limits: [Option<(f64, f64)>; 2],
}

/// A statement by the number of its file and its name, or its text without spaces and its
/// number among those alike where it has no name.
type Key<'a> = (usize, Cow<'a, str>, u32);

/// Returns what moved from one state of a notebook to another: checks that changed their
/// answer first, then everything in the order in which it is computed. A check may
/// change its answer, and a number its limits, though the value stays.
#[must_use]
pub fn moved(before: &Workspace, after: &Workspace) -> Vec<Moved> {
    let mut files: Vec<&Path> = Vec::new();
    let old: HashMap<Key, SlotId> = keys(before, &mut files).into_iter().collect();
    let new = keys(after, &mut files);
    let mut found: Vec<(usize, Moved)> = Vec::new();
    let all: Vec<SlotId> = new.iter().map(|(_, slot)| *slot).collect();
    let order: HashMap<SlotId, usize> = affected_by(after, &all)
        .into_iter()
        .flatten()
        .enumerate()
        .map(|(place, slot)| (slot, place))
        .collect();
    let mut kept: HashSet<&Key> = HashSet::default();
    let mut changed: HashMap<SlotId, bool> = HashMap::default();
    for (key, slot) in &new {
        kept.insert(key);
        let was = old.get(key).map(|old| before.outcome(*old));
        let reworded = old
            .get(key)
            .is_some_and(|old| !says_the_same(wording(before, *old), wording(after, *slot)));
        if reworded || !was.is_some_and(|was| same(was, after.outcome(*slot))) {
            changed.insert(*slot, reworded);
        } else if let Some(old) = old.get(key)
            && tried_over_reading(before, *old, after, *slot)
        {
            changed.insert(*slot, false);
        }
    }
    let at_limits = AtLimits::of(before, after, &old, &new, &changed);
    for (key, slot) in &new {
        let was = old.get(key);
        let verdicts = at_limits.verdicts(was.copied(), *slot);
        let limits = at_limits.limits(was.copied(), *slot);
        let moved_limits = at_limits.differ(limits, *slot);
        if !changed.contains_key(slot) && verdicts[0] == verdicts[1] && !moved_limits {
            continue;
        }
        let place = order.get(slot).copied().unwrap_or(usize::MAX);
        found.push((
            place,
            Moved {
                name: after.name_of(*slot),
                check: is_check(after, *slot),
                op: is_op(after, *slot),
                was: was.map(|old| before.outcome(*old).clone()),
                now: Some(after.outcome(*slot).clone()),
                reworded: changed.get(slot).copied().unwrap_or(false),
                verdicts,
                limits,
            },
        ));
    }
    let mut gone: Vec<(&Key, SlotId)> = old
        .iter()
        .filter(|(key, _)| !kept.contains(key))
        .map(|(key, slot)| (key, *slot))
        .collect();
    gone.sort_by_key(|(_, slot)| *slot);
    for (_, slot) in gone {
        let moved = Moved {
            name: before.name_of(slot),
            check: is_check(before, slot),
            op: is_op(before, slot),
            was: Some(before.outcome(slot).clone()),
            now: None,
            reworded: false,
            verdicts: [truth(before.outcome(slot)).map(Verdict::of), None],
            limits: [None, None],
        };
        found.push((usize::MAX, moved));
    }
    let answer = |moved: &Moved| moved.verdicts[0] != moved.verdicts[1];
    found.sort_by_key(|(place, moved)| (!answer(moved), *place));
    found.into_iter().map(|(_, moved)| moved).collect()
}

fn truth(outcome: &Outcome) -> Option<bool> {
    match outcome {
        Ok(Value::Truth(truth)) => Some(*truth),
        _ => None,
    }
}

/// What slots come to at their limits.
struct State<'a> {
    workspace: &'a Workspace,
    /// Of the checks.
    verdicts: HashMap<SlotId, Verdict>,
    /// Of the results, in coherent SI.
    ranges: HashMap<SlotId, (f64, f64)>,
}

impl<'a> State<'a> {
    /// Works the limits of some slots out, and keeps of them what can be seen to move.
    fn of(workspace: &'a Workspace, slots: &[SlotId]) -> Self {
        let travel = ToleranceAnalysis::of_slots(workspace, slots);
        let range = |slot: &SlotId| Some((*slot, travel.of_slot(*slot)?.range()?));
        let checks = travel.checks.iter();
        Self {
            workspace,
            verdicts: checks
                .map(|(slot, check)| (*slot, check.verdict()))
                .collect(),
            ranges: slots.iter().filter_map(range).collect(),
        }
    }
}

/// The limits of what a change can have touched, before and after it.
struct AtLimits<'a> {
    states: [State<'a>; 2],
}

impl<'a> AtLimits<'a> {
    fn of(
        before: &'a Workspace,
        after: &'a Workspace,
        old: &HashMap<Key, SlotId>,
        new: &[(Key, SlotId)],
        changed: &HashMap<SlotId, bool>,
    ) -> Self {
        // A reading takes the place of limits, also where the value stays.
        let read = |workspace: &Workspace, slot: SlotId| {
            let slot = workspace.slot(slot);
            slot.is_some_and(|slot| !slot.measured.is_empty())
        };
        let reading = new.iter().filter(|(key, slot)| {
            let was = old.get(key);
            was.is_some_and(|was| read(before, *was) != read(after, *slot))
        });
        let starts = changed.keys().copied();
        let starts: Vec<SlotId> = starts.chain(reading.map(|(_, slot)| *slot)).collect();
        let touched = affected_by(after, &starts).into_iter().flatten();
        let touched: HashSet<SlotId> = touched.collect();
        let touched = new.iter().filter(|(_, slot)| touched.contains(slot));
        let (mut were, mut are) = (Vec::new(), Vec::new());
        for (key, slot) in touched {
            let was = old.get(key);
            are.push(*slot);
            were.extend(was);
        }
        Self {
            states: [State::of(before, &were), State::of(after, &are)],
        }
    }

    /// Returns what a check came to and comes to.
    fn verdicts(&self, was: Option<SlotId>, now: SlotId) -> [Option<Verdict>; 2] {
        let verdict = |slot: SlotId, state: &State| {
            if !is_check(state.workspace, slot) {
                return None;
            }
            let holds = truth(state.workspace.outcome(slot))?;
            let at_limits = state.verdicts.get(&slot).copied();
            Some(at_limits.unwrap_or(Verdict::of(holds)))
        };
        let [before, after] = &self.states;
        [
            was.and_then(|was| verdict(was, before)),
            verdict(now, after),
        ]
    }

    /// Returns what a result could and can come out as.
    fn limits(&self, was: Option<SlotId>, now: SlotId) -> [Option<(f64, f64)>; 2] {
        let [old, new] = &self.states;
        let ends = |state: &State, slot: SlotId| state.ranges.get(&slot).copied();
        [was.and_then(|was| ends(old, was)), ends(new, now)]
    }

    /// Returns whether limits are others than they were.
    fn differ(&self, limits: [Option<(f64, f64)>; 2], now: SlotId) -> bool {
        let [_, State { workspace, .. }] = &self.states;
        let like = workspace.value(now).and_then(|value| value.quantity().ok());
        let (Some(like), [Some(was), Some(now)]) = (like, limits) else {
            return false;
        };
        let differ = |was: f64, now: f64| (now - was).abs() > slack(like).max(1e-12 * was.abs());
        differ(was.0, now.0) || differ(was.1, now.1)
    }
}

fn is_check(workspace: &Workspace, slot: SlotId) -> bool {
    matches!(
        workspace.slot(slot).map(|slot| &slot.content),
        Some(Definition::Check(_))
    )
}

fn is_op(workspace: &Workspace, slot: SlotId) -> bool {
    matches!(
        workspace.slot(slot).map(|slot| &slot.content),
        Some(Definition::Op(_) | Definition::OpEach(_))
    )
}

/// Returns whether a definition was tried for what is measured: the reading counts, whatever
/// the definition says.
fn tried_over_reading(before: &Workspace, old: SlotId, after: &Workspace, new: SlotId) -> bool {
    let tried = |workspace: &Workspace, slot: SlotId| {
        let slot = workspace.slot(slot);
        slot.and_then(|slot| slot.redefined.clone())
    };
    let measured = |slot: SlotId| after.slot(slot).is_some_and(|s| !s.measured.is_empty());
    measured(new) && tried(after, new).is_some_and(|text| Some(text) != tried(before, old))
}

/// Returns whether two statements differ in nothing but their spacing.
fn says_the_same(a: &str, b: &str) -> bool {
    if a == b {
        return true;
    }
    match (parse_statement(a), parse_statement(b)) {
        (Ok(a), Ok(b)) => print_statement(&a) == print_statement(&b),
        _ => false,
    }
}

/// Returns whether two outcomes are the same for a reader: why something failed does not
/// count, nor does what only rounding made.
fn same(a: &Outcome, b: &Outcome) -> bool {
    match (a, b) {
        (Ok(a), Ok(b)) => same_value(a, b),
        (Err(_), Err(_)) => true,
        _ => false,
    }
}

/// Returns whether two values are the same for a reader: shown in the same unit, and equal
/// up to rounding.
#[must_use]
pub fn same_value(a: &Value, b: &Value) -> bool {
    let all = |a: &[Value], b: &[Value]| {
        a.len() == b.len() && a.iter().zip(b).all(|(a, b)| same_value(a, b))
    };
    match (a, b) {
        (Value::Quantity(a), Value::Quantity(b)) => {
            a == b || a.unit == b.unit && a.order(*b).is_ok_and(Ordering::is_eq)
        }
        (Value::Size(a), Value::Size(b)) => {
            let near = |x: f64, y: f64| a.like(x).order(b.like(y)).is_ok_and(Ordering::is_eq);
            let limits = match (&a.limits, &b.limits) {
                (None, None) => true,
                (Some(a), Some(b)) => near(a.low, b.low) && near(a.high, b.high),
                _ => false,
            };
            let reading = match (a.reading, b.reading) {
                (None, None) => true,
                (Some(a), Some(b)) => near(a, b),
                _ => false,
            };
            limits
                && reading
                && near(a.value.si, b.value.si)
                && near(a.drawn.si, b.drawn.si)
                && near(a.aim, b.aim)
                && a.value.unit == b.value.unit
        }
        (Value::List(a), Value::List(b)) => all(a, b),
        (Value::Table(a), Value::Table(b)) => {
            a.columns == b.columns
                && a.rows.len() == b.rows.len()
                && a.rows.iter().zip(&b.rows).all(|(a, b)| all(a, b))
        }
        (Value::Record(a), Value::Record(b)) => {
            let alike = |((name, a), (other, b)): (&(_, Value), &(_, Value))| {
                name == other && same_value(a, b)
            };
            a.fields.len() == b.fields.len() && a.fields.iter().zip(&b.fields).all(alike)
        }
        _ => a == b,
    }
}

/// Returns the text of the statement that fills a slot.
fn wording(workspace: &Workspace, slot: SlotId) -> &str {
    let Some(filled) = workspace.slot(slot) else {
        return "";
    };
    if let Some(text) = &filled.redefined {
        return text;
    }
    let page = workspace.page(filled.page);
    let item = page.and_then(|page| page.items.get(filled.item as usize));
    page.zip(item)
        .map_or("", |(page, item)| page.text_at(item.piece.span))
}

/// Returns the statements with values, by file and name; `files` are those met so far.
fn keys<'a>(workspace: &'a Workspace, files: &mut Vec<&'a Path>) -> Vec<(Key<'a>, SlotId)> {
    let mut found = Vec::new();
    let mut alike: HashMap<(usize, Cow<str>), u32> = HashMap::default();
    for page in &workspace.pages {
        let known = files.iter().position(|file| *file == page.path);
        let file = known.unwrap_or_else(|| {
            files.push(&page.path);
            files.len() - 1
        });
        for (index, item) in (0_u32..).zip(&page.items) {
            let Some(slot) = item.slot else { continue };
            let Some(filled) = workspace.slot(slot) else {
                continue;
            };
            if filled.item != index
                || matches!(
                    filled.content,
                    Definition::Nothing
                        | Definition::Function(_)
                        | Definition::Vary(_)
                        | Definition::Draw(_)
                )
            {
                continue;
            }
            if !filled.name.is_empty() {
                found.push(((file, Cow::Borrowed(&*filled.name), 0), slot));
                continue;
            }
            let text = page.text_at(item.piece.span);
            let text: String = text.chars().filter(|c| !c.is_whitespace()).collect();
            let text: Cow<str> = text.into();
            let count = alike.entry((file, text.clone())).or_default();
            *count += 1;
            found.push(((file, text, *count), slot));
        }
    }
    found
}
