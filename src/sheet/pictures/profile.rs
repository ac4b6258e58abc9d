//! A turned part: its steps from left to right along the axis.

use super::area::{Point, rectangle};
use super::canvas::{Canvas, LineType};
use super::figure::{Extent, Figure};
use super::measure::{Fields, Measure};
use crate::language::Value;

/// The least distance on paper between the lines of a thread's crest and root:
/// twice the width of the wide line (ISO 6410-1).
const APART: f64 = 1.0;

/// A step of a turned part.
#[derive(Clone, Debug)]
pub struct Step {
    /// Its diameter, at its left end where it tapers.
    pub diameter: Measure,
    /// Its length.
    pub length: Measure,
    /// The diameter at its right end, where it tapers.
    pub end_diameter: Option<Measure>,
    /// Its thread: the designation and the diameter at the root in millimetres.
    pub thread: Option<(String, f64)>,
    /// The chamfer on its free edges.
    pub chamfer: Option<Measure>,
    /// The bore through it.
    pub bore: Option<Measure>,
    /// The thread in its bore: the designation and the diameter at the root in
    /// millimetres.
    pub inside_thread: Option<(String, f64)>,
    /// Its knurl.
    pub knurl: Option<String>,
    /// Whether there is a centre hole in its free end.
    pub centre: bool,
    /// Whether its length takes the rest of the whole.
    pub rest: bool,
}

impl Step {
    /// Returns the diameter at its right end.
    pub fn end(&self) -> f64 {
        self.end_diameter.as_ref().unwrap_or(&self.diameter).size
    }
}

/// A turned part.
#[derive(Clone, Debug)]
pub struct Profile {
    /// Its steps, from left to right.
    pub steps: Vec<Step>,
    /// Its length.
    pub total: Measure,
    /// Where the shoulders stand from the right-hand end, where that is asked for.
    pub stations: Vec<Measure>,
    /// Whether only the half above the axis is drawn.
    pub half: bool,
}

impl Profile {
    /// Returns the part of a record.
    pub fn of(fields: &Fields) -> Option<Self> {
        let table = fields.table("rows")?;
        let mut steps = Vec::new();
        for row in &table.rows {
            let length = |name: &str| fields.cell_length(table, row, name);
            let diameter = length("diameter")?;
            let wide = diameter.size;
            let thread = match fields.cell(table, row, "thread") {
                Some(Value::Text(text)) => Some(thread(text, diameter.size)),
                _ => None,
            };
            steps.push(Step {
                end_diameter: length("end_diameter")
                    .filter(|end| (end.size - diameter.size).abs() > 1e-9),
                diameter,
                length: length("length")?,
                thread,
                chamfer: length("chamfer"),
                bore: length("bore"),
                inside_thread: match fields.cell(table, row, "inside_thread") {
                    Some(Value::Text(text)) => Some(inside_thread(text, wide)),
                    _ => None,
                },
                knurl: fields.cell_label(table, row, "knurl"),
                centre: fields.cell(table, row, "centre").is_some(),
                rest: fields.cell(table, row, "rest").is_some(),
            });
        }
        let mut stations = Vec::new();
        if fields.with("stations") {
            let mut left: f64 = steps.iter().map(|step| step.length.size).sum();
            for step in &steps {
                stations.push(fields.coordinate(left / 1000.0));
                left -= step.length.size;
            }
        }
        Some(Self {
            steps,
            total: fields.measure("total_length")?,
            stations,
            half: fields.with("half view"),
        })
    }

    /// Returns the greatest diameter.
    fn widest(&self) -> f64 {
        let sizes = self.steps.iter().map(|s| s.diameter.size.max(s.end()));
        sizes.fold(0.0, f64::max)
    }

    /// Returns whether the upper half is cut open.
    pub fn is_cut(&self) -> bool {
        self.steps.iter().any(|step| step.bore.is_some())
    }

