//! Angular indexing: the nearest holes to an angle.

use serde::Serialize;
use uom::si::angle::degree;
use uom::si::f64::Angle;

use crate::diagnostic::Fault;
use crate::trade::dividing::plates::{check_plates, circles};
use crate::trade::dividing::{Movement, Plate, movement};
use crate::trade::fraction::Fraction;

/// The circle and the movement nearest to an angle.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AngleIndex {
    /// The movement of the crank.
    #[serde(flatten)]
    pub crank: Movement,
    /// The angle that the work turns.
    pub got: Angle,
    /// How much that is more than wanted; 0 where it is exact.
    pub error: Angle,
}

/// Returns the circle of the plates that comes nearest to an angle, with its error; of
/// several that are as near, the one with the fewest holes.
///
/// Arguments: `angle` to turn the work by (degrees); `ratio`, turns of the
/// crank to one turn of the work; `plates` with the holes of their circles.
///
/// # Errors
/// A fault where an argument is out of bounds.
///
/// Source: Machinery's Handbook, indexing for angles: turns = angle x ratio /
/// 360 deg.
pub fn angle_indexing(angle: Angle, ratio: u32, plates: &[Plate]) -> Result<AngleIndex, Fault> {
    check_plates(plates, 2)?;
    let degrees = angle.get::<degree>();
    // Less than a millionth of a degree is no turn at all.
    let turns = Fraction::near(degrees / 360.0).unwrap_or(Fraction::new(0, 1));
    let wanted = turns.times(i128::from(ratio));
    let each = circles(plates).into_iter().map(|(plate, circle)| {
        let exact = wanted.times(i128::from(circle));
        let nearest = (2 * exact.top + exact.bottom).div_euclid(2 * exact.bottom);
        let got = Fraction::new(nearest, i128::from(circle));
        (got, got.minus(wanted), (plate, circle))
    });
    let best = each.min_by(|(_, off, (_, circle)), (_, best_off, (_, best_circle))| {
        let nearer = off.size().against(best_off.size());
        nearer.then(circle.cmp(best_circle))
    });
    let found = best.and_then(|(got, off, circle)| Some((movement(got, circle)?, got, off)));
    let (crank, got, off) =
        found.ok_or_else(|| Fault::new("the plates have no circles").in_argument(2))?;
    let as_angle =
        |turns: Fraction| Angle::new::<degree>(turns.to_f64() * 360.0 / f64::from(ratio));
    Ok(AngleIndex {
        crank,
        got: as_angle(got),
        error: as_angle(off),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_circle_comes_nearer() {
        let circles = [15, 16, 17, 18, 19, 20, 21, 23, 27, 29, 31, 33, 49];
        let plates = [Plate::of_circles(&circles)];
        for step in 0..2_000_u32 {
            // Minutes of arc, and some angles that are no round number.
            let minutes = f64::from(step) * 7.0 + f64::from(step % 3) / 7.0;
            let angle = Angle::new::<degree>(minutes / 60.0);
            let row = angle_indexing(angle, 40, &plates).unwrap();
            let nearest = circles
                .iter()
                .flat_map(|circle| {
                    let turns = minutes / 60.0 * 40.0 / 360.0;
                    let holes = (turns * f64::from(*circle)).floor();
                    [holes, holes + 1.0].map(|holes| (holes / f64::from(*circle) - turns).abs())
                })
                .fold(f64::INFINITY, f64::min);
            let error = row.error.get::<degree>().abs() * 40.0 / 360.0;
            assert!((error - nearest).abs() < 1e-12, "{minutes} min: {row:?}");
            let turned = 9.0
                * (f64::from(u32::try_from(row.crank.turns).unwrap())
                    + f64::from(row.crank.holes) / f64::from(row.crank.circle));
            assert!((turned - row.got.get::<degree>()).abs() < 1e-9, "{row:?}");
            assert!(row.crank.holes < row.crank.circle, "{row:?}");
        }
    }
}
