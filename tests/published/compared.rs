//! Worked examples: their inputs, and how near a result must come.

use std::collections::HashMap;

use uom::si::f64::Length;
use uom::si::length::{inch, millimeter};

use crate::rows::Row;

/// The inputs of a worked example: "m=3 mm; z=24" by name.
pub fn inputs(row: &Row) -> HashMap<&str, &str> {
    row["inputs"]
        .split(';')
        .filter_map(|part| part.split_once('='))
        .map(|(name, value)| (name.trim(), value.trim()))
        .collect()
}

/// The number that a text begins with: 3 of "3 mm".
#[track_caller]
pub fn number(text: &str) -> f64 {
    let first = text.split_whitespace().next().unwrap_or_default();
    first
        .parse()
        .unwrap_or_else(|_| panic!("`{text}` does not begin with a number"))
}

/// A length with its unit; without one, in millimetres; "6 tpi" gives its pitch.
#[track_caller]
pub fn length(text: &str) -> Length {
    match text.split_whitespace().nth(1) {
        Some("in") => Length::new::<inch>(number(text)),
        Some("ft") => Length::new::<inch>(12.0 * number(text)),
        Some("tpi") => Length::new::<inch>(1.0) / number(text),
        Some("m") => Length::new::<millimeter>(1000.0 * number(text)),
        Some("cm") => Length::new::<millimeter>(10.0 * number(text)),
        Some("mm") | None => Length::new::<millimeter>(number(text)),
        Some(unit) => panic!("unit {unit} of `{text}`"),
    }
}

/// Compares a value with the row's, within the row's tolerance.
#[track_caller]
pub fn check(row: &Row, found: f64) {
    let expected = row.number("expected").expect("the expected number");
    let tolerance = row.number("tolerance").expect("the tolerance");
    near_at(
        &format!("{row:?}"),
        found,
        expected,
        tolerance + 1e-9 * expected.abs().max(1.0),
    );
}

/// Fails unless two numbers agree within a tolerance.
#[track_caller]
pub fn near(found: f64, expected: f64, tolerance: f64) {
    near_at("the value", found, expected, tolerance);
}

/// The same, with the place in the table that is at fault.
#[track_caller]
pub fn near_at(place: &str, found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance * (1.0 + 1e-9),
        "{place}: {found}, published {expected} ± {tolerance}"
    );
}
