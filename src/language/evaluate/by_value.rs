//! Lists in arithmetic, comparisons and calls: value by value.

use super::{Evaluated, Evaluator};
use crate::diagnostic::{Fault, Span};
use crate::language::{EvalError, UserFunction, Value};
use crate::quantity::Quantity;
use crate::syntax::Operator;

/// Applies `one` to two values: to each pair of two lists, to each value of a list and
/// the other.
///
/// # Errors
/// When two lists are of different length, and what `one` says.
pub fn paired(
    left: &Value,
    right: &Value,
    one: &mut impl FnMut(&Value, &Value) -> Result<Value, Fault>,
) -> Result<Value, Fault> {
    // One call less where a value is no list, as most are not.
    let mut next = |a: &Value, b: &Value| match (a, b) {
        (Value::List(_), _) | (_, Value::List(_)) => paired(a, b, one),
        (a, b) => one(a, b),
    };
    match (left, right) {
        (Value::List(a), Value::List(b)) => {
            if a.len() != b.len() {
                let message = format!(
                    "{} and {} can't be taken value by value",
                    left.described(),
                    right.described()
                );
                return Err(Fault::new(message).advise("two lists must be of the same length"));
            }
            let pairs = a.iter().zip(b.iter());
            let made: Result<Vec<Value>, Fault> = pairs.map(|(a, b)| next(a, b)).collect();
            made.map(Value::from)
        }
        (Value::List(a), b) => {
            let made: Result<Vec<Value>, Fault> = a.iter().map(|a| next(a, b)).collect();
            made.map(Value::from)
        }
        (a, Value::List(b)) => {
            let made: Result<Vec<Value>, Fault> = b.iter().map(|b| next(a, b)).collect();
            made.map(Value::from)
        }
        (a, b) => next(a, b),
    }
}

/// Applies `one` to a value, or to each value of a list.
///
/// # Errors
/// What `one` says.
pub fn each(
    value: &Value,
    one: &mut impl FnMut(&Value) -> Result<Value, Fault>,
) -> Result<Value, Fault> {
    match value {
        Value::List(items) => {
            let made: Result<Vec<Value>, Fault> =
                items.iter().map(|item| each(item, one)).collect();
            made.map(Value::from)
        }
        value => one(value),
    }
}

/// Returns one operation of a chain on lists.
pub(super) fn joined(left: &Value, operator: Operator, right: &Value) -> Result<Value, Fault> {
    paired(left, right, &mut |a, b| {
        arithmetic(a.quantity()?, operator, b.quantity()?).map(Value::Quantity)
    })
}

/// Works out `and` of two truths or lists of truths.
pub(super) fn both(left: &Value, right: &Value) -> Result<Value, Fault> {
    paired(left, right, &mut |a, b| {
        Ok(Value::Truth(a.truth()? && b.truth()?))
    })
}

/// Works out `or` of two truths or lists of truths.
pub(super) fn either(left: &Value, right: &Value) -> Result<Value, Fault> {
    paired(left, right, &mut |a, b| {
        Ok(Value::Truth(a.truth()? || b.truth()?))
    })
}

/// Returns how many times a function is called for lists that stand where it takes single
/// values; nothing where it takes all of them as they are.
///
/// # Errors
/// Two lists of different length.
pub(super) fn times(
    function: &UserFunction,
    given: &[(Option<Value>, Span)],
) -> Result<Option<usize>, EvalError> {
    let mut found: Option<(usize, String)> = None;
    for ((value, span), contract) in given.iter().zip(&function.contracts) {
        let Some(Value::List(items)) = value else {
            continue;
        };
        if !contract.takes_one() {
            continue;
        }
        let described = value.as_ref().map(Value::described).unwrap_or_default();
        match &found {
            Some((count, before)) if *count != items.len() => {
                let message = format!("{before} and {described} can't be taken value by value");
                let fault = Fault::new(message).advise("two lists must be of the same length");
                return Err(EvalError::at(fault, *span));
            }
            Some(_) => {}
            None => found = Some((items.len(), described)),
        }
    }
    Ok(found.map(|(count, _)| count))
}

/// Returns the arguments of one of several calls.
pub(super) fn nth(
    function: &UserFunction,
    given: &[(Option<Value>, Span)],
    index: usize,
) -> Vec<(Option<Value>, Span)> {
    let contracts = function.contracts.iter().map(Some);
    let one = |((value, span), contract): (
        &(Option<Value>, Span),
        Option<&crate::language::Contract>,
    )| {
        let value = match (value, contract) {
            (Some(Value::List(items)), Some(contract)) if contract.takes_one() => {
                items.get(index).cloned()
            }
            (value, _) => value.clone(),
        };
        (value, *span)
    };
    given
        .iter()
        .zip(contracts.chain(std::iter::repeat(None)))
        .map(one)
        .collect()
}

impl Evaluator<'_> {
    /// Charges for going through the lists of an operation.
    pub(super) fn charge_for(&self, a: &Value, b: &Value, span: Span) -> Result<(), EvalError> {
        self.charge(a.size().max(b.size()), span)
    }

    /// Returns a result for a list that was worked out value by value.
    pub(super) fn by_value(&self, made: Result<Value, Fault>, span: Span) -> Evaluated {
        let made = made.map_err(|fault| EvalError::at(fault, span))?;
        self.bounded(made, span)
    }
}

/// Returns one operation on two quantities.
pub(super) fn arithmetic(
    left: Quantity,
    operator: Operator,
    right: Quantity,
) -> Result<Quantity, Fault> {
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
