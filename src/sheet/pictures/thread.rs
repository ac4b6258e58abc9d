//! The profile of an external thread with the tool, the passes and a wire.

use super::area::{Point, rectangle};
use super::canvas::{Canvas, LineType};
use super::dimension::TEXT_STEP;
use super::figure::{Extent, Figure};
use super::lettering::{Anchor, CAPITAL};
use super::measure::{Fields, Measure};
use super::spread::spread;

/// A thread's profile.
#[derive(Debug)]
pub struct Thread {
    designation: String,
    pitch: Measure,
    depth: Measure,
    /// Between the flanks.
    angle: Measure,
    passes: Vec<Measure>,
    compound: Option<Measure>,
    wire: Option<Measure>,
    over: Option<Measure>,
}

/// How many crests are drawn.
const CRESTS: i32 = 3;

impl Thread {
    /// Returns the thread of a record.
    pub fn of(fields: &Fields) -> Option<Self> {
        Some(Self {
            designation: fields.text("thread")?,
            pitch: fields.measure("pitch")?,
            depth: fields.measure("depth")?,
            angle: fields.measure("angle")?,
            passes: fields.lengths("passes"),
            compound: fields.measure("compound"),
            wire: fields.size("wire"),
            over: fields.size("over"),
        })
    }

    /// Returns the width of a crest in millimetres: an eighth of the pitch at 60 degrees
    /// (ISO 68-1), else half of what the flanks leave.
    fn crest(&self) -> f64 {
        let left = self.pitch.size - 2.0 * self.depth.size * (self.angle.size / 2.0).tan();
        let eighth = self.pitch.size / 8.0;
        let is_sixty = (self.angle.size.to_degrees() - 60.0).abs() < 0.1;
        if is_sixty && eighth < left {
            eighth
        } else {
            left.max(0.0) / 2.0
        }
    }
}

impl Figure for Thread {
    fn extent(&self) -> Option<Extent> {
        let wide = self.pitch.size * f64::from(CRESTS);
        Some(Extent::new(wide, 2.0 * self.depth.size, (90.0, 70.0)))
    }

    fn words(&self) -> String {
        let mut text = format!(
            "{}, in section along the axis; corners drawn sharp.",
            self.designation
        );
        if !self.passes.is_empty() {
            text.push_str(" Passes: depth on the radius.");
        }
        if let Some(over) = &self.over {
            text.push_str(&format!(" Reading over three wires: {}.", over.text));
        }
        text
    }

    fn draw(&self, canvas: &mut Canvas) {
        let scale = canvas.scale;
        let (pitch, depth) = (self.pitch.size * scale, self.depth.size * scale);
        let half = self.angle.size / 2.0;
        let flank = depth * half.tan();
        let crest = self.crest() * scale;
        let root = (pitch - 2.0 * flank - crest).max(0.0);
        // Crests at y = 0, the axis far below.
        let mut outline = Vec::new();
        for index in 0..CRESTS {
            let x = f64::from(index) * pitch;
            outline.push(Point::new(x, 0.0));
            outline.push(Point::new(x + crest, 0.0));
            if index + 1 < CRESTS {
                outline.push(Point::new(x + crest + flank, depth));
                outline.push(Point::new(x + crest + flank + root, depth));
            }
        }
        let end = f64::from(CRESTS - 1) * pitch + crest;
        let low = depth + 10.0;
        // Teeth and body, convex pieces hatched alike.
        for index in 0..CRESTS {
            let x = f64::from(index) * pitch;
            let left = if index == 0 { x } else { x - flank };
            let right = x + crest + if index + 1 == CRESTS { 0.0 } else { flank };
            let tooth = [(x, 0.0), (x + crest, 0.0), (right, depth), (left, depth)];
            canvas.hatch(&tooth.map(Point::from), true);
        }
        canvas.hatch(&rectangle((0.0, depth), (end, low)), true);
        canvas.polyline(&outline, false, LineType::Outline, "thread");
        self.tool(canvas, (crest, flank, root, depth));
        // The wire lies in the second space; it touches the flanks, so its centre
        // stands its radius over the half angle's sine above the sharp bottom.
        if let Some(wire) = &self.wire {
            let r = wire.size / 2.0 * scale;
            let bottom = (pitch - crest) / 2.0 / half.tan();
            let middle = Point::new(pitch + crest + flank + root / 2.0, bottom - r / half.sin());
            canvas.pin(middle, r, "wire");
            let text = format!("⌀{} wire", wire.text);
            canvas.leader_round((middle, r), 9.0, &[0.7, 0.4, 1.0], &text);
        }
        let top = canvas.bounds().0.y;
        let (a, b) = (Point::new(crest, 0.0), Point::new(pitch + crest, 0.0));
        canvas.across(a, b, top - 8.0, &self.pitch.text);
        let (a, b) = (Point::new(0.0, 0.0), Point::new(crest + flank, depth));
        canvas.upright(a, b, -9.0, &self.depth.text);
        self.passes(canvas, (crest, flank, depth, end));
    }
}

