//! Every example in the documentation comes to the value that is printed beside
//! it, which its source gives.

use setover::internals::language::{Function, Value, library};
use setover::internals::quantity::Quantity;

use crate::evaluated::value;

/// Half of the last printed digit of a number, in coherent SI.
fn half_digit(text: &str, printed: Quantity) -> f64 {
    let number: String = text
        .chars()
        .take_while(|c| c.is_ascii_digit() || matches!(c, '.' | '-' | '+'))
        .collect();
    let decimals = number.split_once('.').map_or(0, |(_, after)| after.len());
    let decimals = i32::try_from(decimals).expect("a short number");
    0.5 * 10.0_f64.powi(-decimals) * printed.unit.factor()
}

/// What is wrong with an example; nothing when it holds.
fn fault(expression: &str, printed: &str) -> Option<String> {
    let (found, wanted) = match (value(expression), value(printed)) {
        (Ok(found), Ok(wanted)) => (found, wanted),
        (Err(wrong), _) | (_, Err(wrong)) => return Some(wrong),
    };
    match (&found, &wanted) {
        (_, Value::Quantity(wanted)) => {
            let Ok(found) = found.quantity() else {
                return Some(format!("comes to {found}"));
            };
            let slack = half_digit(printed, *wanted) + 1e-9 * wanted.si.abs();
            let well =
                found.dimension.agrees(wanted.dimension) && (found.si - wanted.si).abs() <= slack;
            (!well).then(|| {
                format!(
                    "comes to {}",
                    setover::internals::quantity::in_unit(found, wanted.unit, None)
                )
            })
        }
        (found, wanted) => (found != wanted).then(|| format!("comes to {found}")),
    }
}

fn faults(function: &Function) -> (usize, Vec<String>) {
    let doc = function.doc().expect("documentation that can be read");
    let wrong = doc.examples.iter().filter_map(|(expression, printed)| {
        fault(expression, printed).map(|fault| format!("{expression} = {printed}: {fault}"))
    });
    (doc.examples.len(), wrong.collect())
}

#[test]
fn every_example_comes_to_the_value_printed() {
    let mut count = 0;
    let mut wrong = Vec::new();
    for function in library().all() {
        let (examples, faults) = faults(function);
        count += examples;
        wrong.extend(faults);
    }
    println!("{count} examples of {} functions", library().all().len());
    assert!(count >= library().all().len());
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
