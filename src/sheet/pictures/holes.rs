//! A pattern of holes: the datum, coordinates, numbers and chords.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use super::area::{Area, Point, reach_of};
use super::canvas::{Canvas, LineType};
use super::dimension::{ABOVE, readable};
use super::figure::{Extent, Figure};
use super::hole_numbers::{Numbered, label};
use super::lettering::{Anchor, CAPITAL};
use super::measure::{Fields, Measure};
use super::running::{Mark, Side};
use crate::language::Value;

/// A hole.
#[derive(Clone, Debug)]
pub struct Hole {
    /// What stands beside it.
    pub label: String,
    /// Its place.
    pub x: Measure,
    /// Its place.
    pub y: Measure,
    /// Its diameter.
    pub diameter: Option<Measure>,
}

/// The straight distance from one hole to the next.
#[derive(Clone, Debug)]
pub struct Chord {
    /// The first hole, from 0.
    pub from: usize,
    /// The second hole, from 0.
    pub to: usize,
    /// The distance.
    pub length: Measure,
}

/// A pattern of holes.
#[derive(Clone, Debug)]
pub struct Holes {
    /// The holes.
    pub holes: Vec<Hole>,
    /// The chords, where they are asked for.
    pub chords: Vec<Chord>,
    /// The pitch circle's diameter, where the holes are equally spaced on one.
    pub pitch_circle: Option<(Measure, f64, f64)>,
}

/// The room for the holes themselves.
const ROOM: (f64, f64) = (92.0, 96.0);
/// The room where the coordinates stand in a table.
const LARGE: (f64, f64) = (150.0, 150.0);
/// The most running dimensions along an axis; more coordinates stand in a table.
const DOZEN: usize = 12;
/// The longest label that stands at a hole where there are many.
const SHORT: usize = 3;

impl Holes {
    /// Returns the holes of a record.
    pub fn of(fields: &Fields) -> Option<Self> {
        let table = fields.table("rows")?;
        let mut holes = Vec::new();
        for (number, row) in (1..).zip(&table.rows) {
            let length = |name: &str| fields.cell_length(table, row, name);
            holes.push(Hole {
                label: fields
                    .cell_label(table, row, "hole")
                    .filter(|label| !label.is_empty())
                    .unwrap_or_else(|| number.to_string()),
                x: fields.cell_coordinate(table, row, "x")?,
                y: fields.cell_coordinate(table, row, "y")?,
                diameter: length("diameter").or_else(|| length("size")),
            });
        }
        let mut chords = Vec::new();
        if let Some(table) = fields.table("chords") {
            for row in &table.rows {
                let index = |name: &str| match fields.cell(table, row, name) {
                    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
                    // row numbers from 1
                    Some(Value::Quantity(number)) => Some(number.si as usize - 1),
                    _ => None,
                };
                chords.push(Chord {
                    from: index("from")?,
                    to: index("to")?,
                    length: fields.cell_length(table, row, "length")?,
                });
            }
        }
        let pitch_circle = pitch_circle(&holes)
            .map(|(x, y, diameter)| (fields.exact_length(diameter / 1000.0), x, y));
        Some(Self {
            holes,
            chords,
            pitch_circle,
        })
    }

    /// Returns whether there are too many coordinates to be dimensioned.
    pub(super) fn are_many(&self) -> bool {
        let distinct = |text: fn(&Hole) -> &str| {
            let mut texts: Vec<&str> = self.holes.iter().map(text).collect();
            texts.sort_unstable();
            texts.dedup();
            texts.len()
        };
        distinct(|hole| &hole.x.text) > DOZEN || distinct(|hole| &hole.y.text) > DOZEN
    }

    /// Returns what stands at a hole: its label; among many its number, where that is shorter.
    pub(super) fn name(&self, index: usize) -> String {
        let Some(hole) = self.holes.get(index) else {
            return String::new();
        };
        if self.are_many() && hole.label.chars().count() > SHORT {
            return (index + 1).to_string();
        }
        hole.label.clone()
    }

