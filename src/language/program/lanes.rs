//! A formula as steps over whole columns of numbers, and how they are run.
//!
//! Each step does to every number of a column what the evaluator does to one, in
//! the same order and with the same roundings.

use super::crossing::crossing;
use super::steps::{Binary, Line, Operand, Program, Step, Unary};
use crate::quantity::{compare, left_over, nearest, rounded, tan, within_one};
use crate::syntax::Operator;

/// How many samples are worked on at once: few enough to stay in the nearest cache.
pub const BLOCK: usize = 1024;

/// A column of numbers, with where there is none.
#[derive(Clone, Debug, Default)]
pub struct Column {
    pub values: Vec<f64>,
    /// Whether there is no value, sample by sample; empty where there is one
    /// everywhere.
    pub missing: Vec<bool>,
}

impl Column {
    /// Appends another column.
    pub fn extend(&mut self, more: &Self) {
        if !more.missing.is_empty() || !self.missing.is_empty() {
            self.missing.resize(self.values.len(), false);
            self.missing.extend(&more.missing);
            self.missing
                .resize(self.values.len() + more.values.len(), false);
        }
        self.values.extend(&more.values);
    }
}

/// Registers for running programs.
#[derive(Debug, Default)]
pub struct Registers {
    columns: Vec<Vec<f64>>,
    missing: Vec<bool>,
}

/// What a step sees: a column or one number for all.
#[derive(Clone, Copy)]
enum Seen<'a> {
    All(f64),
    Each(&'a [f64]),
}

impl Registers {
    fn seen<'a>(&'a self, operand: Operand, columns: &'a [Column], count: usize) -> Seen<'a> {
        let column = match operand {
            Operand::Constant(value) => return Seen::All(value),
            Operand::Register(place) => self.columns.get(place as usize).map(Vec::as_slice),
            Operand::Column(number) => columns.get(number).map(|column| column.values.as_slice()),
        };
        match column.and_then(|column| column.get(..count)) {
            Some(column) => Seen::Each(column),
            None => Seen::All(f64::NAN),
        }
    }

    /// Runs a program over `count` samples, with the columns of other slots and how far
    /// each source stands between its limits.
    pub fn run(
        &mut self,
        program: &Program,
        columns: &[Column],
        parts: &[Vec<f64>],
        count: usize,
    ) -> Column {
        self.columns
            .resize_with(self.columns.len().max(program.registers), || {
                vec![0.0; BLOCK]
            });
        self.missing.clear();
        self.missing.resize(count, false);
        let mut any = false;
        let mut next = 0;
        while let Some(line) = program.lines.get(next) {
            let (line, bad) = match line.step {
                Step::Trial(steps, ..) => {
                    let end = next + steps as usize + 1;
                    let block = program.lines.get(next..=end).unwrap_or_default();
                    next = end;
                    let Some(last) = block.last() else { break };
                    (last, self.solve(block, columns, parts, count))
                }
                ref step => {
                    let mut to = std::mem::take(&mut self.columns[line.to as usize]);
                    let bad = self.step(step, &mut to[..count], columns, parts);
                    self.columns[line.to as usize] = to;
                    (line, bad)
                }
            };
            next += 1;
            if bad {
                any |= self.note(line, columns, count);
            }
        }
        let values = match self.seen(program.result, columns, count) {
            Seen::All(value) => vec![value; count],
            Seen::Each(values) => values.to_vec(),
        };
        let missing = if any {
            self.missing.clone()
        } else {
            Vec::new()
        };
        Column { values, missing }
    }

