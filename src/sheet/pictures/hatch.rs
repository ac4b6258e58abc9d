//! Hatching of cut surfaces: narrow lines at 45 degrees (ISO 128).

use super::area::{Point, extremes};
use super::canvas::{Canvas, LineType};

/// The distance between hatching lines.
const APART: f64 = 2.2;
/// More lines than this would be a grey surface.
const MOST: i32 = 400;

impl Canvas {
    /// Hatches a convex area. All areas of one part share the same lines, so that
    /// hatching runs on from one to the next. `rising` to the right, else falling.
    pub fn hatch(&mut self, corners: &[Point], rising: bool) {
        // On a rising line x + y is constant, on a falling one y - x.
        let sign = if rising { 1.0 } else { -1.0 };
        let key = |point: &Point| point.y + sign * point.x;
        let (low, high) = extremes(corners.iter().map(key));
        let step = APART * std::f64::consts::SQRT_2;
        if !low.is_finite() || !high.is_finite() {
            return;
        }
        let first = (low / step).ceil();
        for line in 0..MOST {
            let value = (first + f64::from(line)) * step;
            if value >= high {
                break;
            }
            let mut cuts: Vec<Point> = Vec::new();
            for (index, a) in corners.iter().enumerate() {
                let Some(b) = corners.get((index + 1) % corners.len()) else {
                    continue;
                };
                let (ka, kb) = (key(a) - value, key(b) - value);
                if ka * kb < 0.0 {
                    let part = ka / (ka - kb);
                    cuts.push(a.part_way(*b, part));
                }
            }
            if let [a, b] = cuts.as_slice()
                && a.distance(*b) > 0.3
            {
                self.line(*a, *b, LineType::Thin);
            }
        }
    }
}
