//! The programs of many slots as one list of steps, run over intervals: what each
//! comes to while its sizes lie anywhere within a box, and how steeply it goes with
//! each of them.
//!
//! Truths run as margins: numbers that are above 0 where the truth holds.
//!
//! Source: R. E. Moore, "Methods and Applications of Interval Analysis" (1979); the
//! slopes by going backward through the steps, after A. Griewank and A. Walther,
//! "Evaluating Derivatives" (2008), chapter 3.

use std::collections::BinaryHeap;
use std::ops::Range;

use foldhash::HashMap;

use super::interval::Interval;
use super::steps::{Line, Operand, Program, Step};

mod backward;
mod compose;
mod forward;
mod numbers;
mod solve;

pub use compose::{Alone, Compositions, Others, SHARES, keep_largest};
pub use forward::rounding;

/// Where within a box there is no value.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Lack {
    /// There is a value everywhere.
    Nowhere,
    /// There may be none somewhere.
    Somewhere,
    /// There is none anywhere.
    Everywhere,
}

/// A place where a formula folds or chooses, with the side that is taken there:
/// the number of its step, and whether its margin counts as above 0.
pub type Side = (u32, bool);

/// The steps of one slot within a tape.
#[derive(Clone, Debug)]
struct Segment {
    lines: Range<u32>,
    result: Operand,
    /// Whether the result is a truth.
    truth: bool,
    /// The segments whose results it uses.
    needs: Vec<u32>,
}

/// The steps of many slots, each after those that it needs.
#[derive(Clone, Debug, Default)]
pub struct Tape {
    lines: Vec<Line>,
    segments: Vec<Segment>,
    /// The segment that makes a column.
    by_column: HashMap<usize, u32>,
}

/// The part of a tape that one result needs.
#[derive(Clone, Debug)]
pub struct Slice {
    /// The segments, in order.
    segments: Vec<u32>,
    /// The result.
    result: Operand,
    /// Whether it is a truth.
    pub truth: bool,
    /// The numbers of the sources it depends on.
    pub sources: Vec<usize>,
    /// How many steps it has.
    pub steps: usize,
}

/// The working memory of a tape.
#[derive(Clone, Debug, Default)]
pub struct Work {
    /// What each step comes to.
    values: Vec<Interval>,
    /// How steeply the result goes with each step.
    slopes: Vec<Interval>,
    /// On which side each fold or choice stands: 1, -1, or 0 for both.
    sides: Vec<i8>,
    /// Whether each segment lacks a value.
    lacks: Vec<Lack>,
    /// The folds and choices that stand on both sides.
    pub open: Vec<u32>,
    /// Whether a step jumps somewhere within.
    pub jumps: bool,
    /// How steeply the condition of each `find` goes with its unknown, by its step.
    solved: Vec<(u32, Interval)>,
    /// The numbers of the steps at one point.
    numbers: Vec<f64>,
    missing: Vec<bool>,
}

impl Tape {
    /// Takes the steps of one more slot; tells whether it could: all that it needs
    /// must be there.
    pub fn push(&mut self, column: usize, program: &Program, truth: bool) -> bool {
        let first = self.lines.len();
        let mut needs: Vec<u32> = Vec::new();
        // Registers are used again: which line one was made in last.
        let mut made: Vec<u32> = vec![0; program.registers];
        let mut fits = true;
        for line in &program.lines {
            let mut line = *line;
            let mut rename = |operand: &mut Operand| {
                *operand = self.renamed(*operand, &made, &mut needs, &mut fits);
            };
            line.step.operands(&mut rename);
            if let Some(guard) = &mut line.guard {
                rename(guard);
            }
            if let Step::Need(column) = &mut line.step {
                match self.by_column.get(column) {
                    Some(segment) => *column = *segment as usize,
                    None => fits = false,
                }
            }
            let Ok(at) = u32::try_from(self.lines.len()) else {
                fits = false;
                break;
            };
            if let Some(made) = made.get_mut(line.to as usize) {
                *made = at;
            }
            line.to = at;
            self.lines.push(line);
        }
        let result = self.renamed(program.result, &made, &mut needs, &mut fits);
        let place = u32::try_from(self.segments.len());
        let (true, Ok(place)) = (fits, place) else {
            self.lines.truncate(first);
            return false;
        };
        #[allow(clippy::cast_possible_truncation)] // lines are counted in u32
        let lines = first as u32..self.lines.len() as u32;
        needs.sort_unstable();
        needs.dedup();
        self.segments.push(Segment {
            lines,
            result,
            truth,
            needs,
        });
        self.by_column.insert(column, place);
        true
    }

    /// Takes the steps of the slot that came last out again.
    pub fn pop(&mut self, column: usize) {
        self.by_column.remove(&column);
        if let Some(segment) = self.segments.pop() {
            self.lines.truncate(segment.lines.start as usize);
        }
    }