    /// Notes where a step that went wrong somewhere counts; tells whether it does
    /// anywhere.
    fn note(&mut self, line: &Line, columns: &[Column], count: usize) -> bool {
        let mut missing = std::mem::take(&mut self.missing);
        let guard = line.guard.map(|guard| self.seen(guard, columns, count));
        let mut any = false;
        for (place, missing) in missing.iter_mut().enumerate() {
            let counts = match guard {
                None => true,
                Some(Seen::All(truth)) => truth != 0.0,
                Some(Seen::Each(truths)) => truths.get(place).is_some_and(|truth| *truth != 0.0),
            };
            let bad = match line.step {
                Step::Need(number) => columns
                    .get(number)
                    .and_then(|column| column.missing.get(place))
                    .is_some_and(|missing| *missing),
                Step::Require(operand) => match self.seen(operand, columns, count) {
                    Seen::All(truth) => truth == 0.0,
                    Seen::Each(truths) => truths.get(place).is_none_or(|truth| *truth == 0.0),
                },
                _ => self
                    .columns
                    .get(line.to as usize)
                    .and_then(|column| column.get(place))
                    .is_none_or(|value| !value.is_finite()),
            };
            if counts && bad {
                *missing = true;
                any = true;
            }
        }
        self.missing = missing;
        any
    }

    /// Solves a `find`, whose steps are `block`, lane by lane; tells whether it went wrong
    /// anywhere.
    fn solve(
        &mut self,
        block: &[Line],
        columns: &[Column],
        parts: &[Vec<f64>],
        count: usize,
    ) -> bool {
        let [first, steps @ .., last] = block else {
            return true;
        };
        let (Step::Trial(_, low, high), Step::Solve(difference, _)) = (first.step, last.step)
        else {
            return true;
        };
        let mut to = std::mem::take(&mut self.columns[last.to as usize]);
        let mut numbers = vec![0.0; self.columns.len()];
        let mut place = vec![0.0; parts.len()];
        let outside = outside(block);
        let mut bad = false;
        for (lane, to) in to[..count].iter_mut().enumerate() {
            for register in &outside {
                if let Some(column) = self.columns.get(*register) {
                    numbers[*register] = column.get(lane).copied().unwrap_or(f64::NAN);
                }
            }
            for (place, parts) in place.iter_mut().zip(parts) {
                *place = parts.get(lane).copied().unwrap_or(f64::NAN);
            }
            let number = |numbers: &[f64], operand| match operand {
                Operand::Constant(value) => value,
                Operand::Register(at) => numbers.get(at as usize).copied().unwrap_or(f64::NAN),
                Operand::Column(number) => {
                    let column = columns
                        .get(number)
                        .and_then(|column| column.values.get(lane));
                    column.copied().unwrap_or(f64::NAN)
                }
            };
            let root = crossing((low, high), |x| {
                numbers[first.to as usize] = x;
                for line in steps {
                    let value = alone(&line.step, |operand| number(&numbers, operand), &place);
                    numbers[line.to as usize] = value;
                }
                Some(number(&numbers, difference)).filter(|value| value.is_finite())
            });
            bad |= root.is_none();
            *to = root.unwrap_or(f64::NAN);
        }
        self.columns[last.to as usize] = to;
        bad
    }

