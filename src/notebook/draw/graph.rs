//! `draw graph of NAME over NAME`: how cells move with a varied one.

use std::cell::OnceCell;
use std::sync::Arc;

use foldhash::HashSet;

use super::form::Over;
use crate::diagnostic::Diagnostic;
use crate::language::{Evaluator, Node, PageId, RangeCode, ResolvedExpr, SlotId, Value};
use crate::notebook::definition::{Definition, VaryCode};
use crate::notebook::order::affected_by;
use crate::notebook::vary::{VaryRow, VaryTable, worked_out};
use crate::notebook::workspace::Workspace;
use crate::quantity::Quantity;
use crate::syntax::Operator;

/// The most points of a graph.
const POINTS: usize = 2_000;

/// A limit that a check sets for a shown cell.
#[derive(Clone, Debug, PartialEq)]
pub struct GraphLimit {
    /// The place of the shown cell.
    pub shown: usize,
    /// How the cell must stand to the value.
    pub operator: Operator,
    /// The value.
    pub value: Quantity,
}

/// The numbers of a graph.
#[derive(Clone, Debug, PartialEq)]
pub struct GraphTable {
    /// What the graph goes over.
    pub over: String,
    /// The what-if table.
    pub table: VaryTable,
    /// The limits that checks set.
    pub limits: Vec<GraphLimit>,
}

/// Works out the graph of a `draw` statement; nothing for other pictures.
///
/// # Errors
/// What is wrong; places count from the statement's first byte.
pub fn graph(workspace: &Workspace, slot: SlotId) -> Result<Option<GraphTable>, Vec<Diagnostic>> {
    let Some(filled) = workspace.slot(slot) else {
        return Ok(None);
    };
    let Definition::Draw(code) = &filled.content else {
        return Ok(None);
    };
    if let Some(column) = &code.column {
        return columns(workspace, column, &code.subjects).map(Some);
    }
    let Some(over) = &code.over else {
        return Ok(None);
    };
    let own = over.steps.clone();
    let Some(range) = own.or_else(|| varied_alone(workspace, filled.page, over.slot)) else {
        return Err(vec![no_values(workspace, over)]);
    };
    let vary = VaryCode {
        ranges: vec![(over.slot, range)],
        shown: code.subjects.clone(),
    };
    let table = worked_out(workspace, &vary)?;
    let one = |message: String, span| Err(vec![Diagnostic::error(message, span)]);
    if table.rows.len() < 2 || table.rows.len() > POINTS {
        let count = crate::quantity::count(table.rows.len(), "value");
        return one(
            format!("a graph needs 2 to {POINTS} values; this has {count}"),
            over.span,
        );
    }
    for row in &table.rows {
        if !matches!(row.varied.first(), Some(Value::Quantity(_))) {
            return one("only numbers can be drawn in a graph".to_owned(), over.span);
        }
        for (shown, (text, node)) in row.shown.iter().zip(&code.subjects) {
            if let Ok(value) = shown
                && value.quantity().is_err()
            {
                let message = format!(
                    "only numbers can be drawn in a graph; `{text}` is {}",
                    value.described()
                );
                return one(message, node.span);
            }
        }
    }
    // Where nothing can be drawn, as when the steps run out, nobody looks for its limits.
    let mut shown = table.rows.iter().flat_map(|row| &row.shown);
    let limits = if shown.any(Result::is_ok) {
        limits(workspace, filled.page, over.slot, &code.subjects)
    } else {
        Vec::new()
    };
    let over = workspace.name_of(over.slot);
    Ok(Some(GraphTable {
        over,
        table,
        limits,
    }))
}

