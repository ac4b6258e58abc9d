//! Triangles from what the drawing gives.
//!
//! Sides are a, b, c; the angle opposite a side has its capital letter.
//!
//! # Example
//! ```
//! use setover::internals::trade::triangles::right_triangle;
//! use uom::si::f64::Length;
//! use uom::si::length::millimeter;
//!
//! let mm = |size| Some(Length::new::<millimeter>(size));
//! let triangle = right_triangle(mm(3.0), mm(4.0), None, None, None)?;
//! assert!((triangle.hypotenuse.get::<millimeter>() - 5.0).abs() < 1e-12);
//! # Ok::<(), setover::internals::diagnostic::Fault>(())
//! ```

mod oblique;

pub use oblique::{Triangle, triangle};

use serde::Serialize;
use uom::si::angle::radian;
use uom::si::f64::{Angle, Area, Length};
use uom::si::length::meter;

use crate::diagnostic::Fault;
use crate::quantity::short;

/// A triangle with a right angle between its sides a and b.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct RightTriangle {
    /// Side a, opposite angle A.
    pub a: Length,
    /// Side b, opposite angle B.
    pub b: Length,
    /// The longest side, opposite the right angle.
    pub hypotenuse: Length,
    /// Angle A, between side b and the hypotenuse.
    pub angle_a: Angle,
    /// Angle B, between side a and the hypotenuse.
    pub angle_b: Angle,
    /// Area, half of a times b.
    pub area: Area,
}

/// Returns a right-angled triangle from any two of its sides and acute angles, at least
/// one of them a side.
///
/// Arguments, two of them given: `a` and `b`, the sides at the right angle
/// (mm); `hypotenuse` (mm); `angle_a`, the angle opposite a, and `angle_b`, the
/// angle opposite b (degrees).
///
/// # Errors
/// A fault where not exactly two are given, where both are angles, where a side
/// is not above 0, an angle not between 0.000001 and 90 degrees, or the hypotenuse not
/// the longest side.
///
/// Source: Machinery's Handbook, solution of right-angled triangles.
pub fn right_triangle(
    a: Option<Length>,
    b: Option<Length>,
    hypotenuse: Option<Length>,
    angle_a: Option<Angle>,
    angle_b: Option<Angle>,
) -> Result<RightTriangle, Fault> {
    let side = |value: Option<Length>| value.map(|side| side.get::<meter>());
    let sharp = |value: Option<Angle>| value.map(|angle| angle.get::<radian>());
    let sides = (side(a), side(b), side(hypotenuse));
    let angles = (sharp(angle_a), sharp(angle_b));
    let longest = |side: f64, hypotenuse: f64, argument| {
        if hypotenuse > side {
            return Ok(());
        }
        Err(Fault::new(format!(
            "the hypotenuse must be the longest side, found {} mm beside a side of {} mm",
            short(hypotenuse * 1e3, 6),
            short(side * 1e3, 6)
        ))
        .in_argument(argument))
    };
    // Side a, side b, hypotenuse and angle A, each from the pair that is given.
    let (a, b, c, angle) = match (sides, angles) {
        ((Some(a), Some(b), None), (None, None)) => (a, b, a.hypot(b), a.atan2(b)),
        ((Some(a), None, Some(c)), (None, None)) => {
            longest(a, c, 2)?;
            let b = ((c - a) * (c + a)).sqrt();
            (a, b, c, a.atan2(b))
        }
        ((None, Some(b), Some(c)), (None, None)) => {
            longest(b, c, 2)?;
            let a = ((c - b) * (c + b)).sqrt();
            (a, b, c, a.atan2(b))
        }
        ((Some(a), None, None), (Some(angle), None)) => {
            (a, a / angle.tan(), a / angle.sin(), angle)
        }
        ((None, Some(b), None), (Some(angle), None)) => {
            (b * angle.tan(), b, b / angle.cos(), angle)
        }
        ((None, None, Some(c)), (Some(angle), None)) => {
            (c * angle.sin(), c * angle.cos(), c, angle)
        }
        ((Some(a), None, None), (None, Some(other))) => {
            (a, a * other.tan(), a / other.cos(), right_angle() - other)
        }
        ((None, Some(b), None), (None, Some(other))) => {
            (b / other.tan(), b, b / other.sin(), right_angle() - other)
        }
        ((None, None, Some(c)), (None, Some(other))) => {
            (c * other.cos(), c * other.sin(), c, right_angle() - other)
        }
        _ => {
            let given = [a.is_some(), b.is_some(), hypotenuse.is_some()];
            let given = given.iter().filter(|side| **side).count();
            let angles = usize::from(angle_a.is_some()) + usize::from(angle_b.is_some());
            let message = if given == 0 && angles == 2 {
                "two angles fix the shape of a triangle but not its size".to_owned()
            } else {
                format!(
                    "a right triangle takes exactly two of a, b, hypotenuse, angle A and angle B, found {}",
                    given + angles
                )
            };
            return Err(Fault::new(message).advise("give two sides, or one side and one angle"));
        }
    };
    Ok(RightTriangle {
        a: Length::new::<meter>(a),
        b: Length::new::<meter>(b),
        hypotenuse: Length::new::<meter>(c),
        angle_a: Angle::new::<radian>(angle),
        angle_b: Angle::new::<radian>(angles.1.unwrap_or(right_angle() - angle)),
        area: Length::new::<meter>(a) * Length::new::<meter>(b) / 2.0,
    })
}

/// Returns a quarter turn in radians.
fn right_angle() -> f64 {
    std::f64::consts::FRAC_PI_2
}
