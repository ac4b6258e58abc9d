//! A what-if table as a graph: one field a shown cell, all over the varied one.

use super::area::{Point, extremes};
use super::canvas::{Canvas, LineType};
use super::dimension::ABOVE;
use super::figure::Figure;
use super::lettering::{Anchor, CAPITAL, covers};
use super::measure::cut;
use crate::quantity::plain;

/// A limit that a check sets.
#[derive(Clone, Debug)]
pub struct Limit {
    /// The value, in the series' unit.
    pub value: f64,
    /// What stands beside it, such as `≥ 4`.
    pub text: String,
}

/// A shown cell.
#[derive(Clone, Debug)]
pub struct Series {
    /// Its name.
    pub name: String,
    /// Its unit; may be empty.
    pub unit: String,
    /// Its values, nothing where it has none.
    pub values: Vec<Option<f64>>,
    /// The limits that checks set.
    pub limits: Vec<Limit>,
}

/// A graph.
#[derive(Clone, Debug)]
pub struct Graph {
    /// The varied cell's name.
    pub over: String,
    /// Its unit; may be empty.
    pub unit: String,
    /// Its values.
    pub values: Vec<f64>,
    /// The shown cells.
    pub series: Vec<Series>,
}

/// The width of a field.
const WIDE: f64 = 92.0;
/// The height of a field.
const HIGH: f64 = 46.0;

/// Returns the round step, 1, 2 or 5 times a power of ten, that goes about `count` times from
/// `low` to `high`; nothing where they are one.
fn round_step(low: f64, high: f64, count: f64) -> Option<f64> {
    let width = high - low;
    if !(width > 0.0 && width.is_finite()) {
        return None;
    }
    let rough = width / count;
    let power = 10_f64.powf(rough.log10().floor());
    let steps = [1.0, 2.0, 5.0, 10.0].map(|factor| factor * power);
    let step = steps.into_iter().find(|step| *step >= rough * 0.999);
    Some(step.unwrap_or(10.0 * power)).filter(|step| *step > 0.0 && step.is_finite())
}

/// Returns round values from `low` to `high`, about `count` of them.
fn ticks(low: f64, high: f64, count: f64) -> Vec<f64> {
    let Some(step) = round_step(low, high, count) else {
        return vec![low];
    };
    let first = (low / step - 1e-9).ceil();
    let mut values = Vec::new();
    for index in 0..50 {
        let value = (first + f64::from(index)) * step;
        if value > high + step * 1e-9 {
            break;
        }
        values.push(if value.abs() < step * 1e-9 {
            0.0
        } else {
            value
        });
    }
    values
}

/// Returns the lowest and highest of some values, a little apart where they are equal.
fn reach(values: impl Iterator<Item = f64>) -> (f64, f64) {
    let (low, high) = extremes(values.filter(|value| value.is_finite()));
    if low > high {
        return (0.0, 1.0);
    }
    if high - low <= 1e-9 * high.abs().max(low.abs()) {
        let half = if low == 0.0 { 1.0 } else { low.abs() * 0.05 };
        return (low - half, high + half);
    }
    (low, high)
}

impl Graph {
    fn x_reach(&self) -> (f64, f64) {
        reach(self.values.iter().copied())
    }

    fn y_reach(series: &Series) -> (f64, f64) {
        let values = series.values.iter().flatten().copied();
        let limits = series.limits.iter().map(|limit| limit.value);
        let (low, high) = reach(values.chain(limits));
        // Out to the next round values, so that the ends of the axis can be read.
        let Some(step) = round_step(low, high, 5.0) else {
            return (low, high);
        };
        let end = |value: f64, round: fn(f64) -> f64| {
            let place = value / step;
            let whole = place.round();
            step * if (place - whole).abs() < 1e-6 {
                whole
            } else {
                round(place)
            }
        };
        (end(low, f64::floor), end(high, f64::ceil))
    }

