//! From a formula to steps over columns.
//!
//! What does not vary is worked out once, by the evaluator. What varies becomes
//! steps; dimensions and units are those that the evaluator's own arithmetic gives.
//! Whatever has no steps here is left to the evaluator, sample by sample.

use std::collections::HashMap;
use std::sync::Arc;

use super::steps::{Binary, Line, Operand, Program, Step, Unary};
use crate::language::{
    Body, Call, Callee, Contract, Face, Node, ResolvedExpr, SizeCode, Source, UserFunction, Value,
    doubtful, kept, styled,
};
use crate::quantity::Quantity;
use crate::syntax::Operator;

/// The deepest that functions are laid into a formula.
const DEEPEST: u32 = 24;
/// The most steps of one formula.
const LONGEST: usize = 4_000;

/// What an expression is while samples vary.
#[derive(Clone, Debug)]
pub enum Item {
    /// A value that does not vary.
    Known(Value),
    /// A column of quantities, with what they measure and how they are shown.
    Column(Operand, Quantity),
    /// A column of truths.
    Truth(Operand),
    /// A list.
    List(Vec<Item>),
}

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
    fn moves(&self, slot: u32) -> bool;
    /// Returns the column of a cell that moves, with what it holds.
    fn column(&self, slot: u32) -> Option<(usize, Shape)>;
    /// Returns the number of a source that moves.
    fn source(&self, source: Source) -> Option<usize>;
    /// Returns the size of a toleranced size and its two deviations, in coherent SI.
    fn limits(&self, size: &SizeCode) -> Option<(Quantity, f64, f64)>;
    /// Returns a function of the notebook.
    fn function(&self, slot: u32) -> Option<Arc<UserFunction>>;
}

/// Returns the steps of one slot; nothing where there are none.
pub fn compile(setting: &dyn Setting, node: &Node) -> Option<(Program, Shape)> {
    let mut compiler = Compiler {
        setting,
        lines: Vec::new(),
        depth: 0,
        fixed: HashMap::new(),
    };
    let item = compiler.node(node, &mut Vec::new(), None)?;
    let (result, shape) = match item {
        Item::Truth(operand) => (operand, Shape::Truth),
        Item::Known(Value::Truth(truth)) => {
            (Operand::Constant(f64::from(u8::from(truth))), Shape::Truth)
        }
        item => {
            let (operand, like) = compiler.column(&item)?;
            (operand, Shape::Quantity(like.settled()))
        }
    };
    let program = super::registers::assign(compiler.lines, result)?;
    Some((program, shape))
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
        let mut compiler = Compiler {
            setting,
            lines: Vec::new(),
            depth: 0,
            fixed: HashMap::new(),
        };
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
        Some((super::registers::assign(compiler.lines, result)?, measures))
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
    let mut compiler = Compiler {
        setting,
        lines: Vec::new(),
        depth: 0,
        fixed: HashMap::new(),
    };
    let mut frame = Vec::new();
    let left = compiler.quantity(left, &mut frame, None)?;
    let right = compiler.quantity(right, &mut frame, None)?;
    let (mut margin, like) = compiler.arithmetic(left, Operator::Minus, right, None)?;
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
    Some((super::registers::assign(compiler.lines, margin)?, like))
}

pub struct Compiler<'a> {
    setting: &'a dyn Setting,
    lines: Vec<Line>,
    depth: u32,
    /// Which expressions vary by themselves, whatever the locals.
    fixed: HashMap<*const Node, bool>,
}

type Frame = Vec<Item>;

