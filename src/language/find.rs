//! Solving for an unknown between two bounds.

use std::sync::Arc;

use foldhash::HashMap;

use super::code::{FindCode, Node, SizeCode, Source};
use super::evaluate::Evaluator;
use super::program::{
    Equation, Place, Setting, Shape, Solutions, Tape, brent, compile_scalar, equation, like,
};
use super::{EvalError, UserFunction, Value};
use crate::diagnostic::{Diagnostic, Fault, Span};
use crate::language::SlotId;
use crate::quantity::Quantity;

/// In how many places the bracket is looked at before solving what has no program.
const PLACES: usize = 64;
/// How many places where a function without a program comes near 0 are looked at.
const NEAR: usize = 8;
/// The most steps of a program that one solution may take.
const PROGRAM_STEPS: u64 = 3_000_000;
/// So many steps of a program cost one step of the evaluator.
const CHEAPER: u64 = 8;
/// The steps of the evaluator that it takes to make the program of an equation.
const MADE: usize = 50;

/// The unknown of an equation.
#[derive(Clone, Copy, Debug)]
pub enum Unknown<'a> {
    /// A local, by its place, with the values of those before it.
    Local(u16, &'a [Value]),
    /// A cell, by its slot.
    Cell(SlotId),
}

/// What an equation is compiled against.
struct Around<'a, 'b> {
    evaluator: &'a Evaluator<'b>,
    /// The unknown and the cells between it and the equation.
    columns: HashMap<SlotId, Place>,
}

impl Setting for Around<'_, '_> {
    fn value(&self, node: &Node, locals: &mut Vec<Value>) -> Option<Value> {
        self.evaluator.with_locals(node, locals).ok()
    }

    fn drawn(&self, node: &Node) -> Option<Value> {
        self.evaluator.evaluate_drawn(node).ok()
    }

    fn moves(&self, slot: SlotId) -> bool {
        self.columns.contains_key(&slot)
    }

    fn place(&self, slot: SlotId) -> Option<&Place> {
        self.columns.get(&slot)
    }

    fn source(&self, _: Source) -> Option<usize> {
        None
    }

    fn limits(&self, _: &SizeCode) -> Option<(Quantity, f64, f64)> {
        None
    }

    fn function(&self, slot: SlotId) -> Option<Arc<UserFunction>> {
        self.evaluator.cells().function(slot).cloned()
    }

    fn allows(&self, steps: usize) -> bool {
        self.evaluator.take(steps);
        self.evaluator.steps_left() > 0
    }
}

/// Returns every root of `left = right` between two bounds, with what their
/// difference measures; nothing where the sides have no program or no value.
///
/// `members` are the cells between the unknown and the equation, each after those
/// that it needs.
pub fn every_root(
    evaluator: &Evaluator,
    unknown: Unknown,
    members: &[(SlotId, &Node)],
    [left, right]: [&Node; 2],
    (low, high): (Quantity, Quantity),
) -> Option<(Solutions, Quantity)> {
    evaluator.take(MADE);
    let mut around = Around {
        evaluator,
        columns: HashMap::default(),
    };
    let mut tape = Tape::default();
    if let Unknown::Cell(slot) = unknown {
        tape.push_unknown(0);
        around.columns.insert(slot, Place::Column(0, like(low)));
    }
    for (index, (slot, node)) in members.iter().enumerate() {
        let (program, shape) = compile_scalar(&around, node)?;
        if !tape.push(index + 1, &program, shape == Shape::Truth) {
            return None;
        }
        let number = index + 1;
        let place = match shape {
            Shape::Quantity(like) => Place::Column(number, like),
            Shape::Truth => Place::Truth(number),
        };
        around.columns.insert(*slot, place);
    }
    let local = match unknown {
        Unknown::Local(place, locals) => Some((place, locals, like(low))),
        Unknown::Cell(_) => None,
    };
    let (difference, equal, measures) = equation(&around, [left, right], local)?;
    let count = members.len();
    if !tape.push(count + 1, &difference, false) || !tape.push(count + 2, &equal, true) {
        return None;
    }
    let (difference, equal) = (tape.slice(count + 1)?, tape.slice(count + 2)?);
    let allowed = PROGRAM_STEPS.min(evaluator.steps_left().saturating_mul(CHEAPER));
    let mut equation = Equation {
        tape: &tape,
        difference: &difference,
        equal: &equal,
        work: tape.work(),
        left: allowed,
    };
    let found = equation.solve(low.si, high.si);
    let took = (allowed - equation.left).div_ceil(CHEAPER);
    evaluator.take(usize::try_from(took).ok()?);
    Some((found, measures))
}

