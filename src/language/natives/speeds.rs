//! Cutting speeds, the machine's speeds, roughing passes.

use uom::si::f64::Frequency;

use super::Topic;
use super::shown::{plain, shown};
use crate::diagnostic::Fault;
use crate::language::arguments::Arguments;
use crate::language::{Record, Table, Value};
use crate::quantity::Quantity;
use crate::trade::{cutting_speeds, preferred_numbers, roughing};

/// The functions of this topic.
pub const FUNCTIONS: Topic = &[
    ("speed_for", |a| {
        let range = cutting_speeds::speed_for(&a.text(0), &a.text(1), &a.text(2))?;
        Ok(Record::new([
            ("low", Value::from(plain(range.low))),
            ("high", plain(range.high).into()),
            ("middle", plain(range.middle).into()),
            ("material", range.material.as_str().into()),
            ("tool", range.tool.as_str().into()),
            ("operation", range.operation.as_str().into()),
            ("basis", range.basis.as_str().into()),
            ("note", range.note.as_str().into()),
        ])
        .standing_for(range.middle)
        .into())
    }),
    ("nearest_speed", nearest_speed),
    ("roughing_passes", |a| {
        let passes = roughing::roughing_passes(a.get(0), a.get(1), a.get(2), a.get(3))?;
        let unit = a.quantity(0).unit;
        let length = |value| Value::from(super::shown::shown_in(value, unit));
        let rows = passes
            .iter()
            .map(|pass| {
                vec![
                    Value::whole(pass.pass),
                    length(pass.diameter),
                    length(pass.cut),
                    length(pass.dial_on_diameter),
                    length(pass.dial_on_radius),
                ]
            })
            .collect();
        let columns = [
            "pass",
            "diameter",
            "cut",
            "dial_on_diameter",
            "dial_on_radius",
        ];
        Ok(Table::new(&columns, rows).into())
    }),
    ("preferred_number", |a| {
        let found = preferred_numbers::preferred_number(a.number(0), &a.text(1))?;
        Ok(Record::new([
            ("nearest", Quantity::number(found.nearest)),
            ("below", Quantity::number(found.below)),
            ("above", Quantity::number(found.above)),
            ("deviation", super::shown::percent(found.deviation)),
        ])
        .standing_for(Quantity::number(found.nearest))
        .into())
    }),
];

fn nearest_speed(a: &Arguments) -> Result<Value, Fault> {
    let wanted = a.quantity(0);
    let speeds: Vec<Frequency> = a.list_of(1);
    let found = cutting_speeds::nearest_speed(wanted.into(), &speeds)?;
    let speed = Quantity::from(found.speed);
    // The unit that the machine's speeds are listed in.
    let listed = a.list(1).iter().filter_map(|item| item.quantity().ok());
    let speed = listed
        .map(|listed| super::shown::shown_in(speed, listed.unit))
        .next()
        .unwrap_or(shown(speed, "rpm"));
    if found.slower_than_slowest {
        a.warn(format!(
            "the slowest speed, {speed}, is faster than the {wanted} wanted"
        ));
    }
    Ok(speed.into())
}