    fn field(
        &self,
        canvas: &mut Canvas,
        series: &Series,
        x: &impl Fn(f64) -> f64,
        top: f64,
        last: bool,
    ) {
        let (low, high) = Self::y_reach(series);
        let bottom = top + HIGH;
        let y = |value: f64| bottom - (value - low) / (high - low) * HIGH;
        for value in ticks(low, high, 5.0) {
            canvas.level(y(value), (0.0, WIDE), LineType::Grid);
            let at = Point::new(-1.5, y(value) + CAPITAL / 2.0);
            canvas.write(at, &plain(value), Anchor::End);
        }
        let corner = Point::new(0.0, bottom);
        canvas.line(corner, Point::new(0.0, top), LineType::Outline);
        canvas.line(corner, Point::new(WIDE, bottom), LineType::Outline);
        let (left, right) = self.x_reach();
        for value in ticks(left, right, 6.0) {
            let at = x(value);
            canvas.plumb(at, (bottom, bottom + 1.5), LineType::Thin);
            let text = plain(value);
            let below = Point::new(at, bottom + 2.5 + CAPITAL);
            let area = Canvas::area_of(below, &text, Anchor::Middle, 0.0);
            if !covers(&canvas.texts, &area) {
                canvas.write(below, &text, Anchor::Middle);
            }
        }
        let name = titled(&series.name, &series.unit);
        canvas.write((0.0, top - 2.5), &name, Anchor::Start);
        if last {
            let at = Point::new(WIDE, bottom + 9.0 + CAPITAL);
            canvas.write(at, &titled(&self.over, &self.unit), Anchor::End);
        }
        for limit in &series.limits {
            let at = y(limit.value);
            canvas.level(at, (0.0, WIDE), LineType::Dashed);
            let places = [
                (Point::new(WIDE + 1.5, at + CAPITAL / 2.0), Anchor::Start),
                (Point::new(WIDE - 1.0, at - ABOVE), Anchor::End),
                (Point::new(WIDE - 1.0, at + ABOVE + CAPITAL), Anchor::End),
            ];
            canvas.text_where_free(&places, &limit.text);
        }
        let points = self
            .values
            .iter()
            .zip(&series.values)
            .map(|(value, shown)| {
                let shown = shown.filter(|shown| shown.is_finite())?;
                Some(Point::new(x(*value), y(shown)))
            });
        let points: Vec<Option<Point>> = points.collect();
        for run in points.split(Option::is_none) {
            let run: Vec<Point> = run.iter().copied().flatten().collect();
            if !run.is_empty() {
                canvas.polyline(&run, false, LineType::Outline, "curve");
            }
        }
        for point in points.into_iter().flatten() {
            canvas.dot(point, 0.8, "point");
        }
    }

    /// Returns the graph in characters.
    pub fn plain(&self, width: usize) -> String {
        const ROWS: usize = 10;
        let limits = self.series.iter().flat_map(|series| &series.limits);
        let notes = limits.map(|limit| limit.text.chars().count() + 1).max();
        let columns = width
            .saturating_sub(12 + notes.unwrap_or(0).max(4))
            .clamp(20, 64);
        let (left, right) = self.x_reach();
        let mut lines = Vec::new();
        for series in &self.series {
            let (low, high) = Self::y_reach(series);
            let mut field = vec![vec![' '; columns]; ROWS];
            #[allow(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                clippy::cast_precision_loss
            )]
            // a place in a field of some 60 by 10
            let place = |part: f64, count: usize| {
                ((part * (count - 1) as f64).round().max(0.0) as usize).min(count - 1)
            };
            let row = |value: f64| place((high - value) / (high - low), ROWS);
            for limit in &series.limits {
                if let Some(line) = field.get_mut(row(limit.value)) {
                    line.iter_mut().for_each(|cell| *cell = '-');
                }
            }
            for (value, shown) in self.values.iter().zip(&series.values) {
                let Some(shown) = shown.filter(|shown| shown.is_finite()) else {
                    continue;
                };
                let column = place((value - left) / (right - left), columns);
                if let Some(cell) = field
                    .get_mut(row(shown))
                    .and_then(|line| line.get_mut(column))
                {
                    *cell = '*';
                }
            }
            lines.push(titled(&series.name, &series.unit));
            for (index, cells) in field.iter().enumerate() {
                let label = match index {
                    0 => plain(high),
                    index if index + 1 == ROWS => plain(low),
                    _ => String::new(),
                };
                let note: Vec<&str> = series
                    .limits
                    .iter()
                    .filter(|limit| row(limit.value) == index)
                    .map(|limit| limit.text.as_str())
                    .collect();
                let cells: String = cells.iter().collect();
                let line = format!("{label:>10} |{cells} {}", note.join(", "));
                lines.push(line.trim_end().to_owned());
            }
            let ends = (plain(left), plain(right));
            let gap = columns.saturating_sub(ends.0.chars().count() + ends.1.chars().count());
            lines.push(format!("{:>10} +{}", "", "-".repeat(columns)));
            let gap = " ".repeat(gap);
            lines.push(format!("{:>10}  {}{gap}{}", "", ends.0, ends.1));
            let over = titled(&self.over, &self.unit);
            lines.push(format!("{:>10}  over {over}", ""));
        }
        lines.join("\n")
    }
}

impl Figure for Graph {
    fn draw(&self, canvas: &mut Canvas) {
        let (left, right) = self.x_reach();
        let x = |value: f64| (value - left) / (right - left) * WIDE;
        let mut top = 0.0;
        for (index, series) in self.series.iter().enumerate() {
            let last = index + 1 == self.series.len();
            self.field(canvas, series, &x, top, last);
            top += HIGH + 16.0;
        }
    }

    fn plain(&self, width: usize) -> Option<String> {
        Some(self.plain(width))
    }
}

/// Returns a name with its unit.
fn titled(name: &str, unit: &str) -> String {
    let name = cut(name, 40);
    if unit.is_empty() {
        name
    } else {
        format!("{name} in {unit}")
    }
}
