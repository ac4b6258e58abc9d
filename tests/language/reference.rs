//! Every row of the reference tables made by general-purpose libraries.

use setover::internals::language::Value;
use setover::internals::quantity::{Quantity, Unit, parse_unit};

use crate::support::worked_out;

/// How far a value may lie from the reference, relative to it.
const CLOSE: f64 = 1e-12;

/// The rows of a table below its heading remarks.
fn rows(text: &str) -> Vec<csv::StringRecord> {
    let start = text
        .find("\n")
        .filter(|_| text.starts_with('#'))
        .map_or(0, |_| {
            text.lines()
                .take_while(|line| line.starts_with('#'))
                .map(|line| line.len() + 1)
                .sum()
        });
    csv::Reader::from_reader(&text.as_bytes()[start..])
        .into_records()
        .map(|row| row.expect("a whole row"))
        .collect()
}

fn near(found: f64, expected: f64) -> bool {
    (found - expected).abs() <= CLOSE * expected.abs().max(f64::MIN_POSITIVE)
}

/// Source: Python's parser, `fractions` and mpmath; see the remarks of the table.
#[test]
fn expressions_come_to_what_python_makes_of_them() {
    let rows = rows(include_str!("../reference/arithmetic_python.csv"));
    let mut failed = Vec::new();
    for row in &rows {
        let [number, kind, expression, expected] = [&row[0], &row[2], &row[3], &row[4]];
        let same = match worked_out(expression) {
            Ok(Value::Truth(truth)) => truth.to_string() == expected,
            Ok(Value::Quantity(q)) => {
                let dimension = q.dimension.words();
                let words = match kind {
                    "number" => "a plain number".to_owned(),
                    "per length" => "a quantity in m^-1".to_owned(),
                    kind if kind.starts_with(['a', 'e', 'i', 'o']) => format!("an {kind}"),
                    kind => format!("a {kind}"),
                };
                let expected: f64 = expected.parse().expect("a number");
                // A difference that is nothing is judged by what it is a difference of.
                let nothing = expected == 0.0 && q.si.abs() < 1e-15;
                (near(q.si, expected) || nothing) && dimension == words
            }
            _ => false,
        };
        if !same {
            failed.push(format!(
                "row {number}: {expression} = {expected} ({kind}), found {:?}",
                worked_out(expression)
            ));
        }
    }
    println!("{} rows", rows.len());
    assert_eq!(rows.len(), 374);
    assert!(
        failed.is_empty(),
        "{} rows differ\n{}",
        failed.len(),
        failed.join("\n")
    );
}

/// Source: pint, a general-purpose units library; see the remarks of the table.
#[test]
fn units_convert_as_a_units_library_converts_them() {
    let rows = rows(include_str!("../reference/units_pint.csv"));
    let unit = |text: &str| match text {
        "1" => Unit::NONE,
        text => parse_unit(text).unwrap_or_else(|fault| panic!("{text}: {fault}")),
    };
    let mut failed = Vec::new();
    let mut written = 0;
    for row in &rows {
        let [value, from, to, expected] = [&row[0], &row[1], &row[2], &row[3]];
        let number: f64 = value.parse().expect("a number");
        let expected_number: f64 = expected.parse().expect("a number");
        let quantity = Quantity::new(number, unit(from));
        let found = quantity.in_unit(unit(to));
        let absolute = from.starts_with("deg") || to.starts_with("deg");
        // From another zero the sum is rounded, at a size of some 300 K.
        let close = near(found, expected_number)
            || absolute && (found - expected_number).abs() <= 300.0 * CLOSE;
        if !close {
            failed.push(format!("{value} {from} in {to}: {found}, not {expected}"));
        }
        if from == "1" || to == "1" || absolute {
            continue;
        }
        // The same as a user writes it; a minus sign stands before the quantity.
        written += 1;
        let text = format!("{value} {from} as {to}");
        match worked_out(&text) {
            Ok(Value::Quantity(q))
                if q.unit == unit(to) && near(q.in_unit(q.unit), expected_number) => {}
            other => failed.push(format!("{text}: {other:?}, not {expected}")),
        }
    }
    println!("{} rows, {written} of them also as formulas", rows.len());
    assert_eq!(rows.len(), 357);
    assert!(written > 300);
    assert!(
        failed.is_empty(),
        "{} rows differ\n{}",
        failed.len(),
        failed.join("\n")
    );
}
