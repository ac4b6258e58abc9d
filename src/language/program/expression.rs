//! Expressions as steps.

use super::compile::{Compiler, Field, Frame, Item, Place, Shape, like};
use super::steps::{Binary, Operand, Step, Unary};
use crate::language::{Callee, FindSides, Node, ResolvedExpr, SizeCode, Value, doubtful, styled};
use crate::quantity::Quantity;
use crate::syntax::Operator;

impl Compiler<'_> {
    /// Whether nothing in an expression varies.
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

    pub(super) fn node(
        &mut self,
        node: &Node,
        frame: &mut Frame,
        guard: Option<Operand>,
    ) -> Option<Item> {
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
            ResolvedExpr::Cell(slot) => self.cell(*slot, guard),
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
            ResolvedExpr::Record(fields) => {
                let fields = fields.iter();
                let fields =
                    fields.map(|(name, node)| Some((name.clone(), self.node(node, frame, guard)?)));
                Some(Item::Record(fields.collect::<Option<Vec<_>>>()?, None))
            }
            ResolvedExpr::Find(find) => {
                let sides = FindSides {
                    local: Some(find.local),
                    low: &find.low,
                    high: &find.high,
                    left: &find.left,
                    right: &find.right,
                };
                self.solved(sides, None, frame, guard)
            }
            ResolvedExpr::List(..) | ResolvedExpr::Index(_) | ResolvedExpr::Rows(_) => None,
        }
    }

    /// A cell that moves.
    fn cell(&mut self, slot: u32, guard: Option<Operand>) -> Option<Item> {
        if let Some(item) = self.between.get(&slot) {
            return Some(item.clone());
        }
        let column = |number, shape| match shape {
            Shape::Quantity(like) => Item::Column(Operand::Column(number), like),
            Shape::Truth => Item::Truth(Operand::Column(number)),
        };
        match self.setting.place(slot)? {
            Place::Column(number, shape) => {
                self.emit(Step::Need(number), guard)?;
                Some(column(number, shape))
            }
            Place::Record(fields, stands_for) => {
                // A record has all its fields or none.
                let first = fields.iter().find_map(|(_, field)| match field {
                    Field::Column(number, _) => Some(*number),
                    Field::Still(_) => None,
                });
                self.emit(Step::Need(first?), guard)?;
                let field = |(name, field): &(_, Field)| {
                    let item = match field {
                        Field::Still(value) => Item::Known(value.clone()),
                        Field::Column(number, shape) => column(*number, *shape),
                    };
                    (std::sync::Arc::clone(name), item)
                };
                Some(Item::Record(fields.iter().map(field).collect(), stands_for))
            }
        }
    }

    /// A quantity as a column, with what it is like: its number is always 1, so that
    /// no arithmetic on it can go wrong by its size.
    pub(super) fn column(&self, item: &Item) -> Option<(Operand, Quantity)> {
        match item {
            Item::Record(fields, Some(place)) => self.column(&fields.get(*place)?.1),
            Item::Column(operand, like) => Some((*operand, *like)),
            Item::Known(value) => {
                let quantity = value.quantity().ok().filter(|q| q.si.is_finite())?;
                Some((Operand::Constant(quantity.si), like(quantity)))
            }
            Item::Truth(_) | Item::List(_) | Item::Record(..) => None,
        }
    }

    pub(super) fn quantity(
        &mut self,
        node: &Node,
        frame: &mut Frame,
        guard: Option<Operand>,
    ) -> Option<(Operand, Quantity)> {
        let item = self.node(node, frame, guard)?;
        self.column(&item)
    }

    pub(super) fn truth(
        &mut self,
        node: &Node,
        frame: &mut Frame,
        guard: Option<Operand>,
    ) -> Option<Operand> {
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

    pub(super) fn arithmetic(
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
        let single = |item: &Item| match item {
            Item::Column(..) => true,
            Item::Known(value) => !matches!(value, Value::Record(_)),
            _ => false,
        };
        if !single(&yes) || !single(&no) {
            return None;
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
}
