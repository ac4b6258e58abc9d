//! Tables whose rows follow from a rule.

use std::sync::Arc;

use super::bounds::ITEMS;
use super::code::{Node, RangeCode, RowsCode};
use super::evaluate::Evaluator;
use super::{EvalError, Record, Table, Value};
use crate::diagnostic::{Diagnostic, Fault, Span};
use crate::quantity::Quantity;

/// The name under which a rule knows the row before.
pub const BEFORE: &str = "before";

/// What making a row takes, in steps, and two for each of its values.
const ROW: usize = 6;
/// So many values that a rule goes through are made or copied in the time of a step.
const MADE: usize = 4;

/// Returns the values from `first` to `last` by `step`, both ends counted; a step goes
/// the way that leads to the last.
///
/// # Errors
/// The place of the value that is wrong (1 the last, 2 the step), and what is wrong:
/// other dimensions, a step of 0, or more than `most` values.
pub fn steps(ends: [Quantity; 3], most: usize) -> Result<Vec<Value>, (usize, Fault)> {
    let (size, count) = stepped(ends, most)?;
    let [first, ..] = ends;
    #[allow(clippy::cast_precision_loss)] // at most 100,000
    let place = |index: usize| {
        Value::Quantity(Quantity {
            si: first.si + size * index as f64,
            ..first
        })
    };
    Ok((0..=count).map(place).collect())
}

/// Returns how many values [`steps`] gives, and makes none.
///
/// # Errors
/// As [`steps`].
pub fn step_count(ends: [Quantity; 3], most: usize) -> Result<usize, (usize, Fault)> {
    stepped(ends, most).map(|(_, count)| count + 1)
}

