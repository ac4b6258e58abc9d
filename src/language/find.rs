//! Solving for an unknown between two bounds.

use super::code::FindCode;
use super::evaluate::Evaluator;
use super::{Trouble, Value};
use crate::diagnostic::{Diagnostic, Fault, Span};
use crate::quantity::Quantity;

/// In how many places the bracket is looked at before solving.
const PLACES: usize = 64;
/// How close a root is found: this part of the bracket or of the root.
const CLOSE: f64 = 1e-15;
/// The most steps of one solution; halving alone needs 60.
const STEPS: usize = 200;

/// What solving brought.
#[derive(Clone, Debug, PartialEq)]
pub struct Roots {
    /// The roots, in rising order.
    pub found: Vec<f64>,
    /// The function at the two ends of the bracket, where it has a value.
    pub ends: (Option<f64>, Option<f64>),
}

/// Finds the roots of `function` between `low` and `high`: all that show as a
/// change of sign, or an exact zero, between 64 equal steps.
///
/// `function` gives nothing where it has no value. A change of sign at a jump (a
/// pole, a step to the next standard size) is no root.
///
/// Method: bisection safeguarding inverse interpolation, after T. J. Dekker and
/// R. P. Brent, "Algorithms for Minimization without Derivatives" (1973), chapter 4.
///
/// # Errors
/// What `function` itself fails with.
pub fn solve<E>(
    low: f64,
    high: f64,
    mut function: impl FnMut(f64) -> Result<Option<f64>, E>,
) -> Result<Roots, E> {
    let mut places: Vec<(f64, Option<f64>)> = Vec::with_capacity(PLACES + 1);
    for place in 0..=PLACES {
        #[allow(clippy::cast_precision_loss)] // at most 64
        let x = if place == PLACES {
            high
        } else {
            low + (high - low) * (place as f64 / PLACES as f64)
        };
        places.push((x, function(x)?.filter(|y| y.is_finite())));
    }
    let ends = (
        places.first().and_then(|p| p.1),
        places.last().and_then(|p| p.1),
    );
    let size = places
        .iter()
        .filter_map(|p| p.1)
        .fold(0.0_f64, |size, y| size.max(y.abs()));
    let mut found: Vec<f64> = Vec::new();
    for pair in places.windows(2) {
        let &[(a, Some(fa)), (b, Some(fb))] = pair else {
            continue;
        };
        if fa == 0.0 {
            found.push(a);
        }
        if fa * fb < 0.0
            && let Some((root, left)) = brent((a, fa), (b, fb), &mut function)?
            && left.abs() <= 1e-6 * size
        {
            found.push(root);
        }
    }
    if let Some((last, Some(0.0))) = places.last() {
        found.push(*last);
    }
    found.sort_by(f64::total_cmp);
    found.dedup_by(|a, b| (*a - *b).abs() <= 1e-9 * (high - low).abs());
    Ok(Roots { found, ends })
}

/// One root between two places where the signs differ, with what is left there.
fn brent<E>(
    (mut a, mut fa): (f64, f64),
    (mut b, mut fb): (f64, f64),
    function: &mut impl FnMut(f64) -> Result<Option<f64>, E>,
) -> Result<Option<(f64, f64)>, E> {
    let (mut c, mut fc) = (a, fa);
    let mut step = b - a;
    let mut before = step;
    for _ in 0..STEPS {
        if fc.abs() < fb.abs() {
            (a, b, c) = (b, c, b);
            (fa, fb, fc) = (fb, fc, fb);
        }
        let close = 2.0 * f64::EPSILON * b.abs() + CLOSE * (c - a).abs().min(1.0) * f64::EPSILON;
        let middle = 0.5 * (c - b);
        if middle.abs() <= close || fb == 0.0 {
            return Ok(Some((b, fb)));
        }
        if before.abs() >= close && fa.abs() > fb.abs() {
            let s = fb / fa;
            let (mut p, mut q) = if a == c {
                (2.0 * middle * s, 1.0 - s)
            } else {
                let (q, r) = (fa / fc, fb / fc);
                (
                    s * (2.0 * middle * q * (q - r) - (b - a) * (r - 1.0)),
                    (q - 1.0) * (r - 1.0) * (s - 1.0),
                )
            };
            if p > 0.0 {
                q = -q;
            }
            p = p.abs();
            if 2.0 * p < (3.0 * middle * q - (close * q).abs()).min((before * q).abs()) {
                before = step;
                step = p / q;
            } else {
                step = middle;
                before = middle;
            }
        } else {
            step = middle;
            before = middle;
        }
        (a, fa) = (b, fb);
        b += if step.abs() > close {
            step
        } else {
            close.copysign(middle)
        };
        match function(b)? {
            Some(y) if y.is_finite() => fb = y,
            _ => return Ok(None),
        }
        if (fb > 0.0) == (fc > 0.0) {
            (c, fc) = (a, fa);
            step = b - a;
            before = step;
        }
    }
    Ok(Some((b, fb)))
}

