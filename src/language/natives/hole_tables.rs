//! The same holes from another datum: moved, turned, mirrored.

use std::sync::Arc;

use uom::si::f64::Length;

use crate::diagnostic::Fault;
use crate::language::arguments::Arguments;
use crate::language::{Table, Value};
use crate::quantity::{Dimension, Quantity, within_a_turn};
use crate::trade::holes::{Placement, Point};

/// Returns the columns `x` and `y` of a table of holes.
fn columns(table: &Table) -> Result<(usize, usize), Fault> {
    let column = |name: &str| {
        table.column(name).ok_or_else(|| {
            Fault::new(format!("the table has no column `{name}`"))
                .advise("give a table of holes with columns x and y, such as pitch_circle makes")
                .in_argument(0)
        })
    };
    Ok((column("x")?, column("y")?))
}

fn length_at(row: &[Value], column: usize, number: usize, name: &str) -> Result<Quantity, Fault> {
    let quantity = row.get(column).and_then(|value| value.quantity().ok());
    quantity
        .filter(|quantity| quantity.dimension == Dimension::LENGTH)
        .ok_or_else(|| {
            Fault::new(format!(
                "row {number} of the table has no length in column `{name}`"
            ))
            .in_argument(0)
        })
}

/// Returns the table with its holes at other places; a column `angle` goes with them, all
/// other columns stay. Where each coordinate keeps its direction or is turned round, which
/// the placement says, it keeps its tolerance.
pub fn placed(a: &Arguments, placement: &Placement) -> Result<Value, Fault> {
    let Value::Table(table) = a.value(0) else {
        return Err(Fault::new("a table of holes is wanted").in_argument(0));
    };
    let (x, y) = columns(table)?;
    let mut points = Vec::with_capacity(table.rows.len());
    for (index, row) in table.rows.iter().enumerate() {
        let at = |column, name| length_at(row, column, index + 1, name).map(Length::from);
        points.push(Point::new(at(x, "x")?, at(y, "y")?));
    }
    let direction = table.column("angle");
    let signs = placement.signs();
    let mut changed = Table::clone(table);
    for (row, point) in changed.rows.iter_mut().zip(placement.places(&points)) {
        for (which, (column, value)) in [(x, point.x), (y, point.y)].into_iter().enumerate() {
            if let Some(cell) = row.get_mut(column)
                && let Ok(before) = cell.quantity()
            {
                let unit = before.unit;
                let value = Quantity {
                    unit,
                    ..value.into()
                };
                let value = value.as_coordinate().unwrap_or(value);
                let sign = signs.and_then(|signs| signs.get(which).copied());
                let size = cell.size_faces().zip(sign);
                *cell = match size.and_then(|(size, sign)| size.carried_to(value, sign)) {
                    Some(size) => Value::Size(Arc::new(size)),
                    None => value.into(),
                };
            }
        }
        if let Some(Value::Quantity(cell)) = direction.and_then(|column| row.get_mut(column))
            && cell.dimension == Dimension::ANGLE
        {
            cell.si = within_a_turn(placement.direction(cell.si), std::f64::consts::TAU);
        }
    }
    Ok(changed.into())
}
