//! Teeth of a spur gear with their circles; a pin in a space, or the gear in mesh.

use std::f64::consts::{FRAC_PI_2, PI};

use super::area::Point;
use super::canvas::{Canvas, LineType};
use super::figure::{Extent, Figure};
use super::leaders::Note;
use super::lettering::{Anchor, CAPITAL};
use super::measure::{Fields, Measure};

/// Teeth of a spur gear.
#[derive(Debug)]
pub struct Gear {
    module: Measure,
    teeth: f64,
    pressure: f64,
    outside: Measure,
    pitch_diameter: Measure,
    root: Measure,
    base: Measure,
    pin: Option<Measure>,
    over: Option<Measure>,
    /// Teeth between jaws, and the reading over them.
    span: Option<(u32, Option<Measure>)>,
    /// Teeth of the mate and the distance between the centres.
    mate: Option<(f64, Measure)>,
}

/// How many teeth are drawn at most.
const SHOWN: f64 = 5.0;
/// Points on each flank.
const POINTS: u32 = 8;

impl Gear {
    /// Returns the gear of a record.
    pub fn of(fields: &Fields) -> Option<Self> {
        let mate = fields.numbers("mate").first().copied();
        Some(Self {
            module: fields.size("module")?,
            teeth: *fields.numbers("teeth").first()?,
            pressure: fields
                .measure("pressure_angle")
                .map_or(20_f64.to_radians(), |angle| angle.size),
            outside: fields.measure("outside")?,
            pitch_diameter: fields.measure("pitch_diameter")?,
            root: fields.measure("root")?,
            base: fields.measure("base")?,
            pin: fields.size("pin"),
            over: fields.size("over"),
            span: fields
                .whole("span_teeth")
                .map(|teeth| (teeth, fields.size("span"))),
            mate: mate.zip(fields.measure("centres")),
        })
    }

    /// Returns how many teeth are drawn: with a pin a space stands on top, with jaws one tooth
    /// more on each side, else a tooth stands on top.
    fn shown(&self) -> u32 {
        let half = (self.teeth / 2.0).floor().clamp(2.0, SHOWN);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // at most five
        let half = half as u32;
        match (&self.span, &self.pin) {
            (Some((span, _)), _) if f64::from(span + 2) <= self.teeth => span + 2,
            (Some((span, _)), _) => *span,
            (None, Some(_)) => half - half % 2,
            (None, None) => half - (half + 1) % 2,
        }
    }
}

fn involute(angle: f64) -> f64 {
    angle.tan() - angle
}

/// Returns the right flank of a tooth of `teeth` teeth, from root to tip: radius and angle from
/// the tooth's middle line (ISO 21771: half the tooth is π/(2z) + inv α on the base
/// circle less the involute). Below the base circle it runs straight in.
fn flank(module: f64, teeth: f64, pressure: f64) -> Vec<(f64, f64)> {
    let pitch = module * teeth / 2.0;
    let base = pitch * pressure.cos();
    let (root, tip) = (pitch - 1.25 * module, pitch + module);
    let half = PI / 2.0 / teeth + involute(pressure);
    let mut points = Vec::new();
    if root < base {
        points.push((root, half));
    }
    let start = root.max(base);
    for step in 0..=POINTS {
        let radius = start + (tip - start) * f64::from(step) / f64::from(POINTS);
        let at = (base / radius).min(1.0).acos();
        points.push((radius, (half - involute(at)).max(0.0)));
    }
    points
}

/// Returns the outline of some teeth about a centre, the middle tooth or space at `up`.
fn outline(
    centre: Point,
    sizes: (f64, f64, f64),
    scale: f64,
    up: f64,
    (first, count): (f64, u32),
) -> Vec<Point> {
    let (module, teeth, pressure) = sizes;
    let flank = flank(module, teeth, pressure);
    let step = 2.0 * PI / teeth;
    let mut points = Vec::new();
    for tooth in 0..count {
        let middle = up + (first + f64::from(tooth)) * step;
        let at = |(r, off): (f64, f64), side: f64| centre.towards(middle + side * off, r * scale);
        points.extend(flank.iter().map(|point| at(*point, -1.0)));
        points.extend(flank.iter().rev().map(|point| at(*point, 1.0)));
    }
    points
}

impl Figure for Gear {
    fn extent(&self) -> Option<Extent> {
        let shown = f64::from(self.shown() + 1);
        let wide = (shown * PI * self.module.size).min(self.outside.size);
        Some(Extent::new(wide, 5.0 * self.module.size, (110.0, 70.0)))
    }

    fn words(&self) -> String {
        let mut text = format!(
            "{} teeth, module {}",
            crate::quantity::plain(self.teeth),
            self.module.text
        );
        if let Some((mate, centres)) = &self.mate {
            text.push_str(&format!(
                "; runs with {} teeth, {} between the centres",
                crate::quantity::plain(*mate),
                centres.text
            ));
        }
        if let Some(over) = &self.over {
            text.push_str(&format!("; {} over the pins", over.text));
        }
        if let Some((teeth, reading)) = &self.span {
            let reading = reading.as_ref().map_or("measured", |reading| &reading.text);
            text.push_str(&format!("; {reading} over {teeth} teeth"));
        }
        text.push('.');
        text
    }

