//! One box of a search: bounded, shrunk where its slopes allow, and split where that says
//! too little.

use super::{Best, Looked, Node, Search, multiplier, slope_times};
use crate::language::program::interval::Interval;
use crate::language::program::tape::{Lack, Side};

/// The most folds that are split in one box before it is halved.
const SPLITS: usize = 10;

impl Search<'_> {
    /// Looks at a box: bounds it, and splits it where that says too little.
    pub(super) fn look(
        &mut self,
        mut node: Node,
        best: &mut Best,
        looked: usize,
        slack: f64,
    ) -> Looked {
        // A box that shrinks is bounded again, a few times.
        for _ in 0..4 {
            let Some((value, lack)) = self.run(&node.cube, &node.sides) else {
                return Looked::Impossible;
            };
            self.jumps |= self.work.jumps;
            let open = self.work.open.clone();
            let mut bound = node.bound.max(value.low);
            let slopes = self.go_back();
            let weights: Vec<f64> = open
                .iter()
                .map(|line| self.tape.weight(*line, self.work))
                .collect();
            let active = match self.active(&node) {
                Some(active) => active,
                None => return Looked::Impossible,
            };
            if lack == Lack::Nowhere && active.is_empty() {
                let mut shrunk = false;
                for (part, slope) in node.cube.iter_mut().zip(&slopes) {
                    if part.low < part.high && slope.low >= 0.0 {
                        *part = Interval::point(part.low);
                        shrunk = true;
                    } else if part.low < part.high && slope.high <= 0.0 {
                        *part = Interval::point(part.high);
                        shrunk = true;
                    }
                }
                if shrunk {
                    node.bound = bound;
                    if node.cube.iter().all(|part| part.low >= part.high) {
                        return self.corner(&node, best);
                    }
                    continue;
                }
            }
            let center: Vec<f64> = node.cube.iter().map(|part| part.middle()).collect();
            self.consider(&center, best);
            let towards = slopes.iter().zip(&node.cube);
            let corner: Vec<f64> = towards
                .map(|(slope, part)| {
                    let middle = slope.middle();
                    if middle > 0.0 {
                        part.low
                    } else if middle < 0.0 {
                        part.high
                    } else {
                        part.middle()
                    }
                })
                .collect();
            self.consider(&corner, best);
            if self.gap.is_some() {
                return Looked::Closed(bound);
            }
            if lack == Lack::Nowhere {
                let points: Vec<Interval> = center.iter().map(|x| Interval::point(*x)).collect();
                if let Some((about, Lack::Nowhere)) = self.run_at(&points, &node.sides) {
                    let spread: f64 = slopes
                        .iter()
                        .zip(&node.cube)
                        .map(|(slope, part)| slope_times(slope.magnitude(), part.width() / 2.0))
                        .sum();
                    let linear = about.low - spread * (1.0 + 1e-12);
                    if linear > bound {
                        bound = linear;
                    }
                    if !active.is_empty() && bound < best.value - slack {
                        let found = self.multiplied(&node, &slopes, &active, about.low);
                        bound = bound.max(found.0);
                        if bound < best.value - slack && (looked < 200 || looked.is_multiple_of(8))
                        {
                            self.along_fold(&node, &found.1, best);
                        }
                    }
                }
            } else {
                bound = f64::NEG_INFINITY;
            }
            if bound >= best.value - slack && !self.slice.truth || self.slice.truth && bound > 0.0 {
                return Looked::Closed(bound);
            }
            let matters = matters(&slopes, &active);
            return self.split(node, bound, &matters, &open, &weights, lack);
        }
        let bound = node.bound;
        let even = vec![1.0; node.cube.len()];
        self.split(node, bound, &even, &[], &[], Lack::Nowhere)
    }

    /// Returns a box that is one point.
    fn corner(&mut self, node: &Node, best: &mut Best) -> Looked {
        let at: Vec<f64> = node.cube.iter().map(|part| part.low).collect();
        match self.consider(&at, best) {
            // What the ordinary arithmetic gives is the bound.
            Some(value) => Looked::Closed(value),
            None => Looked::Closed(f64::NEG_INFINITY),
        }
    }

    fn split(
        &mut self,
        node: Node,
        bound: f64,
        matters: &[f64],
        open: &[u32],
        weights: &[f64],
        lack: Lack,
    ) -> Looked {
        let fold = open
            .iter()
            .zip(weights)
            .filter(|(line, weight)| {
                **weight > 0.0 && !node.sides.iter().any(|(at, _)| at == *line)
            })
            .max_by(|a, b| a.1.total_cmp(b.1).then(b.0.cmp(a.0)));
        if let Some((line, _)) = fold
            && node.sides.len() < SPLITS
            && lack == Lack::Nowhere
        {
            let child = |side: bool| {
                let mut sides = node.sides.clone();
                sides.push((*line, side));
                Node {
                    bound,
                    cube: node.cube.clone(),
                    sides,
                }
            };
            return Looked::Split(vec![child(true), child(false)]);
        }
        let endless = matters.iter().any(|slope| slope.is_infinite());
        let widest = node
            .cube
            .iter()
            .zip(matters)
            .enumerate()
            .map(|(index, (part, slope))| {
                let matters = if lack != Lack::Nowhere {
                    1.0
                } else if !endless {
                    *slope
                } else if slope.is_infinite() {
                    1.0
                } else if *slope > 0.0 {
                    1e-3
                } else {
                    0.0
                };
                (index, part.width() * matters)
            })
            .max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)));
        let Some((index, _)) = widest.filter(|(_, width)| *width > 0.0) else {
            self.unsure |= lack != Lack::Nowhere;
            return Looked::Closed(bound);
        };
        let part = node.cube.get(index).copied().unwrap_or(Interval::ZERO);
        let middle = part.middle();
        // As small as numbers get.
        if part.width() < 1e-14 || middle <= part.low || middle >= part.high {
            self.unsure |= lack != Lack::Nowhere;
            return Looked::Closed(bound);
        }
        let child = |half: Interval| {
            let mut cube = node.cube.clone();
            if let Some(part) = cube.get_mut(index) {
                *part = half;
            }
            Node {
                bound,
                cube,
                sides: node.sides.clone(),
            }
        };
        let halves = [
            Interval::new(part.low, middle),
            Interval::new(middle, part.high),
        ];
        Looked::Split(halves.map(child).into())
    }

    /// Runs one point on given sides.
    pub(super) fn run_at(
        &mut self,
        points: &[Interval],
        sides: &[Side],
    ) -> Option<(Interval, Lack)> {
        self.spend(1);
        for (source, part) in self.slice.sources.iter().zip(points) {
            if let Some(place) = self.scratch.cube.get_mut(*source) {
                *place = *part;
            }
        }
        // A point may stand on the other side of a fold; what the formula of this side
        // gives there still bounds it.
        self.tape
            .forward(self.slice, &self.scratch.cube, sides, self.work);
        let value = self.work.result(self.slice);
        let value = if self.sign < 0.0 { -value } else { value };
        Some((value, self.work.lack(self.slice)))
    }
}

/// Returns how much each source matters to the value and to the folds that divide the box, so
/// that both weigh alike.
fn matters(slopes: &[Interval], active: &[multiplier::Active]) -> Vec<f64> {
    let most = |slopes: &[Interval]| {
        let sizes = slopes.iter().map(|slope| slope.magnitude());
        sizes.filter(|size| size.is_finite()).fold(0.0, f64::max)
    };
    let mut found: Vec<f64> = slopes.iter().map(|slope| slope.magnitude()).collect();
    let whole = most(slopes);
    let whole = if whole > 0.0 { whole } else { 1.0 };
    for fold in active {
        let own = most(&fold.slopes);
        if own > 0.0 {
            for (found, slope) in found.iter_mut().zip(&fold.slopes) {
                *found += slope.magnitude() / own * whole;
            }
        }
    }
    found
}
