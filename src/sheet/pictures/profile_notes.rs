//! What is written round a turned part: lengths below, diameters above.

use std::f64::consts::FRAC_PI_2;

use super::area::Point;
use super::canvas::{Anchor, CAPITAL, Canvas, Line, width_of};
use super::dimension::{ARROW, PAST, TEXT_STEP};
use super::profile::Profile;
use super::running::{Mark, Side};
use super::spread::spread;

/// A note above the part with the point of the outline it belongs to.
struct Note {
    tip: Point,
    text: String,
}

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
        let mut bore_before = String::new();
        for (step, points) in self.steps.iter().zip(upper) {
            let (Some(first), Some(last)) = (points.first(), points.last()) else {
                continue;
            };
            let middle = first.middle(*last);
            match (&step.thread, &step.end_diameter) {
                (Some((designation, _)), _) => notes.push(Note {
                    tip: Point::new(middle.x, -step.diameter.size / 2.0 * scale),
                    text: designation.clone(),
                }),
                (None, Some(end)) => {
                    for (at, size) in [(0.12, &step.diameter), (0.88, end)] {
                        // Each end's diameter is shown a little inside the end.
                        let tip = Point::new(
                            first.x + at * (last.x - first.x),
                            first.y + at * (last.y - first.y),
                        );
                        notes.push(Note {
                            tip,
                            text: format!("⌀{}", size.text),
                        });
                    }
                }
                (None, None) => notes.push(Note {
                    tip: Point::new(middle.x, -step.diameter.size / 2.0 * scale),
                    text: format!("⌀{}", step.diameter.text),
                }),
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
                notes.push(Note {
                    tip: Point::new(x, -size.size / 2.0 * scale),
                    text: format!("bore ⌀{bore}"),
                });
            }
            bore_before = bore.to_owned();
        }
        for (text, count, tip) in chamfers {
            let times = if count > 1 {
                format!("{count}× ")
            } else {
                String::new()
            };
            notes.push(Note {
                tip,
                text: format!("{times}{text}"),
            });
        }
        notes
    }

    /// The steps' lengths as a chain, the whole length below it.
    fn lengths(&self, canvas: &mut Canvas, upper: &[Vec<Point>], bottom: f64) {
        let line = bottom + 8.0;
        let mut lowest = line;
        let below = |point: &Point| Point::new(point.x, if self.half { 0.0 } else { -point.y });
        let mut narrow: Vec<(f64, String)> = Vec::new();
        // A chain of dimensions is never closed (ISO 129-1): the one that follows from
        // the others stands in brackets.
        let bracketed = |text: &str, follows: bool| {
            if follows {
                format!("({text})")
            } else {
                text.to_owned()
            }
        };
        let given_whole = self.steps.iter().any(|step| step.rest);
        for (step, points) in self.steps.iter().zip(upper) {
            let (Some(first), Some(last)) = (points.first(), points.last()) else {
                continue;
            };
            let (a, b) = (below(first), below(last));
            let length = (b.x - a.x).abs();
            for end in [a, b] {
                let start = Point::new(end.x, end.y + 1.0);
                canvas.line(start, Point::new(end.x, line + PAST), Line::Thin);
            }
            let (left, right) = (Point::new(a.x, line), Point::new(b.x, line));
            canvas.line(left, right, Line::Thin);
            if length > 2.0 * ARROW + 1.0 {
                canvas.arrow(left, std::f64::consts::PI);
                canvas.arrow(right, 0.0);
            } else {
                // Too narrow for arrow heads: dots, which neighbours can share.
                canvas.dot(left, 0.6, "");
                canvas.dot(right, 0.6, "");
            }
            let text = bracketed(&step.length.text, step.rest);
            if width_of(&text) + 1.0 <= length {
                let at = Point::new(f64::midpoint(a.x, b.x), line - 0.9);
                canvas.text(at, &text, Anchor::Middle, 0.0);
            } else {
                narrow.push((f64::midpoint(a.x, b.x), text));
            }
        }
        if !narrow.is_empty() {
            // Lengths that find no room on their line stand below it, on leaders.
            let wanted: Vec<f64> = narrow.iter().map(|(x, _)| *x).collect();
            let sizes: Vec<f64> = narrow
                .iter()
                .map(|(_, text)| width_of(text) + 2.0)
                .collect();
            let y = line + 6.0 + CAPITAL;
            for ((x, text), place) in narrow.iter().zip(spread(&wanted, &sizes)) {
                canvas.line(
                    Point::new(*x, line),
                    Point::new(place, y - CAPITAL - 1.0),
                    Line::Thin,
                );
                canvas.text(Point::new(place, y), text, Anchor::Middle, 0.0);
            }
            lowest = y;
        }
        if self.steps.len() > 1 {
            let first = upper.first().and_then(|points| points.first());
            let last = upper.last().and_then(|points| points.last());
            if let (Some(first), Some(last)) = (first, last) {
                let text = bracketed(&self.total.text, !given_whole);
                canvas.across(below(first), below(last), lowest + 8.0, &text);
            }
        }
    }
}

/// Whether the line between two points of an outline is a chamfer of that size.
fn is_chamfer(a: Point, b: Point, size: f64) -> bool {
    ((b.x - a.x).abs() - size).abs() < 1e-6 && (b.y - a.y).abs() > 1e-9
}

/// Notes in a row above the part, each with a leader to its point.
fn notes_above(canvas: &mut Canvas, y: f64, mut notes: Vec<Note>) {
    notes.sort_by(|a, b| a.tip.x.total_cmp(&b.tip.x));
    let wanted: Vec<f64> = notes.iter().map(|note| note.tip.x).collect();
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
        canvas.line(note.tip, knee, Line::Thin);
        canvas.arrow(note.tip, knee.angle_to(note.tip));
        if flat {
            canvas.text(Point::new(x, knee.y - 1.0), &note.text, Anchor::Middle, 0.0);
        } else {
            let at = Point::new(x + CAPITAL / 2.0, knee.y - 1.0);
            canvas.text(at, &note.text, Anchor::Start, FRAC_PI_2);
        }
    }
}