    fn draw(&self, canvas: &mut Canvas) {
        let scale = canvas.scale;
        let pitch = self.pitch_diameter.size / 2.0 * scale;
        // The top of the pitch circle is the origin.
        let centre = Point::new(0.0, pitch);
        let step = 2.0 * PI / self.teeth;
        let count = self.shown();
        let shown = f64::from(count);
        let sizes = (self.module.size, self.teeth, self.pressure);
        let first = (1.0 - shown) / 2.0;
        let teeth = outline(centre, sizes, scale, FRAC_PI_2, (first, count));
        canvas.polyline(&teeth, false, LineType::Outline, "teeth");
        let reach = (shown / 2.0 + 0.6) * step;
        let (from, to) = (FRAC_PI_2 - reach, FRAC_PI_2 + reach);
        let mut notes = Vec::new();
        for (measure, name, line) in [
            (&self.outside, "outside", LineType::Thin),
            (&self.pitch_diameter, "pitch circle", LineType::Centre),
            (&self.base, "base circle", LineType::Path),
            (&self.root, "root", LineType::Thin),
        ] {
            let radius = measure.size / 2.0 * scale;
            canvas.arc(centre, radius, from, to, line);
            let text = format!("⌀{} {name}", measure.text);
            notes.push(Note::at(centre.towards(from, radius), text));
        }
        self.jaws(canvas, pitch);
        if let Some(pin) = &self.pin {
            // Machinery's Handbook, measurement over pins: where the pin's centre lies,
            // inv A = d / (z m cos α) + inv α - π / (2 z) for a space of half a pitch.
            let base = self.base.size / 2.0;
            let wanted =
                pin.size / (2.0 * base) + involute(self.pressure) - PI / (2.0 * self.teeth);
            let at = crate::trade::involute::angle_from_involute(wanted.max(0.0)).value;
            let radius = base / at.cos() * scale;
            let (middle, r) = (centre.towards(FRAC_PI_2, radius), pin.size / 2.0 * scale);
            canvas.pin(middle, r, "pin");
            let text = format!("⌀{} pin", pin.text);
            canvas.leader_round((middle, r), 9.0, &[2.3, 2.6, 2.0], &text);
            if let Some(over) = &self.over {
                let top = middle + (0.0, -r);
                let elbows = [(8.0, -10.0), (14.0, -12.0), (-10.0, -14.0)].map(|off| top + off);
                canvas.leader_where_free(top, 0.0, elbows, &format!("{} over two", over.text));
            }
        }
        if let Some((mate, _)) = &self.mate {
            let other = Point::new(0.0, -mate * self.module.size / 2.0 * scale);
            // A space of the mate faces the tooth on top.
            let sizes = (self.module.size, *mate, self.pressure);
            let shown = SHOWN.min((mate / 2.0).floor());
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // at most five
            let mut number = shown as u32;
            number -= number % 2;
            let first = (1.0 - f64::from(number)) / 2.0;
            let teeth = outline(other, sizes, scale, -FRAC_PI_2, (first, number));
            canvas.polyline(&teeth, false, LineType::Outline, "mate");
            let reach = (f64::from(number) / 2.0 + 0.6) * 2.0 * PI / mate;
            let (from, to) = (-FRAC_PI_2 - reach, -FRAC_PI_2 + reach);
            canvas.arc(other, -other.y, from, to, LineType::Centre);
        }
        let right = canvas.bounds().1.x + 8.0;
        let top = canvas.bounds().0.y;
        canvas.notes_right(right, top.max(-30.0), notes);
        let low = canvas.bounds().1.y + 3.0 + CAPITAL;
        let text = format!("module {}", self.module.text);
        canvas.write((0.0, low), &text, Anchor::Middle);
    }
}

impl Gear {
    /// Draws the jaws over a span of teeth; `pitch` is the radius of the pitch circle on paper.
    fn jaws(&self, canvas: &mut Canvas, pitch: f64) {
        let Some((teeth, reading)) = &self.span else {
            return;
        };
        // Both jaws touch on the line that touches the base circle at its top: there
        // the involutes' normals lie, and half the span is an arc of the base circle.
        let base = self.base.size / 2.0 * canvas.scale;
        let arc = PI * (f64::from(*teeth) - 0.5) / self.teeth + involute(self.pressure);
        let (half, touch) = (base * arc, pitch - base);
        let module = self.module.size * canvas.scale;
        let (wide, top) = ((0.5 * module).clamp(0.4, 4.0), -module - 8.0);
        for side in [-1.0, 1.0] {
            let (near, far) = (side * half, side * (half + wide));
            let low = touch + 0.3 * module;
            let jaw = [(near, top), (near, low), (far, low), (far, top)].map(Point::from);
            canvas.polyline(&jaw, false, LineType::Outline, "jaw");
        }
        let ends = [-half, half].map(|x| Point::new(x, top));
        let text = match reading {
            Some(reading) => format!("{} over {teeth} teeth", reading.text),
            None => format!("over {teeth} teeth"),
        };
        canvas.across(ends[0], ends[1], top - 8.0, &text);
    }
}
