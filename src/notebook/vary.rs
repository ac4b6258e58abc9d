//! What-if tables.

use std::collections::HashSet;
use std::sync::Arc;

use super::definition::{Definition, VaryCode, node_needs};
use super::order::Group;
use super::outcome::{Failure, Outcome};
use super::recalculate::{Deviations, misfit};
use super::step_budget::allow;
use super::trial::Trial;
use super::workspace::Workspace;
use crate::diagnostic::Diagnostic;
use crate::language::{EvalError, Evaluator, Node, RangeCode, Table, Value, steps};
use crate::quantity::Quantity;

/// The most rows of a what-if table.
pub const ROWS: usize = 10_000;

/// One row of a what-if table.
#[derive(Clone, Debug, PartialEq)]
pub struct VaryRow {
    /// The values that the varied cells take.
    pub varied: Vec<Value>,
    /// The values of what is shown; nothing where there is none, with why.
    pub shown: Vec<Result<Value, String>>,
    /// The checks that do not hold there, by slot.
    pub failing: Vec<u32>,
}

/// A what-if table.
#[derive(Clone, Debug, PartialEq)]
pub struct VaryTable {
    /// The varied cells.
    pub varied: Vec<u32>,
    /// How many values each of them takes.
    pub counts: Vec<usize>,
    /// The texts of what is shown.
    pub shown: Vec<String>,
    /// The rows: with two varied cells, the second changes fastest.
    pub rows: Vec<VaryRow>,
    /// The slots whose readings are set aside, for they would hide what changes.
    pub aside: Vec<u32>,
}

/// Works a `vary` statement out.
///
/// # Errors
/// What is wrong with its range; places count from the statement's first byte.
pub fn vary(workspace: &Workspace, slot: u32) -> Result<VaryTable, Vec<Diagnostic>> {
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
    share_steps(workspace);
    tried(workspace, code, Trial::new(workspace), true)
}

