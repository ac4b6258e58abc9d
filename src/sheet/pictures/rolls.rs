//! Rolls in dovetails and vees, in section.

use std::f64::consts::PI;

use super::area::{Point, rectangle};
use super::canvas::{Canvas, LineType};
use super::figure::{Extent, Figure};
use super::lettering::{Anchor, CAPITAL};
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
        let roll = self.roll_at() + self.roll.size / 2.0;
        let reach = self.corner().max(roll).max(self.width.size / 2.0);
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

    fn draw(&self, canvas: &mut Canvas) {
        let scale = canvas.scale;
        let depth = self.depth.size * scale;
        let (face, corner) = (self.width.size / 2.0 * scale, self.corner() * scale);
        let (at, r) = (self.roll_at() * scale, self.roll.size / 2.0 * scale);
        let far = face.max(corner).max(at + r) + 8.0;
        let base = 8.0;
        // A tongue stands on the base (y = 0), its face above; a groove goes down from
        // the face to its floor (y = 0).
        let half = if self.female {
            [(far, -depth), (face, -depth), (corner, 0.0)]
        } else {
            [(far, 0.0), (corner, 0.0), (face, -depth)]
        };
        let mut outline = half.map(Point::from).to_vec();
        outline.extend(half.iter().rev().map(|(x, y)| Point::new(-x, *y)));
        // Convex pieces, hatched alike.
        let floor = rectangle((-far, 0.0), (far, base));
        canvas.hatch(&floor, true);
        if self.female {
            for side in [1.0, -1.0] {
                let cheek = [(far, -depth), (face, -depth), (corner, 0.0), (far, 0.0)];
                canvas.hatch(&cheek.map(|(x, y)| Point::new(side * x, y)), true);
            }
        } else {
            let tongue = [
                (-face, -depth),
                (face, -depth),
                (corner, 0.0),
                (-corner, 0.0),
            ];
            canvas.hatch(&tongue.map(Point::from), true);
        }
        canvas.polyline(&outline, false, LineType::Outline, "dovetail");
        for side in [1.0, -1.0] {
            let middle = Point::new(side * at, -r);
            canvas.pin(middle, r, "roll");
        }
        self.dimensions(canvas, (face, corner, at, r, depth, far));
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
        let text = format!("⌀{}", self.roll.text);
        canvas.leader_round((middle, r), 10.0, &[2.4, 2.1, 2.7], &text);
        let middle = Point::new(corner, 0.0);
        let (from, to) = if self.female {
            (PI, PI - self.angle.size)
        } else {
            (0.0, self.angle.size)
        };
        let radius = (2.0 * r + 6.0).max(0.8 * depth).max(14.0);
        let half = f64::midpoint(from, to);
        let places =
            [2.0, -3.0, 6.0, 10.0].map(|out| (middle.towards(half, radius + out), Anchor::Middle));
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
        let wide = 1.4 * self.width.size.max(self.roll.size);
        Some(Extent::new(wide, high, (110.0, 90.0)))
    }

    fn words(&self) -> String {
        format!(
            "The roll's top is {} above the sharp bottom, {} above the faces.",
            self.over_bottom.text, self.over_faces.text
        )
    }

    fn draw(&self, canvas: &mut Canvas) {
        let scale = canvas.scale;
        let half = self.angle.size / 2.0;
        let width = self.width.size / 2.0 * scale;
        let deep = width / half.tan();
        let r = self.roll.size / 2.0 * scale;
        let far = width.max(r) + 10.0;
        // The sharp bottom is the origin.
        for side in [1.0, -1.0] {
            let cheek = [(0.0, 0.0), (width, -deep), (far, -deep), (far, 0.0)];
            canvas.hatch(&cheek.map(|(x, y)| Point::new(side * x, y)), true);
        }
        let floor = rectangle((-far, 0.0), (far, 8.0));
        canvas.hatch(&floor, true);
        let outline = [-far, -width, 0.0, width, far];
        let outline = outline.map(|x| Point::new(x, if x == 0.0 { 0.0 } else { -deep }));
        canvas.polyline(&outline, false, LineType::Outline, "vee");
        let middle = Point::new(0.0, -r / half.sin());
        canvas.pin(middle, r, "roll");
        let (top, bottom) = (middle + (0.0, -r), Point::default());
        canvas.upright(top, bottom, far + 9.0, &self.over_bottom.text);
        let face = Point::new(-far, -deep);
        canvas.upright(top, face, -far - 9.0, &self.over_faces.text);
        let (a, b) = (Point::new(-width, -deep), Point::new(width, -deep));
        canvas.across(a, b, top.y.min(-deep) - 9.0, &self.width.text);
        let text = format!("⌀{}", self.roll.text);
        canvas.leader_round((middle, r), 10.0, &[0.35, 0.6, 0.1], &text);
        // Between the roll and the bottom there is no room for figures: the sides are
        // drawn on through the bottom, out of the hatching.
        let radius = 14.0 / half.cos().max(0.2);
        let sides = (-PI / 2.0 - half, -PI / 2.0 + half);
        for side in [sides.1, sides.0] {
            canvas.line(bottom, bottom.towards(side, radius + 2.0), LineType::Thin);
        }
        let places =
            [2.0, 8.0].map(|out| (Point::new(0.0, radius + out + CAPITAL), Anchor::Middle));
        canvas.angle(bottom, radius, sides, &self.angle.text, &places);
    }
}
