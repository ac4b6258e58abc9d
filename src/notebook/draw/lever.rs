//! `draw lever(…)`: two rounded ends joined by tangent flanks.

use super::form::{Form, Given, Parameter, Subject};
use crate::diagnostic::Fault;

/// A lever or link with rounded ends.
pub const FORM: Form = Form {
    name: "lever",
    shows: "rounded ends joined by tangent flanks, with the points where they meet and the path of the cutter's centre",
    subject: Subject::Nothing,
    parameters: &[
        Parameter::needed("big", "length > 0 mm", "diameter of the big end"),
        Parameter::needed("small", "length > 0 mm", "diameter of the small end"),
        Parameter::needed(
            "centres",
            "length > 0 mm",
            "distance between the centres of the ends",
        ),
        Parameter::maybe(
            "cutter",
            "length > 0 mm",
            "diameter of the cutter that runs round the outside",
        ),
        Parameter::maybe(
            "big_bore",
            "length > 0 mm",
            "diameter of the hole in the big end",
        ),
        Parameter::maybe(
            "small_bore",
            "length > 0 mm",
            "diameter of the hole in the small end",
        ),
    ],
    options: &[],
    example: "draw lever(big: 28 mm, small: 18 mm, centres: 70 mm, cutter: 16 mm)",
    derive,
};

fn derive(given: &mut Given) -> Result<(), Fault> {
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
