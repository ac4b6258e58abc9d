//! What-if tables.

mod ranges;

pub use ranges::range_problems;
use ranges::{lists, share};

use std::sync::Arc;

use foldhash::HashSet;

use super::definition::{Definition, VaryCode, node_needs};
use super::order::{Group, affected_among};
use super::outcome::{Failure, Outcome};
use super::step_budget::{afresh, allow, exhausted, spend};
use super::trial::Trial;
use super::view::Deviations;
use super::workspace::{Slot, Workspace};
use crate::diagnostic::Diagnostic;
use crate::language::{EvalError, Evaluator, SlotId, Table, Value};
use crate::quantity::Quantity;

/// So many values are copied in the time of a step.
const COPIED: u64 = 4;
/// So many steps does it take to put a slot in its order.
const ORDERED: u64 = 2;
/// So many slots are marked or looked at in the time of a step.
const MARKED: usize = 16;
/// Why a row has no values.
const NO_STEPS: &str = "the what-if tables of the notebook take too many steps";
const TOO_MANY: &str = "the what-if tables of the notebook hold too many values";

/// One row of a what-if table.
#[derive(Clone, Debug, PartialEq)]
pub struct VaryRow {
    /// The values that the varied cells take.
    pub varied: Vec<Value>,
    /// The values of what is shown; nothing where there is none, with why.
    pub shown: Vec<Result<Value, String>>,
    /// The checks that do not hold there, by slot.
    pub failing: Vec<SlotId>,
}

impl VaryRow {
    /// Returns a row without values, with why.
    fn without(varied: Vec<Value>, count: usize, why: &str) -> Self {
        Self {
            varied,
            shown: vec![Err(why.to_owned()); count],
            failing: Vec::new(),
        }
    }
}

/// Returns the values that the varied cells take in a row; the last changes fastest.
fn row_of(lists: &[Vec<Value>], row: usize) -> Vec<Value> {
    let mut rest = row;
    let mut taken: Vec<Value> = Vec::new();
    for list in lists.iter().rev() {
        let place = rest % list.len().max(1);
        taken.push(list.get(place).cloned().unwrap_or(Value::None));
        rest /= list.len().max(1);
    }
    taken.reverse();
    taken
}

/// A what-if table.
#[derive(Clone, Debug, PartialEq)]
pub struct VaryTable {
    /// The varied cells.
    pub varied: Vec<SlotId>,
    /// How many values each of them takes.
    pub counts: Vec<usize>,
    /// The texts of what is shown.
    pub shown: Vec<String>,
    /// The rows: with two varied cells, the second changes fastest.
    pub rows: Vec<VaryRow>,
    /// The slots whose readings are set aside, for they would hide what changes.
    pub aside: Vec<SlotId>,
}

/// Works a `vary` statement out.
///
/// # Errors
/// What is wrong with its range; places count from the statement's first byte.
pub fn vary(workspace: &Workspace, slot: SlotId) -> Result<VaryTable, Vec<Diagnostic>> {
    match workspace.slot(slot).map(|slot| &slot.content) {
        Some(Definition::Vary(code)) => worked_out(workspace, code),
        _ => Err(Vec::new()),
    }
}

/// Works a what-if table out.
///
/// # Errors
/// What is wrong with its range; places count from the statement's first byte.
pub fn worked_out(workspace: &Workspace, code: &VaryCode) -> Result<VaryTable, Vec<Diagnostic>> {
    allow(workspace.tables.max(1));
    let made = tried(workspace, code, None, true);
    afresh();
    made
}

/// Returns the table of a named `vary` as a value, worked out from a trial's values, which
/// are left as they were.
pub fn table<'a>(workspace: &'a Workspace, code: &VaryCode, trial: &mut Trial<'a>) -> Outcome {
    let needs = code.ranges.iter().map(|(slot, _)| *slot);
    for slot in needs {
        if let Some(Err(failure)) = trial.outcome(slot) {
            let root = match **failure {
                Failure::Because(root) => root,
                _ => slot,
            };
            return Err(Arc::new(Failure::Because(root)));
        }
    }
    let table = tried(workspace, code, Some(trial), false);
    let table = table.map_err(|wrong| Arc::new(Failure::Wrong(wrong)))?;
    // What is worked out with it would miss these without a word.
    let shown = table.rows.iter().flat_map(|row| row.shown.iter());
    let without = |why: &&String| *why == NO_STEPS || *why == TOO_MANY;
    if let Some(why) = shown.filter_map(|shown| shown.as_ref().err()).find(without) {
        let wrong = Diagnostic::error(why.clone(), crate::diagnostic::Span::default());
        let wrong = wrong.advise("take larger steps, or fewer tables");
        return Err(Arc::new(Failure::Wrong(vec![wrong])));
    }
    let names = table.varied.iter().map(|slot| workspace.name_of(*slot));
    // `slide as dms` is the column `slide`.
    let shown = table
        .shown
        .iter()
        .map(|text| match text.split_once(" as ") {
            Some((name, _)) if name.chars().all(|c| c.is_alphanumeric() || c == '_') => {
                name.to_owned()
            }
            _ => text.clone(),
        });
    let columns = names.chain(shown).map(Arc::from).collect();
    let rows = table.rows.into_iter().map(|row| {
        let shown = row
            .shown
            .into_iter()
            .map(|shown| shown.unwrap_or(Value::None));
        row.varied
            .into_iter()
            .chain(shown)
            .map(|value| value.plain())
            .collect()
    });
    Ok(Table {
        columns,
        rows: rows.collect(),
        choices: false,
    }
    .into())
}

