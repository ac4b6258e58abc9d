//! Forward through a tape: what each step comes to while the sizes lie within a box.

use super::{Lack, Segment, Side, Slice, Tape, Work};
use crate::language::program::interval::Interval;
use crate::language::program::steps::{Binary, Line, Operand, Step, Unary};
use crate::quantity::{SAME, left_over, nearest, rounded};
use crate::syntax::Operator;

/// Whether a step is reached.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Reached {
    Everywhere,
    Somewhere,
    Nowhere,
}

impl Tape {
    /// Works a slice out over a box, given by source; at the folds and choices in
    /// `sides` only that side counts. Tells whether any point of the box can stand on
    /// those sides.
    pub fn forward(
        &self,
        slice: &Slice,
        cube: &[Interval],
        sides: &[Side],
        work: &mut Work,
    ) -> bool {
        work.open.clear();
        work.jumps = false;
        work.solved.clear();
        let mut possible = true;
        for (at, segment) in self.segments(slice) {
            let lack = self.segment(segment, cube, sides, work, &mut possible);
            if let Some(place) = work.lacks.get_mut(at as usize) {
                *place = lack;
            }
        }
        possible
    }

    pub(super) fn segment(
        &self,
        segment: &Segment,
        cube: &[Interval],
        sides: &[Side],
        work: &mut Work,
        possible: &mut bool,
    ) -> Lack {
        let mut lack = Lack::Nowhere;
        let lines = self.of(segment);
        let mut next = 0;
        while let Some(line) = lines.get(next) {
            // The steps of a `find` are taken together, for what its solution needs.
            if let Step::Trial(steps, ..) = line.step {
                let end = next + steps as usize + 1;
                if let Some(block) = lines.get(next..=end) {
                    lack = lack.max(self.solve(block, cube, work));
                }
                next = end + 1;
                continue;
            }
            lack = lack.max(self.line(line, cube, sides, work, possible));
            next += 1;
        }
        lack
    }

    /// Takes one step; tells where it counts and has no value.
    pub(super) fn line(
        &self,
        line: &Line,
        cube: &[Interval],
        sides: &[Side],
        work: &mut Work,
        possible: &mut bool,
    ) -> Lack {
        let reached = match line.guard.map(|guard| work.margin(guard)) {
            None => Reached::Everywhere,
            Some(margin) if margin.low > 0.0 => Reached::Everywhere,
            Some(margin) if margin.high < 0.0 => Reached::Nowhere,
            Some(_) => Reached::Somewhere,
        };
        let (value, gap) = step(line, cube, sides, reached, work, possible);
        if let Some(place) = work.values.get_mut(line.to as usize) {
            *place = value;
        }
        match (gap, reached) {
            (Lack::Nowhere, _) | (_, Reached::Nowhere) => Lack::Nowhere,
            (gap, Reached::Everywhere) => gap,
            (_, Reached::Somewhere) => Lack::Somewhere,
        }
    }
}

fn partly((value, gap): (Interval, bool)) -> (Interval, Lack) {
    let lack = if gap { Lack::Somewhere } else { Lack::Nowhere };
    (value, lack)
}

