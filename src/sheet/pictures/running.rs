//! Running dimensions from a datum (ISO 129-1): one dimension line, an arrow head
//! at each extension line, each value at the end of its extension line.

use std::f64::consts::{FRAC_PI_2, PI};

use super::area::Point;
use super::canvas::{Canvas, LineType};
use super::dimension::{ARROW, PAST, TEXT_STEP};
use super::lettering::{Anchor, CAPITAL};
use super::spread::spread;

/// How far an extension line leans to reach a value that had to move.
const LEAN: f64 = 4.0;

/// A value of running dimensions.
pub struct Mark {
    /// The point of the outline that it belongs to.
    pub from: Point,
    /// Its text.
    pub text: String,
}

/// The side of the part on which running dimensions stand.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Below: values of X.
    Below,
    /// On the left: values of Y.
    Left,
}

impl Canvas {
    /// Draws running dimensions from `origin`, which is a point of the part; the
    /// dimension line stands at `at` (a height below the part, or a place left of
    /// it).
    pub fn running(&mut self, side: Side, at: f64, origin: Point, mut marks: Vec<Mark>) {
        let place = |point: Point| {
            if side == Side::Below {
                point.x
            } else {
                point.y
            }
        };
        let on_line = |along: f64| match side {
            Side::Below => Point::new(along, at),
            Side::Left => Point::new(at, along),
        };
        marks.push(Mark {
            from: origin,
            text: "0".to_owned(),
        });
        marks.sort_by(|a, b| place(a.from).total_cmp(&place(b.from)));
        // Of equal values one is enough: the one nearest to the dimension line.
        let outward = |point: Point| {
            if side == Side::Below {
                -point.y
            } else {
                point.x
            }
        };
        marks.dedup_by(|later, kept| {
            let same = (place(later.from) - place(kept.from)).abs() < 1e-3;
            if same {
                if outward(later.from) < outward(kept.from) {
                    kept.from = later.from;
                }
                if later.text == "0" {
                    kept.text = "0".to_owned();
                }
            }
            same
        });
        let wanted: Vec<f64> = marks.iter().map(|mark| place(mark.from)).collect();
        let placed = spread(&wanted, &vec![TEXT_STEP; wanted.len()]);
        let ends = (wanted.first().copied(), wanted.last().copied());
        if let (Some(first), Some(last)) = ends {
            self.line(on_line(first), on_line(last), LineType::Thin);
        }
        let zero = place(origin);
        let mut before = f64::NEG_INFINITY;
        for (mark, value) in marks.iter().zip(placed) {
            let along = place(mark.from);
            let next = wanted.iter().copied().find(|other| *other > along + 1e-6);
            let outline = match side {
                Side::Below => Point::new(mark.from.x, mark.from.y + 1.0),
                Side::Left => Point::new(mark.from.x - 1.0, mark.from.y),
            };
            let knee = match side {
                Side::Below => Point::new(along, at + PAST),
                Side::Left => Point::new(at - PAST, along),
            };
            let end = match side {
                Side::Below => Point::new(value, at + PAST + LEAN),
                Side::Left => Point::new(at - PAST - LEAN, value),
            };
            self.line(outline, knee, LineType::Thin);
            self.line(knee, end, LineType::Thin);
            if (along - zero).abs() < 1e-6 {
                self.origin(on_line(along));
            } else {
                // Away from the datum; where there is no room for a head, a dot.
                let outwards = along > zero;
                let room = if outwards {
                    along - before
                } else {
                    next.map_or(f64::INFINITY, |next| next - along)
                };
                let angle = match (side, outwards) {
                    (Side::Below, true) => 0.0,
                    (Side::Below, false) => PI,
                    (Side::Left, true) => -FRAC_PI_2,
                    (Side::Left, false) => FRAC_PI_2,
                };
                if room > ARROW + 1.5 {
                    self.arrow(on_line(along), angle);
                } else {
                    self.dot(on_line(along), 0.6, "");
                }
            }
            before = along;
            let half = CAPITAL / 2.0;
            match side {
                Side::Below => self.text(end + (half, 1.0), &mark.text, Anchor::End, FRAC_PI_2),
                Side::Left => self.write((end.x - 1.0, end.y + half), &mark.text, Anchor::End),
            }
        }
    }
}
