//! What a formula becomes: one flat list of steps over numbers.
//!
//! Dimensions and units are settled when the steps are made; a step only knows
//! numbers in coherent SI.

use crate::syntax::Operator;

/// Where a step finds a column.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Operand {
    /// The same number everywhere.
    Constant(f64),
    /// A column worked out before.
    Register(u32),
    /// The column of a slot, by its number in the plan.
    Column(usize),
}

/// What is done to two columns. A result that is no finite number has no value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Binary {
    Plus,
    Minus,
    Times,
    Over,
    Power,
    Atan2,
    Least,
    Greatest,
    Round,
    RoundUp,
    RoundDown,
    Remainder,
}

/// What is done to one column. A result that is no finite number has no value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unary {
    Negate,
    Abs,
    Sqrt,
    Cbrt,
    Sin,
    Cos,
    Tan,
    Asin,
    Acos,
    Atan,
    Exp,
    Ln,
    Log10,
    Whole,
}

/// One step. Truths are columns of 0 and 1.
#[derive(Clone, Copy, Debug)]
pub enum Step {
    /// Two columns.
    Binary(Binary, Operand, Operand),
    /// One column.
    Unary(Unary, Operand),
    /// A comparison; the number is what counts as one in telling rounding.
    Compare(Operator, f64, Operand, Operand),
    /// Both truths.
    And(Operand, Operand),
    /// Either truth.
    Or(Operand, Operand),
    /// The other truth.
    Not(Operand),
    /// The second where the first is true, else the third.
    Select(Operand, Operand, Operand),
    /// A size: its drawing size and its deviations, by the number of its source.
    Size(usize, f64, f64, f64),
    /// The unknown of a `find`, by the number of its column.
    Unknown(usize),
    /// The unknown of a `find` within it: how many steps there are up to its solution, and
    /// the two bounds between which there is one, and one only.
    Trial(u32, f64, f64),
    /// What the unknown of the last trial must be for this to be 0; the second is the
    /// truth that it is, within rounding.
    Solve(Operand, Operand),
    /// There is no value where this is false.
    Require(Operand),
    /// There is no value where this slot has none.
    Need(usize),
}

/// A step with where its result goes, and the truth that says where it counts.
#[derive(Clone, Copy, Debug)]
pub struct Line {
    pub step: Step,
    pub to: u32,
    pub guard: Option<Operand>,
}

/// The steps of one slot.
#[derive(Clone, Debug)]
pub struct Program {
    pub lines: Vec<Line>,
    pub result: Operand,
    pub registers: usize,
}

/// So often the steps of a condition count for one look at its solution.
const TRIALS: usize = 24;

impl Program {
    /// Returns how many steps running it once takes.
    #[must_use]
    pub fn work(&self) -> usize {
        self.lines.iter().map(|line| line.step.work()).sum()
    }
}

impl Step {
    /// Returns how many steps it counts as: a trial those of its condition, as often as that
    /// is looked at.
    #[must_use]
    pub const fn work(&self) -> usize {
        match self {
            Self::Trial(count, ..) => TRIALS * *count as usize,
            _ => 1,
        }
    }

    /// Returns whether it chooses, compares or rounds.
    #[must_use]
    pub const fn decides(&self) -> bool {
        use Binary::{Round, RoundDown, RoundUp};
        matches!(
            self,
            Self::Compare(..)
                | Self::Select(..)
                | Self::Binary(Round | RoundUp | RoundDown, ..)
                | Self::Unary(Unary::Whole, _)
        )
    }

    /// Calls `visit` with each operand.
    pub fn operands(&mut self, mut visit: impl FnMut(&mut Operand)) {
        match self {
            Self::Binary(_, a, b)
            | Self::Compare(_, _, a, b)
            | Self::Solve(a, b)
            | Self::And(a, b)
            | Self::Or(a, b) => {
                visit(a);
                visit(b);
            }
            Self::Unary(_, a) | Self::Not(a) | Self::Require(a) => visit(a),
            Self::Select(a, b, c) => {
                visit(a);
                visit(b);
                visit(c);
            }
            Self::Size(..) | Self::Unknown(_) | Self::Trial(..) | Self::Need(_) => {}
        }
    }
}
