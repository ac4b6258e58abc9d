//! Triangles from any three of their parts.
//!
//! Sides are a, b, c; the angle opposite a side has its capital letter.
//!
//! # Example
//! ```
//! use setover::internals::trade::triangles::triangle;
//! use uom::si::angle::degree;
//! use uom::si::f64::Length;
//! use uom::si::length::millimeter;
//!
//! let mm = |size| Some(Length::new::<millimeter>(size));
//! let found = triangle([mm(3.0), mm(4.0), mm(5.0)], [None; 3])?;
//! assert!((found.angle_c.get::<degree>() - 90.0).abs() < 1e-9);
//! # Ok::<(), setover::internals::diagnostic::Fault>(())
//! ```

use serde::Serialize;
use std::f64::consts::PI;

use uom::si::angle::radian;
use uom::si::f64::{Angle, Area, Length};
use uom::si::length::meter;

use crate::diagnostic::Fault;
use crate::quantity::short;

/// A triangle; each angle is opposite the side of its letter.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Triangle {
    /// Side a.
    pub a: Length,
    /// Side b.
    pub b: Length,
    /// Side c.
    pub c: Length,
    /// Angle A, opposite side a.
    pub angle_a: Angle,
    /// Angle B, opposite side b.
    pub angle_b: Angle,
    /// Angle C, opposite side c.
    pub angle_c: Angle,
    /// Area.
    pub area: Area,
    /// The other triangle, where two sides and an angle leave it open.
    pub second: Option<Box<Triangle>>,
}

/// Three sides and the angles opposite them, in metres and radians.
type SidesAndAngles = ([f64; 3], [f64; 3]);

/// Returns a triangle from any three of its sides and angles, at least one of them a
/// side: one answer, or two where the drawing leaves it open (two sides and an
/// angle opposite one of them), the one with the longer third side first.
///
/// Arguments, three of them given: sides `a`, `b`, `c` (mm); angles `angle_a`,
/// `angle_b`, `angle_c`, each opposite the side of its letter (degrees).
///
/// # Errors
/// A fault where not exactly three are given, where no side is, where an
/// argument is out of bounds, or where no such triangle exists.
///
/// Source: Machinery's Handbook, solution of oblique-angled triangles: sine and
/// cosine rules.
pub fn triangle(sides: [Option<Length>; 3], angles: [Option<Angle>; 3]) -> Result<Triangle, Fault> {
    let sides = sides.map(|side| side.map(|side| side.get::<meter>()));
    let angles = angles.map(|angle| angle.map(|angle| angle.get::<radian>()));
    let side_count = sides.iter().flatten().count();
    let angle_count = angles.iter().flatten().count();
    if side_count + angle_count != 3 {
        return Err(Fault::new(format!(
            "a triangle takes exactly three of a, b, c, A, B and C, found {}",
            side_count + angle_count
        ))
        .advise("give three sides, two sides and an angle, or one side and two angles"));
    }
    let found = match side_count {
        3 => three_sides(sides)?,
        2 => two_sides(sides, angles)?,
        1 => two_angles(sides, angles)?,
        _ => {
            return Err(
                Fault::new("three angles fix the shape of a triangle but not its size")
                    .advise("give at least one side"),
            );
        }
    };
    let mut found = found.into_iter().map(record);
    let mut first = found
        .next()
        .ok_or_else(|| Fault::new("there is no such triangle"))?;
    first.second = found.next().map(Box::new);
    Ok(first)
}

/// Returns the triangle as quantities.
fn record((sides, angles): SidesAndAngles) -> Triangle {
    let [a, b, c] = sides.map(Length::new::<meter>);
    let [angle_a, angle_b, angle_c] = angles.map(Angle::new::<radian>);
    Triangle {
        a,
        b,
        c,
        angle_a,
        angle_b,
        angle_c,
        area: a * b * (angles[2].sin() / 2.0),
        second: None,
    }
}

/// Returns the angle opposite side `a`, from half-angles, which stay accurate for
/// slivers where the cosine rule does not.
fn angle_from_sides(a: f64, b: f64, c: f64) -> f64 {
    let top = (a - b + c).max(0.0) * (a + b - c).max(0.0);
    let bottom = (a + b + c) * (b + c - a).max(0.0);
    2.0 * top.sqrt().atan2(bottom.sqrt())
}

