//! Comparing computed values: what differs only by rounding counts as equal.

use std::cmp::Ordering;

/// Two values closer than this, relative to the larger or to one shown unit,
/// count as equal.
pub const SAME: f64 = 1e-12;

/// Returns whether two values differ by rounding only: by less than one part in 10^12
/// of the larger, or of one unit (`scale`, in the same coherent SI unit).
#[must_use]
pub fn nearly_equal(a: f64, b: f64, scale: f64) -> bool {
    approx::relative_eq!(a, b, epsilon = SAME * scale, max_relative = SAME)
}

/// Returns the order of two values, equal where they differ by rounding only; nothing
/// when either is not a number.
#[must_use]
pub fn compare(a: f64, b: f64, scale: f64) -> Option<Ordering> {
    if nearly_equal(a, b, scale) {
        Some(Ordering::Equal)
    } else {
        a.partial_cmp(&b)
    }
}

/// Returns the whole number nearest to `value`, half away from zero. What lies within
/// rounding of a half counts as one: 1.0005 is a little less in binary, and goes up
/// where it is rounded to three decimals.
#[must_use]
pub fn nearest(value: f64) -> f64 {
    /// Beyond this, rounding is no longer told from a half.
    const LARGEST: f64 = 1e11;
    let size = value.abs();
    let whole = size.floor();
    if size < LARGEST && nearly_equal(size, whole + 0.5, 1.0) {
        (whole + 1.0).copysign(value)
    } else {
        value.round()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_half_goes_away_from_zero_whatever_its_binary_noise() {
        for (value, expected) in [
            (1_000.499_999_999_999_9, 1_001.0),
            (-2.5, -3.0),
            (100.499_999_999_999_99, 101.0),
            (0.499_999, 0.0),
            (2.4, 2.0),
        ] {
            assert_eq!(nearest(value), expected, "{value}");
        }
    }

    #[test]
    fn rounding_does_not_decide_a_check() {
        assert_eq!(compare(0.1 + 0.2, 0.3, 1.0), Some(Ordering::Equal));
        assert_eq!(compare(0.3 - 0.1 - 0.2, 0.0, 1e-3), Some(Ordering::Equal));
        assert_eq!(compare(0.012_000_001, 0.012, 1e-3), Some(Ordering::Greater));
        assert_eq!(compare(f64::NAN, 0.0, 1.0), None);
    }
}
