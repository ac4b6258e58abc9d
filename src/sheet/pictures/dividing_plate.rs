//! The circle of a dividing plate, the holes used and the sector arms.

use std::f64::consts::{FRAC_PI_2, TAU};

use super::area::{Area, Point};
use super::canvas::{Canvas, LineType};
use super::figure::Figure;
use super::lettering::{Anchor, CAPITAL};
use super::measure::Fields;
use crate::quantity::count;

/// A dividing plate.
#[derive(Debug)]
pub struct DividingPlate {
    circle: u32,
    holes: u32,
    turns: u32,
}

/// The radius of the circle of holes on paper.
const CIRCLE: f64 = 40.0;

impl DividingPlate {
    /// Returns the plate of a record.
    pub fn of(fields: &Fields) -> Option<Self> {
        Some(Self {
            circle: fields.whole("circle")?,
            holes: fields.whole("holes")?,
            turns: fields.whole("turns").unwrap_or(0),
        })
    }
}

impl Figure for DividingPlate {
    fn words(&self) -> String {
        let turns = match self.turns {
            0 => String::new(),
            turns => format!("{} and ", count(turns as usize, "whole turn")),
        };
        if self.holes == 0 {
            return format!(
                "The crank moves by {}; no sector arms are needed.",
                turns.trim_end_matches(" and ")
            );
        }
        format!(
            "The crank moves by {turns}{} on the circle of {}: {} between the arms, the one with the pin in it among them. Sizes of the plate are not to scale.",
            count(self.holes as usize, "hole"),
            self.circle,
            count(self.holes as usize + 1, "hole"),
        )
    }

    fn draw(&self, canvas: &mut Canvas) {
        let centre = Point::new(0.0, 0.0);
        let step = TAU / f64::from(self.circle);
        let small = (0.32 * step * CIRCLE).min(1.1);
        // Clockwise from the top, as a crank is turned.
        let at = |hole: f64| centre.towards(FRAC_PI_2 - hole * step, CIRCLE);
        canvas.circle(centre, CIRCLE + 7.0, LineType::Outline, "plate");
        canvas.circle(centre, CIRCLE, LineType::Centre, "");
        canvas.centre_mark(centre, 3.0);
        for hole in 0..self.circle {
            let middle = at(f64::from(hole));
            if hole == 0 || hole == self.holes {
                canvas.dot(middle, small * 1.2, "used hole");
            } else {
                canvas.circle(middle, small, LineType::Outline, "hole");
            }
        }
        canvas.obstacles.push(Area::round(centre, 4.0));
        // The arms touch the pin's hole and the last one from outside.
        let arm = |hole: f64| centre.towards(FRAC_PI_2 - hole * step, CIRCLE + 4.0);
        if self.holes > 0 {
            for hole in [-0.5, f64::from(self.holes) + 0.5] {
                canvas.line(centre, arm(hole), LineType::Outline);
            }
            let (from, to) = (FRAC_PI_2, FRAC_PI_2 - f64::from(self.holes) * step);
            let radius = CIRCLE - 8.0;
            canvas.arc(centre, radius, from, to, LineType::Thin);
            canvas.arrow_on_arc(centre, radius, to, -1.0);
            let half = f64::midpoint(from, to);
            let text = format!("{} on", count(self.holes as usize, "hole"));
            let places = [0.55, 0.4, 0.3, 0.65]
                .map(|part| centre.towards(half, part * radius) + (0.0, CAPITAL / 2.0))
                .map(|place| (place, Anchor::Middle));
            canvas.text_where_free(&places, &text);
        }
        let outside = |angle: f64| centre.towards(angle, CIRCLE + 15.0);
        let ends = [(0, "pin"), (self.holes, "next")];
        for (hole, name) in ends.iter().take(if self.holes > 0 { 2 } else { 1 }) {
            let middle = at(f64::from(*hole));
            let angle = FRAC_PI_2 - f64::from(*hole) * step;
            let elbows = [0.0, 0.2, -0.2, 0.4].map(|lean| outside(angle + lean));
            canvas.leader_where_free(middle, small * 1.2, elbows, name);
        }
        let low = -FRAC_PI_2 - 0.6;
        let elbows = [0.0, 0.2, -0.2].map(|lean| outside(low + lean));
        let text = format!("circle of {}", self.circle);
        canvas.leader_where_free(centre.towards(low, CIRCLE), 0.0, elbows, &text);
    }
}
