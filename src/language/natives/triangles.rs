//! Triangles and the arc between two lines.

use super::Topic;
use super::shown::{shown, shown_in};
use crate::diagnostic::Fault;
use crate::language::arguments::Arguments;
use crate::language::{Record, Value};
use crate::quantity::{Dimension, Unit};
use crate::trade::triangles::{self, Triangle};

/// The functions of this topic.
pub const FUNCTIONS: Topic = &[
    ("right_triangle", |a| {
        let found = triangles::right_triangle(
            a.optional(0),
            a.optional(1),
            a.optional(2),
            a.optional(3),
            a.optional(4),
        )?;
        let length = |value| Value::from(shown_in(value, first_unit(a)));
        Ok(Record::new([
            ("a", length(found.a)),
            ("b", length(found.b)),
            ("hypotenuse", length(found.hypotenuse)),
            ("angle_a", shown(found.angle_a, "deg").into()),
            ("angle_b", shown(found.angle_b, "deg").into()),
            ("area", shown_in(found.area, Unit::NONE).into()),
        ])
        .into())
    }),
    ("triangle", triangle),
    ("corner_blend", |a| {
        let found = triangles::corner_blend(a.get(0), a.get(1), a.get(2), a.get(3), a.get(4))?;
        let length = |value| Value::from(shown_in(value, a.quantity(4).unit));
        Ok(Record::new([
            ("centre_x", length(found.centre.x)),
            ("centre_y", length(found.centre.y)),
            ("first_x", length(found.first.x)),
            ("first_y", length(found.first.y)),
            ("second_x", length(found.second.x)),
            ("second_y", length(found.second.y)),
            ("tangent", length(found.tangent)),
            ("to_centre", length(found.to_centre)),
            ("to_arc", length(found.to_arc)),
            ("corner", shown(found.corner, "deg").into()),
            ("sweep", shown(found.sweep, "deg").into()),
        ])
        .into())
    }),
];

/// The unit of the first side that was given.
fn first_unit(a: &Arguments) -> Unit {
    let given = a.values.iter().filter_map(|value| value.quantity().ok());
    given
        .filter(|given| given.dimension == Dimension::LENGTH)
        .map(|given| given.unit)
        .next()
        .unwrap_or(Unit::NONE)
}

fn triangle(a: &Arguments) -> Result<Value, Fault> {
    let found = triangles::triangle(
        a.optional(0),
        a.optional(1),
        a.optional(2),
        a.optional(3),
        a.optional(4),
        a.optional(5),
    )?;
    let unit = first_unit(a);
    let mut answers = found.iter().map(|triangle| sides(triangle, unit));
    let mut first = answers.next().unwrap_or_default();
    let second = answers.next();
    if second.is_some() {
        a.warn("two triangles fit these sizes: the other is in the field `second`");
    }
    first.fields.push(("second".into(), second.into()));
    Ok(first.into())
}

fn sides(found: &Triangle, unit: Unit) -> Record {
    let length = |value| Value::from(shown_in(value, unit));
    Record::new([
        ("a", length(found.a)),
        ("b", length(found.b)),
        ("c", length(found.c)),
        ("angle_a", shown(found.angle_a, "deg").into()),
        ("angle_b", shown(found.angle_b, "deg").into()),
        ("angle_c", shown(found.angle_c, "deg").into()),
        ("area", shown_in(found.area, Unit::NONE).into()),
    ])
}
