//! `draw end view(…)`: a turned part seen from its end.

use super::form::Given;
use crate::diagnostic::Fault;

/// Checks what was given and adds what follows from it.
pub fn derive(given: &mut Given) -> Result<(), Fault> {
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
