//! From a formula to steps over columns.
//!
//! What does not vary is worked out once, by the evaluator. What varies becomes
//! steps; dimensions and units are those that the evaluator's own arithmetic gives.
//! Whatever has no steps here is left to the evaluator, sample by sample.

use std::sync::Arc;

use foldhash::HashMap;

use super::mixed::Mixed;
use super::steps::{Binary, Line, Operand, Program, Step, Unary};
use crate::language::SlotId;
use crate::language::{FindSides, Node, ResolvedExpr, SizeCode, Source, UserFunction, Value};
use crate::quantity::Quantity;
use crate::syntax::Operator;

/// The most steps of one formula.
const LONGEST: usize = 10_000;
/// The most steps that the parts of a list or a table have together, each with a program of
/// its own.
const MOST_WORK: usize = 2_000_000;

/// What an expression is while samples vary: columns of lanes stand for what moves.
pub type Item = Mixed<Operand>;
/// What a formula becomes: a program for each part that moves.
pub type Compiled = Mixed<Program>;
/// What the value of a slot that moves is made of: the numbers of its columns.
pub type Place = Mixed<usize>;

/// What a column of the plan holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shape {
    /// Quantities like this one.
    Quantity(Quantity),
    /// Truths.
    Truth,
}

/// What formulas are compiled against.
pub trait Setting {
    /// Returns what an expression over these locals comes to while nothing moves.
    fn value(&self, node: &Node, locals: &mut Vec<Value>) -> Option<Value>;
    /// Returns what the drawing gives an expression without locals.
    fn drawn(&self, node: &Node) -> Option<Value>;
    /// Returns whether a cell moves.
    fn moves(&self, slot: SlotId) -> bool;
    /// Returns the columns of a cell that moves.
    fn place(&self, slot: SlotId) -> Option<&Place>;
    /// Returns whether a `find` may be a step: then its solution must be proven to be the only
    /// one wherever the sizes stand.
    fn solves(&self) -> bool {
        false
    }
    /// Returns the number of a source that moves.
    fn source(&self, source: Source) -> Option<usize>;
    /// Returns the size of a toleranced size and its two deviations, in coherent SI.
    fn limits(&self, size: &SizeCode) -> Option<(Quantity, f64, f64)>;
    /// Returns a function of the notebook.
    fn function(&self, slot: SlotId) -> Option<Arc<UserFunction>>;
    /// Counts steps that are made or looked through; returns whether they are not too many
    /// for all formulas together.
    fn allows(&self, _steps: usize) -> bool {
        true
    }
}

/// Returns what a formula becomes, over the columns of the names that it stands among;
/// nothing where it has no steps.
pub fn compile(setting: &dyn Setting, node: &Node, locals: &[Place]) -> Option<Compiled> {
    let mut compiler = Compiler::new(setting);
    let locals = locals.iter().map(laid);
    let item = compiler.node(node, &mut locals.collect(), None)?;
    compiler.compiled(&item)
}

/// Returns the steps of a condition, of which every value must hold where it is a list;
/// nothing where it has none.
pub fn compile_condition(setting: &dyn Setting, node: &Node) -> Option<Compiled> {
    let mut compiler = Compiler::new(setting);
    let item = compiler.node(node, &mut Vec::new(), None)?;
    let item = compiler.all_hold(&item)?;
    compiler.compiled(&item)
}

/// Returns the steps of one slot that is a number or a truth.
pub fn compile_scalar(setting: &dyn Setting, node: &Node) -> Option<(Program, Shape)> {
    match compile(setting, node, &[])? {
        Compiled::Column(program, like) => Some((program, Shape::Quantity(like))),
        Compiled::Truth(program) => Some((program, Shape::Truth)),
        Compiled::Known(value) => still(&value),
        _ => None,
    }
}

/// Returns the steps of what does not move, where it is a number or a truth.
pub fn still(value: &Value) -> Option<(Program, Shape)> {
    let (number, shape) = match value {
        Value::Truth(truth) => (f64::from(u8::from(*truth)), Shape::Truth),
        value => {
            let quantity = value.quantity().ok().filter(|q| q.si.is_finite())?;
            (quantity.si, Shape::Quantity(like(quantity)))
        }
    };
    let program = Program {
        lines: Vec::new(),
        result: Operand::Constant(number),
        registers: 0,
    };
    Some((program, shape))
}

/// Returns the steps of a cell that is solved for, with the cells between it and its condition;
/// nothing where there are none.
pub fn solution(
    setting: &dyn Setting,
    slot: SlotId,
    find: FindSides,
    members: &[(SlotId, &Node)],
) -> Option<(Program, Shape)> {
    let mut compiler = Compiler::new(setting);
    let item = compiler.solved(find, Some((slot, members)), &mut Vec::new(), None)?;
    match compiler.compiled(&item)? {
        Compiled::Column(program, like) => Some((program, Shape::Quantity(like))),
        _ => None,
    }
}