/// Returns the signed size of the steps between two values, and how many they are.
fn stepped(
    [first, last, step]: [Quantity; 3],
    most: usize,
) -> Result<(f64, usize), (usize, Fault)> {
    first.order(last).map_err(|fault| (1, fault))?;
    if first.unit.from_another_zero() {
        return Err((
            1,
            Fault::new("temperatures can't be stepped through")
                .advise("step through differences in K, and add them to the temperature"),
        ));
    }
    first.order(step).map_err(|fault| (2, fault))?;
    if step.si == 0.0 {
        return Err((2, Fault::new("a step of 0 never arrives")));
    }
    let size = step.si.abs() * (last.si - first.si).signum();
    let count = if last.si == first.si {
        0.0
    } else {
        ((last.si - first.si) / size + 1e-9).floor()
    };
    #[allow(clippy::cast_precision_loss)] // far below 2^52
    if !count.is_finite() || count >= most as f64 {
        return Err((2, Fault::new(format!("this takes more than {most} steps"))));
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // checked just above
    let count = count as usize;
    Ok((size, count))
}

impl RowsCode {
    /// Returns the names of all columns, those that it goes through first, and the place in
    /// the row of each computed one: over a table one of its own columns may be computed
    /// anew.
    pub(super) fn columns_beside(&self, taken: Vec<Arc<str>>) -> (Vec<Arc<str>>, Vec<usize>) {
        let mut names = taken;
        let mut places = Vec::with_capacity(self.columns.len());
        for (name, _) in &self.columns {
            let known = names.iter().position(|known| known == name);
            places.push(known.unwrap_or(names.len()));
            if known.is_none() {
                names.push(name.clone());
            }
        }
        (names, places)
    }
}

/// What a rule goes through.
enum Counted {
    Values(Vec<Value>),
    Rows(Arc<Table>),
}

impl Counted {
    fn count(&self) -> usize {
        match self {
            Self::Values(values) => values.len(),
            Self::Rows(table) => table.rows.len(),
        }
    }
}

impl Evaluator<'_> {
    /// Returns the table of `rows for …`.
    pub(super) fn rows(
        &self,
        code: &RowsCode,
        span: Span,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Result<Value, EvalError> {
        let counted = self.counted(&code.range, locals, base)?;
        let (names, places) = code.columns_beside(match &counted {
            Counted::Values(_) => vec![code.counter.clone()],
            Counted::Rows(table) => table.columns.clone(),
        });
        let mut before = vec![Value::None; names.len()];
        for (name, start) in &code.starting {
            let value = self.node(start, locals, base)?;
            let place = names.iter().position(|known| known == name);
            match place.and_then(|place| before.get_mut(place)) {
                Some(cell) => *cell = value,
                None => {
                    let fault = Fault::new(format!("there is no column `{name}` to start"));
                    let advice = format!("the columns are {}", names.join(", "));
                    return Err(EvalError::at(fault.advise(advice), start.span));
                }
            }
        }
        let first = base + usize::from(code.first);
        let mut rows: Vec<Vec<Value>> = Vec::new();
        for index in 0..counted.count() {
            self.charge(ROW + 2 * names.len(), span)?;
            let (counter, mut row) = match &counted {
                Counted::Values(values) => {
                    let value = values.get(index).cloned().unwrap_or(Value::None);
                    (value.clone(), vec![value])
                }
                Counted::Rows(table) => {
                    let record = table.row(index).unwrap_or_default();
                    (
                        record.into(),
                        table.rows.get(index).cloned().unwrap_or_default(),
                    )
                }
            };
            row.resize(names.len(), Value::None);
            locals.truncate(first);
            locals.push(counter);
            locals.push(if code.looks_back {
                Record::new(names.iter().cloned().zip(before.iter().cloned())).into()
            } else {
                Value::None
            });
            let kept = self
                .row(code, &places, &mut row, locals, base)
                .map_err(|error| {
                    self.in_row(error, code, index, locals.get(first), rows.is_empty())
                })?;
            if !kept {
                continue;
            }
            if (rows.len() + 1) * names.len() > ITEMS {
                let message = format!("this table has more than {ITEMS} values");
                return Err(EvalError::at(Fault::new(message), span));
            }
            if code.looks_back {
                before.clone_from(&row);
            }
            rows.push(row);
        }
        locals.truncate(first);
        let table = Table {
            columns: names,
            rows,
            choices: false,
        };
        self.bounded(table.into(), span)
    }

    /// Works the columns of one row out; says whether the row stays.
    fn row(
        &self,
        code: &RowsCode,
        places: &[usize],
        row: &mut [Value],
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Result<bool, EvalError> {
        for ((_, formula), place) in code.columns.iter().zip(places) {
            let value = self.node(formula, locals, base)?.settled();
            if let Some(cell) = row.get_mut(*place) {
                *cell = value.clone();
            }
            locals.push(value);
        }
        match &code.unless {
            Some(condition) => Ok(!self.truth(condition, locals, base)?),
            None => Ok(true),
        }
    }

    /// Returns what went wrong in a row, with the row named.
    fn in_row(
        &self,
        error: EvalError,
        code: &RowsCode,
        index: usize,
        counter: Option<&Value>,
        first: bool,
    ) -> EvalError {
        let EvalError::Wrong(mut wrong) = error else {
            return error;
        };
        wrong.trail.push(match counter {
            Some(Value::Quantity(value)) => format!("in the row of {} {value}", code.counter),
            _ => format!("in row {}", index + 1),
        });
        if first && code.looks_back && wrong.advice.is_none() && wrong.message.contains("nothing") {
            let here = |node: &Node| {
                node.span.start <= wrong.span.start && wrong.span.end <= node.span.end
            };
            let column = code.columns.iter().find(|(_, node)| here(node));
            let column = column.map_or("total", |(name, _)| name);
            wrong.advice = Some(format!(
                "the first row has none before it: say what counts there, as in `starting {column} = 0 mm`"
            ));
        }
        EvalError::Wrong(wrong)
    }

    fn counted(
        &self,
        range: &RangeCode,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Result<Counted, EvalError> {
        match range {
            RangeCode::List(nodes) => {
                let mut all = Vec::new();
                for node in nodes {
                    match self.node(node, locals, base)? {
                        Value::Table(table) if nodes.len() == 1 => return Ok(Counted::Rows(table)),
                        Value::List(items) => {
                            self.charge(items.len() / MADE, node.span)?;
                            all.extend(items.iter().cloned());
                        }
                        value => all.push(value),
                    }
                    if all.len() > ITEMS {
                        let message = format!("this goes through more than {ITEMS} values");
                        return Err(EvalError::at(Fault::new(message), node.span));
                    }
                }
                Ok(Counted::Values(all))
            }
            RangeCode::Steps(nodes) => {
                let [from, to, by] = &**nodes;
                let ends = [
                    self.quantity(from, locals, base)?,
                    self.quantity(to, locals, base)?,
                    self.quantity(by, locals, base)?,
                ];
                let wrong = |(place, fault): (usize, Fault)| {
                    let node = nodes.get(place).unwrap_or(by);
                    EvalError::Wrong(Box::new(Diagnostic::at(fault, node.span)))
                };
                let (_, count) = stepped(ends, ITEMS).map_err(wrong)?;
                self.charge(count / MADE, by.span)?;
                Ok(Counted::Values(steps(ends, ITEMS).map_err(wrong)?))
            }
        }
    }
}
