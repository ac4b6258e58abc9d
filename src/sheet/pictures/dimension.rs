//! Dimensions as ISO 129-1 draws them: dimension lines with filled arrow heads,
//! extension lines past them, the text above the line and readable from the
//! bottom or the right.

use std::f64::consts::{FRAC_PI_2, PI};

use super::area::Point;
use super::canvas::{Canvas, LineType};
use super::lettering::{Anchor, CAPITAL, Place, covers, width_of};

/// The length of an arrow head.
pub const ARROW: f64 = 3.0;
/// Half the width of an arrow head: 15 degrees between its flanks.
const ARROW_HALF: f64 = 0.4;
/// How far an extension line runs past the dimension line: eight widths of a
/// narrow line.
pub const PAST: f64 = 2.0;
/// What stays free between the outline and its extension line.
const GAP: f64 = 1.0;
/// What stays free between a dimension line and its text.
pub const ABOVE: f64 = 0.9;

/// Returns the angle brought to where text reads from the bottom or the right: over -90
/// degrees up to 90.
pub fn readable(angle: f64) -> f64 {
    let mut angle = angle % PI;
    if angle > FRAC_PI_2 + 1e-6 {
        angle -= PI;
    }
    if angle <= -FRAC_PI_2 + 1e-6 {
        angle += PI;
    }
    angle
}

impl Canvas {
    /// Draws an arrow head at `tip`, pointing in direction `angle`.
    pub fn arrow(&mut self, tip: Point, angle: f64) {
        let back = tip.towards(angle, -ARROW);
        let [left, right] =
            [ARROW_HALF, -ARROW_HALF].map(|off| back.towards(angle + FRAC_PI_2, off));
        self.filled(&[tip, left, right]);
    }

    /// Draws the dimension between two points of an outline: the dimension line runs in
    /// direction `angle` through `through`.
    pub fn dimension(&mut self, a: Point, b: Point, angle: f64, through: Point, text: &str) {
        let angle = readable(angle);
        let foot = |point: Point| {
            let along = (point.x - through.x) * angle.cos() - (point.y - through.y) * angle.sin();
            through.towards(angle, along)
        };
        let (mut from, mut to) = (a, b);
        let (mut start, mut end) = (foot(a), foot(b));
        if start.distance(end) > 1e-9 && (start.angle_to(end) - angle).cos() < 0.0 {
            std::mem::swap(&mut start, &mut end);
            std::mem::swap(&mut from, &mut to);
        }
        for (outline, at) in [(from, start), (to, end)] {
            self.extension(outline, at);
        }
        let length = start.distance(end);
        let wide = length >= 2.0 * ARROW + 1.0;
        let width = width_of(text);
        let up = angle + FRAC_PI_2;
        if wide {
            self.line(start, end, LineType::Thin);
            self.arrow(start, angle + PI);
            self.arrow(end, angle);
        } else {
            // Too narrow: the arrows point inwards from outside.
            let tail = ARROW + 2.5;
            let (left, right) = (start.towards(angle, -tail), end.towards(angle, tail));
            self.line(left, right, LineType::Thin);
            self.arrow(start, angle);
            self.arrow(end, angle + PI);
        }
        let between = length >= width + 1.0 || (length >= width && wide);
        let middle = start.middle(end).towards(up, ABOVE);
        let inside = Self::area_of(middle, text, Anchor::Middle, angle);
        if between && !covers(&self.texts, &inside) {
            self.text(middle, text, Anchor::Middle, angle);
            return;
        }
        // Beside the extension line, above the dimension line drawn on.
        let lead = if wide { 1.0 } else { ARROW + 1.0 };
        let right = end.towards(angle, lead).towards(up, ABOVE);
        let left = start.towards(angle, -lead).towards(up, ABOVE);
        let on_the_right = Self::area_of(right, text, Anchor::Start, angle);
        if covers(&self.texts, &on_the_right) {
            self.line(start, start.towards(angle, -lead - width), LineType::Thin);
            self.text(left, text, Anchor::End, angle);
        } else {
            self.line(end, end.towards(angle, lead + width), LineType::Thin);
            self.text(right, text, Anchor::Start, angle);
        }
    }

    /// Draws an extension line from the outline past the dimension line.
    fn extension(&mut self, outline: Point, at: Point) {
        let distance = outline.distance(at);
        if distance <= GAP + 0.1 {
            return;
        }
        let angle = outline.angle_to(at);
        let (from, to) = (outline.towards(angle, GAP), at.towards(angle, PAST));
        self.line(from, to, LineType::Thin);
    }

    /// Draws a horizontal dimension whose line stands at height `y`.
    pub fn across(&mut self, a: Point, b: Point, y: f64, text: &str) {
        self.dimension(a, b, 0.0, Point::new(a.x, y), text);
    }

    /// Draws a vertical dimension whose line stands at `x`.
    pub fn upright(&mut self, a: Point, b: Point, x: f64, text: &str) {
        self.dimension(a, b, FRAC_PI_2, Point::new(x, a.y), text);
    }

    /// Draws a leader: an arrow at `tip`, a line to `elbow`, and the text on a line from
    /// there to the side on which it stands.
    pub fn leader(&mut self, tip: Point, elbow: Point, text: &str) {
        let side = if elbow.x >= tip.x { 1.0 } else { -1.0 };
        let end = elbow + (side * (width_of(text) + 1.0), 0.0);
        self.line(tip, elbow, LineType::Thin);
        self.line(elbow, end, LineType::Thin);
        self.arrow(tip, elbow.angle_to(tip));
        self.write(elbow.middle(end) + (0.0, -ABOVE), text, Anchor::Middle);
    }

    /// Draws the angle between two directions from `middle`, dimensioned on an arc.
    /// `places` are where the text may stand, best first.
    pub fn angle(
        &mut self,
        middle: Point,
        radius: f64,
        (from, to): (f64, f64),
        text: &str,
        places: &[Place],
    ) {
        let mut sign = (to - from).signum();
        if radius * (to - from).abs() >= 2.0 * ARROW + 1.0 {
            self.arc(middle, radius, from, to, LineType::Thin);
        } else {
            let tail = sign * (ARROW + 2.5) / radius;
            self.arc(middle, radius, from - tail, from, LineType::Thin);
            self.arc(middle, radius, to, to + tail, LineType::Thin);
            sign = -sign;
        }
        self.arrow_on_arc(middle, radius, from, -sign);
        self.arrow_on_arc(middle, radius, to, sign);
        self.text_where_free(places, text);
    }

    /// Draws an arrow head on an arc at an angle, pointing counter-clockwise where `sign`
    /// is 1, clockwise where it is -1.
    pub fn arrow_on_arc(&mut self, middle: Point, radius: f64, at: f64, sign: f64) {
        // A chord of the arrow's length, so that the head lies on the arc.
        let lean = ARROW / radius / 2.0;
        self.arrow(middle.towards(at, radius), at + sign * (FRAC_PI_2 - lean));
    }

    /// Draws the mark of a datum: the small circle from which running dimensions count.
    pub fn origin(&mut self, at: Point) {
        self.circle(at, 1.5, LineType::Thin, "origin");
    }

    /// Draws the centre lines of a circle, running past it.
    pub fn centre_mark(&mut self, middle: Point, radius: f64) {
        let reach = radius + 2.0;
        for (x, y) in [(reach, 0.0), (0.0, reach)] {
            self.line(middle + (-x, -y), middle + (x, y), LineType::Centre);
        }
    }
}

/// The height of a line of text with the room it needs.
pub const TEXT_STEP: f64 = CAPITAL + 2.0;
