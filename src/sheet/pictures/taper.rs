//! A taper in the lathe, seen from above: the top slide swung to it, and what an
//! indicator shows over a travel.

use std::f64::consts::{FRAC_PI_2, PI};

use super::area::{Area, Point};
use super::canvas::{Canvas, LineType};
use super::dimension::TEXT_STEP;
use super::figure::{Extent, Figure};
use super::lettering::{Anchor, CAPITAL};
use super::measure::{Fields, Measure};
use super::scale::scale_for;

/// A taper: the big end at the left, at the headstock.
#[derive(Clone, Debug)]
pub struct Taper {
    /// Diameter at the big end.
    pub big: Measure,
    /// Diameter at the small end.
    pub small: Measure,
    /// Length along the axis.
    pub length: Measure,
    /// Half the included angle: the top slide's, from parallel.
    pub half_angle: Measure,
    /// The travel and what the indicator reads over it.
    pub reading: Option<(Measure, Measure)>,
    /// Whether the top slide travels; else the carriage.
    pub by_top_slide: bool,
}

impl Taper {
    /// Returns the taper of a record.
    pub fn of(fields: &Fields) -> Option<Self> {
        let reading = fields.size("travel").zip(fields.measure("reading"));
        Some(Self {
            big: fields.size("big")?,
            small: fields.size("small")?,
            length: fields.size("length")?,
            half_angle: fields.measure("half_angle")?,
            reading,
            by_top_slide: fields.text("along").as_deref() == Some("top slide"),
        })
    }

    /// Draws the top slide below the work, on the operator's side, parallel to the flank
    /// that the tool cuts; gives the height under it.
    fn top_slide(&self, canvas: &mut Canvas, big: f64, length: f64) -> f64 {
        let angle = self.half_angle.size;
        // The tool's flank rises to the right by the half angle.
        let (long, wide) = (46.0, 11.0);
        let rise = long * angle.sin();
        let slide = Area {
            middle: Point::new(length / 2.0, big + 12.0 + rise / 2.0 + wide),
            half_width: long / 2.0,
            half_height: wide / 2.0,
            turn: angle,
        };
        let [low_left, low_right, high_right, high_left] = slide.corners();
        let corners = [high_left, high_right, low_right, low_left];
        let start = slide.middle.towards(angle, -long / 2.0);
        canvas.polyline(&corners, true, LineType::Thin, "slide");
        // The angle stands at the left end of the slide's centre line.
        let pivot = start.towards(angle, -4.0);
        let reach = long + 26.0;
        canvas.line(pivot, pivot.towards(angle, reach), LineType::Centre);
        canvas.line(pivot, pivot.towards(0.0, reach), LineType::Thin);
        let radius = long + 16.0;
        let tip = pivot.towards(0.0, radius);
        let beside = pivot.towards(angle / 2.0, radius + 3.0);
        let places = [
            (tip + (2.0, 2.0 + CAPITAL), Anchor::Start),
            (beside + (0.0, CAPITAL / 2.0), Anchor::Start),
            (tip + (0.0, 8.0 + CAPITAL), Anchor::Middle),
        ];
        canvas.angle(pivot, radius, (0.0, angle), &self.half_angle.text, &places);
        let below = slide
            .middle
            .towards(angle + FRAC_PI_2, -wide / 2.0 - 1.5 - CAPITAL);
        canvas.text(below, "top slide", Anchor::Middle, angle);
        let lowest = start.y.max(tip.y) + wide / 2.0;
        lowest + TEXT_STEP + 6.0
    }

    /// Draws the right triangle of travel and reading, to scale.
    fn indicator(&self, canvas: &mut Canvas, top: f64) {
        let Some((travel, reading)) = &self.reading else {
            return;
        };
        let scale = triangle_scale(travel, reading);
        let angle = self.half_angle.size;
        let rise = reading.size * scale;
        let swung = if self.by_top_slide { angle } else { 0.0 };
        let along = travel.size * scale * swung.cos();
        let start = Point::new(6.0, top + 10.0 + rise);
        let end = start + (along, -rise);
        let foot = Point::new(end.x, start.y);
        canvas.line(start, end, LineType::Outline);
        canvas.line(start, foot + (2.0, 0.0), LineType::Thin);
        let beside = end.x + 12.0 + 26.0 * swung.sin();
        canvas.upright(end, foot, beside, &reading.text);
        if self.by_top_slide {
            let below = foot.towards(angle - FRAC_PI_2, 8.0);
            canvas.dimension(start, end, angle, below, &travel.text);
        } else {
            canvas.across(start, foot, start.y + 9.0, &travel.text);
        }
        for (place, mark) in [(start, 0.0), (end, 1.0)] {
            dial(canvas, place, mark);
        }
    }
}

impl Figure for Taper {
    fn extent(&self) -> Option<Extent> {
        Some(Extent::new(self.length.size, self.big.size, (80.0, 60.0)))
    }

    fn words(&self) -> String {
        let mut text = "Seen from above, headstock at the left.".to_owned();
        if let Some((travel, reading)) = &self.reading {
            let how = if self.by_top_slide {
                "along a parallel test bar while the top slide travels"
            } else {
                "along the taper or the slide's edge while the carriage travels"
            };
            let scale = super::scale::in_words(triangle_scale(travel, reading));
            text.push_str(&format!(
                " Triangle of travel and reading: scale {scale}. The indicator, square to the axis and at centre height, moves {} {how} {}.",
                reading.text, travel.text
            ));
        }
        text
    }

    fn draw(&self, canvas: &mut Canvas) {
        let scale = canvas.scale;
        let length = self.length.size * scale;
        let (big, small) = (self.big.size / 2.0 * scale, self.small.size / 2.0 * scale);
        let corners = [(0.0, -big), (length, -small), (length, small), (0.0, big)];
        let corners = corners.map(Point::from);
        canvas.level(0.0, (-4.0, length + 4.0), LineType::Centre);
        canvas.polyline(&corners, true, LineType::Outline, "taper");
        let [a, b, c, d] = corners;
        canvas.across(a, b, -big - 8.0, &self.length.text);
        canvas.upright(a, d, -11.0, &format!("⌀{}", self.big.text));
        canvas.upright(b, c, length + 12.0, &format!("⌀{}", self.small.text));
        let slide = self.top_slide(canvas, big, length);
        if self.reading.is_some() {
            self.indicator(canvas, slide);
        }
    }
}

/// Returns the scale of the triangle of travel and reading.
fn triangle_scale(travel: &Measure, reading: &Measure) -> f64 {
    scale_for(travel.size, reading.size, (70.0, 40.0))
}

/// Draws a dial indicator whose plunger touches `tip` from above, its hand at `mark`
/// (0 or 1) of a part of a turn.
fn dial(canvas: &mut Canvas, tip: Point, mark: f64) {
    let face = tip + (0.0, -11.0);
    canvas.line(tip, tip + (0.0, -7.0), LineType::Thin);
    canvas.circle(face, 4.0, LineType::Thin, "dial");
    let hand = FRAC_PI_2 - mark * PI / 3.0;
    canvas.line(face, face.towards(hand, 3.0), LineType::Thin);
}
