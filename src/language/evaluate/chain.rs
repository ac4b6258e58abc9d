//! Operands joined by operators of one strength.

use std::cmp::Ordering;

use super::{Evaluated, Evaluator, ITEMS};
use crate::diagnostic::{Fault, Span};
use crate::language::code::Node;
use crate::language::{Trouble, Value};
use crate::quantity::Quantity;
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

    /// `and` (which is over at the first that is false) and `or` (at the first that is
    /// true).
    fn until(
        &self,
        stop: bool,
        first: &Node,
        rest: &[(Operator, Node)],
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Evaluated {
        let mut truth = self.truth(first, locals, base)?;
        for (_, node) in rest {
            if truth == stop {
                break;
            }
            truth = self.truth(node, locals, base)?;
        }
        Ok(Value::Truth(truth))
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
        for (operator, node) in rest {
            let right = self.node(node, locals, base)?;
            self.charge(left.size().min(right.size()) / 2, span)?;
            if !holds(&left, *operator, &right).map_err(|fault| Trouble::at(fault, span))? {
                return Ok(Value::Truth(false));
            }
            left = right;
        }
        Ok(Value::Truth(true))
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
        let mut left = value
            .quantity()
            .map_err(|fault| Trouble::at(fault, first.span))?;
        for (operator, node) in rest {
            let right = self.quantity(node, locals, base)?;
            let joined = arithmetic(left, *operator, right);
            left = joined.map_err(|fault| Trouble::at(fault, first.span.to(node.span)))?;
        }
        Ok(Value::Quantity(left))
    }

    /// Arithmetic that begins with text: texts join.
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
                return Err(Trouble::at(Fault::new(message), place));
            }
        };
        for (_, node) in rest {
            match self.node(node, locals, base)? {
                Value::Text(text) => {
                    self.charge(text.len() / 16, node.span)?;
                    if joined.len() + text.len() > ITEMS {
                        let message = format!("this text grows longer than {ITEMS} characters");
                        return Err(Trouble::at(Fault::new(message), place.to(node.span)));
                    }
                    joined.push_str(&text);
                }
                other => {
                    let message = format!("{} can't be added to text", other.described());
                    return Err(Trouble::at(Fault::new(message), node.span));
                }
            }
        }
        Ok(joined.into())
    }
}

fn arithmetic(left: Quantity, operator: Operator, right: Quantity) -> Result<Quantity, Fault> {
    let result = match operator {
        Operator::Plus => left.plus(right),
        Operator::Minus => left.minus(right),
        Operator::Times => left.times(right),
        Operator::Over => left.over(right),
        _ => left.power(right),
    }?;
    if result.si.is_finite() {
        Ok(result)
    } else {
        Err(Fault::new("the result is too large a number"))
    }
}

/// Whether a comparison holds.
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
