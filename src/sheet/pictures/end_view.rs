//! A turned part seen from its end.

use std::f64::consts::{FRAC_PI_2, TAU};

use super::area::{Area, Point};
use super::canvas::{Canvas, LineType};
use super::figure::{Extent, Figure};
use super::leaders::{Note, times};
use super::measure::{Fields, Measure};

/// The end of a turned part.
#[derive(Debug)]
pub struct EndView {
    diameter: Measure,
    bore: Option<Measure>,
    flats: Option<Measure>,
    /// Width, depth, and what is measured over the floor of the keyway.
    key: Option<(Measure, Measure, Measure)>,
    cross: Option<Measure>,
    /// The pitch circle, the holes on it, their number and the first one's angle.
    circle: Option<(Measure, Measure, u32, f64)>,
}

impl EndView {
    /// Returns the end view of a record.
    pub fn of(fields: &Fields) -> Option<Self> {
        let key = fields
            .size("key_width")
            .zip(fields.size("key_depth"))
            .zip(fields.measure("over_key_floor"));
        let circle = fields
            .size("pitch_circle")
            .zip(fields.size("hole"))
            .zip(fields.whole("count"));
        let first = fields.measure("first").map_or(0.0, |angle| angle.size);
        Some(Self {
            diameter: fields.size("diameter")?,
            bore: fields.size("bore"),
            flats: fields.size("flats"),
            key: key.map(|((width, depth), over)| (width, depth, over)),
            cross: fields.size("cross_hole"),
            circle: circle.map(|((circle, hole), count)| (circle, hole, count, first)),
        })
    }

    /// Returns the outline: a round with flats at its sides and a keyway on top.
    fn outline(&self, r: f64, scale: f64) -> Vec<Point> {
        let flat = self
            .flats
            .as_ref()
            .map_or(f64::INFINITY, |flats| flats.size / 2.0 * scale);
        let key = self
            .key
            .as_ref()
            .map(|(width, depth, _)| (width.size / 2.0 * scale, r - depth.size * scale));
        let steps = 360;
        let mut points = Vec::new();
        for step in 0..=steps {
            let angle = FRAC_PI_2 + TAU * f64::from(step) / f64::from(steps);
            let (x, y) = (r * angle.cos(), r * angle.sin());
            let x = x.clamp(-flat, flat);
            if key.is_some_and(|(half, _)| y > 0.0 && x.abs() < half) {
                continue;
            }
            points.push(Point::new(x, -y));
        }
        if let Some((half, floor)) = key {
            let edge = (r * r - half * half).max(0.0).sqrt();
            points.insert(0, Point::new(-half, -edge));
            points.insert(0, Point::new(-half, -floor));
            points.extend([Point::new(half, -edge), Point::new(half, -floor)]);
        }
        points
    }
}

impl Figure for EndView {
    fn extent(&self) -> Option<Extent> {
        let size = self.diameter.size;
        Some(Extent::new(size, size, (70.0, 70.0)))
    }

    fn words(&self) -> String {
        match &self.key {
            Some((_, _, over)) => format!(
                "Seen from the end. Over the floor of the keyway: {}.",
                over.text
            ),
            None => "Seen from the end.".to_owned(),
        }
    }

    fn draw(&self, canvas: &mut Canvas) {
        let scale = canvas.scale;
        let centre = Point::new(0.0, 0.0);
        let r = self.diameter.size / 2.0 * scale;
        canvas.polyline(&self.outline(r, scale), true, LineType::Outline, "outline");
        canvas.centre_mark(centre, r + 2.0);
        let right = r + 12.0;
        // How high the round is so far from the middle.
        let edge = |half: f64| (r * r - half * half).max(0.0).sqrt();
        let mut notes = Vec::new();
        let mut note = |canvas: &mut Canvas, tip: Point, text: String| {
            canvas.obstacles.push(Area::round(tip, 0.5));
            notes.push(Note::at(tip, text));
        };
        let text = format!("⌀{}", self.diameter.text);
        note(canvas, centre.towards(0.9, r), text);
        if let Some(bore) = &self.bore {
            let radius = bore.size / 2.0 * scale;
            canvas.circle(centre, radius, LineType::Outline, "bore");
            let text = format!("bore ⌀{}", bore.text);
            note(canvas, centre.towards(-0.4, radius), text);
        }
        if let Some((circle, hole, count, first)) = &self.circle {
            let radius = circle.size / 2.0 * scale;
            canvas.circle(centre, radius, LineType::Centre, "pitch-circle");
            let small = hole.size / 2.0 * scale;
            let place = |index: u32| {
                centre.towards(first + TAU * f64::from(index) / f64::from(*count), radius)
            };
            for index in 0..*count {
                canvas.circle(place(index), small, LineType::Outline, "hole");
                canvas.centre_mark(place(index), small);
            }
            let rightmost = (0..*count).map(place).max_by(|a, b| a.x.total_cmp(&b.x));
            let tip = rightmost.unwrap_or(centre).towards(0.3, small);
            note(
                canvas,
                tip,
                times(*count as usize, &format!("⌀{}", hole.text)),
            );
            let text = format!("⌀{} pitch circle", circle.text);
            note(canvas, centre.towards(-0.9, radius), text);
        }
        if let Some(cross) = &self.cross {
            let half = cross.size / 2.0 * scale;
            let across = edge(half);
            // Hidden lines of the hole through the part.
            for side in [half, -half] {
                canvas.level(side, (-across, across), LineType::Dashed);
            }
            let tip = Point::new(across, half);
            note(canvas, tip, format!("⌀{} across", cross.text));
        }
        canvas.notes_right(right, -r, notes);
        if let Some(flats) = &self.flats {
            let half = flats.size / 2.0 * scale;
            let ends = [-half, half].map(|x| Point::new(x, edge(half)));
            canvas.across(ends[0], ends[1], r + 9.0, &flats.text);
        }
        if let Some((width, _, over)) = &self.key {
            let half = width.size / 2.0 * scale;
            let (low, floor) = (Point::new(0.0, r), Point::new(-half, r - over.size * scale));
            canvas.upright(floor, low, -r - 10.0, &over.text);
            let ends = [-half, half].map(|x| Point::new(x, -edge(half)));
            canvas.across(ends[0], ends[1], -r - 9.0, &width.text);
        }
    }
}
