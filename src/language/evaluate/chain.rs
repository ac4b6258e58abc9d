//! Operands joined by operators of one strength.

use std::cmp::Ordering;

use super::by_value::{arithmetic, both, either, joined, paired};
use super::{Evaluated, Evaluator};
use crate::diagnostic::{Fault, Span};
use crate::language::bounds::ITEMS;
use crate::language::code::{Node, ResolvedExpr};
use crate::language::{EvalError, Value};
use crate::quantity::{Dimension, Quantity, Unit, parse_unit};
use crate::syntax::Operator;

impl Evaluator<'_> {
    pub(super) fn chain(
        &self,
        first: &Node,
        rest: &[(Operator, Node)],
        span: Span,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Evaluated {
        match rest.first().map(|(operator, _)| *operator) {
            Some(Operator::And) => self.until(false, first, rest, locals, base),
            Some(Operator::Or) => self.until(true, first, rest, locals, base),
            Some(operator) if operator.compares() => self.compared(first, rest, span, locals, base),
            _ => self.arithmetic(first, rest, locals, base),
        }
    }

    /// Works out `and` (which is over at the first that is false) and `or` (at the first that is
    /// true).
    fn until(
        &self,
        stop: bool,
        first: &Node,
        rest: &[(Operator, Node)],
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Evaluated {
        let truths = |value: Value, node: &Node| match value {
            Value::Truth(_) | Value::List(_) => Ok(value),
            other => match other.truth() {
                Ok(truth) => Ok(Value::Truth(truth)),
                Err(fault) => Err(EvalError::at(fault, node.span)),
            },
        };
        let mut truth = truths(self.node(first, locals, base)?, first)?;
        for (_, node) in rest {
            if truth == Value::Truth(stop) {
                break;
            }
            let next = truths(self.node(node, locals, base)?, node)?;
            truth = match (&truth, &next) {
                (Value::Truth(_), Value::Truth(_)) => next,
                (a, b) => {
                    self.charge_for(a, b, node.span)?;
                    let joined = if stop { either(a, b) } else { both(a, b) };
                    self.by_value(joined, first.span.to(node.span))?
                }
            };
        }
        Ok(truth)
    }

    fn compared(
        &self,
        first: &Node,
        rest: &[(Operator, Node)],
        span: Span,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Evaluated {
        let mut left = self.node(first, locals, base)?;
        let mut truth = Value::Truth(true);
        for (operator, node) in rest {
            let right = self.node(node, locals, base)?;
            self.charge(left.size().max(right.size()) - 1, span)?;
            let next = compared(&left, *operator, &right);
            let next = next.map_err(|fault| EvalError::at(fault, span))?;
            if let Value::Truth(next) = next {
                self.decided(u64::from(next));
            }
            truth = match (&truth, next) {
                (Value::Truth(true), next) => next,
                (truth, next) => {
                    self.charge_for(truth, &next, span)?;
                    self.by_value(both(truth, &next), span)?
                }
            };
            if truth == Value::Truth(false) {
                break;
            }
            left = right;
        }
        if let Value::List(_) = truth {
            self.charge(truth.size(), span)?;
        }
        Ok(truth)
    }

    fn arithmetic(
        &self,
        first: &Node,
        rest: &[(Operator, Node)],
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Evaluated {
        let value = self.node(first, locals, base)?;
        if matches!(value, Value::Text(_)) {
            return self.chain_of_other(value, first.span, rest, locals, base);
        }
        if matches!(value, Value::List(_)) {
            return self.of_lists(value, first, rest, locals, base);
        }
        let mut left = value
            .quantity()
            .map_err(|fault| EvalError::at(fault, first.span))?;
        for (index, (operator, node)) in rest.iter().enumerate() {
            let right = match self.node(node, locals, base)? {
                list @ Value::List(_) => {
                    let made = joined(&left.into(), *operator, &list);
                    self.charge(list.size(), node.span)?;
                    let made = self.by_value(made, first.span.to(node.span))?;
                    let rest = rest.get(index + 1..).unwrap_or_default();
                    return self.of_lists(made, first, rest, locals, base);
                }
                single => single
                    .quantity()
                    .map_err(|fault| EvalError::at(fault, node.span))?,
            };
            let joined = if *operator == Operator::Times && doubtful(left, right) {
                turned(left, right, has_pi(first, rest))
            } else {
                arithmetic(left, *operator, right).map(|product| {
                    let times = *operator == Operator::Times;
                    if times && product.dimension == Dimension::ROTATION {
                        no_speed(product, first, rest)
                    } else {
                        product
                    }
                })
            };
            left = joined.map_err(|fault| EvalError::at(fault, first.span.to(node.span)))?;
        }
        Ok(Value::Quantity(left))
    }

    /// Does arithmetic that has come to a list: value by value.
    fn of_lists(
        &self,
        mut left: Value,
        first: &Node,
        rest: &[(Operator, Node)],
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Evaluated {
        for (operator, node) in rest {
            let right = self.node(node, locals, base)?;
            self.charge_for(&left, &right, node.span)?;
            left = self.by_value(joined(&left, *operator, &right), first.span.to(node.span))?;
        }
        Ok(left)
    }

    /// Does arithmetic that begins with text: texts join.
    fn chain_of_other(
        &self,
        first: Value,
        place: Span,
        rest: &[(Operator, Node)],
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Evaluated {
        let mut joined = match &first {
            Value::Text(text) if rest.iter().all(|(operator, _)| *operator == Operator::Plus) => {
                text.to_string()
            }
            _ => {
                let message = format!("{} is given where a number is wanted", first.described());
                return Err(EvalError::at(Fault::new(message), place));
            }
        };
        for (_, node) in rest {
            match self.node(node, locals, base)? {
                Value::Text(text) => {
                    self.charge(text.len() / 4, node.span)?;
                    if joined.len() + text.len() > ITEMS {
                        let message = format!("this text grows longer than {ITEMS} characters");
                        return Err(EvalError::at(Fault::new(message), place.to(node.span)));
                    }
                    joined.push_str(&text);
                }
                other => {
                    let message = format!("{} can't be added to text", other.described());
                    return Err(EvalError::at(Fault::new(message), node.span));
                }
            }
        }
        Ok(joined.into())
    }
}

/// Power or energy per time.
const POWER: Dimension = Dimension::new(2, 1, -3, 0, 0);

/// Returns whether a product counts revolutions and could be meant by the angle: of an angle
/// and what is per revolution, or of a torque and a speed of rotation.
#[inline]
#[must_use]
pub fn doubtful(left: Quantity, right: Quantity) -> bool {
    let Some(dimension) = left.dimension.times(right.dimension) else {
        return false;
    };
    let rotation = left.dimension == Dimension::ROTATION || right.dimension == Dimension::ROTATION;
    if rotation {
        return dimension == POWER;
    }
    dimension.angle != 0
        && (dimension.length != 0 || dimension.mass != 0)
        && (left.counts_revolutions() || right.counts_revolutions())
}

/// Returns a speed of rotation times a number. `2 * pi * n` is no speed in revolutions any
/// more, and is not shown as one.
fn no_speed(product: Quantity, first: &Node, rest: &[(Operator, Node)]) -> Quantity {
    match parse_unit("min^-1") {
        Ok(unit) if product.counts_revolutions() && has_pi(first, rest) => {
            Quantity { unit, ..product }
        }
        _ => product,
    }
}

/// Returns the product of what is counted in revolutions and an angle or a torque.
/// `pi` says whether pi stands in the formula.
fn turned(left: Quantity, right: Quantity, pi: bool) -> Result<Quantity, Fault> {
    let product = arithmetic(left, Operator::Times, right)?;
    if product.dimension == POWER {
        let (speed, torque) = if left.dimension == Dimension::ROTATION {
            (left, right)
        } else {
            (right, left)
        };
        let energy = torque.unit.parts().len() == 1;
        let radians = speed.unit != Unit::NONE && !speed.counts_revolutions();
        if pi || energy || radians {
            return Ok(product);
        }
        let message = format!(
            "{speed} counts revolutions: times {torque} it is not the power, 2 pi is wanting"
        );
        return Err(Fault::new(message).advise("write `2 * pi * n * torque`"));
    }
    let (count, angle) = if left.counts_revolutions() {
        (left, right)
    } else {
        (right, left)
    };
    let message = format!(
        "{count} counts revolutions and {angle} is an angle: one revolution is 360 deg, not 1 rad"
    );
    Err(Fault::new(message).advise(format!(
        "divide the angle by one revolution in brackets: `{count} * ({angle} / (360 deg)) * 1 rev`"
    )))
}

/// Returns whether pi is a factor or a term of a chain.
fn has_pi(first: &Node, rest: &[(Operator, Node)]) -> bool {
    let mut found = false;
    let mut look = |node: &Node| {
        if let ResolvedExpr::Constant(Value::Quantity(value)) = &node.code {
            found |= value.unit == Unit::NONE && value.si == std::f64::consts::PI;
        }
    };
    first.walk(&mut look);
    rest.iter().for_each(|(_, node)| node.walk(&mut look));
    found
}

/// Returns a comparison: of two values or two whole lists by `=` and `!=` a truth, else value by
/// value.
fn compared(left: &Value, operator: Operator, right: &Value) -> Result<Value, Fault> {
    let equality = matches!(operator, Operator::Equal | Operator::Unequal);
    let lists = (
        matches!(left, Value::List(_)),
        matches!(right, Value::List(_)),
    );
    if lists == (false, false) || equality && lists == (true, true) {
        return holds(left, operator, right).map(Value::Truth);
    }
    paired(left, right, &mut |a, b| {
        holds(a, operator, b).map(Value::Truth)
    })
}

/// Returns whether a comparison holds.
fn holds(left: &Value, operator: Operator, right: &Value) -> Result<bool, Fault> {
    match operator {
        Operator::Equal => left.equals(right),
        Operator::Unequal => left.equals(right).map(|equal| !equal),
        _ => {
            let order = left.quantity()?.order(right.quantity()?)?;
            Ok(match operator {
                Operator::Less => order == Ordering::Less,
                Operator::AtMost => order != Ordering::Greater,
                Operator::More => order == Ordering::Greater,
                _ => order != Ordering::Less,
            })
        }
    }
}
