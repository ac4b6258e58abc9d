//! `draw rotary table(…)`: an arc milled on the rotary table.

use super::form::{Form, Given, Parameter, Subject};
use crate::diagnostic::Fault;
use crate::language::Value;

/// A rotary-table set-up.
pub const FORM: Form = Form {
    name: "rotary table",
    shows: "the arc, the cutter off the table's centre, and the turn from the first angle to the last",
    subject: Subject::Nothing,
    parameters: &[
        Parameter::needed("radius", "length > 0 mm", "radius wanted on the work"),
        Parameter::needed("cutter", "length > 0 mm", "diameter of the cutter"),
        Parameter::needed(
            "from",
            "angle >= -360 deg and <= 360 deg",
            "angle at which the cut begins, from X counter-clockwise",
        ),
        Parameter::needed(
            "to",
            "angle >= -360 deg and <= 360 deg",
            "angle at which the cut ends, from X counter-clockwise",
        ),
        Parameter::maybe(
            "side",
            "\"outside\" or \"inside\"",
            "side of the arc that the cutter runs on; outside where left out",
        ),
        Parameter::maybe("table", "length > 0 mm", "diameter of the rotary table"),
    ],
    options: &[],
    example: "draw rotary table(radius: 14 mm, cutter: 16 mm, from: -94 deg, to: 94 deg)",
    derive,
};

fn derive(given: &mut Given) -> Result<(), Fault> {
    let si = |name: &str| given.si(name).unwrap_or(0.0);
    let (radius, cutter) = (si("radius"), si("cutter"));
    let inside = matches!(given.get("side"), Some(Value::Text(side)) if &**side == "inside");
    if inside && cutter > 2.0 * radius {
        return Err(Fault::new("the cutter is larger than the inside radius").in_argument(1));
    }
    let turn = si("to") - si("from");
    if turn.abs() < 1e-9 || turn.abs() > std::f64::consts::TAU + 1e-9 {
        return Err(
            Fault::new("the turn from the first angle to the last must be more than nothing and at most 360 deg")
                .in_argument(3),
        );
    }
    let offset = if inside {
        radius - cutter / 2.0
    } else {
        radius + cutter / 2.0
    };
    given.add_coordinate("offset", offset, "radius");
    given.add_angle("turn", turn.abs());
    Ok(())
}
