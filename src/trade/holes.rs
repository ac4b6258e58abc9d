//! Holes seen from another datum: moved, turned, mirrored.
//!
//! Angles run anticlockwise from the positive x axis (3 o'clock), the way a
//! drawing with x to the right and y up has them. The patterns themselves are formulas in
//! library/functions.
//!
//! # Example
//! ```
//! use setover::internals::trade::holes::{Placement, Point};
//! use uom::si::angle::degree;
//! use uom::si::f64::{Angle, Length};
//! use uom::si::length::millimeter;
//!
//! let at = |x, y| Point::new(Length::new::<millimeter>(x), Length::new::<millimeter>(y));
//! let holes = Placement::turned(Angle::new::<degree>(90.0)).places(&[at(4.0, 3.0)]);
//! assert!((holes[0].x.get::<millimeter>() + 3.0).abs() < 1e-9);
//! ```

use uom::ConstZero;
use uom::si::angle::{degree, radian};
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

/// Returns the sine and the cosine of an angle in degrees, exact on the axes.
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

/// Another datum for the same holes: they are mirrored in the x axis where that is so, then
/// turned about the datum, then moved.
#[derive(Clone, Copy, Debug)]
pub struct Placement {
    mirrored: bool,
    turn: Angle,
    shift: Point,
}

impl Placement {
    /// Returns that of holes moved by `x` to the right and `y` up.
    #[must_use]
    pub fn moved(x: Length, y: Length) -> Self {
        Self {
            mirrored: false,
            turn: Angle::ZERO,
            shift: Point::new(x, y),
        }
    }

    /// Returns that of holes turned about the datum, anticlockwise by `angle`.
    #[must_use]
    pub fn turned(angle: Angle) -> Self {
        Self {
            turn: angle,
            ..Self::moved(Length::ZERO, Length::ZERO)
        }
    }

    /// Returns that of holes seen from the other side of the work: mirrored in the axis `x`,
    /// or in `y`, which is half a turn besides.
    #[must_use]
    pub fn mirrored(axis: &str) -> Self {
        let half = Angle::new::<degree>(180.0);
        Self {
            mirrored: true,
            ..Self::turned(if axis == "x" { Angle::ZERO } else { half })
        }
    }

    /// Returns what a direction in radians becomes.
    #[must_use]
    pub fn direction(&self, radians: f64) -> f64 {
        let turn = self.turn.get::<radian>();
        turn + if self.mirrored { -radians } else { radians }
    }

    /// Returns 1 for each coordinate that keeps its direction, -1 for one that is turned round;
    /// nothing where they mix.
    #[must_use]
    pub fn signs(&self) -> Option<[f64; 2]> {
        let (sine, cosine) = direction(self.turn.get::<degree>());
        let up = if self.mirrored { -cosine } else { cosine };
        (sine == 0.0).then_some([cosine, up])
    }

    /// Returns where the holes are; none where the steps run out.
    ///
    /// Source: plane geometry: x' = x cos A - y sin A, y' = x sin A + y cos A.
    #[must_use]
    pub fn places(&self, points: &[Point]) -> Vec<Point> {
        if !work::count(points.len() * HOLE) {
            return Vec::new();
        }
        let metres = |point: &Point| (point.x.get::<meter>(), point.y.get::<meter>());
        let all = points.iter().chain([&self.shift]).map(metres);
        let size = all.fold(0.0, |size: f64, (x, y)| size.max(x.abs()).max(y.abs()));
        let (sine, cosine) = direction(self.turn.get::<degree>());
        let (right, up) = metres(&self.shift);
        let place = |point: &Point| {
            let (x, y) = metres(point);
            let y = if self.mirrored { -y } else { y };
            Point {
                x: snapped(x * cosine - y * sine + right, size),
                y: snapped(x * sine + y * cosine + up, size),
            }
        };
        points.iter().map(place).collect()
    }
}