fn step(
    line: &Line,
    cube: &[Interval],
    sides: &[Side],
    reached: Reached,
    work: &mut Work,
    possible: &mut bool,
) -> (Interval, Lack) {
    let whole = |value: Interval| (value, Lack::Nowhere);
    match line.step {
        Step::Binary(Binary::Least, a, b) => {
            let (a, b) = (work.value(a), work.value(b));
            match side(line.to, a - b, sides, reached, work, possible) {
                1 => whole(b),
                -1 => whole(a),
                _ => whole(a.least(b)),
            }
        }
        Step::Binary(Binary::Greatest, a, b) => {
            let (a, b) = (work.value(a), work.value(b));
            match side(line.to, a - b, sides, reached, work, possible) {
                1 => whole(a),
                -1 => whole(b),
                _ => whole(a.greatest(b)),
            }
        }
        Step::Unary(Unary::Abs, a) => {
            let a = work.value(a);
            match side(line.to, a, sides, reached, work, possible) {
                1 => whole(a),
                -1 => whole(-a),
                _ => whole(a.abs()),
            }
        }
        Step::And(a, b) => {
            let (a, b) = (work.margin(a), work.margin(b));
            match side(line.to, a - b, sides, reached, work, possible) {
                1 => whole(b),
                -1 => whole(a),
                _ => whole(a.least(b)),
            }
        }
        Step::Or(a, b) => {
            let (a, b) = (work.margin(a), work.margin(b));
            match side(line.to, a - b, sides, reached, work, possible) {
                1 => whole(a),
                -1 => whole(b),
                _ => whole(a.greatest(b)),
            }
        }
        Step::Select(truth, yes, no) => {
            let margin = work.margin(truth);
            let (yes, no) = (work.value(yes), work.value(no));
            match side(line.to, margin, sides, reached, work, possible) {
                1 => whole(yes),
                -1 => whole(no),
                _ => {
                    work.jumps |= reached != Reached::Nowhere;
                    whole(yes.or(no))
                }
            }
        }
        Step::Not(a) => whole(-work.margin(a)),
        Step::Compare(operator, scale, a, b) => {
            whole(compared(operator, scale, work.value(a), work.value(b)))
        }
        // What is taken from itself leaves nothing, whatever it is.
        Step::Binary(Binary::Minus, a, b) if a == b => whole(Interval::ZERO),
        Step::Binary(kind, a, b) => {
            let (value, gap, jumps) = binary(kind, work.value(a), work.value(b));
            work.jumps |= jumps && reached != Reached::Nowhere;
            partly((value, gap))
        }
        Step::Unary(kind, a) => {
            let (value, gap, jumps) = unary(kind, work.value(a));
            work.jumps |= jumps && reached != Reached::Nowhere;
            if gap && kind != Unary::Tan && value == Interval::ALL {
                return (value, Lack::Everywhere);
            }
            partly((value, gap))
        }
        Step::Size(source, size, low, high) => {
            let part = cube.get(source).copied().unwrap_or(Interval::new(0.0, 1.0));
            let off = if part.low <= 0.0 && part.high >= 1.0 {
                Interval::new(low, high)
            } else {
                let off =
                    Interval::point(low) + part * (Interval::point(high) - Interval::point(low));
                off.and(Interval::new(low, high)).unwrap_or(off)
            };
            whole(Interval::point(size) + off)
        }
        Step::Unknown(source) => whole(cube.get(source).copied().unwrap_or(Interval::ALL)),
        // Those are taken together with the steps between them.
        Step::Trial(..) | Step::Solve(..) => (Interval::ALL, Lack::Somewhere),
        Step::Require(truth) => {
            let margin = work.margin(truth);
            let lack = if margin.low > 0.0 {
                Lack::Nowhere
            } else if margin.high < 0.0 {
                Lack::Everywhere
            } else {
                Lack::Somewhere
            };
            (Interval::ZERO, lack)
        }
        Step::Need(segment) => {
            let lack = work.lacks.get(segment).copied();
            (Interval::ZERO, lack.unwrap_or(Lack::Somewhere))
        }
    }
}

/// Returns on which side of a fold or choice a box stands: 1, -1, or 0 for both.
fn side(
    line: u32,
    margin: Interval,
    sides: &[Side],
    reached: Reached,
    work: &mut Work,
    possible: &mut bool,
) -> i8 {
    let asked = sides.iter().find(|(at, _)| *at == line);
    let found = match asked {
        // What can only be by rounding is no contradiction.
        Some((_, true)) => {
            *possible &= margin.high >= -rounding(margin);
            1
        }
        Some((_, false)) => {
            *possible &= margin.low <= rounding(margin);
            -1
        }
        None if margin.low >= 0.0 => 1,
        None if margin.high <= 0.0 => -1,
        None => {
            if reached != Reached::Nowhere {
                work.open.push(line);
            }
            0
        }
    };
    if let Some(place) = work.sides.get_mut(line as usize) {
        *place = found;
    }
    found
}

/// Returns how far a margin may be off by rounding.
pub fn rounding(margin: Interval) -> f64 {
    let size = margin.magnitude();
    if size.is_finite() {
        4.0 * SAME * size
    } else {
        0.0
    }
}

/// Returns the margin of a comparison: what is equal within rounding counts as equal.
fn compared(operator: Operator, scale: f64, a: Interval, b: Interval) -> Interval {
    let (near, far) = (a.abs(), b.abs());
    let slack = Interval::new(
        SAME * scale.max(near.low).max(far.low),
        SAME * scale.max(near.high).max(far.high),
    );
    let slack = if slack.is_finite() {
        slack
    } else {
        Interval::ZERO
    };
    let difference = a - b;
    match operator {
        Operator::Less => -difference - slack,
        Operator::AtMost => -difference + slack,
        Operator::More => difference - slack,
        Operator::Equal => slack - difference.abs(),
        Operator::Unequal => difference.abs() - slack,
        _ => difference + slack,
    }
}

