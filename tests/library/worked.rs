//! Worked examples of handbooks and textbooks, through the evaluator.

use setover::internals::quantity::{Quantity, parse_unit};

use crate::evaluated::value;
use crate::rows::rows;

const EXAMPLES: &str = include_str!("../reference/worked_examples.csv");

/// What is wrong with a row; nothing when it holds.
fn fault(expression: &str, expected: f64, unit: &str, tolerance: f64) -> Option<String> {
    let unit = match unit {
        "" => setover::internals::quantity::Unit::NONE,
        unit => parse_unit(unit).expect("a unit"),
    };
    let wanted = Quantity::new(expected, unit);
    let found = match value(expression).map(|found| found.quantity()) {
        Ok(Ok(found)) => found,
        Ok(Err(wrong)) => return Some(wrong.message),
        Err(wrong) => return Some(wrong),
    };
    if !found.dimension.agrees(wanted.dimension) {
        return Some(format!("is {}", found.dimension.words()));
    }
    let off = (found.in_unit(unit) - expected).abs();
    let well = off <= tolerance + 1e-9 * expected.abs().max(1e-3);
    (!well).then(|| format!("comes to {}", found.in_unit(unit)))
}

#[test]
fn every_worked_example_comes_out() {
    let rows = rows(EXAMPLES);
    let mut wrong = Vec::new();
    for row in &rows {
        let expression = row.text("expression");
        let expected = row.number("expected").expect("a number");
        let tolerance = row.number("tolerance").expect("a tolerance");
        if let Some(fault) = fault(expression, expected, row.text("unit"), tolerance) {
            wrong.push(format!(
                "{expression} = {expected} {} ({}): {fault}",
                row.text("unit"),
                row.text("source")
            ));
        }
    }
    println!("{} worked examples", rows.len());
    assert!(rows.len() > 150);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
