//! What the content of a slot comes to.

use std::sync::Arc;

use crate::diagnostic::{Diagnostic, Fault, Span};
use crate::language::{EvalError, Evaluator, SlotId, Table, Value};
use crate::notebook::definition::{Definition, OpEachCode, OpPartCode, TableCode};
use crate::notebook::outcome::{Failure, Outcome};
use crate::notebook::view::View;

pub(super) fn fail(diagnostic: Diagnostic) -> Outcome {
    Err(Arc::new(Failure::Wrong(vec![diagnostic])))
}

/// What went wrong in one slot: several things in a table, one elsewhere.
pub(super) type Troubles = Vec<EvalError>;

pub(super) fn one_trouble(error: EvalError) -> Troubles {
    vec![error]
}

pub(super) fn outcome(result: Result<Value, Troubles>, view: &View) -> Outcome {
    let troubles = match result {
        Ok(value) => return Ok(value),
        Err(troubles) => troubles,
    };
    let mut wrong = Vec::new();
    let mut missing = None;
    for error in troubles {
        match error {
            EvalError::Wrong(diagnostic) => wrong.push(*diagnostic),
            EvalError::Missing(slot) => missing = missing.or(Some(because(slot, view))),
            EvalError::Unmeasured(slot) => missing = missing.or(Some(Failure::Unmeasured(slot))),
        }
    }
    let failure = match missing {
        Some(failure) if wrong.is_empty() => failure,
        _ => Failure::Wrong(wrong),
    };
    Err(Arc::new(failure))
}

/// Returns why a slot that needs this one has no value: what the trouble began with.
fn because(slot: SlotId, view: &View) -> Failure {
    match view.now.get(slot.index()).map(Result::as_ref) {
        Some(Err(failure)) => match **failure {
            Failure::Because(root) => Failure::Because(root),
            Failure::Unmeasured(root) => Failure::Unmeasured(root),
            _ => Failure::Because(slot),
        },
        _ => Failure::Because(slot),
    }
}

/// Returns what the content of a slot comes to.
pub(super) fn content(
    evaluator: &Evaluator,
    content: &Definition,
    view: &View,
) -> Result<Value, Troubles> {
    match content {
        Definition::Nothing => Err(Vec::new()),
        Definition::Broken(wrong) => Err(wrong.iter().cloned().map(EvalError::from).collect()),
        Definition::Cell(node) | Definition::Bare(node) => evaluator
            .evaluate(node)
            .map(Value::settled)
            .map_err(one_trouble),
        Definition::Check(node) => {
            let value = evaluator.evaluate(node).map_err(one_trouble)?;
            match value.all_hold() {
                Ok(truth) => Ok(Value::Truth(truth)),
                Err(fault) => Err(one_trouble(EvalError::at(fault, node.span))),
            }
        }
        Definition::Op(parts) => {
            // The values, in order; the sheet puts them into the text.
            let mut values = Vec::new();
            for part in parts {
                if let OpPartCode::Value(node) = part {
                    values.push(match evaluator.evaluate(node) {
                        Ok(value) => value,
                        // The op is done, or read, before what it waits for is measured.
                        Err(error) if unmeasured(&error, view) => NOT_MEASURED.into(),
                        Err(error) => return Err(one_trouble(error)),
                    });
                }
            }
            Ok(values.into())
        }
        Definition::OpEach(each) => op_rows(evaluator, each),
        Definition::Table(table) => table_value(evaluator, table),
        // Functions fail where they are called, not where they stand.
        Definition::Function(_) | Definition::Vary(_) => Ok(Value::None),
        Definition::Draw(code) => {
            crate::notebook::draw::set_up::value(evaluator, code, view).map_err(one_trouble)
        }
        Definition::Find(_) => Err(one_trouble(EvalError::at(
            Fault::new("this is solved elsewhere"),
            Span::default(),
        ))),
    }
}

/// Returns what an op for each row comes to: for each row the values in its text, in order, or
/// the row itself where it has none.
fn op_rows(evaluator: &Evaluator, each: &OpEachCode) -> Result<Value, Troubles> {
    let over = evaluator.evaluate(&each.over).map_err(one_trouble)?;
    let met = match &over {
        Value::Table(table) => table.rows.len() * (2 + table.columns.len() + each.parts.len()),
        Value::List(items) => items.len() * (2 + each.parts.len()),
        _ => 0,
    };
    let charged = evaluator.charge(met, each.over.span);
    charged.map_err(one_trouble)?;
    let rows: Vec<Value> = match &over {
        Value::Table(table) => (0..table.rows.len())
            .filter_map(|index| table.row(index).map(Value::from))
            .collect(),
        Value::List(items) => items.to_vec(),
        other => {
            let message = format!("{} has no rows to go through", other.described());
            let fault = Fault::new(message).advise("name a table or a list after `over`");
            return Err(one_trouble(EvalError::at(fault, each.over.span)));
        }
    };
    if each.parts.is_empty() {
        return Ok(rows.into());
    }
    let mut steps = Vec::with_capacity(rows.len());
    for (number, row) in (1..).zip(rows) {
        let mut values = Vec::new();
        for part in &each.parts {
            if let OpPartCode::Value(node) = part {
                let value = evaluator.with_locals(node, &mut vec![row.clone()]);
                values.push(value.map_err(|error| one_trouble(in_row(error, number)))?);
            }
        }
        steps.push(Value::from(values));
    }
    evaluator
        .bounded(steps.into(), each.over.span)
        .map_err(one_trouble)
}

/// Returns what went wrong in a row, with the row named.
fn in_row(mut error: EvalError, number: usize) -> EvalError {
    if let EvalError::Wrong(wrong) = &mut error {
        wrong.trail.push(format!("in row {number}"));
    }
    error
}

/// What stands for a value that follows from a reading which is not taken yet.
pub const NOT_MEASURED: &str = "(not measured yet)";

fn unmeasured(error: &EvalError, view: &View) -> bool {
    match error {
        EvalError::Unmeasured(_) => true,
        EvalError::Missing(slot) => matches!(because(*slot, view), Failure::Unmeasured(_)),
        EvalError::Wrong(_) => false,
    }
}

fn table_value(evaluator: &Evaluator, table: &TableCode) -> Result<Value, Troubles> {
    let mut rows = Vec::with_capacity(table.rows.len());
    let mut troubles = Vec::new();
    for row in &table.rows {
        let mut cells: Vec<Value> = Vec::with_capacity(table.columns.len());
        for cell in row {
            match cell.as_ref().map(|node| evaluator.evaluate(node)) {
                None => cells.push(Value::None),
                Some(Ok(value)) => cells.push(value.settled()),
                Some(Err(error)) => {
                    troubles.push(error);
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
                            *cell = value.settled();
                        }
                    }
                    Err(error) => troubles.push(error),
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
            choices: false,
        });
        evaluator
            .bounded(value, Span::new(0, "table".len()))
            .map_err(one_trouble)
    } else {
        Err(troubles)
    }
}