/// Finds the roots of a function that has no program between `low` and `high`: those
/// that show as a change of sign, or an exact zero, between 64 equal steps or near a
/// place where it comes near 0.
///
/// `function` gives nothing where it has no value. A change of sign at a jump (a
/// pole, a step to the next standard size) is no root.
///
/// # Errors
/// What `function` itself fails with.
pub fn search<E>(
    low: f64,
    high: f64,
    mut function: impl FnMut(f64) -> Result<Option<f64>, E>,
) -> Result<Solutions, E> {
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
    let near = nearest_zero(&places, &mut function)?;
    places.extend(near);
    places.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut found: Vec<f64> = Vec::new();
    for pair in places.windows(2) {
        let &[(a, Some(fa)), (b, Some(fb))] = pair else {
            continue;
        };
        if fa.abs() <= 1e-15 * size {
            found.push(a);
        } else if fa * fb < 0.0
            && let Some([(root, left), _]) = brent((a, fa), (b, fb), &mut function)?
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
    Ok(Solutions {
        roots: found,
        ends,
        ..Solutions::default()
    })
}

/// Returns the places at which a function comes nearest to 0 without changing its sign
/// between those where it was looked at, with what it gives there.
fn nearest_zero<E>(
    places: &[(f64, Option<f64>)],
    function: &mut impl FnMut(f64) -> Result<Option<f64>, E>,
) -> Result<Vec<(f64, Option<f64>)>, E> {
    const GOLDEN: f64 = 0.618_033_988_749_894_9;
    let mut dips: Vec<(f64, f64, f64)> = places
        .windows(3)
        .filter_map(|three| match three {
            &[(a, Some(fa)), (_, Some(fb)), (c, Some(fc))] => {
                let one_side = fa * fb > 0.0 && fb * fc > 0.0;
                let dips = fb.abs() <= fa.abs() && fb.abs() <= fc.abs();
                (one_side && dips).then_some((fb.abs(), a, c))
            }
            _ => None,
        })
        .collect();
    dips.sort_by(|a, b| a.0.total_cmp(&b.0));
    dips.truncate(NEAR);
    let mut found = Vec::new();
    for (_, mut a, mut c) in dips {
        for _ in 0..40 {
            let (x, y) = (c - GOLDEN * (c - a), a + GOLDEN * (c - a));
            let (Some(fx), Some(fy)) = (function(x)?, function(y)?) else {
                break;
            };
            if fx * fy < 0.0 {
                found.extend([(x, Some(fx)), (y, Some(fy))]);
                break;
            }
            if fx.abs() < fy.abs() {
                c = y;
            } else {
                a = x;
            }
        }
        let middle = f64::midpoint(a, c);
        found.push((middle, function(middle)?));
    }
    Ok(found)
}

/// Turns what solving brought into the one value wanted, or says why there is
/// none.
///
/// # Errors
/// When there is no root or more than one, or it could not be decided, with the
/// values at the ends.
pub fn only_root(
    name: &str,
    low: Quantity,
    high: Quantity,
    found: &Solutions,
    unit: Quantity,
) -> Result<f64, Fault> {
    /// So many roots are listed.
    const LISTED: usize = 6;
    let show = |value: f64| Quantity { si: value, ..low }.to_string();
    if let [(from, to), ..] = found.stretches.as_slice() {
        let message = format!("every `{name}` from {} to {} fits", show(*from), show(*to));
        return Err(Fault::new(message).advise("narrow the bounds to the one that is wanted"));
    }
    if let [(from, to), ..] = found.open.as_slice() {
        let known = match found.roots.as_slice() {
            [] => String::new(),
            [root, ..] => format!("`{name}` = {} fits; ", show(*root)),
        };
        let message = format!(
            "{known}what else fits between {} and {} takes too many steps to find",
            show(*from),
            show(*to)
        );
        return Err(Fault::new(message).advise("narrow the bounds"));
    }
    match found.roots.as_slice() {
        [root] => Ok(*root),
        [] => {
            let end = |y: Option<f64>| match y {
                Some(y) => Quantity { si: y, ..unit }.to_string(),
                None => "no value".to_owned(),
            };
            let message = format!("no `{name}` between {low} and {high} fits");
            Err(Fault::new(message).advise(format!(
                "left side less right side is {} at {low} and {} at {high}; widen the bounds",
                end(found.ends.0),
                end(found.ends.1)
            )))
        }
        many => {
            let mut listed: Vec<String> =
                many.iter().take(LISTED).map(|root| show(*root)).collect();
            if many.len() > LISTED {
                listed.push("…".to_owned());
            }
            let message = format!(
                "{} values of `{name}` fit: {}",
                many.len(),
                listed.join(", ")
            );
            Err(Fault::new(message).advise("narrow the bounds to the one that is wanted"))
        }
    }
}

/// Returns the bracket of a `find`, lower end first.
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

impl Evaluator<'_> {
    /// Evaluates a `find` whose unknown is a local.
    pub(super) fn find(
        &self,
        find: &FindCode,
        span: Span,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Result<Value, EvalError> {
        let low = self.quantity(&find.low, locals, base)?;
        let high = self.quantity(&find.high, locals, base)?;
        let ends = find.low.span.to(find.high.span);
        let (low, high) = bracket(low, high).map_err(|fault| EvalError::at(fault, ends))?;
        let only = |found: &Solutions, difference| {
            let root = only_root(&find.name, low, high, found, difference);
            let root = root.map_err(|fault| EvalError::at(fault, span))?;
            Ok(Value::Quantity(Quantity { si: root, ..low }))
        };
        let before = locals.get(base..).unwrap_or_default();
        let unknown = Unknown::Local(find.local, before);
        let sides_of = [&find.left, &find.right];
        let found = every_root(self, unknown, &[], sides_of, (low, high));
        if self.steps_left() == 0 {
            self.charge(1, span)?;
        }
        if let Some((found, difference)) = found
            && !found.nowhere()
        {
            return only(&found, difference);
        }
        let place = base + usize::from(find.local);
        let mut difference = Quantity::number(0.0);
        let mut worst: Option<Box<Diagnostic>> = None;
        let found = search(low.si, high.si, |x| {
            locals.truncate(place);
            locals.push(Value::Quantity(Quantity { si: x, ..low }));
            let result = sides(self, find, locals, base);
            locals.truncate(place);
            match result {
                Ok(value) => {
                    difference = value;
                    Ok(Some(value.si))
                }
                // Where the formula has no value there is no root; the first reason is
                // kept in case it never has one.
                Err(EvalError::Wrong(wrong)) if self.steps_left() > 0 => {
                    worst.get_or_insert(wrong);
                    Ok(None)
                }
                Err(error) => Err(error),
            }
        })?;
        if let (true, (None, None), Some(wrong)) = (found.roots.is_empty(), found.ends, worst) {
            return Err(EvalError::Wrong(wrong));
        }
        only(&found, difference)
    }
}

fn sides(
    evaluator: &Evaluator,
    find: &FindCode,
    locals: &mut Vec<Value>,
    base: usize,
) -> Result<Quantity, EvalError> {
    let left = evaluator.quantity(&find.left, locals, base)?;
    let right = evaluator.quantity(&find.right, locals, base)?;
    left.minus(right)
        .map_err(|fault| EvalError::at(fault, find.left.span.to(find.right.span)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn roots(low: f64, high: f64, f: impl Fn(f64) -> f64) -> Vec<f64> {
        search::<()>(low, high, |x| Ok(Some(f(x)))).unwrap().roots
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
