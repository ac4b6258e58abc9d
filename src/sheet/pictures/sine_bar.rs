//! A sine bar on its stack of gauge blocks.

use std::f64::consts::{FRAC_PI_2, PI};

use super::area::{Point, rectangle};
use super::canvas::{Canvas, LineType};
use super::dimension::TEXT_STEP;
use super::figure::{Extent, Figure};
use super::lettering::{Anchor, CAPITAL};
use super::measure::{Fields, Measure};
use super::spread::spread;

/// A sine bar.
#[derive(Debug)]
pub struct SineBar {
    length: Measure,
    angle: Measure,
    stack: Measure,
    blocks: Vec<Measure>,
}

/// Rollers are drawn a tenth of the length thick.
const ROLLER: f64 = 0.1;

impl SineBar {
    /// Returns the sine bar of a record.
    pub fn of(fields: &Fields) -> Option<Self> {
        Some(Self {
            length: fields.size("length")?,
            angle: fields.measure("angle")?,
            stack: fields.measure("stack")?,
            blocks: fields.lengths("blocks"),
        })
    }
}

impl Figure for SineBar {
    fn extent(&self) -> Option<Extent> {
        let length = self.length.size;
        let high = self.stack.size + 0.3 * length;
        Some(Extent::new(1.2 * length, high, (110.0, 90.0)))
    }

    fn words(&self) -> String {
        format!(
            "Stack: {}. Rollers and bar are drawn a tenth of the length thick.",
            self.stack.text
        )
    }

    fn draw(&self, canvas: &mut Canvas) {
        let scale = canvas.scale;
        let (length, stack) = (self.length.size * scale, self.stack.size * scale);
        let angle = self.angle.size;
        let r = ROLLER * length / 2.0;
        // The surface plate at y = 0.
        let low = Point::new(0.0, -r);
        let high = low.towards(angle, length);
        let far = length * angle.cos() + 3.0 * r + 6.0;
        let plate = rectangle((-3.0 * r, 0.0), (far, 5.0));
        canvas.hatch(&plate, true);
        canvas.level(0.0, (-3.0 * r, far), LineType::Outline);
        for roller in [low, high] {
            canvas.circle(roller, r, LineType::Outline, "roller");
            canvas.centre_mark(roller, r);
        }
        let up = angle + FRAC_PI_2;
        let corner = |along: f64, out: f64| low.towards(angle, along).towards(up, out);
        let (start, end) = (-1.5 * r, length + 1.5 * r);
        let bar = [(start, r), (end, r), (end, 3.0 * r), (start, 3.0 * r)];
        let bar = bar.map(|(along, out)| corner(along, out));
        canvas.polyline(&bar, true, LineType::Outline, "bar");
        // The stack under the upper roller, block by block.
        let wide = 1.6 * r;
        let (left, right) = (high.x - wide, high.x + wide);
        let stack_area = [(left, 0.0), (left, -stack), (right, -stack), (right, 0.0)];
        let stack_area = stack_area.map(Point::from);
        canvas.polyline(&stack_area, true, LineType::Outline, "stack");
        let mut y = 0.0;
        let mut middles = Vec::new();
        for (index, block) in self.blocks.iter().enumerate() {
            let end = y - block.size * scale;
            if index > 0 {
                canvas.level(y, (left, right), LineType::Outline);
            }
            middles.push(f64::midpoint(y, end));
            y = end;
        }
        let through = corner(0.0, 3.0 * r + 9.0);
        canvas.dimension(low, high, angle, through, &self.length.text);
        let beside = far.max(right) + 6.0;
        let (top, bottom) = (Point::new(right, -stack), Point::new(right, 0.0));
        canvas.upright(top, bottom, beside, &self.stack.text);
        self.block_texts(canvas, &middles, beside + 16.0, right);
        let radius = 0.45 * length;
        canvas.line(low, low.towards(0.0, radius + 4.0), LineType::Thin);
        let half = |out: f64| low.towards(angle / 2.0, radius + out) + (0.0, CAPITAL / 2.0);
        let places = [
            (half(2.0), Anchor::Start),
            (half(-3.0), Anchor::Start),
            (low + (radius, 2.0 + CAPITAL), Anchor::End),
            (low.towards(PI / 3.0, radius), Anchor::End),
        ];
        canvas.angle(low, radius, (0.0, angle), &self.angle.text, &places);
    }
}

impl SineBar {
    /// Draws the blocks' sizes, one above the other beside the stack.
    fn block_texts(&self, canvas: &mut Canvas, middles: &[f64], x: f64, right: f64) {
        let mut blocks: Vec<(&f64, &Measure)> = middles.iter().zip(&self.blocks).collect();
        blocks.sort_by(|a, b| a.0.total_cmp(b.0));
        let wanted: Vec<f64> = blocks.iter().map(|(middle, _)| **middle).collect();
        let places = spread(&wanted, &vec![TEXT_STEP; wanted.len()]);
        for ((from, block), to) in blocks.into_iter().zip(places) {
            canvas.line(Point::new(right, *from), Point::new(x, to), LineType::Thin);
            canvas.write((x + 1.0, to + CAPITAL / 2.0), &block.text, Anchor::Start);
        }
    }
}
