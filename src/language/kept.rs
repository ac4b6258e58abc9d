//! Calls of native functions that were made before, with what they came to.
//!
//! A native function is pure: the same arguments give the same value, the same
//! warnings and the same error. Limits, samples and what-ifs ask for the same thread
//! or drill thousands of times; it is looked up once.

use std::cell::RefCell;
use std::collections::HashMap;
use std::collections::hash_map::DefaultHasher;
use std::hash::{Hash, Hasher};
use std::sync::Arc;

use super::Value;
use super::arguments::{Arguments, NativeCode};
use super::shape::Shape;
use crate::diagnostic::Fault;
use crate::trade::work;

/// The most calls that are kept.
const CALLS: usize = 10_000;
/// The most values that the calls kept may hold together.
const VALUES: usize = 1_000_000;

/// So many operations of a search take as long as a step of the evaluator.
const OPERATIONS: u64 = 128;
/// A result of more values than this takes a step for each.
const SMALL: usize = 100;
/// What a message takes, in steps: the nearest names are looked for.
const MESSAGE: u64 = 1_000;
/// What a call that is made while a formula is compiled may take, in steps.
pub const COMPILED: u64 = 100_000;

/// What a call came to.
#[derive(Clone, Debug)]
pub struct Came {
    /// Its value, or what is wrong.
    pub value: Result<Value, Fault>,
    /// What the user should look at.
    pub warnings: Vec<String>,
    /// The steps that it takes, whether it was made before or not: so the bounds of a
    /// notebook do not depend on what was worked out before.
    pub steps: u64,
}

#[derive(Default)]
struct Kept {
    calls: HashMap<u64, (NativeCode, Vec<Value>, Came)>,
    values: usize,
}

thread_local! {
    static KEPT: RefCell<Kept> = RefCell::default();
}

/// Returns what a native function gives for some arguments, worked out at the first call
/// only; it may take so many steps.
pub fn call(code: NativeCode, values: Vec<Value>, gives: &Arc<Shape>, allowed: u64) -> Came {
    let key = key(code, &values);
    let known = KEPT.with_borrow(|kept| {
        let (known, given, came) = kept.calls.get(&key)?;
        (std::ptr::fn_addr_eq(*known, code) && *given == values).then(|| came.clone())
    });
    if let Some(came) = known {
        return came;
    }
    let (came, values) = make(code, values, gives, allowed);
    if came.steps > allowed {
        // With more steps it may come to something.
        return came;
    }
    let size =
        values.iter().map(Value::size).sum::<usize>() + came.value.as_ref().map_or(1, Value::size);
    KEPT.with_borrow_mut(|kept| {
        if kept.calls.len() >= CALLS || kept.values + size > VALUES {
            *kept = Kept::default();
        }
        kept.values += size;
        kept.calls.insert(key, (code, values, came.clone()));
    });
    came
}

/// Calls a native function, which may take so many steps; gives its arguments back.
pub fn make(
    code: NativeCode,
    values: Vec<Value>,
    gives: &Arc<Shape>,
    allowed: u64,
) -> (Came, Vec<Value>) {
    let arguments = Arguments {
        values,
        gives: gives.clone(),
        ..Arguments::default()
    };
    let operations = allowed.saturating_mul(OPERATIONS);
    let (value, took, stopped) = work::within(operations, || code(&arguments));
    let made = match &value {
        Ok(value) => match value.size() {
            0..=SMALL => 0,
            made => made as u64,
        },
        Err(_) => MESSAGE,
    };
    let came = Came {
        value,
        warnings: arguments.warnings.into_inner(),
        steps: (took / OPERATIONS)
            .saturating_add(made)
            .max(if stopped { allowed + 1 } else { 0 }),
    };
    (came, arguments.values)
}

fn key(code: NativeCode, values: &[Value]) -> u64 {
    let mut hasher = DefaultHasher::new();
    (code as usize).hash(&mut hasher);
    values.iter().for_each(|value| add(value, &mut hasher));
    hasher.finish()
}

/// Takes a value into a hash: equal values that look alike have the same one.
fn add(value: &Value, hasher: &mut DefaultHasher) {
    std::mem::discriminant(value).hash(hasher);
    match value {
        Value::Quantity(quantity) => {
            quantity.si.to_bits().hash(hasher);
            quantity.unit.hash(hasher);
        }
        Value::Size(size) => {
            size.value.si.to_bits().hash(hasher);
            size.value.unit.hash(hasher);
            size.drawn.si.to_bits().hash(hasher);
        }
        Value::Text(text) => text.hash(hasher),
        Value::Truth(truth) => truth.hash(hasher),
        Value::List(items) => items.iter().for_each(|item| add(item, hasher)),
        Value::Record(record) => {
            for (name, value) in &record.fields {
                name.hash(hasher);
                add(value, hasher);
            }
        }
        Value::Table(table) => {
            let values = table.rows.iter().flatten();
            values.for_each(|value| add(value, hasher));
        }
        Value::None => {}
    }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicUsize, Ordering};

    use super::*;

    static MADE: AtomicUsize = AtomicUsize::new(0);

    fn counted(arguments: &Arguments) -> Result<Value, Fault> {
        MADE.fetch_add(1, Ordering::Relaxed);
        arguments.warn("mind this");
        match arguments.number(0) {
            0.0 => Err(Fault::new("not for nothing")),
            number => Ok(Value::number(2.0 * number)),
        }
    }

    /// A search takes steps by what it does, at the first call and at every other; what
    /// it does not come to for want of steps is tried again with more.
    #[test]
    fn a_search_takes_steps() {
        let code = crate::language::natives::native("gauge_blocks").unwrap();
        let height =
            crate::quantity::Quantity::new(19.561, crate::quantity::parse_unit("mm").unwrap());
        // 87 blocks, 19,562 heights.
        let steps = 87 * 19_562 / 128;
        for allowed in [100, steps / 2, 2 * steps, 2 * steps] {
            let values = vec![height.into(), Value::from("metric 87".to_owned())];
            let came = call(code, values, &Arc::default(), allowed);
            if allowed < steps {
                assert!(came.steps > allowed, "{came:?}");
            } else {
                assert!((steps..2 * steps).contains(&came.steps), "{came:?}");
                assert!(came.value.is_ok(), "{came:?}");
            }
        }
    }

    #[test]
    fn a_call_is_made_once_and_fails_once() {
        for _ in 0..3 {
            let came = call(counted, vec![Value::number(3.0)], &Arc::default(), COMPILED);
            assert_eq!(came.value.unwrap(), Value::number(6.0));
            assert_eq!(came.warnings, ["mind this"]);
            assert!(
                call(counted, vec![Value::number(0.0)], &Arc::default(), COMPILED)
                    .value
                    .is_err()
            );
        }
        assert_eq!(MADE.load(Ordering::Relaxed), 2);
        // Another argument is another call, and so many calls forget the first.
        for number in 1..=CALLS {
            let number = Value::whole(i64::try_from(number).unwrap());
            assert!(
                call(counted, vec![number], &Arc::default(), COMPILED)
                    .value
                    .is_ok()
            );
        }
        assert_eq!(MADE.load(Ordering::Relaxed), CALLS + 1);
        assert!(KEPT.with_borrow(|kept| kept.calls.len()) <= CALLS);
    }
}
