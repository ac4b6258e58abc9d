//! Backward through a tape: how steeply a result goes with each size, anywhere within
//! the box that the tape was last run over.

use super::forward::turning;
use super::{Segment, Slice, Tape, Work};
use crate::language::program::interval::Interval;
use crate::language::program::steps::{Binary, Operand, Step, Unary};
use crate::quantity::{nearest, rounded};
use crate::syntax::Operator;

impl Tape {
    /// Works out how steeply the result of a slice goes with each source: by their numbers into
    /// `found`.
    pub fn backward(&self, slice: &Slice, work: &mut Work, found: &mut [Interval]) {
        self.back(slice, &[(slice.result, 1.0)], work, found);
    }

    /// Returns how steeply the margin that a fold or choice turns on goes with each source, and
    /// what that margin is.
    pub fn turning(
        &self,
        slice: &Slice,
        line: u32,
        work: &mut Work,
        found: &mut [Interval],
    ) -> Option<Interval> {
        let step = self.lines.get(line as usize)?.step;
        let seeds = turning(&step)?;
        self.back(slice, &seeds, work, found);
        self.margin_at(line, work)
    }

    /// Returns the margin that a fold or choice turns on.
    pub fn margin_at(&self, line: u32, work: &Work) -> Option<Interval> {
        let step = self.lines.get(line as usize)?.step;
        let [(a, _), (b, weight)] = turning(&step)?;
        let truths = matches!(step, Step::And(..) | Step::Or(..) | Step::Select(..));
        let of = |operand| {
            if truths {
                work.margin(operand)
            } else {
                work.value(operand)
            }
        };
        Some(if weight == 0.0 { of(a) } else { of(a) - of(b) })
    }

    /// Returns how much a fold or choice matters to the result last gone back from.
    pub fn weight(&self, line: u32, work: &Work) -> f64 {
        let slope = work.slopes.get(line as usize);
        slope.map_or(0.0, |slope| slope.magnitude())
    }

    fn back(
        &self,
        slice: &Slice,
        seeds: &[(Operand, f64)],
        work: &mut Work,
        found: &mut [Interval],
    ) {
        for source in &slice.sources {
            if let Some(found) = found.get_mut(*source) {
                *found = Interval::ZERO;
            }
        }
        for (_, segment) in self.segments(slice) {
            let range = segment.lines.start as usize..segment.lines.end as usize;
            if let Some(slopes) = work.slopes.get_mut(range) {
                slopes.fill(Interval::ZERO);
            }
        }
        for (operand, weight) in seeds {
            work.add(*operand, Interval::point(*weight));
        }
        for (_, segment) in self.segments(slice).rev() {
            self.lines_back(segment, work, &mut |source, slope| {
                if let Some(found) = found.get_mut(source) {
                    *found = *found + slope;
                }
            });
        }
    }

    /// Goes back through one segment alone: the slopes with what it needs are left with
    /// those, those with its own sources are shown to `found`.
    pub(super) fn back_through(
        &self,
        segment: &Segment,
        work: &mut Work,
        mut found: impl FnMut(usize, Interval),
    ) {
        let range = segment.lines.start as usize..segment.lines.end as usize;
        if let Some(slopes) = work.slopes.get_mut(range) {
            slopes.fill(Interval::ZERO);
        }
        work.add(segment.result, Interval::point(1.0));
        self.lines_back(segment, work, &mut found);
    }

    fn lines_back(
        &self,
        segment: &Segment,
        work: &mut Work,
        found: &mut dyn FnMut(usize, Interval),
    ) {
        for line in self.of(segment).iter().rev() {
            let slope = work.slopes.get(line.to as usize).copied();
            let Some(slope) = slope.filter(|slope| !slope.is_zero()) else {
                continue;
            };
            let side = work.sides.get(line.to as usize).copied().unwrap_or(0);
            match line.step {
                Step::Size(source, _, low, high) => {
                    let width = Interval::point(high) - Interval::point(low);
                    found(source, slope * width);
                }
                Step::Unknown(source) => found(source, slope),
                // The solution moves so that the condition stays where it is.
                Step::Solve(difference, _) => {
                    let of = work.solved.iter().find(|(at, _)| *at == line.to);
                    let own = of.map_or(Interval::ALL, |(_, own)| *own);
                    work.add(difference, -slope.over(own).0);
                }
                ref step => through(step, line.to, slope, side, work),
            }
        }
    }
}

impl Work {
    pub(super) fn add(&mut self, operand: Operand, slope: Interval) {
        if let Operand::Register(at) = operand
            && let Some(place) = self.slopes.get_mut(at as usize)
        {
            *place = *place + slope;
        }
    }
}

/// Returns what lies between nothing and all of a slope: what one of two sides has of it.
fn some_of(slope: Interval) -> Interval {
    slope.or(Interval::ZERO)
}

