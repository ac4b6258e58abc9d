//! Reading the tables of worked examples and comparing with them.

use std::collections::HashMap;

use uom::si::f64::Length;
use uom::si::length::{inch, millimeter};

/// A row of a reference table by its column names.
pub type Row = HashMap<String, String>;

/// The rows of a reference table below its remark lines.
pub fn rows(text: &str) -> Vec<Row> {
    let table: String = text
        .lines()
        .skip_while(|line| line.starts_with('#'))
        .map(|line| format!("{line}\n"))
        .collect();
    let rows: Vec<Row> = csv::Reader::from_reader(table.as_bytes())
        .deserialize()
        .map(|row| row.expect("a reference table has the same cells in each row"))
        .collect();
    assert!(!rows.is_empty(), "a reference table has rows");
    rows
}

/// The inputs of a worked example: "m=3 mm; z=24" by name.
pub fn inputs(row: &Row) -> HashMap<&str, &str> {
    row["inputs"]
        .split(';')
        .filter_map(|part| part.split_once('='))
        .map(|(name, value)| (name.trim(), value.trim()))
        .collect()
}

/// The number that a text begins with: 3 of "3 mm".
pub fn number(text: &str) -> f64 {
    let first = text.split_whitespace().next().unwrap_or_default();
    first
        .parse()
        .unwrap_or_else(|_| panic!("`{text}` does not begin with a number"))
}

/// A length with its unit; without one, in millimetres; "6 tpi" gives its pitch.
pub fn length(text: &str) -> Length {
    match text.split_whitespace().nth(1) {
        Some("in") => Length::new::<inch>(number(text)),
        Some("tpi") => Length::new::<inch>(1.0) / number(text),
        Some("cm") => Length::new::<millimeter>(10.0 * number(text)),
        Some("mm") | None => Length::new::<millimeter>(number(text)),
        Some(unit) => panic!("unit {unit} of `{text}`"),
    }
}

/// Compares a value with the row's, within the row's tolerance.
#[track_caller]
pub fn check(row: &Row, found: f64) {
    let expected: f64 = row["expected"].parse().expect("the expected number");
    let tolerance: f64 = row["tolerance"].parse().expect("the tolerance");
    let slack = 1e-9 * expected.abs().max(1.0);
    assert!(
        (found - expected).abs() <= tolerance + slack,
        "found {found}, expected {expected} within {tolerance}: {row:?}"
    );
}

/// Compares two numbers to half of the last printed digit.
#[track_caller]
pub fn near(found: f64, expected: f64, half_digit: f64) {
    assert!(
        (found - expected).abs() <= half_digit * (1.0 + 1e-9),
        "found {found}, expected {expected} within {half_digit}"
    );
}
