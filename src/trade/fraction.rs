//! Exact fractions, for the searches over wheels and hole circles.

use std::cmp::Ordering;

/// A fraction in lowest terms, its bottom greater than zero.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Fraction {
    pub(crate) top: i128,
    pub(crate) bottom: i128,
}

/// Returns the greatest common divisor; that of 0 and n is n.
pub(crate) fn common_divisor(a: i128, b: i128) -> i128 {
    let (mut a, mut b) = (a.abs(), b.abs());
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

/// Returns the least common multiple of two whole numbers greater than zero.
pub(crate) fn common_multiple(a: i128, b: i128) -> i128 {
    a / common_divisor(a, b).max(1) * b
}

impl Fraction {
    /// Returns the fraction `top / bottom`; a bottom of 0 counts as 1.
    pub(crate) fn new(top: i128, bottom: i128) -> Self {
        let bottom = if bottom == 0 { 1 } else { bottom };
        let divisor = common_divisor(top, bottom).max(1) * bottom.signum();
        Self {
            top: top / divisor,
            bottom: bottom / divisor,
        }
    }

    /// Returns the simplest fraction that a floating-point number, itself the outcome of
    /// a division or two, can stand for: the first convergent of its continued
    /// fraction within four units of the last place. 25.4/20/3 gives 127/300.
    ///
    /// None where the size is outside 1e-9 to 1e9 (zero is 0/1).
    pub(crate) fn near(value: f64) -> Option<Self> {
        if value == 0.0 {
            return Some(Self::new(0, 1));
        }
        let size = value.abs();
        if !(1e-9..=1e9).contains(&size) {
            return None;
        }
        // The number as the exact fraction mantissa / 2^shift.
        let mut shift = 0_u32;
        let mut scaled = size;
        while scaled.fract() != 0.0 {
            scaled *= 2.0;
            shift += 1;
        }
        let (mut top, mut bottom) = (scaled as i128, 1_i128.checked_shl(shift)?);
        let (mut p, mut q, mut p_before, mut q_before) = (1_i128, 0_i128, 0_i128, 1_i128);
        while bottom != 0 {
            let whole = top / bottom;
            (p, p_before) = (whole * p + p_before, p);
            (q, q_before) = (whole * q + q_before, q);
            if (p as f64 / q as f64 - size).abs() <= 4.0 * f64::EPSILON * size {
                break;
            }
            (top, bottom) = (bottom, top % bottom);
        }
        Some(Self::new(if value < 0.0 { -p } else { p }, q))
    }

    /// Returns the product with a whole number.
    pub(crate) fn times(self, factor: i128) -> Self {
        Self::new(self.top * factor, self.bottom)
    }

    /// Returns the difference.
    pub(crate) fn minus(self, other: Self) -> Self {
        Self::new(
            self.top * other.bottom - other.top * self.bottom,
            self.bottom * other.bottom,
        )
    }

    /// Returns the size without its sign.
    pub(crate) fn size(self) -> Self {
        Self::new(self.top.abs(), self.bottom)
    }

    /// Returns which of two fractions is greater.
    pub(crate) fn against(self, other: Self) -> Ordering {
        (self.top * other.bottom).cmp(&(other.top * self.bottom))
    }

    /// Returns the nearest floating-point number.
    pub(crate) fn to_f64(self) -> f64 {
        self.top as f64 / self.bottom as f64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn floating_point_quotients_give_their_fractions() {
        for (value, top, bottom) in [
            (25.4 / 20.0 / 3.0, 127, 300),
            (3.0 / (25.4 / 8.0), 120, 127),
            (0.1 + 0.2, 3, 10),
            (-2.5, -5, 2),
            (0.0, 0, 1),
            (40.0 / 119.0, 40, 119),
        ] {
            assert_eq!(
                Fraction::near(value),
                Some(Fraction { top, bottom }),
                "{value}"
            );
        }
        for value in [f64::NAN, f64::INFINITY, 1e-10, 1e10] {
            assert_eq!(Fraction::near(value), None, "{value}");
        }
    }

    #[test]
    fn a_number_that_is_no_fraction_is_met_to_the_last_places() {
        for value in [
            std::f64::consts::PI,
            1e-9 * std::f64::consts::E,
            1e9 / 7.1_f64.sqrt(),
        ] {
            let near = Fraction::near(value).unwrap().to_f64();
            assert!((near / value - 1.0).abs() <= 8.0 * f64::EPSILON, "{value}");
        }
    }
}
