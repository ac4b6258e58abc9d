//! `draw fit(…)`: the tolerance zones of a hole and a shaft.

use super::form::{Form, Given, Parameter, Subject};
use crate::diagnostic::Fault;

const HOLE: Parameter =
    Parameter::needed("hole", "length > 0 mm", "size of the hole, with its limits");
const SHAFT: Parameter = Parameter::needed(
    "shaft",
    "length > 0 mm",
    "size of the shaft, with its limits",
);

/// A fit.
pub const FORM: Form = Form {
    name: "fit",
    shows: "the tolerance zones of a hole and its shaft against the zero line, their readings, and the clearance or interference at the limits",
    subject: Subject::Zones,
    parameters: &[HOLE, SHAFT],
    options: &[],
    example: "draw fit(hole: 12 mm H7, shaft: 12 mm g6)",
    derive,
};

/// A shrink fit.
pub const SHRINK: Form = Form {
    name: "shrink fit",
    shows: "the tolerance zones of a press or shrink fit, the hole's zone when it is hot, and the interference at the limits",
    subject: Subject::Zones,
    parameters: &[
        HOLE,
        SHAFT,
        Parameter::maybe(
            "grows",
            "length > 0 mm",
            "how much the hole grows when it is hot",
        ),
    ],
    options: &[],
    example: "draw shrink fit(hole: 16 mm H7, shaft: 16 mm s6, grows: 0.06 mm)",
    derive: shrink,
};

fn shrink(given: &mut Given) -> Result<(), Fault> {
    derive(given)?;
    if given
        .get("kind")
        .is_some_and(|kind| *kind == crate::language::Value::from("clearance fit"))
    {
        return Err(
            Fault::new("the shaft is never larger than the hole, so nothing grips")
                .advise("`draw fit` shows a clearance fit")
                .in_argument(1),
        );
    }
    Ok(())
}

fn derive(given: &mut Given) -> Result<(), Fault> {
    let si = |name: &str| given.si(name).unwrap_or(0.0);
    let (hole, shaft) = (si("hole"), si("shaft"));
    let most = si("hole_high") - si("shaft_low");
    let least = si("hole_low") - si("shaft_high");
    if (hole - shaft).abs() > 0.02 * hole.max(shaft) {
        return Err(
            Fault::new("the hole and the shaft differ too much in size to be one fit")
                .advise("name a hole and the shaft that goes into it")
                .in_argument(1),
        );
    }
    given.add_length("greatest_clearance", most, "hole");
    given.add_length("least_clearance", least, "hole");
    let kind = if least >= -1e-12 {
        "clearance fit"
    } else if most <= 1e-12 {
        "interference fit"
    } else {
        "transition fit"
    };
    given.add("kind", kind);
    Ok(())
}
