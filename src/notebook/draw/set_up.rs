//! The value of a `draw` statement.

use super::form::{DrawCode, Given, Subject};
use crate::diagnostic::Fault;
use crate::language::{Cells, Code, Contract, Evaluator, Node, Source, Table, Trouble, Value};
use crate::notebook::content::Content;
use crate::notebook::workspace::Slot;
use crate::quantity::Quantity;
use crate::syntax::Tolerance;

/// The most rows of a table that can be drawn.
const ROWS: usize = 400;

/// The record of a picture's numbers.
///
/// # Errors
/// What is missing, out of bounds or can't be drawn, with its place.
pub fn value(
    evaluator: &Evaluator,
    code: &DrawCode,
    cells: &dyn Cells,
    slots: &[Slot],
) -> Result<Value, Trouble> {
    let mut given = Given::default();
    given.add("picture", code.form.name);
    if let (Subject::Table(_), Some((_, node))) = (code.form.subject, code.subjects.first()) {
        let table = table(evaluator, code, node)?;
        given.add("rows", table);
    }
    for (place, parameter) in code.form.parameters.iter().enumerate() {
        let Some((_, text, node)) = code.arguments.iter().find(|given| given.0 == place) else {
            continue;
        };
        let value = evaluator.evaluate(node)?;
        let checked = Contract::read(parameter.contract)
            .and_then(|contract| contract.check(parameter.name, value))
            .map_err(|fault| Trouble::at(fault, node.span))?;
        given.add(parameter.name, checked);
        if matches!(code.form.subject, Subject::Zones) && parameter.needed {
            zone(&mut given, parameter.name, (text, node), cells, slots)?;
        } else {
            limits(&mut given, parameter.name, node, cells, slots)?;
        }
    }
    for option in &code.options {
        given.add(option, true);
    }
    (code.form.derive)(&mut given).map_err(|fault| {
        let blamed = fault
            .argument
            .and_then(|place| code.arguments.iter().find(|given| given.0 == place))
            .map(|(_, _, node)| node.span);
        let subject = code.subjects.first().map(|(_, node)| node.span);
        Trouble::at(fault, blamed.or(subject).unwrap_or(code.span))
    })?;
    Ok(given.record())
}

/// The columns that the picture knows, checked row by row.
fn table(evaluator: &Evaluator, code: &DrawCode, node: &Node) -> Result<Table, Trouble> {
    let at = |fault| Trouble::at(fault, node.span);
    let Subject::Table(columns) = code.form.subject else {
        return Ok(Table::default());
    };
    let found = match evaluator.evaluate(node)? {
        Value::Table(table) => table,
        other => {
            let fault = Fault::new(format!(
                "`draw {}` shows a table; this is {}",
                code.form.name,
                other.described()
            ));
            let needed: Vec<&str> = columns
                .iter()
                .filter(|c| c.needed)
                .map(|c| c.name)
                .collect();
            let advice = format!("name a table with the columns {}", needed.join(", "));
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
        match found.column(column.name) {
            Some(place) => places.push((column, place)),
            None if column.needed => {
                let message = format!("the table has no column `{}`", column.name);
                let needed: Vec<&str> = columns
                    .iter()
                    .filter(|c| c.needed)
                    .map(|c| c.name)
                    .collect();
                let advice = format!(
                    "`draw {}` needs the columns {}: {}",
                    code.form.name,
                    needed.join(", "),
                    column.meaning
                );
                return Err(at(Fault::new(message).advise(advice)));
            }
            None => {}
        }
    }
    let contracts: Vec<Contract> = places
        .iter()
        .map(|(column, _)| Contract::read(column.contract).map_err(at))
        .collect::<Result<_, _>>()?;
    let mut rows = Vec::with_capacity(found.rows.len());
    for (number, row) in (1..).zip(&found.rows) {
        let mut cells = Vec::with_capacity(places.len());
        for ((column, place), contract) in places.iter().zip(&contracts) {
            let value = row.get(*place).cloned().unwrap_or(Value::None);
            if value == Value::None {
                if column.needed {
                    let message = format!("row {number} of the table has no `{}`", column.name);
                    return Err(at(Fault::new(message)));
                }
                cells.push(value);
                continue;
            }
            let checked = contract.check(column.name, value).map_err(|fault| {
                let message = format!("row {number} of the table: {}", fault.message);
                at(Fault { message, ..fault })
            })?;
            cells.push(checked);
        }
        rows.push(cells);
    }
    Ok(Table {
        columns: places
            .iter()
            .map(|(column, _)| column.name.into())
            .collect(),
        rows,
    })
}

/// Cells with every tolerance at one of its limits.
struct AtLimit<'a> {
    cells: &'a dyn Cells,
    high: bool,
}