/// Returns the steps of the difference of two sides and of the truth that they are equal, with
/// what the difference measures; nothing where there are none. The unknown may be a
/// local: its place, the values of the locals before it, and what it is like.
pub fn equation(
    setting: &dyn Setting,
    [left, right]: [&Node; 2],
    unknown: Option<(u16, &[Value], Quantity)>,
) -> Option<(Program, Program, Quantity)> {
    let made = |equal: bool| {
        let mut compiler = Compiler::new(setting);
        let mut frame: Frame = Vec::new();
        if let Some((place, locals, like)) = unknown {
            let before = locals.iter().take(usize::from(place));
            frame.extend(before.cloned().map(Item::Known));
            let at = compiler.emit(Step::Unknown(0), None)?;
            frame.push(Item::Column(at, like));
        }
        let left = compiler.quantity(left, &mut frame, None)?;
        let right = compiler.quantity(right, &mut frame, None)?;
        let (result, measures) = if equal {
            let scale = left.1.scale_beside(right.1).ok()?;
            let step = Step::Compare(Operator::Equal, scale, left.0, right.0);
            (compiler.emit(step, None)?, left.1)
        } else {
            compiler.arithmetic(left, Operator::Minus, right, None)?
        };
        Some((compiler.program(result)?, measures))
    };
    let (difference, measures) = made(false)?;
    Some((difference, made(true)?.0, measures))
}

/// Returns the steps of the margin of each comparison of a condition, with what it measures:
/// positive where it holds; nothing for one that has no steps. `and` has the margins of
/// all its parts.
pub fn margins(setting: &dyn Setting, condition: &Node) -> Vec<Option<(Program, Quantity)>> {
    let ResolvedExpr::Chain(first, rest) = &condition.code else {
        return Vec::new();
    };
    match rest.first().map(|(operator, _)| *operator) {
        Some(Operator::And) => {
            let parts = std::iter::once(&**first).chain(rest.iter().map(|(_, node)| node));
            parts.flat_map(|node| margins(setting, node)).collect()
        }
        Some(operator) if operator.compares() => {
            let mut left = &**first;
            let mut found = Vec::new();
            for (operator, right) in rest {
                found.push(margin(setting, left, *operator, right));
                left = right;
            }
            found
        }
        _ => Vec::new(),
    }
}

fn margin(
    setting: &dyn Setting,
    left: &Node,
    operator: Operator,
    right: &Node,
) -> Option<(Program, Quantity)> {
    let mut compiler = Compiler::new(setting);
    let left = compiler.node(left, &mut Vec::new(), None)?;
    let right = compiler.node(right, &mut Vec::new(), None)?;
    let each = compiler.paired(&left, &right, &mut |compiler, a, b| {
        let (a, b) = (compiler.column(a)?, compiler.column(b)?);
        let (mut margin, like) = compiler.arithmetic(a, Operator::Minus, b, None)?;
        if operator == Operator::Equal {
            margin = compiler.emit(Step::Unary(Unary::Abs, margin), None)?;
        }
        match operator {
            Operator::Less | Operator::AtMost | Operator::Equal => {
                margin = compiler.emit(Step::Unary(Unary::Negate, margin), None)?;
            }
            Operator::More | Operator::AtLeast => {}
            _ => return None,
        }
        Some(Item::Column(margin, like))
    })?;
    // Of a list, the value that has least to spare.
    let least = match each {
        Item::List(_) => compiler.fold(&each, Binary::Least, None)?,
        one => one,
    };
    let (margin, like) = compiler.column(&least)?;
    Some((compiler.program(margin)?, like))
}

/// What turns formulas into steps.
pub struct Compiler<'a> {
    pub(super) setting: &'a dyn Setting,
    pub(super) lines: Vec<Line>,
    /// How deep functions are laid in.
    pub(super) depth: u32,
    /// Which expressions vary by themselves, whatever the locals.
    pub(super) fixed: HashMap<*const Node, bool>,
    /// The unknown of a `find` and the cells between it and its condition.
    pub(super) between: HashMap<SlotId, Item>,
    /// Whether a `find` is being compiled.
    pub(super) solving: bool,
}

/// The locals of a formula.
pub(super) type Frame = Vec<Item>;

impl<'a> Compiler<'a> {
    fn new(setting: &'a dyn Setting) -> Self {
        Self {
            setting,
            lines: Vec::new(),
            depth: 0,
            fixed: HashMap::default(),
            between: HashMap::default(),
            solving: false,
        }
    }

    pub(super) fn emit(&mut self, step: Step, guard: Option<Operand>) -> Option<Operand> {
        if self.lines.len() >= LONGEST || !self.setting.allows(1) {
            return None;
        }
        let to = u32::try_from(self.lines.len()).ok()?;
        self.lines.push(Line { step, to, guard });
        Some(Operand::Register(to))
    }

    /// Returns the programs of what moves in an item.
    fn compiled(&self, item: &Item) -> Option<Compiled> {
        // Each part has its own program: a long list of long rules has none.
        let work = item.count().saturating_mul(self.lines.len());
        if work > MOST_WORK || !self.setting.allows(work) {
            return None;
        }
        item.try_map(&mut |operand, _| self.program(*operand))
            .map(|made| match made {
                Compiled::Column(program, like) => Compiled::Column(program, like.settled()),
                other => other,
            })
    }

    /// Returns the program of one result.
    fn program(&self, result: Operand) -> Option<Program> {
        let (lines, result) = super::registers::needed(&self.lines, result);
        super::registers::assign(lines, result)
    }
}

/// Returns a value made of columns as what stands in a formula. What is picked from it
/// needs its own columns only: see [`super::registers::needed`].
pub(super) fn laid(place: &Place) -> Item {
    let laid = place.try_map(&mut |number, _| Some(Operand::Column(*number)));
    laid.unwrap_or(Item::Known(Value::None))
}

/// Returns what a quantity is like, with the number 1.
pub fn like(quantity: Quantity) -> Quantity {
    Quantity {
        si: 1.0,
        ..quantity
    }
}