/// Hands the slope of a step on to its operands.
pub(super) fn through(step: &Step, line: u32, slope: Interval, side: i8, work: &mut Work) {
    match *step {
        Step::Binary(kind, a, b) => binary(kind, (a, b), slope, side, work),
        Step::Unary(kind, a) => unary(kind, a, line, slope, side, work),
        Step::And(a, b) => either(side, slope, (b, a), work),
        Step::Or(a, b) => either(side, slope, (a, b), work),
        Step::Not(a) => work.add(a, -slope),
        Step::Select(truth, yes, no) => {
            if side == 0 {
                work.add(truth, Interval::ALL);
            }
            either(side, slope, (yes, no), work);
        }
        Step::Compare(operator, _, a, b) => {
            let sign = |difference: Interval| {
                if difference.low >= 0.0 {
                    Interval::point(1.0)
                } else if difference.high <= 0.0 {
                    Interval::point(-1.0)
                } else {
                    Interval::new(-1.0, 1.0)
                }
            };
            let slope = match operator {
                Operator::Less | Operator::AtMost => -slope,
                Operator::More | Operator::AtLeast => slope,
                Operator::Equal => -(slope * sign(work.value(a) - work.value(b))),
                _ => slope * sign(work.value(a) - work.value(b)),
            };
            work.add(a, slope);
            work.add(b, -slope);
        }
        Step::Size(..)
        | Step::Unknown(_)
        | Step::Trial(..)
        | Step::Solve(..)
        | Step::Require(_)
        | Step::Need(_) => {}
    }
}

/// Gives the slope to the first operand on side 1, to the second on side -1.
fn either(side: i8, slope: Interval, (a, b): (Operand, Operand), work: &mut Work) {
    match side {
        1 => work.add(a, slope),
        -1 => work.add(b, slope),
        _ => {
            work.add(a, some_of(slope));
            work.add(b, some_of(slope));
        }
    }
}

fn binary(kind: Binary, (a, b): (Operand, Operand), slope: Interval, side: i8, work: &mut Work) {
    let (x, y) = (work.value(a), work.value(b));
    match kind {
        Binary::Plus => {
            work.add(a, slope);
            work.add(b, slope);
        }
        Binary::Minus if a == b => {}
        Binary::Minus => {
            work.add(a, slope);
            work.add(b, -slope);
        }
        Binary::Times => {
            work.add(a, slope * y);
            work.add(b, slope * x);
        }
        Binary::Over => {
            let by = slope.over(y).0;
            work.add(a, by);
            let quotient = x.over(y).0;
            work.add(b, -(by * quotient));
        }
        Binary::Power => {
            let n = y.low;
            work.add(a, slope * Interval::point(n) * x.power(n - 1.0).0);
        }
        Binary::Atan2 => {
            if x.atan2(y).1 {
                work.add(a, Interval::ALL);
                work.add(b, Interval::ALL);
                return;
            }
            let square = x.power(2.0).0 + y.power(2.0).0;
            work.add(a, slope * y.over(square).0);
            work.add(b, -(slope * x.over(square).0));
        }
        Binary::Least => either(side, slope, (b, a), work),
        Binary::Greatest => either(side, slope, (a, b), work),
        Binary::Round | Binary::RoundUp | Binary::RoundDown => {
            let round: fn(f64) -> f64 = match kind {
                Binary::Round => nearest,
                Binary::RoundUp => f64::ceil,
                _ => f64::floor,
            };
            let found = x.stepped(|x| rounded(x, y.low, round));
            if found.low != found.high {
                work.add(a, slope * Interval::new(0.0, f64::INFINITY));
            }
        }
        Binary::Remainder => {
            let turn = |x: f64| rounded(x, y.low, f64::floor);
            let jumps = turn(x.low) != turn(x.high);
            work.add(a, if jumps { Interval::ALL } else { slope });
        }
    }
}

fn unary(kind: Unary, a: Operand, line: u32, slope: Interval, side: i8, work: &mut Work) {
    let x = work.value(a);
    let y = work.value(Operand::Register(line));
    let one = Interval::point(1.0);
    let by = |divisor: Interval| slope.over(divisor).0;
    let found = match kind {
        Unary::Negate => -slope,
        Unary::Abs => match side {
            1 => slope,
            -1 => -slope,
            _ => slope * Interval::new(-1.0, 1.0),
        },
        Unary::Sqrt => by(Interval::point(2.0) * y),
        Unary::Cbrt => by(Interval::point(3.0) * y.power(2.0).0),
        Unary::Sin => slope * x.cos(),
        Unary::Cos => -(slope * x.sin()),
        Unary::Tan => slope * (one + y.power(2.0).0),
        Unary::Asin => by(root_below_one(x)),
        Unary::Acos => -by(root_below_one(x)),
        Unary::Atan => by(one + x.power(2.0).0),
        Unary::Exp => slope * y,
        Unary::Ln => by(at_least_zero(x)),
        Unary::Log10 => by(at_least_zero(x) * Interval::point(std::f64::consts::LN_10)),
        Unary::Whole => {
            if y.low == y.high {
                return;
            }
            slope * Interval::new(0.0, f64::INFINITY)
        }
    };
    work.add(a, found);
}

fn at_least_zero(x: Interval) -> Interval {
    Interval::new(x.low.max(0.0), x.high.max(0.0))
}

/// Returns the root of 1 less the square.
fn root_below_one(x: Interval) -> Interval {
    let left = Interval::point(1.0) - x.power(2.0).0;
    let root = at_least_zero(left).sqrt().0;
    Interval::new(root.low.max(0.0), root.high)
}
