//! What is written round a turned part: lengths below, diameters above.

use std::f64::consts::FRAC_PI_2;

use super::area::Point;
use super::canvas::{Canvas, LineType};
use super::chain::Span;
use super::dimension::TEXT_STEP;
use super::leaders::{Note, times};
use super::lettering::{Anchor, CAPITAL, width_of};
use super::measure::Measure;
use super::profile::Profile;
use super::running::{Mark, Side};
use super::spread::spread;

impl Profile {
    /// Draws all that is written round the part.
    pub(super) fn dimension(&self, canvas: &mut Canvas, upper: &[Vec<Point>]) {
        let (high, low) = canvas.bounds();
        let notes = self.notes(canvas.scale, upper);
        notes_above(canvas, high.y - 4.0, notes);
        let bottom = low.y.max(3.0);
        if self.stations.is_empty() {
            self.lengths(canvas, upper, bottom);
        } else {
            let mark = |x: f64, y: f64| Point::new(x, if self.half { 0.0 } else { -y });
            let marks = self
                .stations
                .iter()
                .zip(upper)
                .filter_map(|(station, points)| {
                    let first = points.first()?;
                    Some(Mark {
                        from: mark(first.x, first.y),
                        text: station.text.clone(),
                    })
                });
            let marks: Vec<Mark> = marks.collect();
            let end = upper.last().and_then(|points| points.last()).copied();
            let end = end.unwrap_or_default();
            canvas.running(Side::Below, bottom + 8.0, mark(end.x, end.y), marks);
        }
    }

    fn notes(&self, scale: f64, upper: &[Vec<Point>]) -> Vec<Note> {
        let mut notes = Vec::new();
        let mut chamfers: Vec<(String, usize, Point)> = Vec::new();
        let mut bore_before = "";
        for (step, points) in self.steps.iter().zip(upper) {
            let (Some(first), Some(last)) = (points.first(), points.last()) else {
                continue;
            };
            let middle_x = f64::midpoint(first.x, last.x);
            let on = |x: f64, diameter: f64| Point::new(x, -diameter / 2.0 * scale);
            let round = |size: &Measure| format!("⌀{}", size.text);
            match (&step.thread, &step.end_diameter) {
                (None, Some(end)) => {
                    for (at, size) in [(0.12, &step.diameter), (0.88, end)] {
                        // A point has no diameter to be measured. Each end's diameter is
                        // shown a little inside the end.
                        if size.size > 0.0 {
                            notes.push(Note::at(first.part_way(*last, at), round(size)));
                        }
                    }
                }
                (thread, _) => {
                    let thread = thread.as_ref().map(|(designation, _)| designation.clone());
                    let text = thread.unwrap_or_else(|| round(&step.diameter));
                    notes.push(Note::at(on(middle_x, step.diameter.size), text));
                }
            }
            if let Some(chamfer) = &step.chamfer {
                let text = format!("{}×45°", chamfer.text);
                let corners = points.windows(2).filter_map(|pair| match pair {
                    [a, b] if is_chamfer(*a, *b, chamfer.size * scale) => Some(a.middle(*b)),
                    _ => None,
                });
                for corner in corners {
                    match chamfers.iter_mut().find(|(known, _, _)| *known == text) {
                        Some((_, count, _)) => *count += 1,
                        None => chamfers.push((text.clone(), 1, corner)),
                    }
                }
            }
            let bore = step.bore.as_ref().map_or("", |bore| &bore.text);
            if let Some(size) = step.bore.as_ref().filter(|_| bore != bore_before) {
                let x = first.x + 0.3 * (last.x - first.x);
                notes.push(Note::at(on(x, size.size), format!("bore ⌀{bore}")));
            }
            if let Some((designation, root)) = &step.inside_thread {
                let tip = on(middle_x + 1.0, *root);
                notes.push(Note::at(tip, format!("{designation} inside")));
            }
            if let Some(knurl) = &step.knurl {
                let tip = Point::new(middle_x + 2.0, first.y);
                notes.push(Note::at(tip, format!("knurl {knurl}")));
            }
            if step.centre {
                let is_first = notes.is_empty() || first.x.abs() < 1e-9;
                let end = if is_first { first } else { last };
                let tip = Point::new(end.x, end.y / 3.0);
                notes.push(Note::at(tip, "centre hole".to_owned()));
            }
            bore_before = bore;
        }
        let chamfers = chamfers.into_iter();
        notes.extend(chamfers.map(|(text, count, tip)| Note::at(tip, times(count, &text))));
        notes
    }

    /// Draws the steps' lengths as a chain, the whole length below it. A chain of dimensions
    /// is never closed (ISO 129-1): the one that follows from the others stands in
    /// brackets.
    fn lengths(&self, canvas: &mut Canvas, upper: &[Vec<Point>], bottom: f64) {
        let bracketed = |text: &str, follows: bool| {
            if follows {
                format!("({text})")
            } else {
                text.to_owned()
            }
        };
        let mut spans = Vec::new();
        let mut edges: Vec<Point> = Vec::new();
        for (step, points) in self.steps.iter().zip(upper) {
            let (Some(first), Some(last)) = (points.first(), points.last()) else {
                continue;
            };
            edges.extend([*first, *last]);
            spans.push(Span {
                from: first.x,
                to: last.x,
                text: bracketed(&step.length.text, step.rest),
            });
        }
        // Where two steps meet, the extension line begins at the larger.
        let below = |x: f64| {
            let here = edges.iter().filter(|edge| (edge.x - x).abs() < 1e-6);
            if self.half {
                0.0
            } else {
                here.map(|edge| -edge.y).fold(0.0, f64::max)
            }
        };
        let lowest = canvas.chain(&spans, &below, bottom + 8.0);
        if let ([first, .., last], true) = (edges.as_slice(), self.steps.len() > 1) {
            let at = |edge: &Point| Point::new(edge.x, below(edge.x));
            let text = bracketed(&self.total.text, !self.steps.iter().any(|step| step.rest));
            canvas.across(at(first), at(last), lowest + 8.0, &text);
        }
    }
}

/// Returns whether the line between two points of an outline is a chamfer of that size.
fn is_chamfer(a: Point, b: Point, size: f64) -> bool {
    ((b.x - a.x).abs() - size).abs() < 1e-6 && (b.y - a.y).abs() > 1e-9
}

/// Draws notes in a row above the part, each with a leader to its point.
pub fn notes_above(canvas: &mut Canvas, y: f64, mut notes: Vec<Note>) {
    notes.sort_by(|a, b| a.middle.x.total_cmp(&b.middle.x));
    let wanted: Vec<f64> = notes.iter().map(|note| note.middle.x).collect();
    let widths: Vec<f64> = notes
        .iter()
        .map(|note| width_of(&note.text) + 2.5)
        .collect();
    let room = wanted.last().copied().unwrap_or(0.0) - wanted.first().copied().unwrap_or(0.0);
    let flat = widths.iter().sum::<f64>() <= room + 30.0;
    let sizes = if flat {
        widths
    } else {
        vec![TEXT_STEP; notes.len()]
    };
    for (note, x) in notes.iter().zip(spread(&wanted, &sizes)) {
        let knee = Point::new(x, y - 4.0);
        canvas.line(note.middle, knee, LineType::Thin);
        canvas.arrow(note.middle, knee.angle_to(note.middle));
        if flat {
            canvas.write((x, knee.y - 1.0), &note.text, Anchor::Middle);
        } else {
            let at = Point::new(x + CAPITAL / 2.0, knee.y - 1.0);
            canvas.text(at, &note.text, Anchor::Start, FRAC_PI_2);
        }
    }
}
