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
            blocks: fields
                .numbers("blocks")
                .into_iter()
                .map(|block| fields.exact_length(block))
                .collect(),
        })
    }
}

impl Figure for SineBar {
    fn extent(&self) -> Option<Extent> {
        let length = self.length.size;
        Some(Extent::new(
            1.2 * length,
            self.stack.size + 0.3 * length,
            (110.0, 90.0),
        ))
    }

    fn words(&self) -> String {
        format!(
            "Stack: {}. Rollers and bar are drawn a tenth of the length thick.",
            self.stack.text
        )
    }

    fn draw(&self, scale: f64) -> Canvas {
        let mut canvas = Canvas::new(scale);
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
        let bar = [
            corner(-1.5 * r, r),
            corner(length + 1.5 * r, r),
            corner(length + 1.5 * r, 3.0 * r),
            corner(-1.5 * r, 3.0 * r),
        ];
        canvas.polyline(&bar, true, LineType::Outline, "bar");
        // The stack under the upper roller, block by block.
        let wide = 1.6 * r;
        let (left, right) = (high.x - wide, high.x + wide);
        let stack_area = [
            Point::new(left, 0.0),
            Point::new(left, -stack),
            Point::new(right, -stack),
            Point::new(right, 0.0),
        ];
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
        canvas.dimension(
            low,
            high,
            angle,
            corner(0.0, 3.0 * r + 9.0),
            &self.length.text,
        );
        let beside = far.max(right) + 6.0;
        canvas.upright(
            Point::new(right, -stack),
            Point::new(right, 0.0),
            beside,
            &self.stack.text,
        );
        self.block_texts(&mut canvas, &middles, beside + 16.0, right);
        let radius = 0.45 * length;
        canvas.line(low, low.towards(0.0, radius + 4.0), LineType::Thin);
        let half = angle / 2.0;
        let places: Vec<_> = [2.0, -3.0]
            .into_iter()
            .map(|out| low.towards(half, radius + out))
            .map(|at| (Point::new(at.x, at.y + CAPITAL / 2.0), Anchor::Start))
            .chain([
                (
                    Point::new(low.x + radius, low.y + 2.0 + CAPITAL),
                    Anchor::End,
                ),
                (low.towards(PI / 3.0, radius), Anchor::End),
            ])
            .collect();
        canvas.angle(low, radius, (0.0, angle), &self.angle.text, &places);
        canvas
    }
}

impl SineBar {
    /// Draws the blocks' sizes, one above the other beside the stack.
    fn block_texts(&self, canvas: &mut Canvas, middles: &[f64], x: f64, right: f64) {
        let mut order: Vec<usize> = (0..middles.len()).collect();
        let at = |index: &usize| middles.get(*index).copied().unwrap_or(0.0);
        order.sort_by(|a, b| at(a).total_cmp(&at(b)));
        let wanted: Vec<f64> = order.iter().map(at).collect();
        let places = spread(&wanted, &vec![TEXT_STEP; wanted.len()]);
        for ((index, from), to) in order.iter().zip(&wanted).zip(places) {
            if let Some(block) = self.blocks.get(*index) {
                canvas.line(Point::new(right, *from), Point::new(x, to), LineType::Thin);
                canvas.write((x + 1.0, to + CAPITAL / 2.0), &block.text, Anchor::Start);
            }
        }
    }
}
