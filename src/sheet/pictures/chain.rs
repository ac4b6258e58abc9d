//! A chain of dimensions along one line (ISO 129-1).

use super::area::Point;
use super::canvas::{Canvas, LineType};
use super::dimension::{ARROW, PAST};
use super::lettering::{Anchor, CAPITAL, width_of};
use super::spread::spread;

/// A length of a chain.
pub struct Span {
    /// Where it begins.
    pub from: f64,
    /// Where it ends.
    pub to: f64,
    /// Its text.
    pub text: String,
}

impl Canvas {
    /// Draws lengths as a chain on a line at height `line`; the extension lines begin
    /// below the part, whose lower edge at a place `below` gives. A length at an end
    /// that finds no room on its line stands beside it, on the line drawn on. Returns
    /// how far down it reaches.
    pub fn chain(&mut self, spans: &[Span], below: &dyn Fn(f64) -> f64, line: f64) -> f64 {
        let mut narrow: Vec<(f64, &str)> = Vec::new();
        let last = spans.len().saturating_sub(1);
        for (index, Span { from, to, text }) in spans.iter().enumerate() {
            let length = (to - from).abs();
            for end in [*from, *to] {
                let start = Point::new(end, below(end) + 1.0);
                self.line(start, Point::new(end, line + PAST), LineType::Thin);
            }
            let (left, right) = (Point::new(*from, line), Point::new(*to, line));
            self.line(left, right, LineType::Thin);
            if length > 2.0 * ARROW + 1.0 {
                self.arrow(left, std::f64::consts::PI);
                self.arrow(right, 0.0);
            } else {
                // Too narrow for arrow heads: dots, which neighbours can share.
                self.dot(left, 0.6, "");
                self.dot(right, 0.6, "");
            }
            let middle = f64::midpoint(*from, *to);
            if width_of(text) + 1.0 <= length {
                self.write((middle, line - 0.9), text, Anchor::Middle);
            } else if index == last || index == 0 {
                let (end, side, anchor) = if index == last {
                    (right, 1.0, Anchor::Start)
                } else {
                    (left, -1.0, Anchor::End)
                };
                let reach = end.x + side * (width_of(text) + 2.0);
                self.line(end, Point::new(reach, line), LineType::Thin);
                let at = Point::new(end.x + side * 1.0, line - 0.9);
                self.write(at, text, anchor);
            } else {
                narrow.push((middle, text));
            }
        }
        if narrow.is_empty() {
            return line;
        }
        // Lengths that find no room on their line stand below it, on leaders.
        let wanted: Vec<f64> = narrow.iter().map(|(x, _)| *x).collect();
        let sizes: Vec<f64> = narrow
            .iter()
            .map(|(_, text)| width_of(text) + 2.0)
            .collect();
        let y = line + 6.0 + CAPITAL;
        for ((x, text), place) in narrow.iter().zip(spread(&wanted, &sizes)) {
            let end = Point::new(place, y - CAPITAL - 1.0);
            self.line(Point::new(*x, line), end, LineType::Thin);
            self.write((place, y), text, Anchor::Middle);
        }
        y
    }
}
