//! `draw taper(…)`: setting the top slide over for a taper.

use super::form::{Form, Given, Parameter, Subject};
use crate::diagnostic::Fault;
use crate::language::Value;

/// A taper and the set-up that turns it.
pub const FORM: Form = Form {
    name: "taper",
    shows: "the taper, the top slide swung to it, and what an indicator shows over a travel when the slide is set right",
    subject: Subject::Nothing,
    parameters: &[
        Parameter::needed("big", "drawn length > 0 mm", "diameter at the big end"),
        Parameter::needed("small", "drawn length > 0 mm", "diameter at the small end"),
        Parameter::needed(
            "length",
            "drawn length > 0 mm",
            "length of the taper along the axis",
        ),
        Parameter::maybe(
            "travel",
            "length > 0 mm",
            "movement over which the indicator is read",
        ),
        Parameter::maybe(
            "along",
            "\"carriage\" or \"top slide\"",
            "slide that travels; the carriage where left out",
        ),
    ],
    options: &[],
    example: "draw taper(big: 25 mm, small: 20 mm, length: 50 mm, travel: 40 mm)",
    derive,
};

fn derive(given: &mut Given) -> Result<(), Fault> {
    let size = |name: &str| given.si(name).unwrap_or(0.0);
    let (big, small, length) = (size("big"), size("small"), size("length"));
    if big <= small {
        let wrong = if big < small {
            Fault::new("the big end is smaller than the small one")
                .advise("give the two the other way round")
        } else {
            Fault::new("both ends have the same diameter, so this is not a taper")
        };
        return Err(wrong.in_argument(0));
    }
    let angle = ((big - small) / (2.0 * length)).atan();
    let travel = given.si("travel");
    let by_slide =
        matches!(given.get("along"), Some(Value::Text(slide)) if &**slide == "top slide");
    given.add_angle("half_angle", angle);
    if let Some(travel) = travel {
        // Right triangle: the slide's own travel is the hypotenuse, the carriage's
        // the side along the axis.
        let reading = travel * if by_slide { angle.sin() } else { angle.tan() };
        given.add_length("reading", reading, "travel");
    }
    Ok(())
}
