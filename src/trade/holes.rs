//! Holes seen from another datum: moved, turned, mirrored.
//!
//! Angles run anticlockwise from the positive x axis (3 o'clock), the way a
//! drawing with x to the right and y up has them. The patterns themselves are formulas in
//! library/functions.
//!
//! # Example
//! ```
//! use setover::internals::trade::holes::{Point, turned};
//! use uom::si::angle::degree;
//! use uom::si::f64::{Angle, Length};
//! use uom::si::length::millimeter;
//!
//! let at = |x, y| Point::new(Length::new::<millimeter>(x), Length::new::<millimeter>(y));
//! let holes = turned(&[at(4.0, 3.0)], Angle::new::<degree>(90.0));
//! assert!((holes[0].x.get::<millimeter>() + 3.0).abs() < 1e-9);
//! ```

use uom::ConstZero;
use uom::si::angle::degree;
use uom::si::f64::{Angle, Length};
use uom::si::length::meter;

use crate::quantity::within_a_turn;
use crate::trade::work;

/// What a hole of a pattern counts, in operations.
const HOLE: usize = 500;

/// A place on the drawing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Distance to the right of the datum.
    pub x: Length,
    /// Distance above the datum.
    pub y: Length,
}

impl Point {
    /// Returns the place with these coordinates.
    #[must_use]
    pub fn new(x: Length, y: Length) -> Self {
        Self { x, y }
    }
}

/// Returns a value in metres as a length, 0 where it is nothing against `size`.
///
/// The cosine of 90 degrees comes out as 6e-17: such remains of the arithmetic
/// would be printed as -0.000.
fn snapped(metres: f64, size: f64) -> Length {
    if metres.abs() <= 1e-13 * size {
        Length::ZERO
    } else {
        Length::new::<meter>(metres)
    }
}

/// Sine and cosine of an angle in degrees, exact on the axes.
fn direction(degrees: f64) -> (f64, f64) {
    let turned = within_a_turn(degrees, 360.0);
    match turned {
        0.0 => (0.0, 1.0),
        90.0 => (1.0, 0.0),
        180.0 => (0.0, -1.0),
        270.0 => (-1.0, 0.0),
        _ => turned.to_radians().sin_cos(),
    }
}

/// Returns the size of a pattern: its largest coordinate in metres.
fn size_of(points: &[Point]) -> f64 {
    let sizes = points.iter().flat_map(|point| [point.x, point.y]);
    sizes.fold(0.0, |size, next| size.max(next.get::<meter>().abs()))
}

/// Returns the same holes moved by `x` to the right and `y` up (mm).
///
/// To read the holes from a datum at (a, b) instead, move them by (-a, -b).
///
/// Source: plane geometry.
pub fn moved(points: &[Point], x: Length, y: Length) -> Vec<Point> {
    if !work::count(points.len() * HOLE) {
        return Vec::new();
    }
    let size = size_of(points);
    let (x, y) = (x.get::<meter>(), y.get::<meter>());
    let size = size.max(x.abs()).max(y.abs());
    points
        .iter()
        .map(|point| Point {
            x: snapped(point.x.get::<meter>() + x, size),
            y: snapped(point.y.get::<meter>() + y, size),
        })
        .collect()
}

/// Returns the same holes turned about the datum, anticlockwise by `angle` (degrees).
///
/// Source: plane geometry, x' = x cos A - y sin A, y' = x sin A + y cos A.
pub fn turned(points: &[Point], angle: Angle) -> Vec<Point> {
    if !work::count(points.len() * HOLE) {
        return Vec::new();
    }
    let size = size_of(points);
    let (sine, cosine) = direction(angle.get::<degree>());
    points
        .iter()
        .map(|point| {
            let (x, y) = (point.x.get::<meter>(), point.y.get::<meter>());
            Point {
                x: snapped(x * cosine - y * sine, size),
                y: snapped(x * sine + y * cosine, size),
            }
        })
        .collect()
}

/// Returns the same holes seen from the other side of the work: mirrored in an axis.
///
/// Arguments: `points`; `axis`, `"x"` (x stays, y changes sign: turned over
/// towards you) or `"y"` (y stays, x changes sign: turned over sideways).
///
/// Source: plane geometry.
pub fn mirrored(points: &[Point], axis: &str) -> Vec<Point> {
    let (right, up) = if axis == "x" {
        (1.0, -1.0)
    } else {
        (-1.0, 1.0)
    };
    points
        .iter()
        .map(|point| Point {
            x: snapped(point.x.get::<meter>() * right, 1.0),
            y: snapped(point.y.get::<meter>() * up, 1.0),
        })
        .collect()
}
