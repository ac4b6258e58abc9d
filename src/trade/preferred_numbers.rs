//! Preferred numbers: the steps of the R series.
//!
//! # Example
//! ```
//! use setover::trade::preferred_numbers::preferred_number;
//!
//! // ISO 3: R10 has 25 and 31.5.
//! let step = preferred_number(27.0, "R10")?;
//! assert_eq!(step.nearest, 25.0);
//! # Ok::<(), setover::diagnostic::Fault>(())
//! ```

use std::sync::LazyLock;

use serde::Deserialize;

use crate::diagnostic::{Fault, did_you_mean};
use crate::trade::table::built_in;
use crate::trade::words::{quote, short};

#[derive(Deserialize)]
struct Row {
    series: String,
    number: f64,
}

static NUMBERS: LazyLock<Vec<Row>> = LazyLock::new(|| {
    built_in(
        "preferred_numbers.csv",
        include_str!("../../library/tables/preferred_numbers.csv"),
    )
    .rows
});

/// The series of the standard.
const SERIES: [&str; 4] = ["R5", "R10", "R20", "R40"];

/// A number beside the preferred numbers next to it.
#[derive(Clone, Copy, Debug, PartialEq)]
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
/// # Errors
/// A fault when the number is out of bounds or the series unknown.
///
/// Source: ISO 3:1973.
pub fn preferred_number(number: f64, series: &str) -> Result<PreferredNumber, Fault> {
    if !(1e-9..=1e9).contains(&number) {
        return Err(Fault::new(format!(
            "the number is {}; preferred numbers are looked up from 0.000000001 to 1000000000",
            if number.abs() < 1e15 {
                short(number, 12)
            } else {
                number.to_string()
            }
        ))
        .in_argument(0));
    }
    let asked = series.trim();
    let Some(series) = SERIES
        .into_iter()
        .find(|known| known.eq_ignore_ascii_case(asked))
    else {
        let fault = Fault::new(format!(
            "there is no series of preferred numbers {}; there are R5, R10, R20 and R40",
            quote(asked)
        ));
        return Err(match did_you_mean(asked, SERIES) {
            Some(meant) => fault.advise(meant),
            None => fault,
        }
        .in_argument(1));
    };
    let of_series = || NUMBERS.iter().filter(|row| row.series == series);
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
    Ok(PreferredNumber {
        nearest,
        below,
        above,
        deviation: nearest / number - 1.0,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_of_other_decades() {
        // Source: ISO 3: a series goes on by powers of ten.
        for (number, series, below, nearest, above) in [
            (33.0, "R10", 31.5, 31.5, 40.0),
            (0.26, "r5", 0.25, 0.25, 0.4),
            (95.0, "R5", 63.0, 100.0, 100.0),
            (1000.0, "R40", 1000.0, 1000.0, 1000.0),
            (0.999, "R20", 0.9, 1.0, 1.0),
            (11.0, "R20", 10.0, 11.2, 11.2),
        ] {
            let found = preferred_number(number, series).unwrap();
            assert_eq!(
                (found.below, found.nearest, found.above),
                (below, nearest, above),
                "{number} {series}"
            );
        }
    }

    #[test]
    fn what_is_out_of_bounds_is_refused() {
        for number in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e300, 1e-300] {
            assert_eq!(
                preferred_number(number, "R10").unwrap_err().argument,
                Some(0)
            );
        }
        for series in ["", "R80", "E12", "R 10"] {
            assert_eq!(preferred_number(5.0, series).unwrap_err().argument, Some(1));
        }
    }
}
