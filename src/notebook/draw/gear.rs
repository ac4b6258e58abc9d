//! `draw gear(…)`: teeth of a spur gear, with pins, a span, or another gear in mesh.

use super::form::Given;
use crate::diagnostic::Fault;

/// Returns whether jaws over so many teeth touch two flanks: where they do, both lie half the
/// span from the middle on a line that touches the base circle (ISO 21771), which
/// must not be beyond the outside; and some tooth must be left beside them.
fn jaws_rest(teeth: f64, span: f64, pressure: f64) -> bool {
    use std::f64::consts::PI;
    let base = teeth * pressure.cos() / 2.0;
    let half = base * (PI * (span - 0.5) / teeth + pressure.tan() - pressure);
    span < teeth && base.hypot(half) <= teeth / 2.0 + 1.0
}

/// Checks what was given and adds what follows from it.
pub fn derive(given: &mut Given) -> Result<(), Fault> {
    let size = |name: &str| given.si(name).unwrap_or(0.0);
    let (module, teeth, mate) = (size("module"), size("teeth"), given.si("mate"));
    if given
        .si("pin")
        .is_some_and(|pin| !(1.2 * module..=2.6 * module).contains(&pin))
    {
        return Err(
            Fault::new("the pin does not rest on the flanks of these teeth")
                .advise("`best_pin` gives the one that does")
                .in_argument(2),
        );
    }
    let pressure = given.si("pressure_angle").unwrap_or(20_f64.to_radians());
    if let Some(span) = given.si("span_teeth") {
        if given.get("pin").is_some() || mate.is_some() {
            return Err(
                Fault::new("pins, a span and a mate are pictures of their own")
                    .advise("write a `draw gear(…)` for each")
                    .in_argument(5),
            );
        }
        if !jaws_rest(teeth, span, pressure) {
            return Err(
                Fault::new("the jaws do not rest on the flanks of so many teeth")
                    .advise("`span_teeth` gives how many to take")
                    .in_argument(5),
            );
        }
    } else if given.get("span").is_some() {
        return Err(
            Fault::new("the span does not say over how many teeth it is")
                .advise("add `span_teeth: 3`, or as many as there are between the jaws")
                .in_argument(6),
        );
    }
    // ISO 53 and ISO 21771, without profile shift; clearance of a quarter module.
    given.add_length("pitch_diameter", module * teeth, "module");
    given.add_length("outside", module * (teeth + 2.0), "module");
    given.add_length("root", module * (teeth - 2.5), "module");
    given.add_length("base", module * teeth * pressure.cos(), "module");
    if let Some(mate) = mate {
        given.add_length("centres", module * (teeth + mate) / 2.0, "module");
    }
    Ok(())
}