    /// Returns the outline above the axis, each step's points from left to right, on paper.
    pub fn upper(&self, scale: f64) -> Vec<Vec<Point>> {
        let mut x = 0.0;
        let mut outline = Vec::with_capacity(self.steps.len());
        for (index, step) in self.steps.iter().enumerate() {
            let before = index.checked_sub(1).and_then(|i| self.steps.get(i));
            let after = self.steps.get(index + 1);
            let (start, end) = (step.diameter.size / 2.0, step.end() / 2.0);
            let length = step.length.size;
            let free_left = before.is_none_or(|before| before.end() < step.diameter.size - 1e-9);
            let free_right = after.is_none_or(|after| after.diameter.size < step.end() - 1e-9);
            let mut points = Vec::new();
            let chamfer = step.chamfer.as_ref().map_or(0.0, |chamfer| chamfer.size);
            let both = free_left && free_right;
            let cut = chamfer.min(length / if both { 2.0 } else { 1.0 });
            let on_flank = |along: f64| start + (end - start) * along / length;
            if free_left && cut > 0.0 {
                points.push((x, start - cut));
                points.push((x + cut, on_flank(cut)));
            } else {
                points.push((x, start));
            }
            if free_right && cut > 0.0 {
                points.push((x + length - cut, on_flank(length - cut)));
                points.push((x + length, end - cut));
            } else {
                points.push((x + length, end));
            }
            let on_paper = points
                .iter()
                .map(|(x, r)| Point::new(x * scale, -r.max(0.0) * scale));
            outline.push(on_paper.collect());
            x += length;
        }
        outline
    }

    /// Draws the narrow lines of a thread's root (ISO 6410).
    fn thread_lines(&self, canvas: &mut Canvas, points: &[Point], root: f64) {
        let (Some(first), Some(last)) = (points.first(), points.last()) else {
            return;
        };
        // The line begins where the chamfer reaches the root.
        let start = first.x + (root + first.y).max(0.0);
        let end = last.x - (root + last.y).max(0.0);
        for side in if self.half { &[-1.0][..] } else { &[-1.0, 1.0] } {
            canvas.level(side * root, (start, end), LineType::Thin);
        }
    }

    /// Draws knurls, as crossed narrow lines on the step (ISO 13444), and centre holes, as
    /// hidden lines.
    fn surfaces(&self, canvas: &mut Canvas, upper: &[Vec<Point>]) {
        for (index, (step, points)) in self.steps.iter().zip(upper).enumerate() {
            let (Some(first), Some(last)) = (points.first(), points.last()) else {
                continue;
            };
            let (left, right) = (first.x, last.x);
            if step.knurl.is_some() {
                let low = if self.half { 0.0 } else { -first.y };
                let high = if self.is_cut() { 0.0 } else { first.y };
                let area = rectangle((left, high), (right, low));
                canvas.hatch(&area, true);
                canvas.hatch(&area, false);
            }
            let is_first = index == 0;
            if step.centre && (is_first || index + 1 == self.steps.len()) {
                // A 60 degree countersink of a third of the diameter.
                let end = if is_first { first } else { last };
                let half = -end.y / 3.0;
                let inwards = if is_first { 1.0 } else { -1.0 };
                let bottom = Point::new(end.x + inwards * half * 3.0_f64.sqrt(), 0.0);
                canvas.line(Point::new(end.x, -half), bottom, LineType::Dashed);
                if !self.half {
                    canvas.line(Point::new(end.x, half), bottom, LineType::Dashed);
                }
            }
        }
    }

