//! Arithmetic and trigonometry.

use crate::diagnostic::Fault;
use crate::language::Value;
use crate::language::arguments::Arguments;
use crate::language::arguments::Topic;
use crate::quantity::{
    Dimension, Quantity, Unit, left_over, nearest, rounded, significant, tan, within_one,
};

/// The functions of this topic.
pub const FUNCTIONS: Topic = &[
    ("abs", |a| {
        let given = given(a, 0)?;
        value(Quantity {
            si: given.si.abs(),
            ..given
        })
    }),
    ("sqrt", |a| {
        given(a, 0)?
            .root(2)
            .map(Value::Quantity)
            .map_err(|fault| fault.in_argument(0))
    }),
    ("cbrt", |a| {
        given(a, 0)?
            .root(3)
            .map(Value::Quantity)
            .map_err(|fault| fault.in_argument(0))
    }),
    ("sin", |a| plain(a.number(0).sin())),
    ("cos", |a| plain(a.number(0).cos())),
    ("tan", tangent),
    ("asin", |a| angle(sine_or_cosine("asin", a)?.asin())),
    ("acos", |a| angle(sine_or_cosine("acos", a)?.acos())),
    ("atan", |a| angle(a.number(0).atan())),
    ("atan2", atan2),
    ("exp", |a| plain(a.number(0).exp())),
    ("ln", |a| plain(a.number(0).ln())),
    ("log10", |a| plain(a.number(0).log10())),
    ("min", |a| extreme(a, std::cmp::Ordering::Less)),
    ("max", |a| extreme(a, std::cmp::Ordering::Greater)),
    ("sum", |a| total(a.list(0)).map(Value::Quantity)),
    ("mean", mean),
    ("round", |a| stepped(a, nearest)),
    ("round_up", |a| stepped(a, f64::ceil)),
    ("round_down", |a| stepped(a, f64::floor)),
    ("remainder", remainder),
    ("whole", |a| plain(nearest(a.number(0)))),
];

/// Returns the quantity of an argument that may be of any dimension.
fn given(arguments: &Arguments, index: usize) -> Result<Quantity, Fault> {
    let quantity = arguments.value(index).quantity();
    quantity.map_err(|fault| fault.in_argument(index))
}

fn value(quantity: Quantity) -> Result<Value, Fault> {
    Ok(Value::Quantity(quantity))
}

fn plain(number: f64) -> Result<Value, Fault> {
    Ok(Value::number(number))
}

fn angle(radians: f64) -> Result<Value, Fault> {
    value(Quantity::si(radians, Dimension::ANGLE))
}

fn tangent(arguments: &Arguments) -> Result<Value, Fault> {
    let tangent = tan(arguments.number(0));
    if tangent.is_nan() {
        let message = format!("tan of {} has no value", arguments.value(0));
        return Err(Fault::new(message)
            .advise("at a right angle the tangent has no end")
            .in_argument(0));
    }
    plain(tangent)
}

fn sine_or_cosine(name: &str, arguments: &Arguments) -> Result<f64, Fault> {
    let x = arguments.number(0);
    let within = within_one(x);
    if within.is_nan() {
        let message = format!(
            "{name} of {} has no value: it must lie from -1 to 1",
            significant(x, if x.abs() < 1.001 { 13 } else { 6 })
        );
        return Err(Fault::new(message)
            .advise("do the sizes make a triangle?")
            .in_argument(0));
    }
    Ok(within)
}

fn atan2(arguments: &Arguments) -> Result<Value, Fault> {
    let (y, x) = (given(arguments, 0)?, given(arguments, 1)?);
    y.order(x).map_err(|fault| fault.in_argument(1))?;
    angle(y.si.atan2(x.si))
}

fn quantities(values: &[Value]) -> Result<Vec<Quantity>, Fault> {
    if values.is_empty() {
        return Err(Fault::new("the list is empty").in_argument(0));
    }
    values
        .iter()
        .map(|value| value.quantity().map_err(|fault| fault.in_argument(0)))
        .collect()
}

fn extreme(arguments: &Arguments, wanted: std::cmp::Ordering) -> Result<Value, Fault> {
    let values = quantities(arguments.list(0))?;
    let mut values = values.into_iter();
    let mut best = values.next().unwrap_or(Quantity::number(f64::NAN));
    for next in values {
        // Compared exactly: a difference by rounding is no reason to take the wrong one.
        next.order(best)?;
        if next.si.partial_cmp(&best.si) == Some(wanted) {
            best = next;
        }
    }
    value(best)
}

fn total(values: &[Value]) -> Result<Quantity, Fault> {
    let values = quantities(values)?;
    let mut values = values.into_iter();
    let first = values.next().unwrap_or(Quantity::number(0.0));
    values
        .try_fold(first, Quantity::plus)
        .map_err(|fault| fault.in_argument(0))
}

fn mean(arguments: &Arguments) -> Result<Value, Fault> {
    let values = arguments.list(0);
    let sum = total(values)?;
    #[allow(clippy::cast_precision_loss)] // lists are shorter than 2^52
    let number = values.len() as f64;
    value(Quantity {
        si: sum.si / number,
        ..sum
    })
}

fn stepped(arguments: &Arguments, round: fn(f64) -> f64) -> Result<Value, Fault> {
    let (given, step) = (given(arguments, 0)?, step(arguments)?);
    let zero = given.unit.offset();
    value(Quantity {
        si: rounded(given.si - zero, step, round) + zero,
        ..given
    })
}

/// Returns the step of a rounding. A temperature is rounded on its scale; its step is a
/// difference, or a number of degrees on the same scale.
fn step(arguments: &Arguments) -> Result<f64, Fault> {
    let (given, mut step) = (given(arguments, 0)?, given(arguments, 1)?);
    if given.unit.from_another_zero() {
        if step.unit.from_another_zero() {
            step.si -= step.unit.offset();
            step.unit = Unit::NONE;
        }
        let difference = Quantity::si(1.0, given.dimension);
        difference
            .order(step)
            .map_err(|fault| fault.in_argument(1))?;
    } else {
        given.order(step).map_err(|fault| fault.in_argument(1))?;
    }
    if step.si > 0.0 {
        Ok(step.si)
    } else {
        Err(Fault::new(format!("the step must be more than 0; it is {step}")).in_argument(1))
    }
}

fn remainder(arguments: &Arguments) -> Result<Value, Fault> {
    let (mut given, step) = (given(arguments, 0)?, step(arguments)?);
    if given.unit.from_another_zero() {
        // What is left of a temperature is a difference, counted from its scale's zero.
        given.si -= given.unit.offset();
        given.unit = Unit::NONE;
    }
    value(Quantity {
        si: left_over(given.si, step),
        ..given
    })
}