    /// Runs one step; tells whether it went wrong anywhere.
    fn step(&self, step: &Step, to: &mut [f64], columns: &[Column], parts: &[Vec<f64>]) -> bool {
        let count = to.len();
        let seen = |operand| self.seen(operand, columns, count);
        match *step {
            Step::Binary(kind, a, b) => {
                binary(kind, to, seen(a), seen(b));
                not_finite(to)
            }
            Step::Unary(kind, a) => {
                unary(kind, to, seen(a));
                not_finite(to)
            }
            Step::Compare(operator, scale, a, b) => {
                both(to, seen(a), seen(b), |a, b| {
                    f64::from(u8::from(holds(operator, a, b, scale)))
                });
                false
            }
            Step::And(a, b) => {
                both(to, seen(a), seen(b), |a, b| a * b);
                false
            }
            Step::Or(a, b) => {
                both(to, seen(a), seen(b), f64::max);
                false
            }
            Step::Not(a) => {
                each(to, seen(a), |a| 1.0 - a);
                false
            }
            Step::Select(truth, yes, no) => {
                each(to, seen(yes), |yes| yes);
                let (truth, no) = (seen(truth), seen(no));
                for (place, to) in to.iter_mut().enumerate() {
                    if truth.at(place) == 0.0 {
                        *to = no.at(place);
                    }
                }
                false
            }
            Step::Size(source, size, low, high) => {
                let part = match parts.get(source).and_then(|parts| parts.get(..count)) {
                    Some(parts) => Seen::Each(parts),
                    None => Seen::All(f64::NAN),
                };
                each(to, part, |part| size + deviation(part, low, high));
                false
            }
            // Those are taken together, lane by lane.
            Step::Trial(..) | Step::Solve(..) => true,
            Step::Unknown(source) => {
                let column = parts.get(source).and_then(|parts| parts.get(..count));
                each(to, column.map_or(Seen::All(f64::NAN), Seen::Each), |x| x);
                false
            }
            Step::Require(truth) => match seen(truth) {
                Seen::All(truth) => truth == 0.0,
                Seen::Each(truths) => truths.contains(&0.0),
            },
            Step::Need(number) => columns
                .get(number)
                .is_none_or(|column| !column.missing.is_empty()),
        }
    }
}

/// Returns the registers that the steps of a `find` take from what stands before them.
fn outside(block: &[Line]) -> Vec<usize> {
    let mut made: Vec<u32> = Vec::new();
    let mut found: Vec<usize> = Vec::new();
    for line in block {
        let mut line = *line;
        let mut look = |operand: &mut Operand| {
            if let Operand::Register(at) = operand
                && !made.contains(at)
                && !found.contains(&(*at as usize))
            {
                found.push(*at as usize);
            }
        };
        line.step.operands(&mut look);
        if let Some(guard) = &mut line.guard {
            look(guard);
        }
        made.push(line.to);
    }
    found
}

impl Seen<'_> {
    fn at(self, place: usize) -> f64 {
        match self {
            Self::All(value) => value,
            Self::Each(values) => values.get(place).copied().unwrap_or(f64::NAN),
        }
    }
}

/// Returns one step on single numbers.
pub fn alone(step: &Step, number: impl Fn(Operand) -> f64, parts: &[f64]) -> f64 {
    let mut to = [f64::NAN];
    let seen = |operand| Seen::All(number(operand));
    match *step {
        Step::Binary(kind, a, b) => binary(kind, &mut to, seen(a), seen(b)),
        Step::Unary(kind, a) => unary(kind, &mut to, seen(a)),
        Step::Compare(operator, scale, a, b) => {
            return f64::from(u8::from(holds(operator, number(a), number(b), scale)));
        }
        Step::And(a, b) => return number(a) * number(b),
        Step::Or(a, b) => return number(a).max(number(b)),
        Step::Not(a) => return 1.0 - number(a),
        Step::Select(truth, yes, no) => {
            return number(if number(truth) == 0.0 { no } else { yes });
        }
        Step::Size(source, size, low, high) => {
            let part = parts.get(source).copied().unwrap_or(f64::NAN);
            return size + deviation(part, low, high);
        }
        Step::Unknown(source) => return parts.get(source).copied().unwrap_or(f64::NAN),
        Step::Trial(..) | Step::Solve(..) => return f64::NAN,
        Step::Require(_) | Step::Need(_) => return 0.0,
    }
    let [value] = to;
    value
}

/// Returns whether any number is not finite.
fn not_finite(values: &[f64]) -> bool {
    const EXPONENT: u64 = 0x7FF0_0000_0000_0000;
    let bad = |value: &f64| u64::from(value.to_bits() & EXPONENT == EXPONENT);
    values.iter().fold(0, |any, value| any | bad(value)) != 0
}

