//! The tolerance zones of a fit against the zero line.

use super::area::{Point, extremes, rectangle};
use super::canvas::{Canvas, LineType};
use super::dimension::{ABOVE, TEXT_STEP};
use super::figure::Figure;
use super::lettering::{Anchor, CAPITAL, width_of};
use super::measure::{Fields, Measure};
use super::spread::spread;

/// A tolerance zone.
#[derive(Clone, Debug)]
pub struct Zone {
    /// `hole` or `shaft`.
    pub name: &'static str,
    /// The tolerance class; may be empty.
    pub class: String,
    /// The name in the notebook, or the size as it was written.
    pub called: String,
    /// Lower and upper limit deviation from the size, in millimetres, with their
    /// text.
    pub deviations: (Measure, Measure),
    /// Lower and upper limit of size.
    pub limits: (Measure, Measure),
    /// The reading as a deviation, where it was measured.
    pub reading: Option<(f64, Measure)>,
}

/// A fit.
#[derive(Clone, Debug)]
pub struct Fit {
    /// The size that the zero line stands for.
    pub size: Measure,
    /// The hole's zone and the shaft's.
    pub zones: [Zone; 2],
    /// Least and greatest clearance; interference is negative.
    pub clearance: (Measure, Measure),
    /// `clearance fit`, `transition fit`, `interference fit`.
    pub kind: String,
    /// How much the hole grows when it is hot.
    pub grows: Option<Measure>,
    /// The unit of lengths.
    pub unit: &'static str,
}

impl Zone {
    /// Returns its upper end and its lower one: the deviation and the limit of size.
    fn ends(&self) -> [(&Measure, &Measure); 2] {
        let ((low, high), (least, most)) = (&self.deviations, &self.limits);
        [(high, most), (low, least)]
    }
}

impl Fit {
    /// Returns the fit of a record.
    pub fn of(fields: &Fields) -> Option<Self> {
        let size = fields.exact("hole")?;
        let zone = |name: &'static str| {
            let limit = |end: &str| fields.exact(&format!("{name}_{end}"));
            let (low, high) = (limit("low")?, limit("high")?);
            let deviation = |limit: &Measure| fields.deviation((limit.size - size.size) / 1000.0);
            Some(Zone {
                name,
                class: fields.text(&format!("{name}_class")).unwrap_or_default(),
                called: fields.text(&format!("{name}_called")).unwrap_or_default(),
                deviations: (deviation(&low), deviation(&high)),
                reading: limit("measured").map(|reading| (reading.size - size.size, reading)),
                limits: (low, high),
            })
        };
        let least = fields.exact("least_clearance")?;
        Some(Self {
            zones: [zone("hole")?, zone("shaft")?],
            clearance: (least, fields.exact("greatest_clearance")?),
            kind: fields.text("kind").unwrap_or_default(),
            grows: fields.exact("grows"),
            size,
            unit: fields.symbol,
        })
    }

    /// Returns the lowest and the highest deviation shown, the zero line among them.
    fn range(&self) -> (f64, f64) {
        let mut values = vec![0.0];
        for zone in &self.zones {
            values.extend([zone.deviations.0.size, zone.deviations.1.size]);
            values.extend(zone.reading.as_ref().map(|(deviation, _)| *deviation));
        }
        if let (Some(grows), [hole, _]) = (&self.grows, &self.zones) {
            values.push(hole.deviations.1.size + grows.size);
        }
        let (low, high) = extremes(values);
        (low, high.max(low + 1e-9))
    }

    /// Returns the zones in characters: a column each, rows to scale.
    pub fn plain(&self) -> String {
        const ROWS: u32 = 12;
        let (low, high) = self.range();
        let step = (high - low) / f64::from(ROWS);
        let row_of = |value: f64| ((high - value) / step - 1e-9).floor().max(0.0);
        let mut lines = Vec::new();
        let names = self.zones.each_ref().map(|zone| {
            format!("{} {}", zone.name, zone.called)
                .trim_end()
                .to_owned()
        });
        let mut labels: Vec<(f64, String)> = Vec::new();
        for zone in &self.zones {
            for (deviation, limit) in zone.ends() {
                let text = format!("{} ({} {})", deviation.text, zone.name, limit.text);
                labels.push((deviation.size, text));
            }
        }
        lines.push(format!("{:>10}  {:<10}{:<10}", "", "hole", "shaft"));
        for row in 0..ROWS {
            let row = f64::from(row);
            let fill = |zone: &Zone| {
                let top = row_of(zone.deviations.1.size);
                let bottom = row_of(zone.deviations.0.size + step * 1e-6);
                let reading = zone.reading.as_ref().map(|(value, _)| row_of(*value));
                let inside = row >= top && row <= bottom;
                match (inside, reading == Some(row)) {
                    (true, true) => "##<>##",
                    (true, false) => "######",
                    (false, true) => "  <>  ",
                    (false, false) => "      ",
                }
            };
            let here: Vec<&str> = labels
                .iter()
                .filter(|(value, _)| (row_of(*value) - row).abs() < 0.5)
                .map(|(_, text)| text.as_str())
                .collect();
            let zero = (row_of(0.0) - row).abs() < 0.5;
            let mark = if zero { "0 -" } else { "" };
            let [hole, shaft] = self.zones.each_ref().map(fill);
            let line = format!("{mark:>10}  {hole:<10}{shaft:<10}{}", here.join(", "));
            lines.push(line.trim_end().to_owned());
        }
        lines.push(format!("{}; {}", names.join(", "), self.words()));
        lines.join("\n")
    }
}