impl Compiler<'_> {
    fn emit(&mut self, step: Step, guard: Option<Operand>) -> Option<Operand> {
        if self.lines.len() >= LONGEST {
            return None;
        }
        let to = u32::try_from(self.lines.len()).ok()?;
        self.lines.push(Line { step, to, guard });
        Some(Operand::Register(to))
    }

    /// Returns whether nothing in an expression varies.
    fn is_fixed(&mut self, node: &Node, frame: &Frame) -> bool {
        let known = |place: usize| {
            frame
                .get(place)
                .is_none_or(|item| matches!(item, Item::Known(_)))
        };
        let mut locals = true;
        node.walk(&mut |node| {
            if let ResolvedExpr::Local(place) = node.code {
                locals &= known(usize::from(place));
            }
        });
        if !locals {
            return false;
        }
        let key = std::ptr::from_ref(node);
        if let Some(fixed) = self.fixed.get(&key) {
            return *fixed;
        }
        let setting = self.setting;
        let mut fixed = true;
        node.walk(&mut |node| match &node.code {
            ResolvedExpr::Cell(slot) => fixed &= !setting.moves(*slot),
            ResolvedExpr::Size(size) => fixed &= setting.source(size.source).is_none(),
            ResolvedExpr::Call(call) => {
                if let Callee::Notebook(slot, _) = &call.callee {
                    fixed &= !setting.moves(*slot);
                }
            }
            _ => {}
        });
        self.fixed.insert(key, fixed);
        fixed
    }

    fn node(&mut self, node: &Node, frame: &mut Frame, guard: Option<Operand>) -> Option<Item> {
        match &node.code {
            ResolvedExpr::Constant(value) => return Some(Item::Known(value.clone())),
            ResolvedExpr::Local(place) => return frame.get(usize::from(*place)).cloned(),
            _ => {}
        }
        if self.is_fixed(node, frame) {
            let value = |item: &Item| match item {
                Item::Known(value) => value.clone(),
                _ => Value::None,
            };
            let mut locals: Vec<Value> = frame.iter().map(value).collect();
            return self.setting.value(node, &mut locals).map(Item::Known);
        }
        match &node.code {
            ResolvedExpr::Constant(_) | ResolvedExpr::Local(_) => None,
            ResolvedExpr::Cell(slot) => {
                let (number, shape) = self.setting.column(*slot)?;
                self.emit(Step::Need(number), guard)?;
                Some(match shape {
                    Shape::Quantity(like) => Item::Column(Operand::Column(number), like),
                    Shape::Truth => Item::Truth(Operand::Column(number)),
                })
            }
            ResolvedExpr::Negate(value) => {
                let (operand, like) = self.quantity(value, frame, guard)?;
                let like = like.negated().ok()?;
                let operand = self.emit(Step::Unary(Unary::Negate, operand), guard)?;
                Some(Item::Column(operand, like))
            }
            ResolvedExpr::Not(value) => {
                let truth = self.truth(value, frame, guard)?;
                self.emit(Step::Not(truth), guard).map(Item::Truth)
            }
            ResolvedExpr::Chain(first, rest) => self.chain(first, rest, frame, guard),
            ResolvedExpr::If(parts) => self.choice(parts, frame, guard),
            ResolvedExpr::Call(call) => self.call(call, frame, guard),
            ResolvedExpr::List(items, None) => {
                let items = items.iter().map(|item| self.node(item, frame, guard));
                items.collect::<Option<Vec<_>>>().map(Item::List)
            }
            ResolvedExpr::As(value, unit) => {
                let (operand, like) = self.quantity(value, frame, guard)?;
                Some(Item::Column(operand, like.shown_in(*unit).ok()?))
            }
            ResolvedExpr::Styled(value, style) => {
                let (operand, like) = self.quantity(value, frame, guard)?;
                Some(Item::Column(operand, styled(like, *style).ok()?))
            }
            ResolvedExpr::Size(size) => self.size(size, guard),
            ResolvedExpr::Where(bound, first, value) => {
                frame.truncate(usize::from(*first));
                for name in bound {
                    let item = self.node(name, frame, guard)?;
                    frame.push(item);
                }
                let result = self.node(value, frame, guard);
                frame.truncate(usize::from(*first));
                result
            }
            ResolvedExpr::Field(of, name) => self
                .face(node, of, name)
                .or_else(|| self.field(of, name, frame, guard)),
            ResolvedExpr::Record(_)
            | ResolvedExpr::List(..)
            | ResolvedExpr::Index(_)
            | ResolvedExpr::Find(_)
            | ResolvedExpr::Rows(_) => None,
        }
    }

    /// Returns a quantity as a column, with what it is like: its number is always 1, so that
    /// no arithmetic on it can go wrong by its size.
    fn column(&self, item: &Item) -> Option<(Operand, Quantity)> {
        match item {
            Item::Column(operand, like) => Some((*operand, *like)),
            Item::Known(value) => {
                let quantity = value.quantity().ok().filter(|q| q.si.is_finite())?;
                Some((Operand::Constant(quantity.si), like(quantity)))
            }
            Item::Truth(_) | Item::List(_) => None,
        }
    }

    fn quantity(
        &mut self,
        node: &Node,
        frame: &mut Frame,
        guard: Option<Operand>,
    ) -> Option<(Operand, Quantity)> {
        let item = self.node(node, frame, guard)?;
        self.column(&item)
    }

    fn truth(&mut self, node: &Node, frame: &mut Frame, guard: Option<Operand>) -> Option<Operand> {
        match self.node(node, frame, guard)? {
            Item::Truth(operand) => Some(operand),
            Item::Known(Value::Truth(truth)) => Some(Operand::Constant(f64::from(u8::from(truth)))),
            _ => None,
        }
    }

    /// Returns the guard of what is only worked out where `truth` holds.
    fn within(&mut self, guard: Option<Operand>, truth: Operand) -> Option<Option<Operand>> {
        match guard {
            None => Some(Some(truth)),
            Some(guard) => self.emit(Step::And(guard, truth), None).map(Some),
        }
    }

    fn chain(
        &mut self,
        first: &Node,
        rest: &[(Operator, Node)],
        frame: &mut Frame,
        guard: Option<Operand>,
    ) -> Option<Item> {
        match rest.first()?.0 {
            operator @ (Operator::And | Operator::Or) => {
                let and = operator == Operator::And;
                let mut truth = self.truth(first, frame, guard)?;
                for (_, node) in rest {
                    let goes_on = if and {
                        truth
                    } else {
                        self.emit(Step::Not(truth), None)?
                    };
                    let inner = self.within(guard, goes_on)?;
                    let next = self.truth(node, frame, inner)?;
                    let step = if and {
                        Step::And(truth, next)
                    } else {
                        Step::Or(truth, next)
                    };
                    truth = self.emit(step, None)?;
                }
                Some(Item::Truth(truth))
            }
            operator if operator.compares() => {
                let mut truth: Option<Operand> = None;
                let mut left = self.quantity(first, frame, guard)?;
                for (operator, node) in rest {
                    let inner = match truth {
                        None => guard,
                        Some(truth) => self.within(guard, truth)?,
                    };
                    let right = self.quantity(node, frame, inner)?;
                    let scale = left.1.scale_beside(right.1).ok()?;
                    let step = Step::Compare(*operator, scale, left.0, right.0);
                    let holds = self.emit(step, None)?;
                    truth = Some(match truth {
                        None => holds,
                        Some(before) => self.emit(Step::And(before, holds), None)?,
                    });
                    left = right;
                }
                truth.map(Item::Truth)
            }
            _ => {
                let mut left = self.quantity(first, frame, guard)?;
                for (operator, node) in rest {
                    let right = self.quantity(node, frame, guard)?;
                    left = self.arithmetic(left, *operator, right, guard)?;
                }
                Some(Item::Column(left.0, left.1))
            }
        }
    }

    fn arithmetic(
        &mut self,
        (a, left): (Operand, Quantity),
        operator: Operator,
        (b, right): (Operand, Quantity),
        guard: Option<Operand>,
    ) -> Option<(Operand, Quantity)> {
        let (kind, found) = match operator {
            Operator::Plus => (Binary::Plus, left.plus(right)),
            Operator::Minus => (Binary::Minus, left.minus(right)),
            // What an angle or a torque makes of revolutions hangs on the formula.
            Operator::Times if doubtful(left, right) => return None,
            Operator::Times => (Binary::Times, left.times(right)),
            Operator::Over => (Binary::Over, left.over(right)),
            _ => {
                // What a power measures depends on the exponent.
                let Operand::Constant(exponent) = b else {
                    return None;
                };
                let exponent = Quantity {
                    si: exponent,
                    ..right
                };
                (Binary::Power, left.power(exponent))
            }
        };
        let found = like(found.ok()?);
        Some((self.emit(Step::Binary(kind, a, b), guard)?, found))
    }

    fn choice(
        &mut self,
        [condition, yes, no]: &[Node; 3],
        frame: &mut Frame,
        guard: Option<Operand>,
    ) -> Option<Item> {
        let truth = self.truth(condition, frame, guard)?;
        if let Operand::Constant(truth) = truth {
            return self.node(if truth != 0.0 { yes } else { no }, frame, guard);
        }
        let inner = self.within(guard, truth)?;
        let yes = self.node(yes, frame, inner)?;
        let not = self.emit(Step::Not(truth), None)?;
        let inner = self.within(guard, not)?;
        let no = self.node(no, frame, inner)?;
        let as_truth = |item: &Item| match item {
            Item::Truth(operand) => Some(*operand),
            Item::Known(Value::Truth(truth)) => {
                Some(Operand::Constant(f64::from(u8::from(*truth))))
            }
            _ => None,
        };
        if let (Some(yes), Some(no)) = (as_truth(&yes), as_truth(&no)) {
            let yes = self.emit(Step::And(truth, yes), None)?;
            let no = self.emit(Step::And(not, no), None)?;
            return self.emit(Step::Or(yes, no), None).map(Item::Truth);
        }
        let ((yes, shape), (no, other)) = (self.column(&yes)?, self.column(&no)?);
        if shape != other {
            return None;
        }
        let chosen = self.emit(Step::Select(truth, yes, no), None)?;
        Some(Item::Column(chosen, shape))
    }

    fn size(&mut self, size: &SizeCode, guard: Option<Operand>) -> Option<Item> {
        let number = self.setting.source(size.source)?;
        let mut local = false;
        size.size
            .walk(&mut |node| local |= matches!(node.code, ResolvedExpr::Local(_)));
        if local {
            return None;
        }
        let (nominal, low, high) = self.setting.limits(size)?;
        let at = self.emit(Step::Size(number, nominal.si, low, high), guard)?;
        Some(Item::Column(at, like(nominal)))
    }

    fn call(&mut self, call: &Call, frame: &mut Frame, guard: Option<Operand>) -> Option<Item> {
        let function: Arc<UserFunction>;
        let (function, name): (&UserFunction, &str) = match &call.callee {
            Callee::Library(found) => (found.ready().ok()?, found.name),
            Callee::Notebook(slot, name) => {
                function = self.setting.function(*slot)?;
                (&function, name)
            }
        };
        if self.depth >= DEEPEST {
            return None;
        }
        if function.wants_drawn {
            return None;
        }
        let mut given: Vec<Option<Item>> = Vec::new();
        let several = function.several();
        for (place, nodes) in function.arrange(name, call).ok()?.into_iter().enumerate() {
            let contract = function.contracts.get(place);
            let drawn = contract.is_some_and(|contract| contract.drawn);
            let limits = contract.is_some_and(Contract::wants_limits);
            let mut items = Vec::new();
            for node in nodes {
                items.push(if drawn {
                    self.drawn(node)?
                } else if limits && matches!(node.code, ResolvedExpr::Cell(_)) {
                    match self.limits_of(node) {
                        Some(limits) => limits,
                        None => self.node(node, frame, guard)?,
                    }
                } else {
                    self.node(node, frame, guard)?
                });
            }
            given.push(match (several == Some(place), items.len()) {
                (_, 0) => None,
                (true, 1) if matches!(items[0], Item::List(_) | Item::Known(Value::List(_))) => {
                    items.pop()
                }
                (true, _) => Some(Item::List(items)),
                (false, _) => items.pop(),
            });
        }
        self.depth += 1;
        let result = self.enter(function, name, given, guard);
        self.depth -= 1;
        let result = result?;
        match function.shown_in {
            None => Some(result),
            Some(unit) => match self.column(&result) {
                Some((operand, like)) => Some(Item::Column(operand, like.shown_in(unit).ok()?)),
                None => Some(result),
            },
        }
    }

    /// Returns a field of a record that does not vary.
    fn field(
        &mut self,
        of: &Node,
        name: &str,
        frame: &mut Frame,
        guard: Option<Operand>,
    ) -> Option<Item> {
        match self.node(of, frame, guard)? {
            Item::Known(Value::Record(record)) => record.get(name).cloned().map(Item::Known),
            _ => None,
        }
    }

    /// Returns the limits of a cell that is a size, for an argument that wants them: they don't
    /// vary though the size does.
    fn limits_of(&self, node: &Node) -> Option<Item> {
        let Value::Size(size) = self.setting.value(node, &mut Vec::new())? else {
            return None;
        };
        let limited = size.limits.is_some() && size.reading.is_none();
        limited.then_some(Item::Known(Value::Size(size)))
    }

    /// Returns a face of a cell that is a size with limits: none of them varies.
    fn face(&self, node: &Node, of: &Node, name: &str) -> Option<Item> {
        let face = Face::named(name)?;
        if !matches!(of.code, ResolvedExpr::Cell(_)) {
            return None;
        }
        let Value::Size(size) = self.setting.value(of, &mut Vec::new())? else {
            return None;
        };
        if size.limits.is_none() || face == Face::Reading && size.reading.is_none() {
            return None;
        }
        self.setting.value(node, &mut Vec::new()).map(Item::Known)
    }

    /// Returns a value of the drawing, which does not vary; nothing where it stands on locals.
    fn drawn(&self, node: &Node) -> Option<Item> {
        let mut locals = false;
        node.walk(&mut |node| locals |= matches!(node.code, ResolvedExpr::Local(_)));
        if locals {
            return None;
        }
        self.setting.drawn(node).map(Item::Known)
    }

    fn enter(
        &mut self,
        function: &UserFunction,
        name: &str,
        given: Vec<Option<Item>>,
        guard: Option<Operand>,
    ) -> Option<Item> {
        let mut frame: Frame = Vec::new();
        for (place, item) in given.into_iter().enumerate() {
            let item = match (item, function.defaults.get(place).and_then(Option::as_ref)) {
                (Some(item), _) => item,
                (None, Some(default)) => self.node(default, &mut frame, guard)?,
                (None, None) => return None,
            };
            let item = match function.contracts.get(place) {
                Some(contract) => self.checked(contract, item, guard)?,
                None => item,
            };
            frame.push(item);
        }
        for (condition, _) in &function.requires {
            match self.truth(condition, &mut frame, guard)? {
                Operand::Constant(truth) if truth != 0.0 => {}
                truth => {
                    self.emit(Step::Require(truth), guard)?;
                }
            }
        }
        match &function.body {
            Body::Language(body) => self.node(body, &mut frame, guard),
            Body::Native(_) => self.native(name, &frame, guard),
            Body::LookUp(code) => {
                let known = frame.into_iter().map(|item| match item {
                    Item::Known(value) => Some(value),
                    _ => None,
                });
                let known = known.collect::<Option<Vec<Value>>>()?;
                kept::call(*code, known, &function.gives)
                    .0
                    .ok()
                    .map(Item::Known)
            }
        }
    }

    /// Emits a step for inlined code.
    pub(super) fn push(&mut self, step: Step, guard: Option<Operand>) -> Option<Operand> {
        self.emit(step, guard)
    }

    /// Returns an item as a column.
    pub(super) fn as_column(&self, item: &Item) -> Option<(Operand, Quantity)> {
        self.column(item)
    }
}

/// Returns what a quantity is like, with the number 1.
pub fn like(quantity: Quantity) -> Quantity {
    Quantity {
        si: 1.0,
        ..quantity
    }
}
