//! Notes beside a part: leaders that end one below the other on its right.

use super::area::Point;
use super::canvas::Canvas;
use super::dimension::TEXT_STEP;
use super::spread::spread;

/// A note with the circle or point it belongs to.
pub struct Note {
    /// The middle of the circle.
    pub middle: Point,
    /// Its radius; 0 for a point.
    pub radius: f64,
    /// The text.
    pub text: String,
}

impl Note {
    /// Returns the note of a point.
    pub const fn at(point: Point, text: String) -> Self {
        Self {
            middle: point,
            radius: 0.0,
            text,
        }
    }
}

/// Returns what is written at one of several that are alike: `4× ⌀5`.
pub fn times(count: usize, text: &str) -> String {
    match count {
        0 | 1 => text.to_owned(),
        _ => format!("{count}× {text}"),
    }
}

impl Canvas {
    /// Draws notes with their leaders, the texts standing right of `x` and not
    /// above `top`.
    pub fn notes_right(&mut self, x: f64, top: f64, mut notes: Vec<Note>) {
        notes.sort_by(|a, b| a.middle.y.total_cmp(&b.middle.y));
        let wanted: Vec<f64> = notes
            .iter()
            .map(|note| note.middle.y - note.radius - 3.0)
            .collect();
        let mut places = spread(&wanted, &vec![TEXT_STEP + 1.0; wanted.len()]);
        let above = places.first().map_or(0.0, |first| (top - first).max(0.0));
        places.iter_mut().for_each(|place| *place += above);
        for (note, y) in notes.iter().zip(places) {
            let elbow = Point::new(x, y);
            let angle = note.middle.angle_to(elbow);
            let tip = note.middle.towards(angle, note.radius);
            self.leader(tip, elbow, &note.text);
        }
    }
}