impl Cells for AtLimit<'_> {
    fn value(&self, slot: u32) -> Option<&Value> {
        self.cells.value(slot)
    }
    fn drawing(&self, slot: u32) -> Option<&Value> {
        self.cells.drawing(slot)
    }
    fn deviation(&self, _: Source, low: f64, high: f64) -> f64 {
        if self.high { high } else { low }
    }
    fn function(&self, slot: u32) -> Option<&std::sync::Arc<crate::language::UserFunction>> {
        self.cells.function(slot)
    }
}

/// Adds a size's limits where the size, or the cell that is named, carries a
/// tolerance of its own; a cell that was measured has its reading instead.
fn limits(
    given: &mut Given,
    name: &str,
    node: &Node,
    cells: &dyn Cells,
    slots: &[Slot],
) -> Result<(), Trouble> {
    let (formula, measured) = drawn(node, slots);
    if measured {
        return Ok(());
    }
    let Code::Size(size) = &formula.code else {
        return Ok(());
    };
    let (low, high) = ends(node, formula, cells)?;
    if low.si < high.si {
        given.add(&format!("{name}_low"), low);
        given.add(&format!("{name}_high"), high);
        class(given, name, &size.tolerance);
    }
    Ok(())
}

/// Adds the tolerance class of a size, where it has one.
fn class(given: &mut Given, name: &str, tolerance: &Tolerance) {
    if let Tolerance::Class(class) = tolerance {
        given.add(&format!("{name}_class"), &**class);
    }
}

/// Adds what the tolerance zone of a size needs: the drawing size in place of a
/// reading, its limits, and the reading beside.
fn zone(
    given: &mut Given,
    name: &str,
    (called, node): (&str, &Node),
    cells: &dyn Cells,
    slots: &[Slot],
) -> Result<(), Trouble> {
    let (formula, measured) = drawn(node, slots);
    let (low, high) = ends(node, formula, cells)?;
    if low.si >= high.si {
        let fault = Fault::new(format!(
            "`{name}` has no limits, so it has no tolerance zone"
        ))
        .advise("give the size its class or its deviations, such as `12 mm H7`");
        return Err(Trouble::at(fault, node.span));
    }
    let size = Evaluator::of_drawing(cells).evaluate(formula)?;
    let reading = given
        .fields
        .last_mut()
        .map(|(_, value)| std::mem::replace(value, size));
    if matches!(node.code, Code::Cell(_)) {
        given.add(&format!("{name}_called"), called);
    }
    if let Code::Size(size) = &formula.code {
        class(given, name, &size.tolerance);
    }
    given.add(&format!("{name}_low"), low);
    given.add(&format!("{name}_high"), high);
    if let Some(reading) = reading.filter(|_| measured) {
        given.add(&format!("{name}_measured"), reading);
    }
    Ok(())
}

/// The formula that the drawing gives for a size: that of the cell where one is
/// named; and whether the cell was measured.
fn drawn<'a>(node: &'a Node, slots: &'a [Slot]) -> (&'a Node, bool) {
    if let Code::Cell(slot) = node.code
        && let Some(filled) = slots.get(slot as usize)
        && let Content::Cell(inner) = &filled.content
    {
        return (inner, !filled.measured.is_empty());
    }
    (node, false)
}

/// A size at its lower and at its upper limit.
fn ends(node: &Node, formula: &Node, cells: &dyn Cells) -> Result<(Quantity, Quantity), Trouble> {
    let end = |high: bool| {
        let at_limit = AtLimit { cells, high };
        let value = Evaluator::new(&at_limit).evaluate(formula)?;
        value
            .quantity()
            .map_err(|fault| Trouble::at(fault, node.span))
    };
    Ok((end(false)?, end(true)?))
}