/// Returns a graph of columns over another column.
fn columns(
    workspace: &Workspace,
    (over, along): &(String, Node),
    shown: &[(String, Node)],
) -> Result<GraphTable, Vec<Diagnostic>> {
    let list = |text: &str, node: &Node| -> Result<Arc<[Value]>, Vec<Diagnostic>> {
        let one = |message: String| vec![Diagnostic::error(message, node.span)];
        match workspace.at_rest(|cells| Evaluator::new(cells).evaluate(node)) {
            // What fails or waits is told of the statement itself.
            Err(_) => Err(Vec::new()),
            Ok(Value::List(items)) => {
                if !(2..=POINTS).contains(&items.len()) {
                    let count = crate::quantity::count(items.len(), "value");
                    return Err(one(format!(
                        "a graph needs 2 to {POINTS} values; `{text}` has {count}"
                    )));
                }
                if let Some(other) = items.iter().find(|item| item.quantity().is_err()) {
                    let other = other.described();
                    return Err(one(format!(
                        "only numbers can be drawn in a graph; `{text}` has {other}"
                    )));
                }
                Ok(items)
            }
            Ok(other) => Err(one(format!(
                "a graph over a column shows columns; `{text}` is {}",
                other.described()
            ))),
        }
    };
    let along = list(over, along)?;
    let mut rows: Vec<VaryRow> = along
        .iter()
        .map(|value| VaryRow {
            varied: vec![value.clone()],
            shown: Vec::new(),
            failing: Vec::new(),
        })
        .collect();
    for (text, node) in shown {
        let values = list(text, node)?;
        if values.len() != rows.len() {
            let message = format!(
                "`{text}` has {} values and `{over}` has {}",
                values.len(),
                rows.len()
            );
            return Err(vec![Diagnostic::error(message, node.span)]);
        }
        for (row, value) in rows.iter_mut().zip(values.iter()) {
            row.shown.push(Ok(value.clone()));
        }
    }
    Ok(GraphTable {
        over: over.clone(),
        table: VaryTable {
            varied: Vec::new(),
            counts: vec![rows.len()],
            shown: shown.iter().map(|(text, _)| text.clone()).collect(),
            rows,
            aside: Vec::new(),
        },
        limits: Vec::new(),
    })
}

/// Returns the values of the first `vary` statement of a page that varies a cell alone.
fn varied_alone(workspace: &Workspace, page: PageId, cell: SlotId) -> Option<RangeCode> {
    let statements = workspace.slots.iter().filter(|slot| slot.page == page);
    statements
        .filter_map(|slot| match &slot.content {
            Definition::Vary(vary) => Some(vary),
            _ => None,
        })
        .find_map(|vary| match vary.ranges.as_slice() {
            [(varied, range)] if *varied == cell => Some(range.clone()),
            _ => None,
        })
}

fn no_values(workspace: &Workspace, over: &Over) -> Diagnostic {
    let name = workspace.name_of(over.slot);
    let message = format!("no `vary` statement varies `{name}` alone");
    let advice = format!("write the values here, as in `over {name} from 5 mm to 20 mm by 1 mm`");
    Diagnostic::error(message, over.span).advise(advice)
}

/// Returns the limits that the checks of a page set for what is shown: comparisons of the
/// very cell with a value that the varied cell does not move.
fn limits(
    workspace: &Workspace,
    page: PageId,
    over: SlotId,
    shown: &[(String, Node)],
) -> Vec<GraphLimit> {
    let moving = OnceCell::new();
    let moving = || -> &HashSet<SlotId> {
        moving.get_or_init(|| {
            affected_by(workspace, &[over])
                .into_iter()
                .flatten()
                .collect()
        })
    };
    let value_of = |node: &Node| -> Option<Quantity> {
        let mut moves = false;
        node.walk(&mut |part| {
            if let ResolvedExpr::Cell(slot) = part.code {
                moves |= moving().contains(&slot);
            }
        });
        if moves {
            return None;
        }
        let value = workspace.at_rest(|cells| Evaluator::new(cells).evaluate(node));
        value.ok()?.quantity().ok()
    };
    let place = |node: &Node| {
        shown.iter().position(|(_, shown)| {
            matches!((&shown.code, &node.code), (ResolvedExpr::Cell(a), ResolvedExpr::Cell(b)) if a == b)
        })
    };
    let mut found = Vec::new();
    for slot in workspace.slots.iter().filter(|slot| slot.page == page) {
        let Definition::Check(condition) = &slot.content else {
            continue;
        };
        let ResolvedExpr::Chain(first, links) = &condition.code else {
            continue;
        };
        let mut left: &Node = first;
        for (operator, right) in links {
            let limit = match (place(left), place(right)) {
                (Some(shown), None) => value_of(right).map(|value| (shown, *operator, value)),
                (None, Some(shown)) => {
                    value_of(left).and_then(|value| Some((shown, turned(*operator)?, value)))
                }
                _ => None,
            };
            if let Some((shown, operator, value)) = limit
                && turned(operator).is_some()
            {
                found.push(GraphLimit {
                    shown,
                    operator,
                    value,
                });
            }
            left = right;
        }
    }
    found
}

/// Returns a comparison with its sides exchanged; nothing for what sets no limit.
fn turned(operator: Operator) -> Option<Operator> {
    Some(match operator {
        Operator::Less => Operator::More,
        Operator::More => Operator::Less,
        Operator::AtMost => Operator::AtLeast,
        Operator::AtLeast => Operator::AtMost,
        _ => return None,
    })
}