impl Figure for Fit {
    fn words(&self) -> String {
        let (least, most) = (&self.clearance.0, &self.clearance.1);
        let positive = |measure: &Measure| measure.text.trim_start_matches('−').to_owned();
        let words = if least.size >= -1e-9 {
            format!("clearance {} to {}", least.text, most.text)
        } else if most.size <= 1e-9 {
            format!("interference {} to {}", positive(most), positive(least))
        } else {
            let least = positive(least);
            format!("interference {least} to clearance {}", most.text)
        };
        let hot = match &self.grows {
            Some(grows) => {
                let left = self.clearance.0.size + grows.size;
                let state = if left > 0.0 {
                    "goes over every shaft"
                } else {
                    "does not go over every shaft yet"
                };
                format!(" Hot, the hole grows by {} and {state}.", grows.text)
            }
            None => String::new(),
        };
        format!(
            "{}: {words}.{hot} Zero line: {} {}. Heights of the zones to scale with one another.",
            sentence(&self.kind),
            self.size.text,
            self.unit
        )
    }

    fn draw(&self, canvas: &mut Canvas) {
        const HEIGHT: f64 = 56.0;
        const WIDE: f64 = 24.0;
        let (low, high) = self.range();
        let scale = HEIGHT / (high - low);
        canvas.scale = scale;
        let y = |deviation: f64| -deviation * scale;
        let lefts = [0.0, WIDE + 8.0];
        let right = lefts[1] + WIDE;
        canvas.level(0.0, (-4.0, right + 4.0), LineType::Outline);
        for (zone, left) in self.zones.iter().zip(lefts) {
            let (bottom, top) = (y(zone.deviations.0.size), y(zone.deviations.1.size));
            let corners = rectangle((left, top), (left + WIDE, bottom));
            canvas.hatch(&corners, zone.name == "hole");
            canvas.shaded(&corners, zone.name);
            if let Some((deviation, reading)) = &zone.reading {
                let at = y(*deviation);
                canvas.level(at, (left - 1.5, left + WIDE + 1.5), LineType::Path);
                let places = [at - ABOVE, at + ABOVE + CAPITAL]
                    .map(|y| (Point::new(left + WIDE / 2.0, y), Anchor::Middle));
                canvas.text_where_free(&places, &reading.text);
            }
        }
        if let (Some(grows), [hole, _]) = (&self.grows, &self.zones) {
            let at = |deviation: f64| y(deviation + grows.size);
            let (bottom, top) = (at(hole.deviations.0.size), at(hole.deviations.1.size));
            let corners = rectangle((0.0, top), (WIDE, bottom));
            canvas.polyline(&corners, true, LineType::Path, "hot");
            let low = f64::midpoint(top, bottom) + CAPITAL / 2.0;
            let places = [(WIDE / 2.0, Anchor::Middle), (-3.0, Anchor::End)]
                .map(|(x, anchor)| (Point::new(x, low), anchor));
            canvas.text_where_free(&places, &format!("hot +{}", grows.text));
        }
        let [hole, shaft] = &self.zones;
        for (zone, side, edge) in [(hole, -1.0, 0.0), (shaft, 1.0, right)] {
            deviations(canvas, zone, y, (edge, edge + side * 8.0, side));
        }
        let top = canvas.bounds().0.y - 3.0;
        for (zone, left) in self.zones.iter().zip(lefts) {
            let middle = left + WIDE / 2.0;
            let name = format!("{} {}", zone.name, zone.class);
            canvas.write((middle, top), name.trim(), Anchor::Middle);
            if !zone.called.is_empty() {
                let at = Point::new(middle, top - TEXT_STEP);
                let called = fitting(&zone.called, WIDE + 6.0);
                canvas.write(at, &called, Anchor::Middle);
            }
        }
    }

    fn plain(&self, _: usize) -> Option<String> {
        Some(self.plain())
    }
}

/// Writes the deviations and limits of a zone beside it: `+0.018 = 12.018`.
fn deviations(
    canvas: &mut Canvas,
    zone: &Zone,
    y: impl Fn(f64) -> f64,
    (edge, x, side): (f64, f64, f64),
) {
    let ends = zone.ends();
    let wanted = ends.map(|(deviation, _)| y(deviation.size));
    let places = spread(&wanted, &[TEXT_STEP * 2.0 + 1.0; 2]);
    for (((deviation, limit), from), to) in ends.iter().zip(&wanted).zip(places) {
        let elbow = Point::new(x, to);
        let wide = width_of(&limit.text).max(width_of(&deviation.text)) + 1.0;
        canvas.line(Point::new(edge + side, *from), elbow, LineType::Thin);
        canvas.line(elbow, Point::new(x + side * wide, to), LineType::Thin);
        let anchor = if side < 0.0 {
            Anchor::End
        } else {
            Anchor::Start
        };
        canvas.write(elbow + (side * 0.7, -ABOVE), &deviation.text, anchor);
        canvas.write(elbow + (side * 0.7, ABOVE + CAPITAL), &limit.text, anchor);
    }
}

/// Returns a text cut to a width in millimetres.
fn fitting(text: &str, width: f64) -> String {
    if width_of(text) <= width {
        return text.to_owned();
    }
    let mut cut = String::new();
    for c in text.chars() {
        if width_of(&cut) > width - 6.0 {
            break;
        }
        cut.push(c);
    }
    cut + "…"
}

/// Returns the words with a capital at their start.
fn sentence(words: &str) -> String {
    let mut chars = words.chars();
    match chars.next() {
        Some(first) => first.to_uppercase().collect::<String>() + chars.as_str(),
        None => String::new(),
    }
}