/// Returns the slots that are reached from some, themselves too.
fn reached(starts: Vec<SlotId>, ways: impl Fn(SlotId) -> Vec<SlotId>) -> HashSet<SlotId> {
    let (mut seen, mut next) = (HashSet::default(), starts);
    while let Some(slot) = next.pop() {
        if seen.insert(slot) {
            next.extend(ways(slot));
        }
    }
    seen
}

/// Returns the slots that rest on the table of a named `vary` to which sizes with limits lead:
/// their own limits are unknown then.
pub(super) fn resting_on_vary(workspace: &Workspace) -> HashSet<SlotId> {
    if workspace.tables == 0 {
        return HashSet::default();
    }
    let of = |slot: SlotId, way: fn(&Slot) -> &[SlotId]| {
        let slot = workspace.slot(slot);
        slot.map_or(Vec::new(), |slot| way(slot).to_vec())
    };
    let numbered = |is: fn(&Slot) -> bool| {
        let slots = SlotId::all().zip(&workspace.slots);
        slots
            .filter(move |(_, slot)| is(slot))
            .map(|(number, _)| number)
    };
    let sized = numbered(|slot| slot.sized).collect();
    let sized = reached(sized, |slot| of(slot, |slot| &slot.dependents));
    let named = |slot: &Slot| matches!(slot.content, Definition::Vary(_)) && !slot.name.is_empty();
    let varies = numbered(named).filter(|vary| sized.contains(vary));
    let varies: Vec<SlotId> = varies.collect();
    reached(varies, |slot| of(slot, |slot| &slot.dependents))
}

/// Works a what-if table out within the steps that are left, on a trial of its own or on
/// this one; with what checks come to in each row.
fn tried<'a>(
    workspace: &'a Workspace,
    code: &VaryCode,
    trial: Option<&mut Trial<'a>>,
    checks: bool,
) -> Result<VaryTable, Vec<Diagnostic>> {
    let still = Deviations::default();
    let most = share(workspace);
    let standing = trial
        .as_ref()
        .map_or((workspace.values.as_slice(), &workspace.faces), |trial| {
            trial.held()
        });
    let lists = lists(workspace, standing, code, most)?;
    let mut room = most;
    let rows: usize = lists.iter().map(Vec::len).product();
    let varied: Vec<SlotId> = code.ranges.iter().map(|(slot, _)| *slot).collect();
    let slots = workspace.slots.len() as u64;
    if trial.is_none() {
        // A copy of all values is made, and all that moves put in order.
        spend(slots / COPIED + slots * ORDERED);
    }
    if !workspace.measured.is_empty() {
        // Once more for the readings that are set aside.
        spend(slots * ORDERED);
    }
    if exhausted() {
        let count = code.shown.len();
        return Ok(VaryTable {
            varied,
            counts: lists.iter().map(Vec::len).collect(),
            shown: code.shown.iter().map(|(text, _)| text.clone()).collect(),
            rows: (0..rows)
                .map(|row| VaryRow::without(row_of(&lists, row), count, NO_STEPS))
                .collect(),
            aside: Vec::new(),
        });
    }
    let mut own = None;
    let trial = trial.unwrap_or_else(|| own.insert(Trial::new(workspace)));
    trial.set_aside(&varied);
    let groups = needed(workspace, trial, code, &varied, checks);
    let aside = groups
        .iter()
        .flatten()
        .copied()
        .chain(varied.iter().copied());
    let aside = aside.filter(|slot| trial.is_aside(*slot)).collect();
    let mut table = VaryTable {
        varied: varied.clone(),
        counts: lists.iter().map(Vec::len).collect(),
        shown: code.shown.iter().map(|(text, _)| text.clone()).collect(),
        rows: Vec::new(),
        aside,
    };
    for row in 0..rows {
        let taken = row_of(&lists, row);
        // What is left without steps or room is not worked out.
        if exhausted() || room == 0 {
            let said = if room == 0 { TOO_MANY } else { NO_STEPS };
            table
                .rows
                .push(VaryRow::without(taken, code.shown.len(), said));
            continue;
        }
        for (slot, value) in varied.iter().zip(&taken) {
            let value = like(trial.value(*slot), value);
            if let Err(fault) = trial.set(*slot, value) {
                let wrong = Diagnostic::at(fault, crate::diagnostic::Span::default());
                let outcome = Err(Arc::new(Failure::Wrong(vec![wrong])));
                trial.put(*slot, outcome);
            }
        }
        trial.compute(&groups, &still);
        let shown = code.shown.iter().map(|(_, node)| {
            trial
                .with_view(&still, |cells| Evaluator::new(cells).evaluate(node))
                .map_err(|error| why(workspace, trial, error))
        });
        let shown: Vec<Result<Value, String>> = shown.collect();
        let held = shown.iter().flatten().map(Value::size);
        room = room.saturating_sub(varied.len() + held.sum::<usize>());
        let failing = groups.iter().flatten().copied().filter(|slot| {
            matches!(
                workspace.slot(*slot).map(|s| &s.content),
                Some(Definition::Check(_))
            ) && matches!(trial.value(*slot), Some(Value::Truth(false)))
        });
        let mut failing: Vec<SlotId> = failing.collect();
        failing.sort_by_key(|slot| workspace.slot(*slot).map(|slot| (slot.page, slot.item)));
        table.rows.push(VaryRow {
            varied: taken,
            shown,
            failing,
        });
        trial.reset();
    }
    Ok(table)
}

