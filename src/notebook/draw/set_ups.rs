//! Pictures of set-ups: what they take, and what follows from it.
//!
//! The angles and readings here are those of right triangles and of circles that
//! touch lines; the source is named at each.

use super::form::{Form, Given, Parameter, Subject};
use crate::diagnostic::Fault;
use crate::language::Value;

/// Rolls in a dovetail.
pub const DOVETAIL: Form = Form {
    name: "dovetail",
    shows: "a dovetail in section with two rolls in its corners, and the reading over or between them",
    subject: Subject::Nothing,
    parameters: &[
        Parameter::needed(
            "width",
            "length > 0 mm",
            "width at the open face, to the sharp corners",
        ),
        Parameter::needed(
            "depth",
            "length > 0 mm",
            "depth from the face to the corners",
        ),
        Parameter::needed(
            "angle",
            "angle > 5 deg and < 90 deg",
            "angle between the side and the base",
        ),
        Parameter::needed("roll", "length > 0 mm", "diameter of the rolls"),
        Parameter::maybe(
            "kind",
            "\"male\" or \"female\"",
            "the tongue or the groove; the tongue where left out",
        ),
    ],
    options: &[],
    example: "draw dovetail(width: 60 mm, depth: 11 mm, angle: 60 deg, roll: 8 mm)",
    derive: dovetail,
};

fn dovetail(given: &mut Given) -> Result<(), Fault> {
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

/// A roll in a vee.
pub const VEE: Form = Form {
    name: "vee",
    shows: "a vee in section with a roll in it: how high its top is above the sharp bottom and above the faces",
    subject: Subject::Nothing,
    parameters: &[
        Parameter::needed("roll", "length > 0 mm", "diameter of the roll"),
        Parameter::needed("width", "length > 0 mm", "width of the vee at the faces"),
        Parameter::maybe(
            "angle",
            "angle >= 20 deg and <= 160 deg",
            "angle of the vee, side to side; 90 deg where left out",
        ),
    ],
    options: &[],
    example: "draw vee(roll: 25 mm, width: 40 mm)",
    derive: vee,
};

fn vee(given: &mut Given) -> Result<(), Fault> {
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

/// A dividing plate.
pub const DIVIDING_PLATE: Form = Form {
    name: "dividing plate",
    shows: "the circle of a dividing plate with the holes that are used and the sector arms",
    subject: Subject::Nothing,
    parameters: &[
        Parameter::needed(
            "circle",
            "whole >= 3 and <= 400",
            "number of holes of the circle",
        ),
        Parameter::needed(
            "holes",
            "whole >= 0",
            "holes to move on, beside whole turns",
        ),
        Parameter::maybe("turns", "whole >= 0", "whole turns of the crank"),
    ],
    options: &[],
    example: "draw dividing plate(circle: 49, holes: 12, turns: 3)",
    derive: dividing_plate,
};

fn dividing_plate(given: &mut Given) -> Result<(), Fault> {
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

/// A train of change gears.
pub const CHANGE_GEARS: Form = Form {
    name: "change gears",
    shows: "a train of change gears from the stud to the leadscrew: axles, hands and idlers",
    subject: Subject::Nothing,
    parameters: &[
        Parameter::needed(
            "drivers",
            "whole or list of whole >= 8 and <= 400",
            "teeth of the drivers, from the stud on",
        ),
        Parameter::needed(
            "driven",
            "whole or list of whole >= 8 and <= 400",
            "teeth of the driven gears; the last is on the leadscrew",
        ),
        Parameter::maybe(
            "idler",
            "whole >= 8 and <= 400",
            "teeth of an idler before the leadscrew's gear",
        ),
        Parameter::maybe(
            "module",
            "length > 0 mm",
            "module of the gears; with it the centre distances are given",
        ),
    ],
    options: &[],
    example: "draw change gears(drivers: [40, 30], driven: [60, 80], idler: 50)",
    derive: change_gears,
};

fn change_gears(given: &mut Given) -> Result<(), Fault> {
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

/// A thread with its tool.
pub const THREAD: Form = Form {
    name: "thread",
    shows: "the profile of an external thread with the tool in it, the passes, and a wire",
    subject: Subject::Nothing,
    parameters: &[
        Parameter::needed("thread", "text", "designation of the thread"),
        Parameter::maybe(
            "passes",
            "length or list of length > 0 mm",
            "depths of the passes, on the radius",
        ),
        Parameter::maybe(
            "compound",
            "angle >= 0 deg and < 60 deg",
            "how far the top slide is swung from square; straight in where left out",
        ),
        Parameter::maybe("wire", "length > 0 mm", "diameter of the wires"),
        Parameter::maybe("over", "length > 0 mm", "reading over three wires"),
    ],
    options: &[],
    example: "draw thread(\"M10x1\", passes: [0.2 mm, 0.4 mm, 0.6 mm], wire: 0.6 mm, over: 10.2 mm)",
    derive: thread,
};

fn thread(given: &mut Given) -> Result<(), Fault> {
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

/// A taper between set-over centres.
pub const TAILSTOCK: Form = Form {
    name: "tailstock",
    shows: "work between centres with the tailstock set over, seen from above",
    subject: Subject::Nothing,
    parameters: &[
        Parameter::needed(
            "big",
            "drawn length > 0 mm",
            "diameter at the big end of the taper",
        ),
        Parameter::needed(
            "small",
            "drawn length > 0 mm",
            "diameter at its small end, at the tailstock",
        ),
        Parameter::needed(
            "taper_length",
            "drawn length > 0 mm",
            "length of the taper along the axis",
        ),
        Parameter::needed(
            "overall",
            "length > 0 mm",
            "length of the work from centre to centre",
        ),
    ],
    options: &[],
    example: "draw tailstock(big: 25 mm, small: 20 mm, taper_length: 100 mm, overall: 180 mm)",
    derive: set_over,
};

fn set_over(given: &mut Given) -> Result<(), Fault> {
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

/// A sine bar on its stack.
pub const SINE_BAR: Form = Form {
    name: "sine bar",
    shows: "a sine bar on its stack of gauge blocks",
    subject: Subject::Nothing,
    parameters: &[
        Parameter::needed(
            "length",
            "length > 0 mm",
            "distance between the centres of its rollers",
        ),
        Parameter::needed(
            "angle",
            "angle > 0 deg and <= 60 deg",
            "angle that it is set to",
        ),
        Parameter::maybe(
            "blocks",
            "length or list of length > 0 mm",
            "gauge blocks of the stack",
        ),
    ],
    options: &[],
    example: "draw sine bar(length: 100 mm, angle: 30 deg, blocks: [25 mm, 25 mm])",
    derive: sine_bar,
};

fn sine_bar(given: &mut Given) -> Result<(), Fault> {
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

fn is_text(given: &Given, name: &str, text: &str) -> bool {
    matches!(given.get(name), Some(Value::Text(found)) if &**found == text)
}
