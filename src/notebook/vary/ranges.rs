//! The values that the varied cells of a what-if table take.

use foldhash::HashMap;

use crate::diagnostic::{Diagnostic, Fault};
use crate::language::{EvalError, Evaluator, Node, RangeCode, SlotId, Value, step_count, steps};
use crate::notebook::definition::{Definition, VaryCode};
use crate::notebook::outcome::{Faces, Failure, Outcome};
use crate::notebook::readings::misfit;
use crate::notebook::step_budget::{afresh, allow};
use crate::notebook::view::{Deviations, view};
use crate::notebook::workspace::Workspace;

/// The most rows of a what-if table.
const ROWS: usize = 10_000;
/// The most values that all what-if tables and graphs of a notebook hold, shared out
/// evenly.
const VALUES: usize = 120_000;

/// Returns what is wrong with the range of a `vary` statement; its rows are not computed.
#[must_use]
pub fn range_problems(workspace: &Workspace, slot: SlotId) -> Vec<Diagnostic> {
    let Some(Definition::Vary(code)) = workspace.slot(slot).map(|slot| &slot.content) else {
        return Vec::new();
    };
    allow(workspace.tables.max(1));
    let standing = (workspace.values.as_slice(), &workspace.faces);
    let lists = lists(workspace, standing, code, share(workspace));
    afresh();
    lists.err().unwrap_or_default()
}

/// Values, with what slots have besides.
type Standing<'a> = (&'a [Outcome], &'a HashMap<SlotId, Faces>);

/// Returns the values of each varied cell.
pub(super) fn lists(
    workspace: &Workspace,
    standing: Standing,
    code: &VaryCode,
    most: usize,
) -> Result<Vec<Vec<Value>>, Vec<Diagnostic>> {
    let outcome = |slot: SlotId| standing.0.get(slot.index());
    let mut lists: Vec<Vec<Value>> = Vec::new();
    for (slot, range) in &code.ranges {
        let list = values(workspace, standing, range, most);
        let list = list.map_err(|error| vec![said(workspace, error)])?;
        let now = outcome(*slot).and_then(|outcome| outcome.as_ref().ok());
        let now = now.and_then(|value| value.quantity().ok());
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
    let columns = code.ranges.len() + code.shown.len();
    if rows * columns > most {
        let fault = shared(rows, columns, most);
        return Err(vec![Diagnostic::at(
            fault,
            crate::diagnostic::Span::default(),
        )]);
    }
    for (slot, _) in &code.ranges {
        if let Some(Err(failure)) = outcome(*slot)
            && **failure == Failure::Undefined
        {
            // The name is unknown, which is said where it stands.
            return Err(Vec::new());
        }
    }
    Ok(lists)
}

/// Says that a table would hold more than its share.
fn shared(rows: usize, columns: usize, most: usize) -> Fault {
    let message = format!(
        "this table would have {rows} rows of {columns} values; the what-if tables and graphs of a notebook share {VALUES} values, {most} each"
    );
    Fault::new(message).advise("take larger steps, or fewer tables")
}

/// Returns how many values a what-if table may hold: what one comes to does not depend on
/// what was worked out before it.
pub(super) fn share(workspace: &Workspace) -> usize {
    VALUES / workspace.tables.max(1)
}

/// Returns the values that a cell takes, which may be so many.
fn values(
    workspace: &Workspace,
    (now, faces): Standing,
    range: &RangeCode,
    most: usize,
) -> Result<Vec<Value>, EvalError> {
    let still = Deviations::default();
    let evaluate = |node: &Node| {
        view(workspace, now, faces, &still, None, |cells| {
            Evaluator::new(cells).evaluate(node)
        })
    };
    match range {
        RangeCode::List(nodes) => {
            let mut all = Vec::new();
            for node in nodes {
                match evaluate(node)? {
                    Value::List(items) if items.len() > most => {
                        return Err(EvalError::at(shared(items.len(), 1, most), node.span));
                    }
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
            // Where many tables share the values, few are asked for.
            let few = steps(ends, ROWS.min(most));
            let made = match few {
                Err(_) if most < ROWS => match step_count(ends, ROWS) {
                    Ok(count) => Err((2, shared(count, 1, most))),
                    Err(fault) => Err(fault),
                },
                made => made,
            };
            made.map_err(|(place, fault)| EvalError::at(fault, nodes.get(place).unwrap_or(by).span))
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