/// Returns what must be computed for each row: what the shown values and the checks need of
/// what the varied cells change.
fn needed(
    workspace: &Workspace,
    trial: &Trial,
    code: &VaryCode,
    varied: &[SlotId],
    checks: bool,
) -> Vec<Group> {
    let mut wanted = Vec::new();
    for (_, node) in &code.shown {
        node_needs(node, &mut wanted);
    }
    let mut wanted: HashSet<SlotId> = wanted.into_iter().collect();
    let is_check = |slot: SlotId| {
        let slot = workspace.slot(slot);
        slot.is_some_and(|slot| matches!(slot.content, Definition::Check(_)))
    };
    let mut groups = if checks {
        trial.order(varied)
    } else {
        let starts = wanted.iter().copied().collect();
        let above = reached(starts, |slot| {
            let slot = workspace.slot(slot);
            slot.map_or(Vec::new(), |slot| slot.needs.clone())
        });
        let below = varied.iter().filter_map(|slot| workspace.slot(*slot));
        let below: usize = below.map(|slot| slot.dependents.len()).sum();
        spend((above.len() + (below + workspace.slots.len()) / MARKED) as u64);
        affected_among(workspace, varied, |slot| above.contains(&slot))
    };
    spend(groups.len() as u64);
    groups.reverse();
    groups.retain(|group| {
        let kept = group
            .iter()
            .any(|slot| wanted.contains(slot) || checks && is_check(*slot));
        if kept {
            for slot in group {
                let needs = workspace.slot(*slot).map_or(&[][..], |slot| &slot.needs);
                wanted.extend(needs);
            }
        }
        kept && !matches!(group, Group::One(slot) if varied.contains(slot))
    });
    groups.reverse();
    groups
}

/// Gives a plain number the unit of the cell it is put into, so that it is shown
/// alike.
fn like(before: Option<&Value>, value: &Value) -> Value {
    match (before.map(Value::quantity), value) {
        (Some(Ok(old)), Value::Quantity(new))
            if old.dimension == new.dimension && new.unit == crate::quantity::Unit::NONE =>
        {
            Value::Quantity(Quantity {
                unit: old.unit,
                ..*new
            })
        }
        _ => value.clone(),
    }
}

/// Returns why a shown value is missing, in a few words.
fn why(workspace: &Workspace, trial: &Trial, error: EvalError) -> String {
    match error {
        EvalError::Wrong(diagnostic) => diagnostic.message,
        EvalError::Unmeasured(slot) => format!("{} is not measured yet", workspace.name_of(slot)),
        EvalError::Missing(slot) => match trial.outcome(slot) {
            Some(Err(failure)) => match &**failure {
                Failure::Wrong(wrong) => wrong
                    .first()
                    .map_or_else(String::new, |wrong| wrong.message.clone()),
                Failure::Because(root) => match trial
                    .outcome(*root)
                    .map(|outcome| outcome.as_ref().map_err(|f| &**f))
                {
                    Some(Err(Failure::Wrong(wrong))) => wrong
                        .first()
                        .map_or_else(String::new, |wrong| wrong.message.clone()),
                    _ => format!("needs {}", workspace.name_of(*root)),
                },
                Failure::Unmeasured(slot) => {
                    format!("{} is not measured yet", workspace.name_of(*slot))
                }
                Failure::Undefined => format!("needs {}", workspace.name_of(slot)),
            },
            _ => format!("needs {}", workspace.name_of(slot)),
        },
    }
}
