//! Patterns of holes as coordinates for a readout, and the same holes seen from
//! another datum.
//!
//! Angles run anticlockwise from the positive x axis (3 o'clock), the way a
//! drawing with x to the right and y up has them.
//!
//! # Example
//! ```
//! use setover::internals::trade::holes::pitch_circle;
//! use uom::si::angle::degree;
//! use uom::si::f64::{Angle, Length};
//! use uom::si::length::millimeter;
//!
//! let zero = Length::new::<millimeter>(0.0);
//! let holes = pitch_circle(6, Length::new::<millimeter>(80.0), Angle::new::<degree>(0.0), zero, zero);
//! // The second of six stands at 60 degrees: 40 cos 60 and 40 sin 60.
//! assert!((holes[1].x.get::<millimeter>() - 20.0).abs() < 1e-9);
//! assert!((holes[1].y.get::<millimeter>() - 40.0 * 0.75_f64.sqrt()).abs() < 1e-9);
//! ```

use serde::Serialize;
use uom::ConstZero;
use uom::si::angle::degree;
use uom::si::f64::{Angle, Length};
use uom::si::length::meter;

/// A hole on a circle.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Hole {
    /// Number of the hole, from 1.
    pub hole: u32,
    /// Direction from the centre, anticlockwise from the positive x axis, 0 to 360 degrees.
    pub angle: Angle,
    /// Distance to the right of the datum.
    pub x: Length,
    /// Distance above the datum (towards the back of the table).
    pub y: Length,
    /// Straight distance to the next hole; none after the last hole of an arc.
    pub chord: Option<Length>,
}

/// A hole in a straight row.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct RowHole {
    /// Number of the hole, from 1.
    pub hole: u32,
    /// Distance along the row from its first hole.
    pub along: Length,
    /// Distance to the right of the datum.
    pub x: Length,
    /// Distance above the datum.
    pub y: Length,
}

/// A hole in a grid.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct GridHole {
    /// Number of the hole, from 1, row by row.
    pub hole: u32,
    /// Column, from 1, along x.
    pub column: u32,
    /// Row, from 1, along y.
    pub row: u32,
    /// Distance to the right of the datum.
    pub x: Length,
    /// Distance above the datum.
    pub y: Length,
}

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

/// Returns an angle of any size as 0 up to, not including, 360 degrees.
fn within_a_turn(degrees: f64) -> f64 {
    let turned = degrees.rem_euclid(360.0);
    if turned < 1e-10 || 360.0 - turned < 1e-10 {
        0.0
    } else {
        turned
    }
}

/// Sine and cosine of an angle in degrees, exact on the axes.
fn direction(degrees: f64) -> (f64, f64) {
    let turned = within_a_turn(degrees);
    match turned {
        0.0 => (0.0, 1.0),
        90.0 => (1.0, 0.0),
        180.0 => (0.0, -1.0),
        270.0 => (-1.0, 0.0),
        _ => turned.to_radians().sin_cos(),
    }
}

/// Returns the hole with `number` at `degrees` on a circle of `radius` about (x, y).
fn on_circle(number: u32, degrees: f64, radius: f64, x: f64, y: f64, chord: Option<f64>) -> Hole {
    let (sine, cosine) = direction(degrees);
    Hole {
        hole: number,
        angle: Angle::new::<degree>(within_a_turn(degrees)),
        x: snapped(x + radius * cosine, radius + x.abs()),
        y: snapped(y + radius * sine, radius + y.abs()),
        chord: chord.map(Length::new::<meter>),
    }
}

/// Holes equally spaced round a full pitch circle.
///
/// Arguments: `count` of holes; `diameter` of the pitch circle (mm); `first`,
/// direction of hole 1 from the centre, anticlockwise from the positive x axis
/// (3 o'clock; degrees); `x` and `y` of the centre (mm). The holes follow
/// anticlockwise; the chord is the straight distance to the next hole.
///
/// Source: Machinery's Handbook, coordinates for locating equally spaced holes:
/// x = xc + D/2 cos A, y = yc + D/2 sin A; chord = D sin(180 deg / n).
pub fn pitch_circle(count: u32, diameter: Length, first: Angle, x: Length, y: Length) -> Vec<Hole> {
    let radius = diameter.get::<meter>() / 2.0;
    let (x, y) = (x.get::<meter>(), y.get::<meter>());
    let chord = 2.0 * radius * (180.0 / f64::from(count)).to_radians().sin();
    let chord = (count > 1).then_some(chord);
    (0..count)
        .map(|hole| {
            let degrees = first.get::<degree>() + 360.0 * f64::from(hole) / f64::from(count);
            on_circle(hole + 1, degrees, radius, x, y, chord)
        })
        .collect()
}

/// Holes on part of a pitch circle, the same angle between neighbours.
///
/// Arguments: `count` of holes; `diameter` of the pitch circle (mm); `first`,
/// direction of hole 1, anticlockwise from the positive x axis (degrees);
/// `between`, angle from each hole to the next (degrees; negative goes
/// clockwise); `x` and `y` of the centre (mm).
///
/// Source: Machinery's Handbook, chords and coordinates of holes on a circle:
/// chord = D sin(angle / 2).
pub fn part_circle(
    count: u32,
    diameter: Length,
    first: Angle,
    between: Angle,
    x: Length,
    y: Length,
) -> Vec<Hole> {
    let radius = diameter.get::<meter>() / 2.0;
    let step = between.get::<degree>();
    let (x, y) = (x.get::<meter>(), y.get::<meter>());
    let chord = 2.0 * radius * (step.abs() / 2.0).to_radians().sin();
    (0..count)
        .map(|hole| {
            let degrees = first.get::<degree>() + step * f64::from(hole);
            let next = (hole + 1 < count).then_some(chord);
            on_circle(hole + 1, degrees, radius, x, y, next)
        })
        .collect()
}

/// Holes in a straight row.
///
/// Arguments: `count` of holes; `pitch` from hole to hole (mm); `angle` of the
/// row, anticlockwise from the positive x axis (degrees); `x` and `y` of the
/// first hole (mm).
///
/// Source: plane trigonometry, x = x1 + k p cos A, y = y1 + k p sin A.
pub fn hole_row(count: u32, pitch: Length, angle: Angle, x: Length, y: Length) -> Vec<RowHole> {
    let pitch = pitch.get::<meter>();
    let (x, y) = (x.get::<meter>(), y.get::<meter>());
    let (sine, cosine) = direction(angle.get::<degree>());
    let size = pitch * f64::from(count);
    (0..count)
        .map(|hole| {
            let along = pitch * f64::from(hole);
            RowHole {
                hole: hole + 1,
                along: Length::new::<meter>(along),
                x: snapped(x + along * cosine, size + x.abs()),
                y: snapped(y + along * sine, size + y.abs()),
            }
        })
        .collect()
}

/// Holes in a rectangular grid, the first at the datum, numbered row by row.
///
/// Arguments: `columns` along x and `rows` along y (counts); `dx` and `dy`, the
/// pitches (mm; negative goes left or down).
///
/// Source: common practice, no source.
pub fn hole_grid(columns: u32, rows: u32, dx: Length, dy: Length) -> Vec<GridHole> {
    (0..rows)
        .flat_map(|row| (0..columns).map(move |column| (row, column)))
        .map(|(row, column)| GridHole {
            hole: row * columns + column + 1,
            column: column + 1,
            row: row + 1,
            x: dx * f64::from(column),
            y: dy * f64::from(row),
        })
        .collect()
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
