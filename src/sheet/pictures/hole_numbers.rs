//! The numbers at holes. Where they stand too close for a number each, those of a row
//! are counted on from its ends.

use super::area::Point;
use super::canvas::{Canvas, LineType};
use super::figure::Figure;
use super::holes::{Hole, Holes};
use super::lettering::{Anchor, CAPITAL};
use super::scale::scale_for;

/// The least distance, in millimetres on paper, at which each hole has its number:
/// three figures and a gap.
const APART: f64 = 12.0;
/// The least distance of rows whose ends all have their numbers.
const ROWS_APART: f64 = 5.0;
/// The fewest holes that are a row to count along.
const ROW: usize = 5;
/// How holes are counted along one row.
const EVERY: &[usize] = &[2, 5, 10, 20, 25, 50, 100, 200, 500, 1000];

/// A hole that has its number.
#[derive(Clone, Copy, Debug)]
pub struct Numbered {
    /// Its place in the table, from 0.
    pub index: usize,
    /// Where the number stands best: outward from the end of a row.
    pub outward: Option<f64>,
}

impl Holes {
    /// Returns the holes that have their numbers; nothing where all have.
    pub fn numbered(&self) -> Option<Vec<Numbered>> {
        let extent = self
            .extent()
            .filter(|_| self.are_many() && self.count_on())?;
        let scale = scale_for(extent.width, extent.height, extent.room);
        let at = |index: usize| {
            let hole = self.holes.get(index);
            hole.map_or(Point::new(0.0, 0.0), |hole: &Hole| {
                Point::new(hole.x.size * scale, -hole.y.size * scale)
            })
        };
        let rows = self.rows(at);
        let is_row = |row: &(usize, usize)| row.1 - row.0 + 1 >= ROW;
        let pitch = |row: &(usize, usize)| at(row.0).distance(at(row.0 + 1));
        if !rows.iter().any(|row| is_row(row) && pitch(row) < APART) {
            return None;
        }
        let mut numbered = Vec::new();
        if let [row] = rows.as_slice() {
            let middle = self.pitch_circle.as_ref();
            let middle = middle.map(|(_, x, y)| Point::new(x * scale, -y * scale));
            let square = at(row.0).angle_to(at(row.0 + 1)) + std::f64::consts::FRAC_PI_2;
            for index in self.counted(*row, pitch(row)) {
                let outward = middle.map_or(square, |middle| middle.angle_to(at(index)));
                let outward = Some(outward);
                numbered.push(Numbered { index, outward });
            }
            return Some(numbered);
        }
        // Rows too close for a number at the end of each.
        let apart = rows.windows(2).map(|pair| match pair {
            [one, next] => at(one.0)
                .distance(at(next.0))
                .min(at(one.1).distance(at(next.0))),
            _ => f64::INFINITY,
        });
        let apart = apart.fold(f64::INFINITY, f64::min).max(0.01);
        let skip = EVERY
            .iter()
            .find(|every| apart * to_f64(**every) >= ROWS_APART);
        let every = if apart >= ROWS_APART {
            1
        } else {
            *skip.unwrap_or(&1)
        };
        for (number, row) in rows.iter().enumerate() {
            let (first, last) = *row;
            if !is_row(row) {
                let own = (first..=last).map(|index| Numbered {
                    index,
                    outward: None,
                });
                numbered.extend(own);
            } else if number % every == 0 || number + 1 == rows.len() {
                let ends = [(first, first + 1), (last, last - 1)];
                numbered.extend(ends.map(|(index, next)| Numbered {
                    index,
                    outward: Some(at(next).angle_to(at(index))),
                }));
            }
        }
        Some(numbered)
    }

    /// Returns whether the names of the holes are numbers that count on by one.
    fn count_on(&self) -> bool {
        let numbers = (0..self.holes.len()).map(|index| self.name(index).parse::<usize>().ok());
        let numbers: Option<Vec<usize>> = numbers.collect();
        numbers.is_some_and(|numbers| {
            numbers
                .windows(2)
                .all(|pair| matches!(pair, [one, next] if *next == one + 1))
        })
    }

    /// Returns the holes row by row, as the first and the last of each: straight and evenly
    /// spaced, or round a pitch circle.
    fn rows(&self, at: impl Fn(usize) -> Point) -> Vec<(usize, usize)> {
        let last = self.holes.len().saturating_sub(1);
        if self.pitch_circle.is_some() {
            return vec![(0, last)];
        }
        let step = |index: usize| {
            let (from, to) = (at(index), at(index + 1));
            (to.x - from.x, to.y - from.y)
        };
        let alike = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0).hypot(a.1 - b.1) < 1e-3;
        let mut rows = Vec::new();
        let mut first = 0;
        for index in 1..=last {
            if index == last || !alike(step(first), step(index)) {
                rows.push((first, index));
                first = index + 1;
            }
        }
        if first == last {
            rows.push((last, last));
        }
        rows
    }

    /// Returns the holes of a single row that have their numbers.
    fn counted(&self, (first, last): (usize, usize), pitch: f64) -> Vec<usize> {
        let most = EVERY.last().copied().unwrap_or(1);
        let wide = |every: &&usize| to_f64(**every) * pitch >= APART;
        let every = EVERY.iter().find(wide).copied().unwrap_or(most);
        let number = |index: usize| self.name(index).parse::<usize>().unwrap_or(index);
        let mut counted: Vec<usize> = vec![first];
        counted.extend((first..=last).filter(|index| {
            let far = |end: usize| to_f64(end.abs_diff(*index)) * pitch >= APART;
            number(*index) % every == 0 && far(first) && far(last)
        }));
        counted.push(last);
        counted
    }
}

#[allow(clippy::cast_precision_loss)] // a few thousand holes
fn to_f64(count: usize) -> f64 {
    count as f64
}

/// Writes a hole's label beside it; `outward` is the direction in which it stands best.
pub fn label(canvas: &mut Canvas, middle: Point, radius: f64, text: &str, outward: Option<f64>) {
    let reach = radius + 1.6;
    let half = CAPITAL / 2.0;
    let diagonal = reach * std::f64::consts::FRAC_1_SQRT_2 + 0.4;
    let mut places = Vec::new();
    for push in [0.0, 2.0, 5.0] {
        let (d, r) = (diagonal + push, reach + push);
        if let Some(outward) = outward {
            let end = middle.towards(outward, r + 1.0);
            let low = half * (1.0 - outward.sin());
            places.push((end + (0.0, low), Anchor::away(outward, 0.5)));
        }
        places.extend([
            (middle + (d, -d), Anchor::Start),
            (middle + (-d, -d), Anchor::End),
            (middle + (d, d + CAPITAL), Anchor::Start),
            (middle + (-d, d + CAPITAL), Anchor::End),
            (middle + (r + 1.0, half), Anchor::Start),
            (middle + (-r - 1.0, half), Anchor::End),
            (middle + (0.0, -r - 1.0), Anchor::Middle),
            (middle + (0.0, r + 1.0 + CAPITAL), Anchor::Middle),
        ]);
    }
    // A label further away is led to its hole.
    let near_by = places.len() / 3;
    if canvas
        .text_where_free(&places, text)
        .is_some_and(|place| place >= near_by)
        && let Some(area) = canvas.texts.last().copied()
    {
        let end = area.nearest(middle);
        let start = middle.towards(middle.angle_to(end), radius);
        canvas.line(start, end, LineType::Thin);
    }
}
