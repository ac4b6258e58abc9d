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

/// The most calls that are kept.
const CALLS: usize = 10_000;
/// The most values that the calls kept may hold together.
const VALUES: usize = 1_000_000;

/// What a call came to: its value or what is wrong, and its warnings.
pub type Came = (Result<Value, Fault>, Vec<String>);

#[derive(Default)]
struct Kept {
    calls: HashMap<u64, (NativeCode, Vec<Value>, Came)>,
    values: usize,
}

thread_local! {
    static KEPT: RefCell<Kept> = RefCell::default();
}

/// Returns what a native function gives for some arguments, worked out at the first call only.
pub fn call(code: NativeCode, values: Vec<Value>, gives: &Arc<Shape>) -> Came {
    let key = key(code, &values);
    let known = KEPT.with_borrow(|kept| {
        let (known, given, came) = kept.calls.get(&key)?;
        (std::ptr::fn_addr_eq(*known, code) && *given == values).then(|| came.clone())
    });
    if let Some(came) = known {
        return came;
    }
    let (came, values) = make(code, values, gives);
    let size =
        values.iter().map(Value::size).sum::<usize>() + came.0.as_ref().map_or(1, Value::size);
    KEPT.with_borrow_mut(|kept| {
        if kept.calls.len() >= CALLS || kept.values + size > VALUES {
            *kept = Kept::default();
        }
        kept.values += size;
        kept.calls.insert(key, (code, values, came.clone()));
    });
    came
}

/// Calls a native function; gives its arguments back.
pub fn make(code: NativeCode, values: Vec<Value>, gives: &Arc<Shape>) -> (Came, Vec<Value>) {
    let arguments = Arguments {
        values,
        gives: gives.clone(),
        ..Arguments::default()
    };
    let result = code(&arguments);
    let warnings = arguments.warnings.into_inner();
    ((result, warnings), arguments.values)
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

    #[test]
    fn a_call_is_made_once_and_fails_once() {
        for _ in 0..3 {
            let (value, warnings) = call(counted, vec![Value::number(3.0)], &Arc::default());
            assert_eq!(value.unwrap(), Value::number(6.0));
            assert_eq!(warnings, ["mind this"]);
            assert!(
                call(counted, vec![Value::number(0.0)], &Arc::default())
                    .0
                    .is_err()
            );
        }
        assert_eq!(MADE.load(Ordering::Relaxed), 2);
        // Another argument is another call, and so many calls forget the first.
        for number in 1..=CALLS {
            let number = Value::whole(i64::try_from(number).unwrap());
            assert!(call(counted, vec![number], &Arc::default()).0.is_ok());
        }
        assert_eq!(MADE.load(Ordering::Relaxed), CALLS + 1);
        assert!(KEPT.with_borrow(|kept| kept.calls.len()) <= CALLS);
    }
}