#[inline(always)]
fn each(to: &mut [f64], a: Seen, f: impl Fn(f64) -> f64) {
    match a {
        Seen::All(a) => to.fill(f(a)),
        Seen::Each(a) => to.iter_mut().zip(a).for_each(|(to, a)| *to = f(*a)),
    }
}

#[inline(always)]
fn both(to: &mut [f64], a: Seen, b: Seen, f: impl Fn(f64, f64) -> f64) {
    match (a, b) {
        (Seen::All(a), Seen::All(b)) => to.fill(f(a, b)),
        (Seen::All(a), Seen::Each(b)) => to.iter_mut().zip(b).for_each(|(to, b)| *to = f(a, *b)),
        (Seen::Each(a), Seen::All(b)) => to.iter_mut().zip(a).for_each(|(to, a)| *to = f(*a, b)),
        (Seen::Each(a), Seen::Each(b)) => {
            let pairs = a.iter().zip(b);
            to.iter_mut()
                .zip(pairs)
                .for_each(|(to, (a, b))| *to = f(*a, *b));
        }
    }
}

fn binary(kind: Binary, to: &mut [f64], a: Seen, b: Seen) {
    match kind {
        Binary::Plus => both(to, a, b, |a, b| a + b),
        Binary::Minus => both(to, a, b, |a, b| a - b),
        Binary::Times => both(to, a, b, |a, b| a * b),
        Binary::Over => both(to, a, b, |a, b| a / b),
        Binary::Power => both(to, a, b, |a, b| if b == 2.0 { a * a } else { a.powf(b) }),
        Binary::Atan2 => both(to, a, b, f64::atan2),
        Binary::Least => both(to, a, b, |a, b| if b < a { b } else { a }),
        Binary::Greatest => both(to, a, b, |a, b| if b > a { b } else { a }),
        Binary::Round => both(to, a, b, |a, b| rounded(a, b, nearest)),
        Binary::RoundUp => both(to, a, b, |a, b| rounded(a, b, f64::ceil)),
        Binary::RoundDown => both(to, a, b, |a, b| rounded(a, b, f64::floor)),
        Binary::Remainder => both(to, a, b, left_over),
    }
}

fn unary(kind: Unary, to: &mut [f64], a: Seen) {
    match kind {
        Unary::Negate => each(to, a, |a| -a),
        Unary::Abs => each(to, a, f64::abs),
        Unary::Sqrt => each(to, a, f64::sqrt),
        Unary::Cbrt => each(to, a, f64::cbrt),
        Unary::Sin => each(to, a, f64::sin),
        Unary::Cos => each(to, a, f64::cos),
        Unary::Tan => each(to, a, tan),
        Unary::Asin => each(to, a, |a| within_one(a).asin()),
        Unary::Acos => each(to, a, |a| within_one(a).acos()),
        Unary::Atan => each(to, a, f64::atan),
        Unary::Exp => each(to, a, f64::exp),
        Unary::Ln => each(to, a, f64::ln),
        Unary::Log10 => each(to, a, f64::log10),
        Unary::Whole => each(to, a, nearest),
    }
}

/// Returns how far a size stands from its drawing size, `part` of the way between its
/// deviations.
#[inline]
#[must_use]
pub fn deviation(part: f64, low: f64, high: f64) -> f64 {
    if part <= 0.0 {
        low
    } else if part >= 1.0 {
        high
    } else {
        low + part * (high - low)
    }
}

fn holds(operator: Operator, a: f64, b: f64, scale: f64) -> bool {
    use std::cmp::Ordering::{Equal, Greater, Less};
    let order = compare(a, b, scale);
    match operator {
        Operator::Equal => order == Some(Equal),
        Operator::Unequal => order != Some(Equal),
        Operator::Less => order == Some(Less),
        Operator::AtMost => matches!(order, Some(Less | Equal)),
        Operator::More => order == Some(Greater),
        _ => matches!(order, Some(Greater | Equal)),
    }
}