/// Returns all three sides are given.
fn three_sides(sides: [Option<f64>; 3]) -> Result<Vec<SidesAndAngles>, Fault> {
    let [a, b, c] = sides.map(Option::unwrap_or_default);
    for (index, (longest, others)) in [(a, b + c), (b, a + c), (c, a + b)].into_iter().enumerate() {
        if longest >= others {
            return Err(Fault::new(format!(
                "the sides do not meet: {} mm must be less than the other two together, {} mm",
                short(longest * 1e3, 6),
                short(others * 1e3, 6)
            ))
            .in_argument(index));
        }
    }
    let angles = [
        angle_from_sides(a, b, c),
        angle_from_sides(b, c, a),
        angle_from_sides(c, a, b),
    ];
    Ok(vec![([a, b, c], angles)])
}

/// Returns one side and two angles are given.
fn two_angles(
    sides: [Option<f64>; 3],
    angles: [Option<f64>; 3],
) -> Result<Vec<SidesAndAngles>, Fault> {
    let sum: f64 = angles.iter().flatten().sum();
    let last = PI - sum;
    if last <= 1e-12 {
        return Err(Fault::new(format!(
            "the two angles are {} deg together; they must leave something of 180 deg",
            short(sum.to_degrees(), 6)
        ))
        .in_argument(
            angles
                .iter()
                .position(Option::is_some)
                .map_or(3, |at| at + 3),
        ));
    }
    let angles = angles.map(|angle| angle.unwrap_or(last));
    let scale = sides
        .iter()
        .zip(angles)
        .find_map(|(side, angle)| side.map(|side| side / angle.sin()))
        .unwrap_or_default();
    let mut lengths = angles.map(|angle| scale * angle.sin());
    for (length, side) in lengths.iter_mut().zip(sides) {
        *length = side.unwrap_or(*length);
    }
    Ok(vec![(lengths, angles)])
}

/// Returns two sides and one angle are given: the angle between them, or one opposite.
fn two_sides(
    sides: [Option<f64>; 3],
    angles: [Option<f64>; 3],
) -> Result<Vec<SidesAndAngles>, Fault> {
    let missing = sides.iter().position(Option::is_none).unwrap_or(2);
    let given = angles.iter().position(Option::is_some).unwrap_or(2);
    let angle = angles.iter().flatten().copied().next().unwrap_or_default();
    let lengths = sides.map(Option::unwrap_or_default);
    if missing == given {
        let (next, after) = ((missing + 1) % 3, (missing + 2) % 3);
        let (p, q) = (lengths[next], lengths[after]);
        // (p - q)^2 + 4 p q sin^2 is the cosine rule without its cancellation.
        let half = (angle / 2.0).sin();
        let third = ((p - q) * (p - q) + 4.0 * p * q * half * half).sqrt();
        let mut all = lengths;
        all[missing] = third;
        let mut found = [0.0; 3];
        found[missing] = angle;
        found[next] = (p * angle.sin()).atan2(q - p * angle.cos());
        found[after] = PI - angle - found[next];
        return Ok(vec![(all, found)]);
    }
    // `angle` is opposite `lengths[given]`; the other given side is `other`.
    let other = 3 - missing - given;
    let (opposite, beside) = (lengths[given], lengths[other]);
    let ratio = beside * angle.sin() / opposite;
    if ratio > 1.0 + 1e-12 || (opposite <= beside && angle >= PI / 2.0) {
        return Err(Fault::new(format!(
            "no such triangle: a side of {} mm opposite {} deg does not reach from a side of {} mm",
            short(opposite * 1e3, 6),
            short(angle.to_degrees(), 6),
            short(beside * 1e3, 6)
        ))
        .advise(if angle < PI / 2.0 {
            format!(
                "the side opposite must be at least {} mm",
                short(beside * angle.sin() * 1e3, 6)
            )
        } else {
            "the longest side must be opposite an obtuse angle".to_owned()
        })
        .in_argument(given));
    }
    let build = |second: f64| {
        let last = PI - angle - second;
        let mut all = lengths;
        // The projections of both given sides on the third: no division by a
        // sine that may be small.
        all[missing] = beside * angle.cos() + opposite * second.cos();
        let mut found = [0.0; 3];
        found[given] = angle;
        found[other] = second;
        found[missing] = last;
        (all, found)
    };
    // A right angle, or near enough that the two answers are one.
    if ratio >= 1.0 - 1e-12 {
        return Ok(vec![build(PI / 2.0)]);
    }
    let sharp = ratio.asin();
    let mut answers = vec![build(sharp)];
    let blunt = PI - sharp;
    if opposite < beside && angle + blunt < PI - 1e-12 {
        answers.push(build(blunt));
    }
    Ok(answers)
}
