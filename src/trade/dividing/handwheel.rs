//! Dividing by the angle on the rotary table's handwheel.

use serde::Serialize;
use uom::ConstZero;
use uom::si::angle::degree;
use uom::si::f64::Angle;

/// One place of an equal division.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Division {
    /// Number of the place, from 1.
    pub place: u32,
    /// Where the table stands, 0 to 360 degrees.
    pub angle: Angle,
    /// The same, to be shown in degrees, minutes and seconds.
    pub dms: Angle,
}

/// Returns where the table stands at each place of an equal division.
///
/// Arguments: `divisions` of a full turn (count); `first`, the reading at
/// place 1 (degrees).
///
/// Source: angle = first + 360 deg x (place - 1) / divisions.
pub fn division_angles(divisions: u32, first: Angle) -> Vec<Division> {
    (0..divisions)
        .map(|place| {
            let degrees = first.get::<degree>() + 360.0 * f64::from(place) / f64::from(divisions);
            let turned = degrees.rem_euclid(360.0);
            let angle = if turned < 1e-10 || 360.0 - turned < 1e-10 {
                Angle::ZERO
            } else {
                Angle::new::<degree>(turned)
            };
            Division {
                place: place + 1,
                angle,
                dms: angle,
            }
        })
        .collect()
}