    pub(super) fn radius(hole: &Hole) -> f64 {
        hole.diameter.as_ref().map_or(0.0, |d| d.size / 2.0)
    }

    /// Returns how far the holes and the datum reach along X and along Y, in millimetres of
    /// the part.
    fn reach(&self) -> ((f64, f64), (f64, f64)) {
        let holes = self.holes.iter();
        let mut circles: Vec<_> = holes
            .map(|hole| (hole.x.size, hole.y.size, Self::radius(hole)))
            .collect();
        let pitch_circle = self.pitch_circle.as_ref();
        circles.extend(pitch_circle.map(|(diameter, x, y)| (*x, *y, diameter.size / 2.0)));
        circles.push((0.0, 0.0, 0.0));
        reach_of(&circles)
    }

    /// Returns the ends of the chords that are long enough to be dimensioned.
    fn chord_ends(&self, at: impl Fn(&Hole) -> Point) -> Vec<(&Chord, Point, Point)> {
        self.chords
            .iter()
            .filter_map(|chord| {
                let (from, to) = (self.holes.get(chord.from)?, self.holes.get(chord.to)?);
                let (a, b) = (at(from), at(to));
                (a.distance(b) >= 8.0).then_some((chord, a, b))
            })
            .collect()
    }

    fn chord_lines(&self, canvas: &mut Canvas, at: impl Fn(&Hole) -> Point) {
        for (_, a, b) in self.chord_ends(at) {
            canvas.line(a, b, LineType::Thin);
            let angle = a.angle_to(b);
            canvas.arrow(a, angle + PI);
            canvas.arrow(b, angle);
        }
    }

    /// Writes the lengths along the chords; what finds no room stands in the caption.
    fn chord_lengths(&self, canvas: &mut Canvas, at: impl Fn(&Hole) -> Point) {
        for (chord, a, b) in self.chord_ends(at) {
            let angle = a.angle_to(b);
            let turn = readable(angle);
            let up = turn + FRAC_PI_2;
            let along = |part: f64| a.part_way(b, part);
            let text = &chord.length.text;
            let mut places = [0.5, 0.4, 0.6, 0.3, 0.7]
                .into_iter()
                .flat_map(|part| [ABOVE, -ABOVE - CAPITAL].map(|out| along(part).towards(up, out)));
            let free =
                |at: &Point| canvas.is_free(&Canvas::area_of(*at, text, Anchor::Middle, turn));
            if let Some(at) = places.find(free) {
                canvas.text(at, text, Anchor::Middle, turn);
            }
        }
    }
}

impl Figure for Holes {
    fn extent(&self) -> Option<Extent> {
        let ((left, right), (low, high)) = self.reach();
        let room = if self.are_many() { LARGE } else { ROOM };
        Some(Extent::new(right - left, high - low, room))
    }

    fn words(&self) -> String {
        let mut text = String::new();
        if self.numbered().is_some() {
            let along = if self.pitch_circle.is_some() {
                "round the circle"
            } else {
                "along each row"
            };
            text =
                format!("Between the numbers shown, count on {along}; the table has every hole. ");
        }
        if !self.chords.is_empty() {
            text.push_str("Chords: ");
            let first = self.chords.first().map(|chord| &chord.length.text);
            let mut lengths = self.chords.iter().map(|chord| &chord.length.text);
            if let (3.., Some(length)) = (self.chords.len(), first)
                && lengths.all(|other| other == length)
            {
                return format!("{text}each {length}.");
            }
            let listed = self.chords.iter().map(|chord| {
                let [from, to] = [chord.from, chord.to].map(|hole| self.name(hole));
                format!("{from}–{to} {}", chord.length.text)
            });
            let listed: Vec<String> = listed.collect();
            text.push_str(&listed.join(", "));
            text.push('.');
        }
        text
    }

