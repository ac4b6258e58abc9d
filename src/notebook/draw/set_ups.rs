//! Pictures of parts and set-ups: what must hold of their sizes, and what follows.
//!
//! The angles and readings here are those of right triangles and of circles that
//! touch lines; the source is named at each.

use super::form::Given;
use crate::diagnostic::Fault;
use crate::language::Value;

/// Adds what follows from the sizes of rolls in a dovetail.
pub fn dovetail(given: &mut Given) -> Result<(), Fault> {
    let size = |name: &str| given.si(name).unwrap_or(0.0);
    let (width, depth, angle, roll) = (size("width"), size("depth"), size("angle"), size("roll"));
    let female = is_text(given, "kind", "female");
    if roll / 2.0 * (1.0 + angle.cos()) > depth {
        return Err(
            Fault::new("the roll is too big: it touches the side above the dovetail")
                .advise("take a smaller roll")
                .in_argument(3),
        );
    }
    // Machinery's Handbook, measuring dovetail slides; the library's
    // dovetail_over_rolls has the same.
    let side = depth / angle.tan();
    let rolls = roll * (1.0 + 1.0 / (angle / 2.0).tan());
    let reading = if female {
        width + 2.0 * side - rolls
    } else {
        width - 2.0 * side + rolls
    };
    if !female && width <= 2.0 * side {
        return Err(Fault::new("the tongue's sides meet before its base").in_argument(1));
    }
    if female && reading <= 0.0 {
        return Err(Fault::new("the two rolls have no room side by side")
            .advise("take smaller rolls")
            .in_argument(3));
    }
    given.add_length(
        if female {
            "between_rolls"
        } else {
            "over_rolls"
        },
        reading,
        "width",
    );
    Ok(())
}

/// Returns what follows from the sizes of a roll in a vee.
pub fn vee(given: &mut Given) -> Result<(), Fault> {
    let size = |name: &str| given.si(name).unwrap_or(0.0);
    let (roll, width) = (size("roll"), size("width"));
    let angle = given.si("angle").unwrap_or(std::f64::consts::FRAC_PI_2);
    let half = angle / 2.0;
    // The roll touches the sides at its radius times the cosine of the half angle.
    if roll * half.cos() > width {
        return Err(
            Fault::new("the roll is too big: it lies on the edges of the vee")
                .advise("take a smaller roll")
                .in_argument(0),
        );
    }
    // Machinery's Handbook, checking V-shaped grooves; the library's vee_depth.
    let top = roll / 2.0 * (1.0 + 1.0 / half.sin());
    let deep = width / 2.0 / half.tan();
    if given.get("angle").is_none() {
        given.add_angle("angle", angle);
    }
    given.add_length("over_bottom", top, "roll");
    given.add_length("over_faces", top - deep, "roll");
    Ok(())
}

/// Returns what follows from the sizes of the holes of a dividing plate.
pub fn dividing_plate(given: &mut Given) -> Result<(), Fault> {
    let (circle, holes) = (given.si("circle"), given.si("holes"));
    let (circle, holes) = (circle.unwrap_or(0.0), holes.unwrap_or(0.0));
    if holes >= circle {
        return Err(
            Fault::new("the holes to move on are a whole turn or more of that circle")
                .advise("give the whole turns as `turns`")
                .in_argument(1),
        );
    }
    if holes < 0.5 && given.si("turns").unwrap_or(0.0) < 0.5 {
        return Err(Fault::new("the crank moves by nothing").in_argument(1));
    }
    if holes > 0.5 {
        given.add(
            "between_arms",
            Value::from(crate::quantity::Quantity::number(holes + 1.0)),
        );
    }
    Ok(())
}

/// Returns what follows from the sizes of a train of change gears.
pub fn change_gears(given: &mut Given) -> Result<(), Fault> {
    let drivers = given.numbers("drivers");
    let driven = given.numbers("driven");
    if drivers.len() != driven.len() || drivers.is_empty() || drivers.len() > 3 {
        return Err(Fault::new(
            "a train has as many drivers as driven gears, one to three of each",
        )
        .advise("write them as in `draw change gears(drivers: [40, 30], driven: [60, 80])`")
        .in_argument(1));
    }
    let ratio = drivers.iter().product::<f64>() / driven.iter().product::<f64>();
    given.add(
        "ratio",
        Value::from(crate::quantity::Quantity::number(ratio)),
    );
    let meshes = drivers.len() + usize::from(given.get("idler").is_some());
    let way = if meshes.is_multiple_of(2) {
        "the same way as the stud"
    } else {
        "the other way than the stud"
    };
    given.add("leadscrew_turns", way);
    Ok(())
}

