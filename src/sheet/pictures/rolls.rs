//! Rolls in dovetails and vees, in section.

use std::f64::consts::PI;

use super::area::{Area, Point, rectangle};
use super::canvas::{Canvas, LineType};
use super::figure::{Extent, Figure};
use super::measure::{Fields, Measure};

/// A dovetail with two rolls.
#[derive(Debug)]
pub struct Dovetail {
    width: Measure,
    depth: Measure,
    angle: Measure,
    roll: Measure,
    /// Over the rolls of a tongue, or between those of a groove.
    reading: Measure,
    female: bool,
}

impl Dovetail {
    /// Returns the dovetail of a record.
    pub fn of(fields: &Fields) -> Option<Self> {
        let female = fields.text("kind").as_deref() == Some("female");
        Some(Self {
            width: fields.size("width")?,
            depth: fields.size("depth")?,
            angle: fields.measure("angle")?,
            roll: fields.size("roll")?,
            reading: fields.measure(if female {
                "between_rolls"
            } else {
                "over_rolls"
            })?,
            female,
        })
    }

    /// Returns half the width in the corners, in millimetres.
    fn corner(&self) -> f64 {
        let side = self.depth.size / self.angle.size.tan();
        self.width.size / 2.0 + if self.female { side } else { -side }
    }

    /// Returns how far the rolls' centres stand from the middle, in millimetres: a circle that
    /// touches both sides of an angle lies its radius over the half angle's tangent
    /// from the corner.
    fn roll_at(&self) -> f64 {
        let away = self.roll.size / 2.0 / (self.angle.size / 2.0).tan();
        self.corner() + if self.female { -away } else { away }
    }
}

impl Figure for Dovetail {
    fn extent(&self) -> Option<Extent> {
        let reach = self
            .corner()
            .max(self.roll_at() + self.roll.size / 2.0)
            .max(self.width.size / 2.0);
        Some(Extent::new(
            2.2 * reach,
            2.0 * self.depth.size,
            (130.0, 70.0),
        ))
    }

    fn words(&self) -> String {
        let how = if self.female { "between" } else { "over" };
        format!(
            "Reading {how} the rolls: {}. Width at the open face, to the sharp corners.",
            self.reading.text
        )
    }

    fn draw(&self, scale: f64) -> Canvas {
        let mut canvas = Canvas::new(scale);
        let depth = self.depth.size * scale;
        let (face, corner) = (self.width.size / 2.0 * scale, self.corner() * scale);
        let (at, r) = (self.roll_at() * scale, self.roll.size / 2.0 * scale);
        let far = face.max(corner).max(at + r) + 8.0;
        let base = 8.0;
        // A tongue stands on the base (y = 0), its face above; a groove goes down from
        // the face to its floor (y = 0).
        let half = if self.female {
            vec![
                Point::new(far, -depth),
                Point::new(face, -depth),
                Point::new(corner, 0.0),
            ]
        } else {
            vec![
                Point::new(far, 0.0),
                Point::new(corner, 0.0),
                Point::new(face, -depth),
            ]
        };
        let mirror = |point: &Point| Point::new(-point.x, point.y);
        let mut outline: Vec<Point> = half.clone();
        outline.extend(half.iter().rev().map(mirror));
        // Convex pieces, hatched alike.
        let floor = rectangle((-far, 0.0), (far, base));
        canvas.hatch(&floor, true);
        if self.female {
            for side in [1.0, -1.0] {
                let cheek = [
                    Point::new(side * far, -depth),
                    Point::new(side * face, -depth),
                    Point::new(side * corner, 0.0),
                    Point::new(side * far, 0.0),
                ];
                canvas.hatch(&cheek, true);
            }
        } else {
            let tongue = [
                Point::new(-face, -depth),
                Point::new(face, -depth),
                Point::new(corner, 0.0),
                Point::new(-corner, 0.0),
            ];
            canvas.hatch(&tongue, true);
        }
        canvas.polyline(&outline, false, LineType::Outline, "dovetail");
        for side in [1.0, -1.0] {
            let middle = Point::new(side * at, -r);
            canvas.circle(middle, r, LineType::Outline, "roll");
            canvas.centre_mark(middle, r);
            canvas.obstacles.push(Area::round(middle, r));
        }
        self.dimensions(&mut canvas, (face, corner, at, r, depth, far));
        canvas
    }
}