    fn draw(&self, canvas: &mut Canvas) {
        let scale = canvas.scale;
        let at = |hole: &Hole| Point::new(hole.x.size * scale, -hole.y.size * scale);
        let ((left, right), (low, high)) = self.reach();
        let (left, right) = (left * scale, right * scale);
        let (top, bottom) = (-high * scale, -low * scale);
        canvas.axes((left - 3.0, right + 8.0), (bottom + 3.0, top - 8.0));
        let origin = Point::default();
        canvas.obstacles.push(Area::round(origin, 1.7));
        for hole in &self.holes {
            let radius = Self::radius(hole) * scale;
            canvas.centre_mark(at(hole), radius);
            if hole.diameter.is_some() {
                canvas.circle(at(hole), radius, LineType::Outline, "hole");
            } else {
                canvas.dot(at(hole), 0.5, "hole");
            }
            canvas
                .obstacles
                .push(Area::round(at(hole), radius.max(0.5) + 0.4));
        }
        let marks = |across: bool| {
            let marks = self.holes.iter().map(|hole| Mark {
                from: at(hole),
                text: if across { &hole.x } else { &hole.y }.text.clone(),
            });
            marks.collect::<Vec<_>>()
        };
        if !self.are_many() {
            canvas.running(Side::Below, bottom + 8.0, origin, marks(true));
            canvas.running(Side::Left, left - 8.0, origin, marks(false));
        }
        self.diameters(canvas, at, right + 14.0, top - 2.0);
        self.chord_lines(canvas, at);
        let all = || {
            let all = 0..self.holes.len();
            all.map(|index| Numbered {
                index,
                outward: None,
            })
            .collect()
        };
        for Numbered { index, outward } in self.numbered().unwrap_or_else(all) {
            if let Some(hole) = self.holes.get(index) {
                let radius = Self::radius(hole) * scale;
                label(canvas, at(hole), radius, &self.name(index), outward);
            }
        }
        self.chord_lengths(canvas, at);
    }

    fn table(&self) -> Option<(Vec<String>, Vec<Vec<String>>)> {
        if !self.are_many() {
            return None;
        }
        let headings = ["hole", "x", "y", "⌀"].map(str::to_owned).to_vec();
        let rows = self.holes.iter().enumerate().map(|(index, hole)| {
            let diameter = hole.diameter.as_ref().map(|diameter| diameter.text.clone());
            let mut name = self.name(index);
            if name != hole.label {
                name = format!("{name} {}", hole.label);
            }
            vec![
                name,
                hole.x.text.clone(),
                hole.y.text.clone(),
                diameter.unwrap_or_default(),
            ]
        });
        Some((headings, rows.collect()))
    }
}

/// Returns the middle and the diameter of the circle on which holes are equally spaced.
fn pitch_circle(holes: &[Hole]) -> Option<(f64, f64, f64)> {
    if holes.len() < 3 {
        return None;
    }
    #[allow(clippy::cast_precision_loss)] // a few hundred holes
    let count = holes.len() as f64;
    let x = holes.iter().map(|hole| hole.x.size).sum::<f64>() / count;
    let y = holes.iter().map(|hole| hole.y.size).sum::<f64>() / count;
    let mut polar: Vec<(f64, f64)> = holes
        .iter()
        .map(|hole| {
            let (dx, dy) = (hole.x.size - x, hole.y.size - y);
            (dy.atan2(dx), dx.hypot(dy))
        })
        .collect();
    polar.sort_by(|a, b| a.0.total_cmp(&b.0));
    let radius = polar.first()?.1;
    let step = TAU / count;
    let even = polar.windows(2).all(|pair| match pair {
        [a, b] => (b.0 - a.0 - step).abs() < 1e-4 && (b.1 - radius).abs() < 1e-3,
        _ => false,
    });
    (even && radius > 1e-6).then_some((x, y, 2.0 * radius))
}
