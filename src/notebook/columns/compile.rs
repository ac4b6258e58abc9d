//! From a formula to steps over columns.
//!
//! What does not vary is worked out once, by the evaluator. What varies becomes
//! steps; dimensions and units are those that the evaluator's own arithmetic gives.
//! Whatever has no steps here is left to the evaluator, sample by sample.

use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use super::inline::arrange;
use super::program::{Binary, Line, Operand, Program, Step, Unary};
use crate::language::{
    Body, Call, Callee, Code, Evaluator, Node, SizeCode, Source, UserFunction, Value, doubtful,
    styled,
};
use crate::notebook::recalculate::Deviations;
use crate::notebook::trial::Trial;
use crate::notebook::{Content, Workspace};
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
pub struct Setting<'a> {
    pub workspace: &'a Workspace,
    /// Values while nothing moves.
    pub rest: &'a Trial<'a>,
    /// The numbers of the sources that vary.
    pub sources: HashMap<Source, usize>,
    /// The slots that vary.
    pub varying: HashSet<u32>,
    /// The slots that are columns, with their numbers.
    pub columns: HashMap<u32, (usize, Shape)>,
}

/// The steps of one slot; nothing where there are none.
pub fn compile(setting: &Setting, node: &Node) -> Option<(Program, Shape)> {
    let mut compiler = Compiler {
        setting,
        lines: Vec::new(),
        depth: 0,
        fixed: HashMap::new(),
    };
    let item = compiler.node(node, &mut Vec::new(), None)?;
    let (result, shape) = match item {
        Item::Truth(operand) => (operand, Shape::Truth),
        item => {
            let (operand, like) = compiler.column(&item)?;
            (operand, Shape::Quantity(like.settled()))
        }
    };
    let program = super::registers::assign(compiler.lines, result)?;
    Some((program, shape))
}