/// Returns the table of a named `vary` as a value, worked out from a trial's values.
pub fn table(workspace: &Workspace, code: &VaryCode, trial: Trial) -> Outcome {
    let needs = code.ranges.iter().map(|(slot, _)| *slot);
    for slot in needs {
        if let Some(Err(failure)) = trial.outcome(slot) {
            let root = match **failure {
                Failure::Because(root) => root,
                _ => slot,
            };
            return Err(Box::new(Failure::Because(root)));
        }
    }
    let table = tried(workspace, code, trial, false);
    let table = table.map_err(|wrong| Box::new(Failure::Wrong(wrong)))?;
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

/// Returns whether a slot rests on the table of a named `vary` that sizes with limits lead to: its
/// own limits are unknown then.
#[must_use]
pub fn rests_on_vary(workspace: &Workspace, slot: u32) -> bool {
    let reaches = |from: u32, found: &dyn Fn(u32) -> bool| {
        let (mut seen, mut next) = (HashSet::from([from]), vec![from]);
        while let Some(slot) = next.pop() {
            if found(slot) {
                return true;
            }
            let needs = workspace.slot(slot).map_or(&[][..], |slot| &slot.needs);
            next.extend(needs.iter().filter(|need| seen.insert(**need)));
        }
        false
    };
    let varies = |slot: u32| {
        let filled = workspace.slot(slot);
        filled.is_some_and(|filled| {
            matches!(filled.content, Definition::Vary(_)) && !filled.name.is_empty()
        })
    };
    let sized = |slot: u32| workspace.slot(slot).is_some_and(|slot| slot.sized);
    let any = workspace
        .slots
        .iter()
        .any(|filled| matches!(filled.content, Definition::Vary(_)) && !filled.name.is_empty());
    any && reaches(slot, &|slot| varies(slot) && reaches(slot, &sized))
}

/// Works a what-if table out on a trial; with what checks come to in each row.
fn tried(
    workspace: &Workspace,
    code: &VaryCode,
    mut trial: Trial,
    checks: bool,
) -> Result<VaryTable, Vec<Diagnostic>> {
    let still = Deviations::default();
    let lists = lists(workspace, &trial, code)?;
    let rows: usize = lists.iter().map(Vec::len).product();
    let varied: Vec<u32> = code.ranges.iter().map(|(slot, _)| *slot).collect();
    trial.set_aside(&varied);
    let groups = needed(workspace, &trial, code, &varied, checks);
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
        let mut rest = row;
        let mut taken: Vec<Value> = Vec::new();
        for list in lists.iter().rev() {
            taken.insert(
                0,
                list.get(rest % list.len().max(1))
                    .cloned()
                    .unwrap_or(Value::None),
            );
            rest /= list.len().max(1);
        }
        for (slot, value) in varied.iter().zip(&taken) {
            let value = like(trial.value(*slot), value);
            if let Err(fault) = trial.set(*slot, value) {
                let wrong = Diagnostic::at(fault, crate::diagnostic::Span::default());
                let outcome = Err(Box::new(Failure::Wrong(vec![wrong])));
                trial.put(*slot, outcome);
            }
        }
        trial.compute(&groups, &still);
        let shown = code.shown.iter().map(|(_, node)| {
            trial
                .with_view(&still, |cells| Evaluator::new(cells).evaluate(node))
                .map_err(|error| why(workspace, &trial, error))
        });
        let shown = shown.collect();
        let failing = groups.iter().flatten().copied().filter(|slot| {
            matches!(
                workspace.slot(*slot).map(|s| &s.content),
                Some(Definition::Check(_))
            ) && matches!(trial.value(*slot), Some(Value::Truth(false)))
        });
        let mut failing: Vec<u32> = failing.collect();
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

/// Returns what is wrong with the range of a `vary` statement; its rows are not computed.
#[must_use]
pub fn range_problems(workspace: &Workspace, slot: u32) -> Vec<Diagnostic> {
    let Some(Definition::Vary(code)) = workspace.slot(slot).map(|slot| &slot.content) else {
        return Vec::new();
    };
    share_steps(workspace);
    let lists = lists(workspace, &Trial::new(workspace), code);
    lists.err().unwrap_or_default()
}

/// The values of each varied cell.
fn lists(
    workspace: &Workspace,
    trial: &Trial,
    code: &VaryCode,
) -> Result<Vec<Vec<Value>>, Vec<Diagnostic>> {
    let still = Deviations::default();
    let mut lists: Vec<Vec<Value>> = Vec::new();
    for (slot, range) in &code.ranges {
        let list = values(trial, &still, range);
        let list = list.map_err(|error| vec![said(workspace, error)])?;
        let now = trial.value(*slot).and_then(|value| value.quantity().ok());
        let wrong = list.iter().find_map(|value| {
            misfit(
                &workspace.name_of(*slot),
                "value",
                value.quantity().ok()?,
                now?,
            )
        });
        if let Some(fault) = wrong {
            return Err(vec![Diagnostic::at(fault, range.span())]);
        }
        lists.push(list);
    }
    let rows: usize = lists.iter().map(Vec::len).product();
    if rows > ROWS {
        return Err(vec![Diagnostic::error(
            format!("this table would have {rows} rows; the limit is {ROWS}"),
            crate::diagnostic::Span::default(),
        )]);
    }
    for (slot, _) in &code.ranges {
        if let Some(Err(failure)) = trial.outcome(*slot)
            && **failure == Failure::Undefined
        {
            // The name is unknown, which is said where it stands.
            return Err(Vec::new());
        }
    }
    Ok(lists)
}

/// The what-if tables and graphs of a notebook share the steps that they may take
/// together, so that what one comes to does not depend on what was worked out before it.
fn share_steps(workspace: &Workspace) {
    let tables = workspace.slots.iter().filter(|slot| match &slot.content {
        Definition::Vary(_) => true,
        Definition::Draw(code) => code.over.is_some(),
        _ => false,
    });
    allow(tables.count());
}

/// Returns what must be computed for each row: what the shown values and the checks need of
/// what the varied cells change.
fn needed(
    workspace: &Workspace,
    trial: &Trial,
    code: &VaryCode,
    varied: &[u32],
    checks: bool,
) -> Vec<Group> {
    let mut wanted = Vec::new();
    for (_, node) in &code.shown {
        node_needs(node, &mut wanted);
    }
    let mut wanted: HashSet<u32> = wanted.into_iter().collect();
    let is_check = |slot: u32| {
        let slot = workspace.slot(slot);
        slot.is_some_and(|slot| matches!(slot.content, Definition::Check(_)))
    };
    let mut groups = trial.order(varied);
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

/// A plain number takes the unit of the cell it is put into, so that it is shown
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

fn values(trial: &Trial, still: &Deviations, range: &RangeCode) -> Result<Vec<Value>, EvalError> {
    let evaluate =
        |node: &Node| trial.with_view(still, |cells| Evaluator::new(cells).evaluate(node));
    match range {
        RangeCode::List(nodes) => {
            let mut all = Vec::new();
            for node in nodes {
                match evaluate(node)? {
                    Value::List(items) => all.extend(items.iter().cloned()),
                    value => all.push(value),
                }
            }
            Ok(all)
        }
        RangeCode::Steps(nodes) => {
            let [from, to, by] = &**nodes;
            let quantity = |node: &Node| {
                evaluate(node)?
                    .quantity()
                    .map_err(|fault| EvalError::at(fault, node.span))
            };
            let ends = [quantity(from)?, quantity(to)?, quantity(by)?];
            steps(ends, ROWS)
                .map_err(|(place, fault)| EvalError::at(fault, nodes.get(place).unwrap_or(by).span))
        }
    }
}

fn said(workspace: &Workspace, error: EvalError) -> Diagnostic {
    match error {
        EvalError::Wrong(diagnostic) => *diagnostic,
        EvalError::Unmeasured(slot) => {
            let message = format!("`{}` is not measured yet", workspace.name_of(slot));
            Diagnostic::error(message, crate::diagnostic::Span::default())
        }
        EvalError::Missing(slot) => {
            let message = format!("this needs {}, which has no value", workspace.name_of(slot));
            Diagnostic::error(message, crate::diagnostic::Span::default())
        }
    }
}

/// Why a shown value is missing, in a few words.
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
