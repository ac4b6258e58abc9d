//! Spur gears: their sizes, cutters and measurement.

use super::Topic;
use super::shown::{plain, shown, shown_in};
use crate::diagnostic::Fault;
use crate::language::arguments::Arguments;
use crate::language::{Record, Value};
use crate::quantity::Quantity;
use crate::trade::gears::{self, Cutter};

/// The functions of this topic.
pub const FUNCTIONS: Topic = &[
    ("spur_gear", spur_gear),
    ("cutter_number", |a| {
        Ok(cutter(&gears::cutter_number(a.count(0))?).into())
    }),
    ("angle_from_involute", |a| {
        Ok(shown(gears::angle_from_involute(a.number(0))?, "deg").into())
    }),
    ("best_pin", |a| {
        let pin = gears::best_pin(a.get(0), a.count(1), a.get(2), a.number(3))?;
        Ok(like_the_module(a, pin))
    }),
    ("over_pins", |a| {
        let over = gears::over_pins(a.get(0), a.count(1), a.get(2), a.get(3), a.number(4))?;
        Ok(like_the_module(a, over))
    }),
    ("thickness_from_pins", |a| {
        let (module, teeth, pin) = (a.get(0), a.count(1), a.get(2));
        let found = gears::thickness_from_pins(module, teeth, pin, a.get(4), a.get(3))
            .map_err(|fault| exchanged(fault, 3, 4))?;
        Ok(like_the_module(a, found))
    }),
    ("span_teeth", |a| {
        Ok(Value::whole(gears::best_span_teeth(
            a.count(0),
            a.get(1),
            a.number(2),
        )?))
    }),
    ("thickness_from_span", |a| {
        let (module, teeth, over) = (a.get(0), a.count(1), a.count(2));
        let found = gears::thickness_from_span(module, teeth, over, a.get(4), a.get(3))
            .map_err(|fault| exchanged(fault, 3, 4))?;
        Ok(like_the_module(a, found))
    }),
    ("nearest_module", |a| {
        let found = gears::nearest_module(a.get(0))?;
        Ok(Record::new([
            ("module", Value::from(shown(found.nearest.module, "mm"))),
            ("series", found.nearest.series.into()),
            ("difference", shown(found.difference, "mm").into()),
            ("preferred", shown(found.preferred.module, "mm").into()),
            ("standard", found.nearest.standard.into()),
        ])
        .standing_for(shown(found.nearest.module, "mm"))
        .into())
    }),
];

/// A fault whose argument stands in another place of the call: the language has
/// arguments with a default last.
fn exchanged(fault: Fault, one: usize, other: usize) -> Fault {
    Fault {
        argument: fault.argument.map(|place| match place {
            place if place == one => other,
            place if place == other => one,
            place => place,
        }),
        ..fault
    }
}

/// A size in the unit that the module was given in.
fn like_the_module(a: &Arguments, size: impl Into<Quantity>) -> Value {
    shown_in(size, a.quantity(0).unit).into()
}

fn cutter(cutter: &Cutter) -> Record {
    let number = Quantity::number(f64::from(cutter.number));
    Record::new([
        ("number", Value::from(number)),
        ("module_number", Value::whole(cutter.module_number)),
        ("teeth_from", Value::whole(cutter.teeth_from)),
        ("teeth_to", cutter.teeth_to.map(f64::from).into()),
        ("number_of_fifteen", cutter.number_of_fifteen.into()),
    ])
    .standing_for(number)
}

fn spur_gear(a: &Arguments) -> Result<Value, Fault> {
    let (module, teeth, alpha) = (a.get(0), a.count(1), a.get(2));
    let found = gears::spur_gear(module, teeth, alpha, a.number(3), a.number(4))?;
    let length = |value| like_the_module(a, plain(value));
    Ok(Record::new([
        ("pitch_diameter", length(found.pitch_diameter)),
        ("outside", length(found.outside)),
        ("root", length(found.root)),
        ("base", length(found.base)),
        ("addendum", length(found.addendum)),
        ("dedendum", length(found.dedendum)),
        ("whole_depth", length(found.whole_depth)),
        ("circular_pitch", length(found.circular_pitch)),
        ("thickness", length(found.thickness)),
        ("chordal_thickness", length(found.chordal_thickness)),
        ("chordal_addendum", length(found.chordal_addendum)),
        ("cutter", found.cutter.as_ref().map(cutter).into()),
        ("span_teeth", Value::whole(found.span_teeth)),
        ("span", found.span.map_or(Value::None, length)),
        ("undercut", found.undercut.into()),
    ])
    .into())
}