impl Thread {
    /// Draws the tool in the first space, with its angle and the way it is fed.
    fn tool(&self, canvas: &mut Canvas, (crest, flank, root, depth): (f64, f64, f64, f64)) {
        let half = self.angle.size / 2.0;
        let high = depth.max(12.0) + 8.0;
        let rise = high + depth;
        let out = rise * half.tan();
        let left = crest + flank;
        let right = left + root;
        let corners = [
            (left - out, -high),
            (left, depth),
            (right, depth),
            (right + out, -high),
        ];
        let corners = corners.map(Point::from);
        canvas.polyline(&corners, false, LineType::Path, "tool");
        let up = std::f64::consts::FRAC_PI_2;
        // The sides of the tool meet below its nose.
        let sharp = Point::new(left + root / 2.0, depth + root / 2.0 / half.tan());
        let radius = (sharp.y + high) / half.cos() - 2.0;
        let places = [2.0, 7.0, 12.0].map(|out| {
            let at = Point::new(sharp.x, sharp.y - radius - out);
            (at, Anchor::Middle)
        });
        canvas.angle(
            sharp,
            radius,
            (up - half, up + half),
            &self.angle.text,
            &places,
        );
        let swung = self.compound.as_ref();
        if let Some(compound) = swung.filter(|compound| compound.size > 1e-6) {
            // The top slide feeds along a line swung from square, against its flank.
            let tip = Point::new(left + root / 2.0, depth);
            let [from, to] = [6.0, -6.0].map(|out| tip.towards(up - compound.size, rise + out));
            canvas.line(from, to, LineType::Thin);
            canvas.arrow(to, -up - compound.size);
            let places = [
                (from + (1.5, 0.0), Anchor::Start),
                (from + (0.0, -2.0), Anchor::Middle),
            ];
            canvas.text_where_free(&places, &format!("fed at {} from square", compound.text));
        }
    }

    /// Draws the depths of the passes, as lines across the first space with their figures on
    /// the right.
    fn passes(&self, canvas: &mut Canvas, (crest, flank, depth, end): (f64, f64, f64, f64)) {
        let scale = canvas.scale;
        let mut depths: Vec<&Measure> = self.passes.iter().collect();
        depths.sort_by(|a, b| a.size.total_cmp(&b.size));
        let wanted: Vec<f64> = depths.iter().map(|pass| pass.size * scale).collect();
        let places = spread(&wanted, &vec![TEXT_STEP; wanted.len()]);
        // Below all that stands above the crests, so that no leader crosses another.
        let low = canvas.texts.iter().filter(|text| text.middle.x > end);
        let above = low.map(|text| text.middle.y + text.half_height + TEXT_STEP);
        let above = above.fold(f64::NEG_INFINITY, f64::max);
        let down = places.first().map_or(0.0, |first| (above - first).max(0.0));
        let right = end + 12.0;
        for ((number, pass), (at, place)) in (1..).zip(&depths).zip(wanted.iter().zip(&places)) {
            let place = place + down;
            let side = (depth - at).max(0.0) / depth.max(1e-9) * flank;
            let middle = crest + flank;
            canvas.level(*at, (middle - side, middle + side + 1.0), LineType::Thin);
            let (from, to) = (Point::new(end + 1.0, *at), Point::new(right, place));
            canvas.line(from, to, LineType::Thin);
            let text = format!("{number}: {}", pass.text);
            canvas.write((right + 1.0, place + CAPITAL / 2.0), &text, Anchor::Start);
        }
    }
}
