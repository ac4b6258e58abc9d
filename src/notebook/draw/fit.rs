//! `draw fit(…)`: the tolerance zones of a hole and a shaft.

use super::form::Given;
use crate::diagnostic::Fault;

/// Checks what was given and adds what follows from it.
pub fn shrink(given: &mut Given) -> Result<(), Fault> {
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

/// Checks what was given and adds what follows from it.
pub fn derive(given: &mut Given) -> Result<(), Fault> {
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
