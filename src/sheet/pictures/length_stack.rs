//! Parts side by side in the space that they go into, and the gap that is left.

use super::area::{Point, rectangle};
use super::canvas::{Canvas, LineType};
use super::chain::Span;
use super::figure::{Extent, Figure};
use super::leaders::Note;
use super::measure::{Fields, Measure};
use super::profile_notes::notes_above;

/// A stack of lengths.
#[derive(Debug)]
pub struct LengthStack {
    parts: Vec<(String, Measure)>,
    space: (String, Measure),
    gap: Measure,
}

/// How high the parts are drawn.
const HIGH: f64 = 16.0;
/// How wide the walls of the space are drawn.
const WALL: f64 = 7.0;

impl LengthStack {
    /// Returns the stack of a record.
    pub fn of(fields: &Fields) -> Option<Self> {
        let table = fields.table("rows")?;
        let (mut parts, mut space) = (Vec::new(), None);
        for row in &table.rows {
            let length = fields.cell_length(table, row, "length")?;
            let name = fields.cell_label(table, row, "part").unwrap_or_default();
            if fields.cell(table, row, "space").is_some() {
                space = Some((name, length));
            } else {
                parts.push((name, length));
            }
        }
        Some(Self {
            parts,
            space: space?,
            gap: fields.size("gap")?,
        })
    }
}

impl Figure for LengthStack {
    fn extent(&self) -> Option<Extent> {
        let parts: f64 = self.parts.iter().map(|(_, length)| length.size).sum();
        let long = self.space.1.size.max(parts);
        Some(Extent::new(long, 0.0, (130.0, 60.0)))
    }

    fn words(&self) -> String {
        let text = self.gap.text.trim_start_matches('−');
        if self.gap.size < 0.0 {
            format!("The parts are {text} longer than their space.")
        } else {
            format!("Gap: {text}. Heights are not to scale.")
        }
    }

    fn draw(&self, canvas: &mut Canvas) {
        let scale = canvas.scale;
        let space = self.space.1.size * scale;
        // The walls of the space and its floor, cut open.
        let top = -HIGH - 3.0;
        for area in [
            rectangle((-WALL, top), (0.0, WALL)),
            rectangle((0.0, 0.0), (space, WALL)),
            rectangle((space, top), (space + WALL, WALL)),
        ] {
            canvas.hatch(&area, true);
        }
        let outline = [
            (-WALL, top),
            (0.0, top),
            (0.0, 0.0),
            (space, 0.0),
            (space, top),
            (space + WALL, top),
            (space + WALL, WALL),
            (-WALL, WALL),
        ];
        let outline = outline.map(Point::from);
        canvas.polyline(&outline, true, LineType::Outline, "space");
        let mut x = 0.0;
        let (mut spans, mut notes) = (Vec::new(), Vec::new());
        for (name, length) in &self.parts {
            let end = x + length.size * scale;
            let area = rectangle((x, -HIGH), (end, 0.0));
            canvas.hatch(&area, false);
            canvas.polyline(&area, true, LineType::Outline, "part");
            spans.push(Span {
                from: x,
                to: end,
                text: length.text.clone(),
            });
            if !name.is_empty() {
                let tip = Point::new(f64::midpoint(x, end), -HIGH);
                notes.push(Note::at(tip, name.clone()));
            }
            x = end;
        }
        if self.gap.size > 0.0 {
            // What is left closes the chain: an auxiliary dimension in brackets.
            let text = format!("({})", self.gap.text);
            spans.push(Span {
                from: x,
                to: space,
                text,
            });
        }
        notes_above(canvas, -HIGH - 7.0, notes);
        let lowest = canvas.chain(&spans, &|_| WALL, WALL + 9.0);
        let (a, b) = (Point::new(0.0, WALL), Point::new(space, WALL));
        let (name, length) = &self.space;
        let text = format!("{name} {}", length.text);
        canvas.across(a, b, lowest + 8.0, text.trim_start());
    }
}
