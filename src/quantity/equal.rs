//! Computed values side by side: what differs only by rounding counts as equal, and what
//! lies within rounding of a step, a half or an end counts as there.

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

/// Returns the tangent of an angle; not a number at a right angle.
#[must_use]
pub fn tan(angle: f64) -> f64 {
    if nearly_equal(angle.cos(), 0.0, 1.0) {
        f64::NAN
    } else {
        angle.tan()
    }
}

/// Returns the argument of an inverse sine or cosine; a rounding error past 1 counts as 1.
/// Not a number further out.
#[must_use]
pub fn within_one(x: f64) -> f64 {
    if x.abs() <= 1.0 {
        x
    } else if nearly_equal(x.abs(), 1.0, 1.0) {
        x.signum()
    } else {
        f64::NAN
    }
}

/// Returns a number rounded to a step; what is within rounding of a step counts as on it.
#[must_use]
pub fn rounded(value: f64, step: f64, round: fn(f64) -> f64) -> f64 {
    let steps = value / step;
    let whole = steps.round();
    let steps = if nearly_equal(steps, whole, 1.0) {
        whole
    } else {
        round(steps)
    };
    steps * step
}

/// Returns what is left of a number after whole steps; nothing within rounding of a step.
#[must_use]
pub fn left_over(value: f64, step: f64) -> f64 {
    let steps = value / step;
    if nearly_equal(steps, steps.round(), 1.0) {
        0.0
    } else {
        value - steps.floor() * step
    }
}

/// Returns an angle of any size as 0 up to, not including, a whole `turn`; what is within
/// rounding of a turn is 0.
#[must_use]
pub fn within_a_turn(angle: f64, turn: f64) -> f64 {
    let noise = 3e-13 * turn;
    let turned = angle.rem_euclid(turn);
    if turned < noise || turn - turned < noise {
        0.0
    } else {
        turned
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
