//! The involute function and its inverse.

use std::f64::consts::FRAC_PI_2;

use uom::si::angle::radian;
use uom::si::f64::Angle;

/// Returns tan x - x, by its series where the difference would lose places.
fn inv(x: f64) -> f64 {
    if x.abs() > 0.15 {
        return x.tan() - x;
    }
    let square = x * x;
    let series = [
        1.0 / 3.0,
        2.0 / 15.0,
        17.0 / 315.0,
        62.0 / 2835.0,
        1382.0 / 155_925.0,
        21_844.0 / 6_081_075.0,
        929_569.0 / 638_512_875.0,
    ];
    let sum = series
        .iter()
        .rev()
        .fold(0.0, |sum, factor| sum * square + factor);
    x * square * sum
}

/// Returns the angle in radians whose involute is `value`, which must be 0 or more.
fn from_inv(value: f64) -> f64 {
    if value <= 0.0 {
        return 0.0;
    }
    let (mut low, mut high) = (0.0_f64, FRAC_PI_2);
    // tan x - x is near x^3 / 3 for a small angle and near 1 / (pi/2 - x) for a
    // large one.
    let mut x = if value < 1.0 {
        (3.0 * value).cbrt().min(1.4)
    } else {
        FRAC_PI_2 - 1.0 / (value + FRAC_PI_2)
    };
    for _ in 0..200 {
        let off = inv(x) - value;
        if off == 0.0 {
            break;
        }
        if off > 0.0 {
            high = x;
        } else {
            low = x;
        }
        let slope = x.tan().powi(2);
        let next = x - off / slope;
        let next = if next > low && next < high {
            next
        } else {
            low + (high - low) / 2.0
        };
        if (next - x).abs() <= f64::EPSILON * x {
            return next;
        }
        x = next;
    }
    x
}

/// Returns the angle whose involute is a number, 0 or more.
///
/// Source: ISO 21771: the root of tan A - A = value, found by Newton's method
/// inside a bracket, to the last places.
pub fn angle_from_involute(value: f64) -> Angle {
    Angle::new::<radian>(from_inv(value))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_inverse_undoes_the_involute() {
        for step in 1..90_000 {
            let angle = f64::from(step) * 1e-3_f64.to_radians();
            let back = from_inv(inv(angle));
            assert!((back - angle).abs() <= 1e-14, "{angle} rad: {back}");
        }
        for value in [1e-300, 1e-30, 1e-9, 1.0, 1e6, 1e9] {
            let angle = from_inv(value);
            assert!(angle > 0.0 && angle <= FRAC_PI_2, "{value}: {angle}");
        }
    }

    #[test]
    fn the_series_meets_the_difference() {
        for angle in [0.149_999_f64, 0.15, 0.1, 0.12] {
            let plain = angle.tan() - angle;
            assert!((inv(angle) / plain - 1.0).abs() < 1e-12, "{angle}");
        }
    }
}