/// Turns what solving brought into the one value wanted, or says why there is
/// none.
///
/// # Errors
/// When there is no root or more than one, with the values at the ends.
pub fn only_root(
    name: &str,
    low: Quantity,
    high: Quantity,
    roots: &Roots,
    unit: Quantity,
) -> Result<f64, Fault> {
    let show = |value: f64| Quantity { si: value, ..low }.to_string();
    match roots.found.as_slice() {
        [root] => Ok(*root),
        [] => {
            let end = |y: Option<f64>| match y {
                Some(y) => Quantity { si: y, ..unit }.to_string(),
                None => "no value".to_owned(),
            };
            let message = format!("no `{name}` between {low} and {high} fits");
            Err(Fault::new(message).advise(format!(
                "left side less right side is {} at {low} and {} at {high}; widen the bounds",
                end(roots.ends.0),
                end(roots.ends.1)
            )))
        }
        many => {
            let listed: Vec<String> = many.iter().take(6).map(|root| show(*root)).collect();
            let message = format!(
                "{} values of `{name}` fit: {}",
                many.len(),
                listed.join(", ")
            );
            Err(Fault::new(message).advise("narrow the bounds to the one that is wanted"))
        }
    }
}

/// The bracket of a `find`, lower end first.
///
/// # Errors
/// When the ends measure different things or are the same.
pub fn bracket(low: Quantity, high: Quantity) -> Result<(Quantity, Quantity), Fault> {
    match low.order(high)? {
        std::cmp::Ordering::Less => Ok((low, high)),
        std::cmp::Ordering::Greater => Ok((high, low)),
        std::cmp::Ordering::Equal => Err(Fault::new(format!("both bounds are {low}"))),
    }
}

/// Evaluates a `find` whose unknown is a local.
pub(super) fn evaluate(
    evaluator: &Evaluator,
    find: &FindCode,
    span: Span,
    locals: &mut Vec<Value>,
    base: usize,
) -> Result<Value, Trouble> {
    let low = evaluator.quantity(&find.low, locals, base)?;
    let high = evaluator.quantity(&find.high, locals, base)?;
    let ends = find.low.span.to(find.high.span);
    let (low, high) = bracket(low, high).map_err(|fault| Trouble::at(fault, ends))?;
    let place = base + usize::from(find.local);
    let mut difference = Quantity::number(0.0);
    let mut worst: Option<Box<Diagnostic>> = None;
    let roots = solve(low.si, high.si, |x| {
        locals.truncate(place);
        locals.push(Value::Quantity(Quantity { si: x, ..low }));
        let result = sides(evaluator, find, locals, base);
        locals.truncate(place);
        match result {
            Ok(value) => {
                difference = value;
                Ok(Some(value.si))
            }
            // Where the formula has no value there is no root; the first reason is
            // kept in case it never has one.
            Err(Trouble::Wrong(wrong)) if evaluator.steps_left() > 0 => {
                worst.get_or_insert(wrong);
                Ok(None)
            }
            Err(trouble) => Err(trouble),
        }
    })?;
    if let (
        Roots {
            found,
            ends: (None, None),
        },
        Some(wrong),
    ) = (&roots, worst)
        && found.is_empty()
    {
        return Err(Trouble::Wrong(wrong));
    }
    let root = only_root(&find.name, low, high, &roots, difference)
        .map_err(|fault| Trouble::at(fault, span))?;
    Ok(Value::Quantity(Quantity { si: root, ..low }))
}

fn sides(
    evaluator: &Evaluator,
    find: &FindCode,
    locals: &mut Vec<Value>,
    base: usize,
) -> Result<Quantity, Trouble> {
    let left = evaluator.quantity(&find.left, locals, base)?;
    let right = evaluator.quantity(&find.right, locals, base)?;
    left.minus(right)
        .map_err(|fault| Trouble::at(fault, find.left.span.to(find.right.span)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn roots(low: f64, high: f64, f: impl Fn(f64) -> f64) -> Vec<f64> {
        solve::<()>(low, high, |x| Ok(Some(f(x)))).unwrap().found
    }

    #[test]
    fn roots_are_found_to_the_last_digits() {
        // Source: exact values, 2^(1/2), pi, and the Dottie number 0.739085133215160641655312...
        for (low, high, f, exact) in [
            (
                0.0,
                2.0,
                (|x: f64| x * x - 2.0) as fn(f64) -> f64,
                std::f64::consts::SQRT_2,
            ),
            (3.0, 4.0, |x| x.sin(), std::f64::consts::PI),
            (0.0, 1.0, |x| x.cos() - x, 0.739_085_133_215_160_6),
            (0.0, 1e-3, |x| x - 3.3e-4, 3.3e-4),
        ] {
            let found = roots(low, high, f);
            assert_eq!(found.len(), 1);
            assert!((found[0] / exact - 1.0).abs() < 1e-12, "{found:?} {exact}");
        }
    }

    #[test]
    fn all_roots_show_and_a_pole_is_none() {
        assert_eq!(roots(0.0, 10.0, |x| (x - 1.0) * (x - 9.0)).len(), 2);
        assert!(roots(0.0, 3.0, f64::tan).len() == 1);
        assert!(roots(1.0, 2.0, |x| 1.0 / (x - 1.51)).is_empty());
        assert_eq!(roots(-1.0, 1.0, |x| x), [0.0]);
    }
}
