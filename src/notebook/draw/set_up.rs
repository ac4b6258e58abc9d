//! The value of a `draw` statement.

use super::form::{DrawCode, Given, Parameter, Subject};
use crate::diagnostic::Fault;
use crate::language::{Cells, EvalError, Evaluator, Node, ResolvedExpr, Size, Table, Value};
use crate::syntax::Tolerance;

/// The most rows of a table that can be drawn.
const ROWS: usize = 400;

/// Returns the record of a picture's numbers.
///
/// # Errors
/// What is missing, out of bounds or can't be drawn, with its place.
pub fn value(
    evaluator: &Evaluator,
    code: &DrawCode,
    cells: &dyn Cells,
) -> Result<Value, EvalError> {
    let mut given = Given::default();
    // What follows from the sizes is worked out from what is worked to, as in its row.
    let mut worked: Vec<(&str, Value)> = Vec::new();
    given.add("picture", code.form.name.as_str());
    if let (Subject::Table(columns), Some((_, node))) = (&code.form.subject, code.subjects.first())
    {
        let table = table(evaluator, code, columns, node)?;
        given.add("rows", table);
    }
    for (place, parameter) in code.form.parameters.iter().enumerate() {
        let Some((_, text, node)) = code.arguments.iter().find(|given| given.0 == place) else {
            continue;
        };
        let value = evaluator.evaluate(node)?;
        let size = value.size_faces();
        let at = |fault| EvalError::at(fault, node.span);
        let (name, contract) = (&*parameter.name, &parameter.contract);
        // A size with limits is drawn as on the drawing, all else as its row prints it.
        let shown = match size {
            Some(size) if size.limits.is_none() && !contract.drawn => size.like(size.aim).into(),
            None if !contract.drawn => value.clone(),
            _ => Evaluator::of_drawing(cells).evaluate(node)?.drawn(),
        };
        let checked = contract.check(name, shown).map_err(at)?;
        given.add(name, checked);
        if !contract.drawn {
            let in_use = contract.check(name, value.clone()).map_err(at)?;
            worked.push((name, in_use));
        }
        if matches!(code.form.subject, Subject::Zones) && parameter.needed {
            let zone = size.and_then(|size| size.limits.as_ref());
            if zone.is_none_or(|limits| limits.low >= limits.high) {
                return Err(no_zone(name, node));
            }
            if matches!(node.code, ResolvedExpr::Cell(_)) {
                given.add(&format!("{name}_called"), &**text);
            }
        }
        if let Some(size) = size {
            faces(&mut given, name, size);
        }
    }
    for option in &code.options {
        given.add(option, true);
    }
    derive(&mut given, worked, code.form.derive).map_err(|fault| {
        let blamed = fault
            .argument
            .and_then(|place| code.arguments.iter().find(|given| given.0 == place))
            .map(|(_, _, node)| node.span);
        let subject = code.subjects.first().map(|(_, node)| node.span);
        EvalError::at(fault, blamed.or(subject).unwrap_or(code.span))
    })?;
    Ok(given.record())
}

/// Adds what follows from what was given, worked out from the values in use; the
/// fields that were given stay as drawn.
fn derive(
    given: &mut Given,
    worked: Vec<(&str, Value)>,
    derive: fn(&mut Given) -> Result<(), Fault>,
) -> Result<(), Fault> {
    // What can't be drawn is refused for the outline, too.
    derive(&mut given.clone())?;
    let drawn = exchange(given, worked);
    derive(given)?;
    exchange(given, drawn);
    Ok(())
}

/// Puts other values into fields; gives those that were there.
fn exchange<'a>(given: &mut Given, values: Vec<(&'a str, Value)>) -> Vec<(&'a str, Value)> {
    let mut before = Vec::with_capacity(values.len());
    for (name, value) in values {
        let field = given.fields.iter_mut().find(|(field, _)| &**field == name);
        if let Some((_, place)) = field {
            before.push((name, std::mem::replace(place, value)));
        }
    }
    before
}

/// Returns the columns that the picture knows, checked row by row.
fn table(
    evaluator: &Evaluator,
    code: &DrawCode,
    columns: &[Parameter],
    node: &Node,
) -> Result<Table, EvalError> {
    let at = |fault| EvalError::at(fault, node.span);
    let needed = || {
        let needed = columns.iter().filter(|column| column.needed);
        needed
            .map(|column| &*column.name)
            .collect::<Vec<_>>()
            .join(", ")
    };
    let found = match evaluator.evaluate(node)? {
        Value::Table(table) => table,
        other => {
            let fault = Fault::new(format!(
                "`draw {}` shows a table; this is {}",
                code.form.name,
                other.described()
            ));
            let advice = format!("name a table with the columns {}", needed());
            return Err(at(fault.advise(advice)));
        }
    };
    if found.rows.is_empty() || found.rows.len() > ROWS {
        let message = format!(
            "a table of 1 to {ROWS} rows can be drawn; this has {}",
            found.rows.len()
        );
        return Err(at(Fault::new(message)));
    }
    let mut places = Vec::new();
    for column in columns {
        match found.column(&column.name) {
            Some(place) => places.push((column, place)),
            None if column.needed => {
                let message = format!("the table has no column `{}`", column.name);
                let advice = format!(
                    "`draw {}` needs the columns {}: {}",
                    code.form.name,
                    needed(),
                    column.meaning
                );
                return Err(at(Fault::new(message).advise(advice)));
            }
            None => {}
        }
    }
    let mut rows = Vec::with_capacity(found.rows.len());
    for (number, row) in (1..).zip(&found.rows) {
        let mut cells = Vec::with_capacity(places.len());
        for (column, place) in &places {
            let value = row.get(*place).cloned().unwrap_or(Value::None);
            if value == Value::None {
                if column.needed {
                    let message = format!("row {number} of the table has no `{}`", column.name);
                    return Err(at(Fault::new(message)));
                }
                cells.push(value);
                continue;
            }
            let faces = match &value {
                Value::Size(size) => Some(size.clone()),
                _ => None,
            };
            let checked = column
                .contract
                .check(&column.name, value)
                .map_err(|fault| {
                    let message = format!("row {number} of the table: {}", fault.message);
                    at(Fault { message, ..fault })
                })?;
            // A size keeps its tolerance: it is drawn with it.
            cells.push(faces.map_or(checked, Value::Size));
        }
        rows.push(cells);
    }
    Ok(Table {
        columns: places
            .iter()
            .map(|(column, _)| column.name.clone())
            .collect(),
        rows,
        choices: false,
    })
}

/// Adds what a size has besides its drawn figure: its limits, its class, its reading.
fn faces(given: &mut Given, name: &str, size: &Size) {
    if let Some(limits) = &size.limits {
        given.add(&format!("{name}_low"), size.like(limits.low));
        given.add(&format!("{name}_high"), size.like(limits.high));
        if let Tolerance::Class(class) = &limits.tolerance {
            given.add(&format!("{name}_class"), &**class);
        }
    }
    if let Some(reading) = size.reading {
        given.add(&format!("{name}_measured"), size.like(reading));
    }
}

/// Says that a size has no tolerance zone to be drawn.
fn no_zone(name: &str, node: &Node) -> EvalError {
    let fault = Fault::new(format!(
        "`{name}` has no limits, so it has no tolerance zone"
    ))
    .advise("give the size its class or its deviations, such as `12 mm H7`");
    EvalError::at(fault, node.span)
}