    /// Draws the cut surface above the axis and the bore in it.
    fn section(&self, canvas: &mut Canvas, upper: &[Vec<Point>]) {
        let scale = canvas.scale;
        let mut x = 0.0;
        let mut before = 0.0;
        for (step, points) in self.steps.iter().zip(upper) {
            let end = x + step.length.size * scale;
            let bore = step
                .bore
                .as_ref()
                .map_or(0.0, |bore| bore.size / 2.0 * scale);
            if bore > 0.0 {
                canvas.level(-bore, (x, end), LineType::Outline);
            }
            if (bore - before).abs() > 1e-9 && x > 0.0 {
                // The shoulder of the bore is seen from the wall to the axis.
                canvas.plumb(x, (-bore.max(before), 0.0), LineType::Outline);
            }
            if let Some((_, root)) = &step.inside_thread {
                let root = (root / 2.0 * scale).max(bore + APART);
                canvas.level(-root, (x, end), LineType::Thin);
            }
            let mut area = points.clone();
            area.push(Point::new(end, -bore));
            area.push(Point::new(x, -bore));
            canvas.hatch(&area, true);
            before = bore;
            x = end;
        }
    }
}

impl Figure for Profile {
    fn extent(&self) -> Option<Extent> {
        let height = self.widest() / if self.half { 2.0 } else { 1.0 };
        Some(Extent::new(self.total.size, height, (120.0, 70.0)))
    }

    fn words(&self) -> String {
        String::new()
    }

    fn draw(&self, canvas: &mut Canvas) {
        let scale = canvas.scale;
        let length = self.total.size * scale;
        let upper = self.upper(scale);
        canvas.level(0.0, (-5.0, length + 5.0), LineType::Centre);
        if self.half {
            symmetry_marks(canvas, length);
        }
        let flip = |points: &[Point]| -> Vec<Point> {
            points.iter().map(|p| Point::new(p.x, -p.y)).collect()
        };
        let mut whole: Vec<Point> = vec![Point::new(0.0, 0.0)];
        whole.extend(upper.iter().flatten());
        whole.push(Point::new(length, 0.0));
        canvas.polyline(&whole, false, LineType::Outline, "profile");
        if !self.half {
            canvas.polyline(&flip(&whole), false, LineType::Outline, "profile");
        }
        for (index, (step, points)) in self.steps.iter().zip(&upper).enumerate() {
            // The edges seen from outside; a half that is cut open shows none.
            let mut edges: Vec<Point> = points.clone();
            if index == 0 && !edges.is_empty() {
                edges.remove(0);
            }
            if index + 1 == self.steps.len() {
                edges.pop();
            }
            for edge in edges {
                let up = if self.is_cut() { 0.0 } else { edge.y };
                let down = if self.half { 0.0 } else { -edge.y };
                if up < down {
                    canvas.plumb(edge.x, (up, down), LineType::Outline);
                }
            }
            if let Some((_, root)) = &step.thread {
                let crest = step.diameter.size / 2.0 * scale;
                let root = (root / 2.0 * scale).min(crest - APART);
                self.thread_lines(canvas, points, root);
            }
        }
        if self.is_cut() {
            self.section(canvas, &upper);
        }
        self.surfaces(canvas, &upper);
        self.dimension(canvas, &upper);
    }
}

/// Returns an internal thread's designation and the diameter at its root, its major diameter,
/// in millimetres, within a step of `diameter`.
fn inside_thread(designation: &str, diameter: f64) -> (String, f64) {
    let major = crate::trade::threads::thread(designation)
        .map_or(diameter * 0.5, |thread| thread.major.value * 1000.0);
    (super::measure::short(designation), major.min(diameter))
}

/// Draws two short lines across each end of the axis: the other half is the same.
fn symmetry_marks(canvas: &mut Canvas, length: f64) {
    for x in [-4.2, -3.2, length + 3.2, length + 4.2] {
        canvas.plumb(x, (-1.75, 1.75), LineType::Thin);
    }
}

/// Returns a thread's designation and the diameter at its root, in millimetres, for a
/// step of `diameter`.
fn thread(designation: &str, diameter: f64) -> (String, f64) {
    let depth = crate::trade::threads::thread(designation)
        .map_or(diameter * 0.08, |thread| thread.depth.value * 1000.0);
    let root = (diameter - 2.0 * depth).max(diameter * 0.5);
    (super::measure::short(designation), root)
}