/// Returns an operation on two numbers, whether it has no value somewhere, and whether it
/// jumps somewhere.
fn binary(kind: Binary, a: Interval, b: Interval) -> (Interval, bool, bool) {
    let whole = |value| (value, false, false);
    let stepped = |round: fn(f64) -> f64| {
        let found = a.stepped(|a| rounded(a, b.low, round));
        (found, false, found.low != found.high)
    };
    match kind {
        Binary::Plus => whole(a + b),
        Binary::Minus => whole(a - b),
        Binary::Times => whole(a * b),
        Binary::Over => {
            let (value, gap) = a.over(b);
            (value, gap, gap)
        }
        Binary::Power => {
            let (value, gap) = a.power(b.low);
            (value, gap, gap)
        }
        Binary::Atan2 => {
            let (value, jumps) = a.atan2(b);
            (value, false, jumps)
        }
        Binary::Least => whole(a.least(b)),
        Binary::Greatest => whole(a.greatest(b)),
        Binary::Round => stepped(nearest),
        Binary::RoundUp => stepped(f64::ceil),
        Binary::RoundDown => stepped(f64::floor),
        Binary::Remainder => {
            let step = b.low;
            let turn = |x: f64| rounded(x, step, f64::floor);
            let (from, to) = (turn(a.low), turn(a.high));
            let (low, high) = (left_over(a.low, step), left_over(a.high, step));
            if from == to && low <= high {
                // What is within rounding of a whole step is 0.
                (
                    Interval::new(low, high)
                        + Interval::new(-1.0, 1.0) * Interval::point(SAME * step),
                    false,
                    false,
                )
            } else {
                (Interval::new(0.0, step), false, true)
            }
        }
    }
}

fn unary(kind: Unary, a: Interval) -> (Interval, bool, bool) {
    let whole = |value| (value, false, false);
    let partly = |(value, gap): (Interval, bool)| (value, gap, false);
    match kind {
        Unary::Negate => whole(-a),
        Unary::Abs => whole(a.abs()),
        Unary::Sqrt => partly(a.sqrt()),
        Unary::Cbrt => whole(a.rising(f64::cbrt)),
        Unary::Sin => whole(a.sin()),
        Unary::Cos => whole(a.cos()),
        Unary::Tan => {
            // Within rounding of a right angle there is no tangent.
            let cosine = a.cos();
            let (value, gap) = a.tan();
            let gap = gap || cosine.low < 2.0 * SAME && cosine.high > -2.0 * SAME;
            (value, gap, gap)
        }
        Unary::Asin | Unary::Acos => {
            // An error of rounding past 1 counts as 1.
            let gap = a.low < -1.0 - SAME || a.high > 1.0 + SAME;
            let Some(within) = a.and(Interval::new(-1.0 - SAME, 1.0 + SAME)) else {
                return (Interval::ALL, true, false);
            };
            let ends = Interval::new(within.low.clamp(-1.0, 1.0), within.high.clamp(-1.0, 1.0));
            let found = if kind == Unary::Asin {
                ends.rising(f64::asin)
            } else {
                (-ends).rising(|x| (-x).acos())
            };
            (found, gap, false)
        }
        Unary::Atan => whole(a.rising(f64::atan)),
        Unary::Exp => whole(a.rising(f64::exp)),
        Unary::Ln | Unary::Log10 => {
            if a.high <= 0.0 {
                return (Interval::ALL, true, false);
            }
            let positive = Interval::new(a.low.max(0.0), a.high);
            let found = match kind {
                Unary::Ln => positive.rising(f64::ln),
                _ => positive.rising(f64::log10),
            };
            (found, a.low <= 0.0, false)
        }
        Unary::Whole => {
            let found = a.stepped(nearest);
            (found, false, found.low != found.high)
        }
    }
}

/// Returns the margin that a fold or choice turns on, as operands with their weights.
pub fn turning(step: &Step) -> Option<[(Operand, f64); 2]> {
    let nothing = Operand::Constant(0.0);
    match *step {
        Step::Binary(Binary::Least | Binary::Greatest, a, b) | Step::And(a, b) | Step::Or(a, b) => {
            Some([(a, 1.0), (b, -1.0)])
        }
        Step::Unary(Unary::Abs, a) => Some([(a, 1.0), (nothing, 0.0)]),
        Step::Select(truth, _, _) => Some([(truth, 1.0), (nothing, 0.0)]),
        _ => None,
    }
}