impl Dovetail {
    fn dimensions(
        &self,
        canvas: &mut Canvas,
        (face, corner, at, r, depth, far): (f64, f64, f64, f64, f64, f64),
    ) {
        let top = -depth.max(2.0 * r);
        let (a, b) = (Point::new(-face, -depth), Point::new(face, -depth));
        canvas.across(a, b, top - 9.0, &self.width.text);
        let reach = if self.female { at - r } else { at + r };
        let (a, b) = (Point::new(-reach, -r), Point::new(reach, -r));
        canvas.across(a, b, 16.0, &self.reading.text);
        let (low, high) = if self.female {
            (Point::new(corner, 0.0), Point::new(far, -depth))
        } else {
            (Point::new(far, 0.0), Point::new(face, -depth))
        };
        canvas.upright(high, low, far + 8.0, &self.depth.text);
        // The roll's size, from the left one, and the angle at the right corner.
        let middle = Point::new(-at, -r);
        let elbows = [2.4, 2.1, 2.7].map(|angle| middle.towards(angle, r + 10.0));
        canvas.leader_where_free(middle, r, &elbows, &format!("⌀{}", self.roll.text));
        let side = if self.female { 1.0 } else { 0.0 };
        let middle = Point::new(corner, 0.0);
        let (from, to) = if side > 0.0 {
            (PI, PI - self.angle.size)
        } else {
            (0.0, self.angle.size)
        };
        let radius = (2.0 * r + 6.0).max(0.8 * depth).max(14.0);
        let half = f64::midpoint(from, to);
        let places: Vec<_> = [2.0, -3.0, 6.0, 10.0]
            .into_iter()
            .map(|out| {
                (
                    middle.towards(half, radius + out),
                    super::lettering::Anchor::Middle,
                )
            })
            .collect();
        canvas.angle(middle, radius, (from, to), &self.angle.text, &places);
    }
}

/// A vee with a roll.
#[derive(Debug)]
pub struct Vee {
    roll: Measure,
    width: Measure,
    angle: Measure,
    over_bottom: Measure,
    over_faces: Measure,
}

impl Vee {
    /// Returns the vee of a record.
    pub fn of(fields: &Fields) -> Option<Self> {
        Some(Self {
            roll: fields.size("roll")?,
            width: fields.size("width")?,
            angle: fields.measure("angle")?,
            over_bottom: fields.measure("over_bottom")?,
            over_faces: fields.measure("over_faces")?,
        })
    }
}

impl Figure for Vee {
    fn extent(&self) -> Option<Extent> {
        let deep = self.width.size / 2.0 / (self.angle.size / 2.0).tan();
        let high = self.over_bottom.size.max(deep);
        Some(Extent::new(
            1.4 * self.width.size.max(self.roll.size),
            high,
            (110.0, 90.0),
        ))
    }

    fn words(&self) -> String {
        format!(
            "The roll's top is {} above the sharp bottom, {} above the faces.",
            self.over_bottom.text, self.over_faces.text
        )
    }

    fn draw(&self, scale: f64) -> Canvas {
        let mut canvas = Canvas::new(scale);
        let half = self.angle.size / 2.0;
        let width = self.width.size / 2.0 * scale;
        let deep = width / half.tan();
        let r = self.roll.size / 2.0 * scale;
        let far = width.max(r) + 10.0;
        // The sharp bottom is the origin.
        for side in [1.0, -1.0] {
            let cheek = [
                Point::new(0.0, 0.0),
                Point::new(side * width, -deep),
                Point::new(side * far, -deep),
                Point::new(side * far, 0.0),
            ];
            canvas.hatch(&cheek, true);
        }
        let floor = rectangle((-far, 0.0), (far, 8.0));
        canvas.hatch(&floor, true);
        let outline = [
            Point::new(-far, -deep),
            Point::new(-width, -deep),
            Point::new(0.0, 0.0),
            Point::new(width, -deep),
            Point::new(far, -deep),
        ];
        canvas.polyline(&outline, false, LineType::Outline, "vee");
        let middle = Point::new(0.0, -r / half.sin());
        canvas.circle(middle, r, LineType::Outline, "roll");
        canvas.centre_mark(middle, r);
        let top = Point::new(0.0, middle.y - r);
        canvas.obstacles.push(Area::round(middle, r));
        canvas.upright(top, Point::new(0.0, 0.0), far + 9.0, &self.over_bottom.text);
        canvas.upright(
            top,
            Point::new(-far, -deep),
            -far - 9.0,
            &self.over_faces.text,
        );
        let (a, b) = (Point::new(-width, -deep), Point::new(width, -deep));
        canvas.across(a, b, top.y.min(-deep) - 9.0, &self.width.text);
        let elbows = [0.35, 0.6, 0.1].map(|angle| middle.towards(angle, r + 10.0));
        canvas.leader_where_free(middle, r, &elbows, &format!("⌀{}", self.roll.text));
        // Between the roll and the bottom there is no room for figures: the sides are
        // drawn on through the bottom, out of the hatching.
        let radius = 14.0 / half.cos().max(0.2);
        let bottom = Point::new(0.0, 0.0);
        let down = -PI / 2.0;
        for side in [half, -half] {
            canvas.line(
                bottom,
                bottom.towards(down + side, radius + 2.0),
                LineType::Thin,
            );
        }
        let places = [2.0, 8.0].map(|out| {
            let at = Point::new(0.0, radius + out + super::lettering::CAPITAL);
            (at, super::lettering::Anchor::Middle)
        });
        canvas.angle(
            bottom,
            radius,
            (down - half, down + half),
            &self.angle.text,
            &places,
        );
        canvas
    }
}
