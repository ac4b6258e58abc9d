//! Looking for better points: downhill, and along a fold.

use super::{Best, Node, Search};
use crate::language::program::interval::Interval;

/// How often the stride of a descent is halved.
const HALVINGS: u32 = 24;
/// How many places are tried on a line along a fold.
const TRIES: usize = 40;

impl Search<'_> {
    /// Goes downhill from the best point, one source at a time, with shorter and
    /// shorter strides.
    pub(super) fn descend(&mut self, best: &mut Best) {
        let count = best.at.len();
        let mut stride = 0.25;
        let mut tries = 0;
        for _ in 0..HALVINGS {
            let mut moved = true;
            while moved && tries < 60 * count.max(1) {
                moved = false;
                for index in 0..count {
                    for way in [stride, -stride] {
                        let mut at = best.at.clone();
                        let Some(part) = at.get_mut(index) else {
                            continue;
                        };
                        let to = (*part + way).clamp(0.0, 1.0);
                        if to == *part {
                            continue;
                        }
                        *part = to;
                        tries += 1;
                        let before = best.value;
                        self.consider(&at, best);
                        moved |= best.value < before;
                        if self.gap.is_some() || self.left == 0 {
                            return;
                        }
                    }
                }
            }
            stride *= 0.5;
        }
    }

    /// Looks along single sources from a corner of a box's linear form: where the form
    /// is level along one, the best point of a fold lies on that line. The sources come
    /// with how much the form still goes with them.
    pub(super) fn along_fold(&mut self, node: &Node, steepness: &[(f64, f64)], best: &mut Best) {
        let corner = |(slope, _): &(f64, f64), part: &Interval| {
            if *slope > 0.0 {
                part.low
            } else if *slope < 0.0 {
                part.high
            } else {
                part.middle()
            }
        };
        let start: Vec<f64> = steepness
            .iter()
            .zip(&node.cube)
            .map(|(slope, part)| corner(slope, part))
            .collect();
        self.consider(&start, best);
        let mut order: Vec<(usize, f64)> = steepness
            .iter()
            .map(|(slope, fold)| slope.abs() / fold.abs().max(f64::MIN_POSITIVE))
            .enumerate()
            .filter(|(_, level)| level.is_finite())
            .collect();
        order.sort_by(|a, b| a.1.total_cmp(&b.1));
        for (index, _) in order.into_iter().take(2) {
            let Some(part) = node.cube.get(index).copied() else {
                continue;
            };
            self.line(&start, index, part, best);
            if self.gap.is_some() || self.left == 0 {
                return;
            }
        }
    }

    /// Returns the least value along one source, where it falls and then rises.
    fn line(&mut self, start: &[f64], index: usize, part: Interval, best: &mut Best) {
        const GOLDEN: f64 = 0.618_033_988_749_894_9;
        let mut at = start.to_vec();
        let mut try_at = |search: &mut Self, x: f64| {
            if let Some(place) = at.get_mut(index) {
                *place = x;
            }
            search.consider(&at, best).unwrap_or(f64::INFINITY)
        };
        let (mut low, mut high) = (part.low, part.high);
        let (mut a, mut b) = (high - GOLDEN * (high - low), low + GOLDEN * (high - low));
        let (mut at_a, mut at_b) = (try_at(self, a), try_at(self, b));
        for _ in 0..TRIES {
            if at_a < at_b {
                high = b;
                (b, at_b) = (a, at_a);
                a = high - GOLDEN * (high - low);
                at_a = try_at(self, a);
            } else {
                low = a;
                (a, at_a) = (b, at_b);
                b = low + GOLDEN * (high - low);
                at_b = try_at(self, b);
            }
        }
    }
}