pub struct Compiler<'a> {
    setting: &'a Setting<'a>,
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
        let to = u16::try_from(self.lines.len()).ok()?;
        self.lines.push(Line { step, to, guard });
        Some(Operand::Register(to))
    }

    /// Whether nothing in an expression varies.
    fn is_fixed(&mut self, node: &Node, frame: &Frame) -> bool {
        let known = |place: usize| {
            frame
                .get(place)
                .is_none_or(|item| matches!(item, Item::Known(_)))
        };
        let mut locals = true;
        node.walk(&mut |node| {
            if let Code::Local(place) = node.code {
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
        let varying = &self.setting.varying;
        let mut fixed = true;
        node.walk(&mut |node| match &node.code {
            Code::Cell(slot) => fixed &= !varying.contains(slot),
            Code::Size(_) => fixed = false,
            Code::Call(call) => {
                if let Callee::Notebook(slot, _) = &call.callee {
                    fixed &= !varying.contains(slot);
                }
            }
            _ => {}
        });
        self.fixed.insert(key, fixed);
        fixed
    }

    fn node(&mut self, node: &Node, frame: &mut Frame, guard: Option<Operand>) -> Option<Item> {
        match &node.code {
            Code::Constant(value) => return Some(Item::Known(value.clone())),
            Code::Local(place) => return frame.get(usize::from(*place)).cloned(),
            _ => {}
        }
        if self.is_fixed(node, frame) {
            let value = |item: &Item| match item {
                Item::Known(value) => value.clone(),
                _ => Value::None,
            };
            let mut locals: Vec<Value> = frame.iter().map(value).collect();
            let still = Deviations::default();
            let rest = self.setting.rest;
            let value = rest.with_view(&still, |cells| {
                Evaluator::new(cells).with_locals(node, &mut locals)
            });
            return value.ok().map(Item::Known);
        }
        match &node.code {
            Code::Constant(_) | Code::Local(_) => None,
            Code::Cell(slot) => {
                let (number, shape) = *self.setting.columns.get(slot)?;
                self.emit(Step::Need(number), guard)?;
                Some(match shape {
                    Shape::Quantity(like) => Item::Column(Operand::Column(number), like),
                    Shape::Truth => Item::Truth(Operand::Column(number)),
                })
            }
            Code::Negate(value) => {
                let (operand, like) = self.quantity(value, frame, guard)?;
                let like = like.negated().ok()?;
                let operand = self.emit(Step::Unary(Unary::Negate, operand), guard)?;
                Some(Item::Column(operand, like))
            }
            Code::Not(value) => {
                let truth = self.truth(value, frame, guard)?;
                self.emit(Step::Not(truth), guard).map(Item::Truth)
            }
            Code::Chain(first, rest) => self.chain(first, rest, frame, guard),
            Code::If(parts) => self.choice(parts, frame, guard),
            Code::Call(call) => self.call(call, frame, guard),
            Code::List(items, None) => {
                let items = items.iter().map(|item| self.node(item, frame, guard));
                items.collect::<Option<Vec<_>>>().map(Item::List)
            }
            Code::As(value, unit) => {
                let (operand, like) = self.quantity(value, frame, guard)?;
                Some(Item::Column(operand, like.shown_in(*unit).ok()?))
            }
            Code::Styled(value, style) => {
                let (operand, like) = self.quantity(value, frame, guard)?;
                Some(Item::Column(operand, styled(like, *style).ok()?))
            }
            Code::Size(size) => self.size(size, guard),
            Code::Where(bound, first, value) => {
                frame.truncate(usize::from(*first));
                for name in bound {
                    let item = self.node(name, frame, guard)?;
                    frame.push(item);
                }
                let result = self.node(value, frame, guard);
                frame.truncate(usize::from(*first));
                result
            }
            Code::Record(_)
            | Code::List(..)
            | Code::Field(..)
            | Code::Index(_)
            | Code::Find(_)
            | Code::Rows(_) => None,
        }
    }

    /// A quantity as a column, with what it is like: its number is always 1, so that
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

    /// The guard of what is only worked out where `truth` holds.
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
            return self
                .emit(Step::Select(truth, yes, no), None)
                .map(Item::Truth);
        }
        let ((yes, shape), (no, other)) = (self.column(&yes)?, self.column(&no)?);
        if shape != other {
            return None;
        }
        let chosen = self.emit(Step::Select(truth, yes, no), None)?;
        Some(Item::Column(chosen, shape))
    }

    fn size(&mut self, size: &SizeCode, guard: Option<Operand>) -> Option<Item> {
        let number = *self.setting.sources.get(&size.source)?;
        let mut local = false;
        size.size
            .walk(&mut |node| local |= matches!(node.code, Code::Local(_)));
        if local {
            return None;
        }
        let still = Deviations::default();
        let (nominal, low, high) = self
            .setting
            .rest
            .with_view(&still, |cells| {
                Evaluator::new(cells).size_limits(size, &mut Vec::new(), 0)
            })
            .ok()?;
        let at = self.emit(Step::Size(number, nominal.si, low, high), guard)?;
        Some(Item::Column(at, like(nominal)))
    }

    fn call(&mut self, call: &Call, frame: &mut Frame, guard: Option<Operand>) -> Option<Item> {
        let function: Arc<UserFunction>;
        let (function, name): (&UserFunction, &str) = match &call.callee {
            Callee::Library(found) => (found.ready().ok()?, found.name),
            Callee::Notebook(slot, name) => {
                let content = self.setting.workspace.slot(*slot).map(|slot| &slot.content);
                let Some(Content::Function(found)) = content else {
                    return None;
                };
                function = found.clone();
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
        for (place, nodes) in arrange(function, call)?.into_iter().enumerate() {
            let contract = function.contracts.get(place);
            let drawn = contract.is_some_and(|contract| contract.drawn);
            let mut items = Vec::new();
            for node in nodes.nodes {
                items.push(if drawn {
                    self.drawn(node)?
                } else {
                    self.node(node, frame, guard)?
                });
            }
            given.push(match (nodes.several, items.len()) {
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

    /// A value of the drawing, which does not vary; nothing where it stands on locals.
    fn drawn(&self, node: &Node) -> Option<Item> {
        let mut locals = false;
        node.walk(&mut |node| locals |= matches!(node.code, Code::Local(_)));
        if locals {
            return None;
        }
        let still = Deviations::default();
        let drawn = self
            .setting
            .rest
            .with_view(&still, |cells| Evaluator::new(cells).evaluate_drawn(node));
        Some(Item::Known(drawn.ok()?))
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
            Body::LookUp(_) => None,
        }
    }

    /// Emits a step for inlined code.
    pub(super) fn push(&mut self, step: Step, guard: Option<Operand>) -> Option<Operand> {
        self.emit(step, guard)
    }

    /// An item as a column.
    pub(super) fn as_column(&self, item: &Item) -> Option<(Operand, Quantity)> {
        self.column(item)
    }
}

/// What a quantity is like, with the number 1.
pub fn like(quantity: Quantity) -> Quantity {
    Quantity {
        si: 1.0,
        ..quantity
    }
}
