//! Hole patterns: circles, rows, grids, and the same holes from another datum.

use uom::si::f64::{Angle, Length};

use super::Topic;
use super::shown::{shown, shown_in};
use crate::diagnostic::Fault;
use crate::language::arguments::Arguments;
use crate::language::{Table, Value};
use crate::quantity::{Dimension, Quantity, Unit};
use crate::trade::holes::{self, Hole, Point};

/// The functions of this topic.
pub const FUNCTIONS: Topic = &[
    ("pitch_circle", |a| {
        let found = holes::pitch_circle(a.count(0), a.get(1), a.get(2), a.get(3), a.get(4))?;
        Ok(on_a_circle(&found, a.quantity(1).unit))
    }),
    ("part_circle", |a| {
        let (count, diameter) = (a.count(0), a.get(1));
        let found = holes::part_circle(count, diameter, a.get(2), a.get(3), a.get(4), a.get(5))?;
        Ok(on_a_circle(&found, a.quantity(1).unit))
    }),
    ("hole_row", |a| {
        let found = holes::hole_row(a.count(0), a.get(1), a.get(2), a.get(3), a.get(4))?;
        let length = |value| Value::from(shown_in(value, a.quantity(1).unit));
        let rows = found
            .iter()
            .map(|hole| {
                vec![
                    Value::whole(hole.number),
                    length(hole.along),
                    coordinate(hole.x, a.quantity(1).unit),
                    coordinate(hole.y, a.quantity(1).unit),
                ]
            })
            .collect();
        Ok(Table::new(&["hole", "along", "x", "y"], rows).into())
    }),
    ("hole_grid", |a| {
        let found = holes::hole_grid(a.count(0), a.count(1), a.get(2), a.get(3))?;
        let rows = found
            .iter()
            .map(|hole| {
                vec![
                    Value::whole(hole.number),
                    Value::whole(hole.column),
                    Value::whole(hole.row),
                    coordinate(hole.x, a.quantity(2).unit),
                    coordinate(hole.y, a.quantity(2).unit),
                ]
            })
            .collect();
        Ok(Table::new(&["hole", "column", "row", "x", "y"], rows).into())
    }),
    ("moved", |a| {
        changed(
            a,
            |points| holes::moved(points, a.get(1), a.get(2)),
            |angle| angle,
        )
    }),
    ("turned", |a| {
        let by = a.number(1);
        changed(
            a,
            |points| holes::turned(points, a.get(1)),
            |angle| angle + by,
        )
    }),
    ("mirrored", |a| {
        let axis = a.text(1);
        let half = std::f64::consts::PI;
        changed(
            a,
            |points| holes::mirrored(points, &axis),
            |angle| if &*axis == "x" { -angle } else { half - angle },
        )
    }),
];

/// A coordinate, which is shown in steps of the readout.
fn coordinate(value: Length, unit: Unit) -> Value {
    let value = shown_in(value, unit);
    value.as_coordinate().unwrap_or(value).into()
}

fn on_a_circle(found: &[Hole], unit: Unit) -> Value {
    let length = |value| Value::from(shown_in(value, unit));
    let rows = found
        .iter()
        .map(|hole| {
            vec![
                Value::whole(hole.number),
                shown(hole.angle, "deg").into(),
                coordinate(hole.x, unit),
                coordinate(hole.y, unit),
                hole.chord.map_or(Value::None, length),
            ]
        })
        .collect();
    Table::new(&["hole", "angle", "x", "y", "chord"], rows).into()
}

/// The columns `x` and `y` of a table of holes.
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

/// The table with its holes at other places; a column `angle` goes with them, all
/// other columns stay.
fn changed(
    a: &Arguments,
    places: impl Fn(&[Point]) -> Result<Vec<Point>, Fault>,
    turn: impl Fn(f64) -> f64,
) -> Result<Value, Fault> {
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
    let mut changed = Table::clone(table);
    for (row, point) in changed.rows.iter_mut().zip(places(&points)?) {
        for (column, value) in [(x, point.x), (y, point.y)] {
            if let Some(cell) = row.get_mut(column)
                && let Ok(before) = cell.quantity()
            {
                *cell = coordinate(value, before.unit);
            }
        }
        if let Some(Value::Quantity(cell)) = direction.and_then(|column| row.get_mut(column))
            && cell.dimension == Dimension::ANGLE
        {
            *cell = shown_in(within_a_turn(turn(cell.si)), cell.unit);
        }
    }
    Ok(changed.into())
}

/// The same direction between 0 and a full turn; what is within rounding of a full
/// turn is 0.
fn within_a_turn(radians: f64) -> Angle {
    let turn = std::f64::consts::TAU;
    let angle = radians.rem_euclid(turn);
    let angle = if turn - angle < 1e-12 { 0.0 } else { angle };
    Angle::new::<uom::si::angle::radian>(angle)
}
