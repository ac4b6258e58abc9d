//! Comparing computed values: what differs only by rounding counts as equal.

use std::cmp::Ordering;

use super::{Quantity, System};

/// Two values closer than this, relative to the larger or to one shown unit,
/// count as equal.
const SAME: f64 = 1e-12;

/// Whether two values differ by rounding only: by less than one part in 10^12
/// of the larger, or of one unit (`scale`, in the same coherent SI unit).
#[must_use]
pub fn nearly_equal(a: f64, b: f64, scale: f64) -> bool {
    approx::relative_eq!(a, b, epsilon = SAME * scale, max_relative = SAME)
}

/// The order of two values, equal where they differ by rounding only; nothing
/// when either is not a number.
#[must_use]
pub fn compare(a: f64, b: f64, scale: f64) -> Option<Ordering> {
    if nearly_equal(a, b, scale) {
        Some(Ordering::Equal)
    } else {
        a.partial_cmp(&b)
    }
}

/// How far from 0 a difference still counts as rounding, in coherent SI: one part in
/// 10^12 of its unit.
#[must_use]
pub fn slack(difference: Quantity) -> f64 {
    SAME * difference.shown_unit(System::Metric).get().factor.abs()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rounding_does_not_decide_a_check() {
        assert_eq!(compare(0.1 + 0.2, 0.3, 1.0), Some(Ordering::Equal));
        assert_eq!(compare(0.3 - 0.1 - 0.2, 0.0, 1e-3), Some(Ordering::Equal));
        assert_eq!(compare(0.012_000_001, 0.012, 1e-3), Some(Ordering::Greater));
        assert_eq!(compare(f64::NAN, 0.0, 1.0), None);
    }
}