    /// Takes the unknown of an equation as a column.
    pub fn push_unknown(&mut self, column: usize) {
        let program = Program {
            lines: vec![Line {
                step: Step::Unknown(0),
                to: 0,
                guard: None,
            }],
            result: Operand::Register(0),
            registers: 1,
        };
        self.push(column, &program, false);
    }

    fn renamed(
        &self,
        operand: Operand,
        made: &[u32],
        needs: &mut Vec<u32>,
        fits: &mut bool,
    ) -> Operand {
        match operand {
            Operand::Constant(value) => Operand::Constant(value),
            Operand::Register(place) => {
                Operand::Register(made.get(place as usize).copied().unwrap_or(0))
            }
            Operand::Column(column) => {
                let found = self.by_column.get(&column);
                let segment = found.and_then(|at| Some((*at, self.segments.get(*at as usize)?)));
                match segment {
                    Some((at, segment)) => {
                        needs.push(at);
                        segment.result
                    }
                    None => {
                        *fits = false;
                        Operand::Constant(f64::NAN)
                    }
                }
            }
        }
    }

    /// Returns whether the tape makes a column.
    #[must_use]
    pub fn makes(&self, column: usize) -> bool {
        self.by_column.contains_key(&column)
    }

    /// Returns the part that makes a column; nothing where the tape does not.
    #[must_use]
    pub fn slice(&self, column: usize) -> Option<Slice> {
        let last = *self.by_column.get(&column)?;
        // What a segment needs comes before it: the last that is wanted comes first.
        let mut wanted = BinaryHeap::from([last]);
        let mut segments: Vec<u32> = Vec::new();
        let mut sources: Vec<usize> = Vec::new();
        let mut steps = 0;
        while let Some(at) = wanted.pop() {
            if segments.last() == Some(&at) {
                continue;
            }
            let segment = self.segments.get(at as usize)?;
            wanted.extend(&segment.needs);
            for line in self.of(segment) {
                steps += line.step.work();
                if let Step::Size(source, ..) | Step::Unknown(source) = line.step {
                    sources.push(source);
                }
            }
            segments.push(at);
        }
        segments.reverse();
        sources.sort_unstable();
        sources.dedup();
        let segment = self.segments.get(last as usize)?;
        Some(Slice {
            segments,
            result: segment.result,
            truth: segment.truth,
            sources,
            steps,
        })
    }

    fn of(&self, segment: &Segment) -> &[Line] {
        let range = segment.lines.start as usize..segment.lines.end as usize;
        self.lines.get(range).unwrap_or_default()
    }

    /// Returns the lines of a slice, segment by segment.
    fn segments<'a>(
        &'a self,
        slice: &'a Slice,
    ) -> impl DoubleEndedIterator<Item = (u32, &'a Segment)> {
        let found = |at: &u32| Some((*at, self.segments.get(*at as usize)?));
        slice.segments.iter().filter_map(found)
    }

    /// Returns working memory for this tape.
    #[must_use]
    pub fn work(&self) -> Work {
        let mut work = Work::default();
        self.make_room(&mut work);
        work
    }

    /// Makes working memory large enough for this tape, which may have grown.
    pub fn make_room(&self, work: &mut Work) {
        work.values.resize(self.lines.len(), Interval::ZERO);
        work.slopes.resize(self.lines.len(), Interval::ZERO);
        work.sides.resize(self.lines.len(), 0);
        work.lacks.resize(self.segments.len(), Lack::Nowhere);
        work.numbers.resize(self.lines.len(), 0.0);
        work.missing.resize(self.segments.len(), false);
    }
}

impl Work {
    /// Returns what an operand comes to.
    fn value(&self, operand: Operand) -> Interval {
        match operand {
            Operand::Constant(value) if value.is_nan() => Interval::ALL,
            Operand::Constant(value) => Interval::point(value),
            Operand::Register(at) => self
                .values
                .get(at as usize)
                .copied()
                .unwrap_or(Interval::ALL),
            Operand::Column(_) => Interval::ALL,
        }
    }

    /// Returns the margin of a truth.
    fn margin(&self, operand: Operand) -> Interval {
        match operand {
            Operand::Constant(truth) => Interval::point(if truth == 0.0 { -1.0 } else { 1.0 }),
            operand => self.value(operand),
        }
    }

    /// Returns what the result of a slice comes to; a truth's margin.
    #[must_use]
    pub fn result(&self, slice: &Slice) -> Interval {
        if slice.truth {
            self.margin(slice.result)
        } else {
            self.value(slice.result)
        }
    }

    /// Returns whether the result of a slice lacks a value.
    #[must_use]
    pub fn lack(&self, slice: &Slice) -> Lack {
        let last = slice.segments.last();
        let lack = last.and_then(|last| self.lacks.get(*last as usize));
        lack.copied().unwrap_or(Lack::Somewhere)
    }
}
