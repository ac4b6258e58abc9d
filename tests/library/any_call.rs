//! Whatever is given, a function of the library answers or refuses: it doesn't
//! panic, it ends, and what it answers is finite.

use std::panic::catch_unwind;

use setover::internals::language::{Function, KindWord, ParameterDoc, Value, library};

use crate::evaluated::value;

/// Calls of each function.
const CALLS: usize = 25;

/// What a user may type, and what no one would.
const TEXTS: &[&str] = &[
    "0 mm",
    "1 mm",
    "12 mm",
    "-3 mm",
    "0.001 mm",
    "1e-9 mm",
    "99 m",
    "1e12 mm",
    "1/4 in",
    "30 deg",
    "0 deg",
    "89.9999 deg",
    "-720 deg",
    "1e9 deg",
    "0",
    "1",
    "2",
    "7",
    "40",
    "127",
    "1000",
    "1e9",
    "-1",
    "0.5",
    "1e-300",
    "1e300",
    "2.5",
    "none",
    "true",
    "\"M8\"",
    "\"H7\"",
    "\"MT2\"",
    "\"mild steel\"",
    "\"\"",
    "\"é\"",
    "[]",
    "[1, 2, 3]",
    "[20, 127, 60, 63]",
    "[12, 5] mm",
    "[[15, 16], [21]]",
    "hole_row(3, 5 mm)",
    "record(min: 1 mm, max: 2 mm)",
    "20 degC",
    "30 m/min",
    "400 rpm",
    "200 GPa",
    "5 N",
    "3 kg",
];

/// A number of SplitMix64, which is in the public domain.
fn next(state: &mut u64) -> usize {
    *state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let mixed = (*state ^ (*state >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    usize::try_from((mixed ^ (mixed >> 31)) >> 33).expect("31 bits")
}

/// An argument: mostly of a kind that the parameter takes.
fn argument(parameter: &ParameterDoc, state: &mut u64) -> String {
    let number = [
        "0.4", "1", "3", "8", "12.5", "20", "24", "60", "97", "250", "999.9",
    ][next(state) % 11];
    let choice = next(state) % 10;
    match parameter.contract.kinds.first() {
        _ if choice == 0 => TEXTS[next(state) % TEXTS.len()].to_owned(),
        Some(KindWord::Measure(_, word)) => match word.as_str() {
            "number" => number.to_owned(),
            "length" => format!("{number} {}", ["mm", "in", "um"][next(state) % 3]),
            "angle" => format!("{number} deg"),
            "speed" => format!("{number} m/min"),
            "rotation" => format!("{number} rpm"),
            _ => TEXTS[next(state) % TEXTS.len()].to_owned(),
        },
        Some(KindWord::Whole) => number.split('.').next().unwrap_or("1").to_owned(),
        Some(KindWord::OneOf(texts)) => format!("\"{}\"", texts[next(state) % texts.len()]),
        _ => TEXTS[next(state) % TEXTS.len()].to_owned(),
    }
}

/// Whether all numbers in a value are finite.
fn finite(value: &Value) -> bool {
    match value {
        Value::Quantity(quantity) => quantity.si.is_finite(),
        Value::List(items) => items.iter().all(finite),
        Value::Record(record) => record.fields.iter().all(|(_, value)| finite(value)),
        Value::Table(table) => table.rows.iter().flatten().all(finite),
        _ => true,
    }
}

fn call(function: &Function, state: &mut u64) -> String {
    let doc = function.doc().expect("documentation that can be read");
    let given = doc.parameters.iter().filter_map(|parameter| {
        let left_out = parameter.default.is_some() && next(state).is_multiple_of(2);
        (!left_out).then(|| format!("{}: {}", parameter.name, argument(parameter, state)))
    });
    let given: Vec<String> = given.collect();
    format!("{}({})", function.name, given.join(", "))
}

#[test]
fn any_call_ends_with_an_answer_or_a_reason() {
    let (mut state, mut answered, mut wrong) = (1, 0, Vec::new());
    for function in library().all() {
        for _ in 0..CALLS {
            let call = call(function, &mut state);
            match catch_unwind(|| value(&call)) {
                Ok(Ok(value)) if finite(&value) => answered += 1,
                Ok(Ok(_)) => wrong.push(format!("{call} holds a number that is not finite")),
                Ok(Err(reason)) if reason.is_empty() => {
                    wrong.push(format!("{call} gives no reason"))
                }
                Ok(Err(_)) => {}
                Err(_) => wrong.push(format!("{call} panics")),
            }
        }
    }
    println!(
        "{answered} of {} calls answered",
        CALLS * library().all().len()
    );
    assert!(answered > 500, "{answered}");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
