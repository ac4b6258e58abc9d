//! Preferred numbers: the steps of the R series.
//!
//! # Example
//! ```
//! use setover::internals::trade::preferred_numbers::preferred_number;
//!
//! // ISO 3: R10 has 25 and 31.5.
//! let step = preferred_number(27.0, "R10");
//! assert_eq!(step.nearest, 25.0);
//! ```

use serde::{Deserialize, Serialize};

use crate::trade::table::table;

#[derive(Deserialize)]
struct Row {
    series: String,
    number: f64,
}

table!(NUMBERS: Row = "preferred_numbers");

/// A number beside the preferred numbers next to it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct PreferredNumber {
    /// The nearest by ratio.
    pub nearest: f64,
    /// The largest preferred number that is not above it.
    pub below: f64,
    /// The smallest preferred number that is not below it.
    pub above: f64,
    /// How far the nearest is from the number: nearest / number − 1.
    pub deviation: f64,
}

/// The preferred numbers about a number (from 1e-9 to 1e9) in a series `R5`, `R10`, `R20` or `R40`.
///
/// Source: ISO 3:1973.
pub fn preferred_number(number: f64, series: &str) -> PreferredNumber {
    let of_series = || NUMBERS.rows.iter().filter(|row| row.series == series);
    let decade = number.log10().floor() as i32;
    let (mut below, mut above) = (0.0, f64::INFINITY);
    for power in decade - 1..=decade + 1 {
        // Through its decimal digits: 1.12 times 10 in floating point is not 11.2.
        let scaled = |value: f64| format!("{value}e{power}").parse().unwrap_or(f64::NAN);
        for step in of_series().map(|row| scaled(row.number)) {
            if step <= number * (1.0 + 1e-12) {
                below = step.max(below);
            }
            if step >= number * (1.0 - 1e-12) {
                above = step.min(above);
            }
        }
    }
    let nearest = if number / below <= above / number {
        below
    } else {
        above
    };
    PreferredNumber {
        nearest,
        below,
        above,
        deviation: nearest / number - 1.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_of_other_decades() {
        // Source: ISO 3: a series goes on by powers of ten.
        for (number, series, below, nearest, above) in [
            (33.0, "R10", 31.5, 31.5, 40.0),
            (0.26, "R5", 0.25, 0.25, 0.4),
            (95.0, "R5", 63.0, 100.0, 100.0),
            (1000.0, "R40", 1000.0, 1000.0, 1000.0),
            (0.999, "R20", 0.9, 1.0, 1.0),
            (11.0, "R20", 10.0, 11.2, 11.2),
        ] {
            let found = preferred_number(number, series);
            assert_eq!(
                (found.below, found.nearest, found.above),
                (below, nearest, above),
                "{number} {series}"
            );
        }
    }
}
