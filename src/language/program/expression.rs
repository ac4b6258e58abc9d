//! Expressions as steps.

use super::compile::{Compiler, Frame, Item, Place, laid, like};
use super::steps::{Binary, Operand, Step, Unary};
use crate::language::SlotId;
use crate::language::{Callee, FindSides, Node, ResolvedExpr, SizeCode, Value, doubtful, styled};
use crate::quantity::Quantity;
use crate::syntax::Operator;

impl Compiler<'_> {
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
                let value = self.node(value, frame, guard)?;
                self.each(&value, &mut |compiler, value| {
                    let (operand, like) = compiler.column(value)?;
                    let like = like.negated().ok()?;
                    let operand = compiler.emit(Step::Unary(Unary::Negate, operand), guard)?;
                    Some(Item::Column(operand, like))
                })
            }
            ResolvedExpr::Not(value) => {
                let value = self.node(value, frame, guard)?;
                self.each(&value, &mut |compiler, value| {
                    let truth = truth_of(value)?;
                    compiler.emit(Step::Not(truth), guard).map(Item::Truth)
                })
            }
            ResolvedExpr::Chain(first, rest) => self.chain(first, rest, frame, guard),
            ResolvedExpr::If(parts) => self.choice(parts, frame, guard),
            ResolvedExpr::Call(call) => self.call(call, frame, guard),
            ResolvedExpr::List(items, None) => {
                let items = items.iter().map(|item| self.node(item, frame, guard));
                items.collect::<Option<Vec<_>>>().map(Item::List)
            }
            ResolvedExpr::As(value, unit) => {
                let value = self.node(value, frame, guard)?;
                self.each(&value, &mut |compiler, value| {
                    let (operand, like) = compiler.column(value)?;
                    Some(Item::Column(operand, like.shown_in(*unit).ok()?))
                })
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
                .or_else(|| self.node(of, frame, guard)?.field(name)),
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
            ResolvedExpr::Index(parts) => self.picked(parts, frame, guard),
            ResolvedExpr::Rows(rows) => self.rows(rows, frame, guard),
            ResolvedExpr::List(_, Some(_)) => None,
        }
    }

    /// Returns a cell that moves.
    fn cell(&mut self, slot: SlotId, guard: Option<Operand>) -> Option<Item> {
        if let Some(item) = self.between.get(&slot) {
            return Some(item.clone());
        }
        let place = self.setting.place(slot)?;
        let first = match place {
            Place::Column(number, _) | Place::Truth(number) => Some(number),
            // A record has all its fields or none.
            Place::Record(fields, _) => fields.iter().find_map(|(_, field)| match field {
                Place::Column(number, _) | Place::Truth(number) => Some(number),
                _ => None,
            }),
            _ => None,
        };
        if let Some(number) = first {
            self.emit(Step::Need(*number), guard)?;
        }
        self.setting.allows(place.count()).then(|| laid(place))
    }

    /// Returns a quantity as a column, with what it is like: its number is always 1, so that
    /// no arithmetic on it can go wrong by its size.
    pub(super) fn column(&self, item: &Item) -> Option<(Operand, Quantity)> {
        match item.lead()? {
            Item::Column(operand, like) => Some((*operand, *like)),
            Item::Known(value) => {
                let quantity = value.quantity().ok().filter(|q| q.si.is_finite())?;
                Some((Operand::Constant(quantity.si), like(quantity)))
            }
            _ => None,
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
        truth_of(&self.node(node, frame, guard)?)
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
                let mut truth = self.node(first, frame, guard)?;
                for (_, node) in rest {
                    // It is over at the first that is known to decide it.
                    if matches!(truth_of(&truth), Some(Operand::Constant(known)) if (known == 0.0) == and)
                    {
                        break;
                    }
                    // What a list leaves open is worked out whatever it holds.
                    let inner = match truth_of(&truth) {
                        None => guard,
                        Some(truth) if and => self.within(guard, truth)?,
                        Some(truth) => {
                            let goes_on = self.emit(Step::Not(truth), None)?;
                            self.within(guard, goes_on)?
                        }
                    };
                    let next = self.node(node, frame, inner)?;
                    truth = self.joined(&truth, and, &next)?;
                }
                Some(truth)
            }
            operator if operator.compares() => {
                let mut truth: Option<Item> = None;
                let mut left = self.node(first, frame, guard)?;
                for (operator, node) in rest {
                    let inner = match truth.as_ref().and_then(truth_of) {
                        None => guard,
                        Some(truth) => self.within(guard, truth)?,
                    };
                    let right = self.node(node, frame, inner)?;
                    let holds = self.compared(&left, *operator, &right)?;
                    truth = Some(match truth {
                        None => holds,
                        Some(before) => self.joined(&before, true, &holds)?,
                    });
                    left = right;
                }
                truth
            }
            _ => {
                let mut left = self.node(first, frame, guard)?;
                for (operator, node) in rest {
                    let right = self.node(node, frame, guard)?;
                    left = self.paired(&left, &right, &mut |compiler, a, b| {
                        let (a, b) = (compiler.column(a)?, compiler.column(b)?);
                        let (operand, like) = compiler.arithmetic(a, *operator, b, guard)?;
                        Some(Item::Column(operand, like))
                    })?;
                }
                Some(left)
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
        if let (Some(yes), Some(no)) = (truth_of(&yes), truth_of(&no)) {
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

/// Returns the truth that an item is.
pub(super) fn truth_of(item: &Item) -> Option<Operand> {
    match item {
        Item::Truth(operand) => Some(*operand),
        Item::Known(Value::Truth(truth)) => Some(Operand::Constant(f64::from(u8::from(*truth)))),
        _ => None,
    }
}