/// Returns what follows from the sizes of a thread with its tool.
pub fn thread(given: &mut Given) -> Result<(), Fault> {
    let Some(Value::Text(designation)) = given.get("thread").cloned() else {
        return Ok(());
    };
    let thread = crate::trade::threads::thread(&designation)?;
    let passes = given.numbers("passes");
    let deepest = passes.iter().copied().fold(0.0, f64::max);
    if deepest > thread.pitch.value {
        return Err(Fault::new("a pass is deeper than the pitch of the thread").in_argument(1));
    }
    if passes.len() > 40 {
        return Err(Fault::new("at most 40 passes can be drawn").in_argument(1));
    }
    if given
        .si("wire")
        .is_some_and(|wire| wire > 1.5 * thread.pitch.value || wire < 0.3 * thread.pitch.value)
    {
        return Err(
            Fault::new("the wire does not touch the flanks of this thread")
                .advise("`best_wire` gives the one that does")
                .in_argument(3),
        );
    }
    given.add_length("pitch", thread.pitch.value, "over");
    given.add_length("depth", thread.depth.value, "over");
    given.add_angle("angle", thread.angle.value);
    Ok(())
}

/// Returns what follows from the sizes of a taper between set-over centres.
pub fn set_over(given: &mut Given) -> Result<(), Fault> {
    let size = |name: &str| given.si(name).unwrap_or(0.0);
    let (big, small) = (size("big"), size("small"));
    let (taper, overall) = (size("taper_length"), size("overall"));
    if big <= small {
        return Err(Fault::new("the big end is not bigger than the small one")
            .advise("give the two the other way round")
            .in_argument(0));
    }
    if taper > overall * (1.0 + 1e-12) {
        return Err(Fault::new("the taper is longer than the work").in_argument(2));
    }
    // Machinery's Handbook, chapter on tapers: L (D - d) / (2 l); the library's set_over.
    let over = overall * (big - small) / (2.0 * taper);
    if over > overall / 4.0 {
        return Err(
            Fault::new("so steep a taper can't be turned between set-over centres")
                .advise("swing the top slide instead: `draw taper`")
                .in_argument(0),
        );
    }
    given.add_length("set_over", over, "big");
    Ok(())
}

/// Returns what follows from the sizes of a sine bar on its stack.
pub fn sine_bar(given: &mut Given) -> Result<(), Fault> {
    let (length, angle) = (
        given.si("length").unwrap_or(0.0),
        given.si("angle").unwrap_or(0.0),
    );
    // Right triangle; the library's sine_bar.
    let stack = length * angle.sin();
    given.add_length("stack", stack, "length");
    let blocks = given.numbers("blocks");
    if blocks.len() > 12 {
        return Err(Fault::new("at most 12 blocks can be drawn").in_argument(2));
    }
    let sum: f64 = blocks.iter().sum();
    if !blocks.is_empty() {
        if (sum - stack).abs() > 0.01 * stack {
            return Err(
                Fault::new("the blocks do not add up to the stack that the angle wants")
                    .advise("`gauge_blocks` chooses them")
                    .in_argument(2),
            );
        }
        given.add_length("stacked", sum, "length");
    }
    Ok(())
}

/// Returns what follows from the sizes of a lever or link with rounded ends.
pub fn lever(given: &mut Given) -> Result<(), Fault> {
    let size = |name: &str| given.si(name).unwrap_or(0.0);
    let (big, small, centres) = (size("big"), size("small"), size("centres"));
    if big < small {
        return Err(Fault::new("the big end is smaller than the small one")
            .advise("give the two the other way round")
            .in_argument(0));
    }
    let step = (big - small) / 2.0;
    if centres <= step {
        return Err(
            Fault::new("the small end lies inside the big one, so they have no flanks")
                .advise("put the centres further apart")
                .in_argument(2),
        );
    }
    for (place, end, bore) in [(4, "big", "big_bore"), (5, "small", "small_bore")] {
        if size(bore) >= size(end) {
            return Err(
                Fault::new(format!("`{bore}` is not smaller than the {end} end"))
                    .in_argument(place),
            );
        }
    }
    // External tangent of two circles: sin(angle) = (D - d) / (2 C).
    let cutter = given.si("cutter");
    given.add_angle("flank_angle", (step / centres).asin());
    // Dialled on the readout, as the library's flank_length and table_offset.
    given.add_coordinate(
        "flank_length",
        (centres * centres - step * step).sqrt(),
        "centres",
    );
    if let Some(cutter) = cutter {
        given.add_coordinate("big_offset", (big + cutter) / 2.0, "big");
        given.add_coordinate("small_offset", (small + cutter) / 2.0, "small");
    }
    Ok(())
}

/// Returns what follows from the sizes of a taper, and of the travel along it.
pub fn taper(given: &mut Given) -> Result<(), Fault> {
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
    let by_slide = is_text(given, "along", "top slide");
    given.add_angle("half_angle", angle);
    if let Some(travel) = travel {
        // Right triangle: the slide's own travel is the hypotenuse, the carriage's
        // the side along the axis.
        let reading = travel * if by_slide { angle.sin() } else { angle.tan() };
        given.add_length("reading", reading, "travel");
    }
    Ok(())
}

/// Returns what follows from the sizes of a set-up on the rotary table.
pub fn rotary_table(given: &mut Given) -> Result<(), Fault> {
    let si = |name: &str| given.si(name).unwrap_or(0.0);
    let (radius, cutter) = (si("radius"), si("cutter"));
    let inside = is_text(given, "side", "inside");
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

fn is_text(given: &Given, name: &str, text: &str) -> bool {
    matches!(given.get(name), Some(Value::Text(found)) if &**found == text)
}
