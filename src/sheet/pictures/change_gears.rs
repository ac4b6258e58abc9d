//! A train of change gears: axles, hands and idlers.

use super::area::{Area, Point, reach_of};
use super::canvas::{Canvas, LineType};
use super::figure::{Extent, Figure};
use super::lettering::{Anchor, CAPITAL};
use super::measure::{Fields, Measure};

/// An axle with its one or two gears and its place, in modules.
#[derive(Debug)]
struct Axle {
    name: &'static str,
    gears: Vec<f64>,
    x: f64,
    y: f64,
}

/// A train of gears.
#[derive(Debug)]
pub struct ChangeGears {
    axles: Vec<Axle>,
    module: Option<Measure>,
    /// The centre distances, where the module is known.
    centres: Vec<Measure>,
    way: String,
}

impl ChangeGears {
    /// Returns the train of a record.
    pub fn of(fields: &Fields) -> Option<Self> {
        let (drivers, driven) = (fields.numbers("drivers"), fields.numbers("driven"));
        let idler = fields.numbers("idler");
        // Each axle carries the gear that is driven, then the one that drives.
        let axle = |name, gears| Axle {
            name,
            gears,
            x: 0.0,
            y: 0.0,
        };
        let mut axles = vec![axle("stud", vec![*drivers.first()?])];
        for (place, gear) in driven.iter().enumerate() {
            let last = place + 1 == driven.len();
            if last {
                axles.extend(idler.first().map(|teeth| axle("idler", vec![*teeth])));
            }
            let mut gears = vec![*gear];
            gears.extend(drivers.get(place + 1));
            axles.push(axle(if last { "leadscrew" } else { "" }, gears));
        }
        // Down to the leadscrew in a slight zigzag, so that names find room.
        let mut centres = Vec::new();
        let module = fields.size("module");
        for index in 1..axles.len() {
            let (before, after) = axles.split_at_mut(index);
            let (Some(from), Some(to)) = (before.last(), after.first_mut()) else {
                continue;
            };
            let (driver, driven) = (from.gears.last()?, to.gears.first()?);
            let distance = (driver + driven) / 2.0;
            let lean = if index.is_multiple_of(2) {
                0.5
            } else {
                -0.5_f64
            };
            to.x = from.x + distance * lean.sin();
            to.y = from.y + distance * lean.cos();
            let centre = |module: &Measure| fields.exact_length(distance * module.size / 1000.0);
            centres.extend(module.as_ref().map(centre));
        }
        Some(Self {
            axles,
            module,
            centres,
            way: fields.text("leadscrew_turns")?,
        })
    }

    /// Returns how far the train reaches along X and along Y, in modules.
    fn reach(&self) -> ((f64, f64), (f64, f64)) {
        let circle = |axle: &Axle| {
            let reach = axle.gears.iter().copied().fold(0.0, f64::max) / 2.0 + 1.0;
            (axle.x, axle.y, reach)
        };
        reach_of(&self.axles.iter().map(circle).collect::<Vec<_>>())
    }
}

impl Figure for ChangeGears {
    fn extent(&self) -> Option<Extent> {
        let module = self.module.as_ref()?.size;
        let ((left, right), (top, bottom)) = self.reach();
        let (wide, high) = ((right - left) * module, (bottom - top) * module);
        Some(Extent::new(wide, high, (110.0, 150.0)))
    }

    fn words(&self) -> String {
        let mut text = format!("Pitch circles; the leadscrew turns {}.", self.way);
        if self.module.is_none() {
            text.push_str(" To scale with one another.");
        }
        text
    }

    fn draw(&self, canvas: &mut Canvas) {
        let scale = canvas.scale;
        let ((left, right), (top, bottom)) = self.reach();
        let unit = match &self.module {
            Some(module) => module.size * scale,
            None => (110.0 / (right - left)).min(150.0 / (bottom - top)),
        };
        let place = |axle: &Axle| Point::new(axle.x * unit, axle.y * unit);
        let widest = right * unit;
        let mut hand = 1.0;
        for (index, axle) in self.axles.iter().enumerate() {
            let middle = place(axle);
            for teeth in &axle.gears {
                canvas.circle(middle, teeth / 2.0 * unit, LineType::Centre, "gear");
            }
            let least = axle.gears.iter().copied().fold(f64::INFINITY, f64::min) / 2.0 * unit;
            canvas.circle(middle, 2.0_f64.min(0.3 * least), LineType::Outline, "axle");
            canvas.obstacles.push(Area::round(middle, 2.5));
            // The hand: an arrow round the axle.
            let radius = (0.6 * least).min(9.0);
            let (from, to) = if hand > 0.0 { (2.6, 0.9) } else { (0.6, 2.3) };
            canvas.arc(middle, radius, from, to, LineType::Thin);
            canvas.arrow_on_arc(middle, radius, to, f64::signum(to - from));
            hand = -hand;
            if let (Some(next), Some(length)) = (self.axles.get(index + 1), self.centres.get(index))
            {
                let end = place(next);
                canvas.line(middle, end, LineType::Centre);
                let half = middle.middle(end);
                let places = [
                    (half + (2.0, 0.0), Anchor::Start),
                    (half + (-2.0, 0.0), Anchor::End),
                ];
                canvas.text_where_free(&places, &length.text);
            }
        }
        for axle in &self.axles {
            let middle = place(axle);
            for (index, teeth) in axle.gears.iter().enumerate() {
                let radius = teeth / 2.0 * unit;
                let role = match (axle.name, index) {
                    ("idler", _) => "idler",
                    ("stud", _) | (_, 1) => "driver",
                    _ => "driven",
                };
                let angle = [0.45, -0.45].get(index).copied().unwrap_or(0.0);
                let elbow = |lean: f64| {
                    let tip = middle.towards(angle + lean, radius);
                    Point::new((widest + 9.0).max(tip.x + 4.0), tip.y - 4.0)
                };
                let text = format!("{role} {}", crate::quantity::plain(*teeth));
                let elbows = [0.0, 0.2, -0.2, 0.4, -0.4].map(elbow);
                canvas.leader_where_free(middle, radius, elbows, &text);
            }
            if !axle.name.is_empty() && axle.name != "idler" {
                let at = [
                    (middle + (-3.5, CAPITAL / 2.0), Anchor::End),
                    (middle + (0.0, 4.0 + CAPITAL), Anchor::Middle),
                ];
                canvas.text_where_free(&at, axle.name);
            }
        }
    }
}
