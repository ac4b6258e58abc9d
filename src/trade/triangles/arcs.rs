//! The arc that blends two lines and the circle through three points.

use uom::si::angle::{degree, radian};
use uom::si::f64::{Angle, Length};
use uom::si::length::meter;

use crate::diagnostic::Fault;
use crate::trade::bounds;
use crate::trade::holes::Point;

/// An arc that rounds the corner of two lines.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Blend {
    /// Centre of the arc.
    pub centre: Point,
    /// Where the arc meets the first line.
    pub first: Point,
    /// Where the arc meets the second line.
    pub second: Point,
    /// Distance from the corner to either tangent point.
    pub tangent: Length,
    /// Distance from the corner to the centre.
    pub to_centre: Length,
    /// Distance from the corner to the middle of the arc: what the rounding takes off.
    pub to_arc: Length,
    /// Angle between the two lines at the corner.
    pub corner: Angle,
    /// Angle that the arc covers, seen from its centre.
    pub sweep: Angle,
}

/// The arc of a radius that blends two lines which meet in a corner.
///
/// Arguments: `x` and `y` of the sharp corner (mm); `first` and `second`, the
/// directions in which the two lines leave the corner, anticlockwise from the
/// positive x axis (degrees); `radius` of the arc (mm).
///
/// # Errors
/// A fault where an argument is out of bounds or where the lines do not meet at
/// an angle (same or opposite direction).
///
/// Source: plane geometry: tangent = r / tan(V/2), corner to centre =
/// r / sin(V/2), V the angle between the lines.
pub fn corner_blend(
    x: Length,
    y: Length,
    first: Angle,
    second: Angle,
    radius: Length,
) -> Result<Blend, Fault> {
    let corner = (
        bounds::length(x, "x of the corner", 0)?,
        bounds::length(y, "y of the corner", 1)?,
    );
    bounds::angle(first, "direction of the first line", 2)?;
    bounds::angle(second, "direction of the second line", 3)?;
    let radius = bounds::length_above_zero(radius, "radius", 4)?;
    // From -180 to 180 degrees, from the first line to the second.
    let between =
        (second.get::<degree>() - first.get::<degree>() + 180.0).rem_euclid(360.0) - 180.0;
    if between.abs() < 1e-6 || between.abs() > 180.0 - 1e-6 {
        return Err(Fault::new(format!(
            "lines that leave the corner at {} deg and {} deg lie in one line: there is nothing to blend",
            bounds::shown(first.get::<degree>()),
            bounds::shown(second.get::<degree>())
        ))
        .advise("give the directions in which the two lines leave the corner")
        .in_argument(3));
    }
    let half = (between.abs() / 2.0).to_radians();
    let tangent = radius / half.tan();
    let to_centre = radius / half.sin();
    let middle = first.get::<degree>() + between / 2.0;
    let place = |degrees: f64, distance: f64| {
        let (sine, cosine) = degrees.to_radians().sin_cos();
        let snap = |value: f64, size: f64| {
            let value = if value.abs() <= 1e-13 * size {
                0.0
            } else {
                value
            };
            Length::new::<meter>(value)
        };
        Point {
            x: snap(corner.0 + distance * cosine, distance + corner.0.abs()),
            y: snap(corner.1 + distance * sine, distance + corner.1.abs()),
        }
    };
    Ok(Blend {
        centre: place(middle, to_centre),
        first: place(first.get::<degree>(), tangent),
        second: place(second.get::<degree>(), tangent),
        tangent: Length::new::<meter>(tangent),
        to_centre: Length::new::<meter>(to_centre),
        to_arc: Length::new::<meter>(to_centre - radius),
        corner: Angle::new::<degree>(between.abs()),
        sweep: Angle::new::<degree>(180.0 - between.abs()),
    })
}

/// A circle by its centre and size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Circle {
    /// Radius.
    pub radius: Length,
    /// Diameter.
    pub diameter: Length,
    /// Centre.
    pub centre: Point,
    /// Angle that the three points cover on the circle, seen from its centre.
    pub covered: Angle,
}

/// The circle through three points, say three places touched with a probe.
///
/// Arguments: `first`, `second` and `third`, the points (mm). The record says
/// what angle of the circle the points cover: a short arc makes the radius
/// doubtful, since a small error of a point is a large one of the radius.
///
/// # Errors
/// A fault where a coordinate is not finite, where two points are one, or where
/// all three lie on a straight line.
///
/// Source: plane geometry: the perpendicular bisectors of two chords meet in
/// the centre.
pub fn radius_of_three_points(first: Point, second: Point, third: Point) -> Result<Circle, Fault> {
    let mut points = [(0.0, 0.0); 3];
    for (index, (place, point)) in points.iter_mut().zip([first, second, third]).enumerate() {
        *place = (
            bounds::length(point.x, "x of a point", index)?,
            bounds::length(point.y, "y of a point", index)?,
        );
    }
    let [origin, second, third] = points;
    let (bx, by) = (second.0 - origin.0, second.1 - origin.1);
    let (cx, cy) = (third.0 - origin.0, third.1 - origin.1);
    let (b, c) = (bx * bx + by * by, cx * cx + cy * cy);
    let between = (cx - bx).hypot(cy - by);
    let cross = bx * cy - by * cx;
    let sides = [b.sqrt(), c.sqrt(), between];
    let longest = sides.iter().copied().fold(0.0, f64::max);
    if sides.iter().any(|side| *side <= 1e-12 * longest) {
        return Err(Fault::new("two of the three points are the same")
            .advise("touch the arc in three different places"));
    }
    if cross.abs() <= 1e-12 * longest * longest {
        return Err(Fault::new(
            "the three points lie on a straight line: no circle goes through them",
        )
        .advise("touch the arc in places further apart"));
    }
    let (ux, uy) = (
        (cy * b - by * c) / (2.0 * cross),
        (bx * c - cx * b) / (2.0 * cross),
    );
    let radius = ux.hypot(uy);
    // The points lie on a circle in some order; the widest gap is not covered.
    let mut directions = [(0.0, 0.0), (bx, by), (cx, cy)].map(|(x, y)| (y - uy).atan2(x - ux));
    directions.sort_by(f64::total_cmp);
    let [low, middle, high] = directions;
    let turn = std::f64::consts::TAU;
    let gap = (middle - low).max(high - middle).max(turn - (high - low));
    let snap = |value: f64, size: f64| {
        let value = if value.abs() <= 1e-13 * size {
            0.0
        } else {
            value
        };
        Length::new::<meter>(value)
    };
    Ok(Circle {
        radius: Length::new::<meter>(radius),
        diameter: Length::new::<meter>(2.0 * radius),
        centre: Point {
            x: snap(origin.0 + ux, radius + origin.0.abs()),
            y: snap(origin.1 + uy, radius + origin.1.abs()),
        },
        covered: Angle::new::<radian>(turn - gap),
    })
}
