//! `draw end view(…)`: a turned part seen from its end.

use super::form::{Form, Given, Parameter, Subject};
use crate::diagnostic::Fault;

/// The end view of a turned part.
pub const FORM: Form = Form {
    name: "end view",
    shows: "a turned part seen from its end: bore, flats, keyway, cross hole and holes on a pitch circle",
    subject: Subject::Nothing,
    parameters: &[
        Parameter::needed("diameter", "length > 0 mm", "outside diameter"),
        Parameter::maybe("bore", "length > 0 mm", "diameter of the bore"),
        Parameter::maybe("flats", "length > 0 mm", "width across two flats"),
        Parameter::maybe(
            "key_width",
            "length > 0 mm",
            "width of the keyway in the outside",
        ),
        Parameter::maybe(
            "key_depth",
            "length > 0 mm",
            "depth of the keyway from the top of the round",
        ),
        Parameter::maybe("cross_hole", "length > 0 mm", "diameter of a hole across"),
        Parameter::maybe(
            "count",
            "whole >= 1 and <= 60",
            "number of holes on the pitch circle",
        ),
        Parameter::maybe(
            "pitch_circle",
            "length > 0 mm",
            "diameter of the pitch circle",
        ),
        Parameter::maybe("hole", "length > 0 mm", "diameter of the holes on it"),
        Parameter::maybe(
            "first",
            "angle",
            "angle of the first hole, counter-clockwise from the right",
        ),
    ],
    options: &[],
    example: "draw end view(diameter: 45 mm, bore: 20 mm, count: 4, pitch_circle: 34 mm, hole: 4.2 mm, first: 45 deg)",
    derive,
};

fn derive(given: &mut Given) -> Result<(), Fault> {
    let size = |name: &str| given.si(name);
    let diameter = size("diameter").unwrap_or(0.0);
    let smaller = |place: usize, name: &str| match size(name) {
        Some(found) if found >= diameter => {
            Err(Fault::new(format!("`{name}` is not smaller than the diameter")).in_argument(place))
        }
        _ => Ok(()),
    };
    for (place, name) in [
        (1, "bore"),
        (2, "flats"),
        (3, "key_width"),
        (4, "key_depth"),
        (5, "cross_hole"),
        (7, "pitch_circle"),
    ] {
        smaller(place, name)?;
    }
    if size("key_width").is_some() != size("key_depth").is_some() {
        return Err(Fault::new("a keyway has a width and a depth")
            .advise("give `key_width` and `key_depth`")
            .in_argument(3));
    }
    let mut over = None;
    if let (Some(width), Some(depth)) = (size("key_width"), size("key_depth")) {
        // The keyway's floor, less what the round falls at its sides.
        let floor = diameter / 2.0 - depth;
        if floor <= 0.0 || floor.hypot(width / 2.0) >= diameter / 2.0 {
            return Err(
                Fault::new("the keyway is wider than the round at its depth").in_argument(3),
            );
        }
        over = Some(diameter - depth);
    }
    if size("pitch_circle").is_some() != size("count").is_some()
        || size("pitch_circle").is_some() != size("hole").is_some()
    {
        return Err(
            Fault::new("a pitch circle has a diameter, a number of holes and their size")
                .advise("give `count`, `pitch_circle` and `hole`")
                .in_argument(6),
        );
    }
    if size("hole").is_some_and(|hole| hole >= diameter - size("pitch_circle").unwrap_or(0.0)) {
        return Err(Fault::new("the holes run over the edge").in_argument(8));
    }
    if let Some(over) = over {
        given.add_length("over_key_floor", over, "diameter");
    }
    Ok(())
}
