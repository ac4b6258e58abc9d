//! Points and turned rectangles on paper, and whether they overlap.

use std::f64::consts::FRAC_PI_2;
use std::ops::Add;

/// A point on paper, in millimetres, y downwards.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Point {
    /// To the right.
    pub x: f64,
    /// Downwards.
    pub y: f64,
}

impl Point {
    /// Returns a point.
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// Returns the point `distance` away in direction `angle` (radians, counter-clockwise
    /// from the right, as angles are measured on a drawing).
    pub fn towards(self, angle: f64, distance: f64) -> Self {
        Self::new(
            self.x + distance * angle.cos(),
            self.y - distance * angle.sin(),
        )
    }

    /// Returns the distance to another point.
    pub fn distance(self, other: Self) -> f64 {
        (other.x - self.x).hypot(other.y - self.y)
    }

    /// Returns the direction to another point.
    pub fn angle_to(self, other: Self) -> f64 {
        (self.y - other.y).atan2(other.x - self.x)
    }

    /// Returns the point between.
    pub fn middle(self, other: Self) -> Self {
        (
            f64::midpoint(self.x, other.x),
            f64::midpoint(self.y, other.y),
        )
            .into()
    }

    /// Returns the point that lies a part of the way to another.
    pub fn part_way(self, other: Self, part: f64) -> Self {
        self + (part * (other.x - self.x), part * (other.y - self.y))
    }
}

impl Add<(f64, f64)> for Point {
    type Output = Self;

    /// Returns the point so far to the right and so far down.
    fn add(self, (right, down): (f64, f64)) -> Self {
        Self::new(self.x + right, self.y + down)
    }
}

impl From<(f64, f64)> for Point {
    fn from((x, y): (f64, f64)) -> Self {
        Self::new(x, y)
    }
}

/// Returns the least and the greatest of some values.
pub fn extremes(values: impl IntoIterator<Item = f64>) -> (f64, f64) {
    let none = (f64::INFINITY, f64::NEG_INFINITY);
    values
        .into_iter()
        .fold(none, |(low, high), value| (low.min(value), high.max(value)))
}

/// Returns how far some circles, each with its middle and its radius, reach along X and
/// along Y.
pub fn reach_of(circles: &[(f64, f64, f64)]) -> ((f64, f64), (f64, f64)) {
    let ends = |at: fn(&(f64, f64, f64)) -> f64| {
        extremes(
            circles
                .iter()
                .flat_map(|circle| [at(circle) - circle.2, at(circle) + circle.2]),
        )
    };
    (ends(|(x, ..)| *x), ends(|(_, y, _)| *y))
}

/// Returns the corners of a rectangle on the level, from one to that across from it.
pub const fn rectangle((x, y): (f64, f64), (far_x, far_y): (f64, f64)) -> [Point; 4] {
    [
        Point::new(x, y),
        Point::new(far_x, y),
        Point::new(far_x, far_y),
        Point::new(x, far_y),
    ]
}

/// A rectangle on paper, turned about its middle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Area {
    /// Its middle.
    pub middle: Point,
    /// Half its width.
    pub half_width: f64,
    /// Half its height.
    pub half_height: f64,
    /// How far it is turned, radians counter-clockwise.
    pub turn: f64,
}

impl Area {
    /// Returns the square round a circle.
    pub const fn round(middle: Point, radius: f64) -> Self {
        Self {
            middle,
            half_width: radius,
            half_height: radius,
            turn: 0.0,
        }
    }

    /// Returns a thin rectangle along a line.
    pub fn along(from: Point, to: Point) -> Self {
        Self {
            middle: from.middle(to),
            half_width: from.distance(to) / 2.0,
            half_height: 0.15,
            turn: from.angle_to(to),
        }
    }

    /// Returns the point of a rectangle that is not turned, or of the square round one that
    /// is, which is nearest to `point`.
    pub fn nearest(&self, point: Point) -> Point {
        let corners = self.corners();
        let (left, right) = extremes(corners.map(|corner| corner.x));
        let (top, bottom) = extremes(corners.map(|corner| corner.y));
        Point::new(point.x.max(left).min(right), point.y.max(top).min(bottom))
    }

    /// Returns its corners.
    pub fn corners(&self) -> [Point; 4] {
        let along = |sign: f64| self.middle.towards(self.turn, sign * self.half_width);
        let up = self.turn + FRAC_PI_2;
        [
            along(-1.0).towards(up, -self.half_height),
            along(1.0).towards(up, -self.half_height),
            along(1.0).towards(up, self.half_height),
            along(-1.0).towards(up, self.half_height),
        ]
    }

    /// Returns whether two rectangles overlap: no line parallel to a side separates them.
    pub fn overlaps(&self, other: &Self) -> bool {
        // Most are too far apart to be looked at closely.
        let reach = |area: &Self| area.half_width.hypot(area.half_height);
        let (dx, dy) = (
            self.middle.x - other.middle.x,
            self.middle.y - other.middle.y,
        );
        let near = reach(self) + reach(other);
        if dx * dx + dy * dy > near * near {
            return false;
        }
        let [mine, theirs] = [self.turn, other.turn];
        let directions = [mine, mine + FRAC_PI_2, theirs, theirs + FRAC_PI_2];
        let (mine, theirs) = (self.corners(), other.corners());
        directions.iter().all(|direction| {
            let along = |p: Point| p.x * direction.cos() - p.y * direction.sin();
            let (a, b) = (extremes(mine.map(along)), extremes(theirs.map(along)));
            a.0 < b.1 && b.0 < a.1
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn turned_rectangles_overlap_where_they_should() {
        let flat = Area {
            middle: Point::new(0.0, 0.0),
            half_width: 10.0,
            half_height: 1.0,
            turn: 0.0,
        };
        let mut other = Area {
            middle: Point::new(0.0, 6.0),
            turn: std::f64::consts::FRAC_PI_2,
            ..flat
        };
        assert!(flat.overlaps(&other));
        other.turn = 0.0;
        assert!(!flat.overlaps(&other));
        // At 45 degrees the other's corner lies 5.5 mm above its middle.
        other.turn = std::f64::consts::FRAC_PI_4;
        other.half_width = 5.0;
        other.middle.y = 6.0;
        assert!(!flat.overlaps(&Area {
            middle: Point::new(0.0, 8.0),
            ..other
        }));
        assert!(flat.overlaps(&Area {
            middle: Point::new(0.0, 4.0),
            ..other
        }));
    }
}
