//! Intervals of numbers: what an operation can come to while its operands lie
//! anywhere between two ends.
//!
//! Each result is rounded outward, so that it holds whatever the rounding of the
//! operation on numbers within gives.
//!
//! Source: R. E. Moore, "Methods and Applications of Interval Analysis" (1979),
//! chapters 2 to 4.

use std::f64::consts::{FRAC_PI_2, PI, TAU};
use std::ops::{Add, Mul, Neg, Sub};

/// All numbers between two ends, the ends too.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// The lower end.
    pub low: f64,
    /// The upper end.
    pub high: f64,
}

/// A result, with whether the operation has no value somewhere within its operands.
pub type Partly = (Interval, bool);

impl Interval {
    /// Nothing but 0.
    pub const ZERO: Self = Self::point(0.0);
    /// All numbers.
    pub const ALL: Self = Self::new(f64::NEG_INFINITY, f64::INFINITY);

    /// Returns the interval from `low` to `high`.
    #[must_use]
    pub const fn new(low: f64, high: f64) -> Self {
        Self { low, high }
    }

    /// Returns one number.
    #[must_use]
    pub const fn point(value: f64) -> Self {
        Self::new(value, value)
    }

    /// Returns the interval from `low` to `high`, rounded outward; everything where an end is no
    /// number.
    fn outward(low: f64, high: f64) -> Self {
        Self {
            low: if low.is_nan() {
                f64::NEG_INFINITY
            } else {
                low.next_down()
            },
            high: if high.is_nan() {
                f64::INFINITY
            } else {
                high.next_up()
            },
        }
    }

    /// Returns the same for functions whose last digits the machine's library does not promise.
    fn loose(low: f64, high: f64) -> Self {
        const DIGITS: f64 = 4.0 * f64::EPSILON;
        Self::outward(low - low.abs() * DIGITS, high + high.abs() * DIGITS)
    }

    /// Returns how far it reaches from end to end.
    #[must_use]
    pub fn width(self) -> f64 {
        self.high - self.low
    }

    /// Returns the number half-way.
    #[must_use]
    pub fn middle(self) -> f64 {
        f64::midpoint(self.low, self.high)
    }

    /// Returns the greatest distance from 0.
    #[must_use]
    pub fn magnitude(self) -> f64 {
        self.low.abs().max(self.high.abs())
    }

    /// Returns whether a number lies in it.
    #[must_use]
    pub fn holds(self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }

    /// Returns whether it holds nothing but 0.
    #[must_use]
    pub fn is_zero(self) -> bool {
        self.low == 0.0 && self.high == 0.0
    }

    /// Returns whether both ends are finite.
    #[must_use]
    pub fn is_finite(self) -> bool {
        self.low.is_finite() && self.high.is_finite()
    }

    /// Returns all that lies in either, and between.
    #[must_use]
    pub fn or(self, other: Self) -> Self {
        Self::new(self.low.min(other.low), self.high.max(other.high))
    }

    /// Returns what lies in both; nothing where that is none.
    #[must_use]
    pub fn and(self, other: Self) -> Option<Self> {
        let both = Self::new(self.low.max(other.low), self.high.min(other.high));
        (both.low <= both.high).then_some(both)
    }

    /// Returns the quotient, with whether the divisor may be 0.
    #[must_use]
    pub fn over(self, other: Self) -> Partly {
        if other.low > 0.0 || other.high < 0.0 {
            let ends = [
                self.low / other.low,
                self.low / other.high,
                self.high / other.low,
                self.high / other.high,
            ];
            let ends = ends.map(|end| if end.is_nan() { 0.0 } else { end });
            let low = ends.iter().copied().fold(f64::INFINITY, f64::min);
            let high = ends.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            return (Self::outward(low, high), false);
        }
        // 0 at one end only: one side of the quotient stays bounded.
        let bounded = if other.low == 0.0 && other.high > 0.0 {
            if self.low >= 0.0 {
                Self::outward(self.low / other.high, f64::INFINITY)
            } else if self.high <= 0.0 {
                Self::outward(f64::NEG_INFINITY, self.high / other.high)
            } else {
                Self::ALL
            }
        } else if other.high == 0.0 && other.low < 0.0 {
            if self.low >= 0.0 {
                Self::outward(f64::NEG_INFINITY, self.low / other.low)
            } else if self.high <= 0.0 {
                Self::outward(self.high / other.low, f64::INFINITY)
            } else {
                Self::ALL
            }
        } else {
            Self::ALL
        };
        (bounded, true)
    }

    /// Returns the distance from 0.
    #[must_use]
    pub fn abs(self) -> Self {
        if self.low >= 0.0 {
            self
        } else if self.high <= 0.0 {
            -self
        } else {
            Self::new(0.0, self.magnitude())
        }
    }

    /// Returns the lesser of a number of each.
    #[must_use]
    pub fn least(self, other: Self) -> Self {
        Self::new(self.low.min(other.low), self.high.min(other.high))
    }

    /// Returns the greater of a number of each.
    #[must_use]
    pub fn greatest(self, other: Self) -> Self {
        Self::new(self.low.max(other.low), self.high.max(other.high))
    }

    /// Returns the square root.
    #[must_use]
    pub fn sqrt(self) -> Partly {
        if self.high < 0.0 {
            return (Self::ALL, true);
        }
        let found = Self::outward(self.low.max(0.0).sqrt(), self.high.sqrt());
        let found = Self::new(found.low.max(0.0), found.high);
        (found, self.low < 0.0)
    }

    /// Returns the result of a function that only rises.
    #[must_use]
    pub fn rising(self, function: impl Fn(f64) -> f64) -> Self {
        Self::loose(function(self.low), function(self.high))
    }

    /// Returns the result of a function that rises in steps, without rounding outward.
    #[must_use]
    pub fn stepped(self, function: impl Fn(f64) -> f64) -> Self {
        let ends = Self::new(function(self.low), function(self.high));
        if ends.low.is_nan() || ends.high.is_nan() {
            return Self::ALL;
        }
        ends
    }

    /// Returns a power with a fixed exponent.
    #[must_use]
    pub fn power(self, exponent: f64) -> Partly {
        if exponent == 0.0 {
            return (Self::point(1.0), false);
        }
        if exponent < 0.0 {
            let (whole, gap) = self.power(-exponent);
            let (found, zero) = Self::point(1.0).over(whole);
            return (found, gap || zero);
        }
        let raised = |x: f64| {
            if exponent == 2.0 {
                x * x
            } else {
                x.powf(exponent)
            }
        };
        if exponent.fract() != 0.0 {
            if self.high < 0.0 {
                return (Self::ALL, true);
            }
            let found = Self::loose(raised(self.low.max(0.0)), raised(self.high));
            return (Self::new(found.low.max(0.0), found.high), self.low < 0.0);
        }
        if exponent % 2.0 == 0.0 {
            let size = self.abs();
            let found = Self::loose(raised(size.low), raised(size.high));
            return (Self::new(found.low.max(0.0), found.high), false);
        }
        (self.rising(raised), false)
    }

    /// Returns the sine.
    #[must_use]
    pub fn sin(self) -> Self {
        self.wave(FRAC_PI_2, f64::sin)
    }

    /// Returns the cosine.
    #[must_use]
    pub fn cos(self) -> Self {
        self.wave(0.0, f64::cos)
    }

    /// Returns a wave of the period 2π from -1 to 1 with a crest at `crest`.
    fn wave(self, crest: f64, function: fn(f64) -> f64) -> Self {
        /// Further out the places of crests are not exact.
        const FAR: f64 = 1e6;
        if !self.is_finite() || self.magnitude() > FAR || self.width() >= TAU {
            return Self::new(-1.0, 1.0);
        }
        // Slack for the rounding of the places of crests and troughs.
        let reaches = |crest: f64| {
            let turns = ((self.low - crest) / TAU - 1e-9).ceil();
            crest + turns * TAU <= self.high + 1e-9
        };
        let (a, b) = (function(self.low), function(self.high));
        let ends = Self::loose(a.min(b), a.max(b));
        Self::new(
            if reaches(crest + PI) {
                -1.0
            } else {
                ends.low.max(-1.0)
            },
            if reaches(crest) {
                1.0
            } else {
                ends.high.min(1.0)
            },
        )
    }

    /// Returns the tangent.
    #[must_use]
    pub fn tan(self) -> Partly {
        let cosine = self.cos();
        if cosine.holds(0.0) || self.width() >= PI {
            return (Self::ALL, true);
        }
        (self.rising(f64::tan), false)
    }

    /// Returns the angle of a point, `self` up and `x` along, from -π to π, with whether it
    /// jumps somewhere within.
    #[must_use]
    pub fn atan2(self, x: Self) -> Partly {
        if x.low <= 0.0 && self.holds(0.0) {
            return (Self::loose(-PI, PI), true);
        }
        let corners = [
            self.low.atan2(x.low),
            self.low.atan2(x.high),
            self.high.atan2(x.low),
            self.high.atan2(x.high),
        ];
        let low = corners.iter().copied().fold(f64::INFINITY, f64::min);
        let high = corners.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        (Self::loose(low, high), false)
    }
}

impl Neg for Interval {
    type Output = Self;

    fn neg(self) -> Self {
        Self::new(-self.high, -self.low)
    }
}

impl Add for Interval {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        if self.is_zero() {
            return other;
        }
        if other.is_zero() {
            return self;
        }
        let found = Self::outward(self.low + other.low, self.high + other.high);
        // What is nowhere below 0 stays so.
        Self::new(
            if self.low >= 0.0 && other.low >= 0.0 {
                found.low.max(0.0)
            } else {
                found.low
            },
            if self.high <= 0.0 && other.high <= 0.0 {
                found.high.min(0.0)
            } else {
                found.high
            },
        )
    }
}

impl Sub for Interval {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        self + -other
    }
}

impl Mul for Interval {
    type Output = Self;

    fn mul(self, other: Self) -> Self {
        if self.is_zero() || other.is_zero() {
            return Self::ZERO;
        }
        if other.low == 1.0 && other.high == 1.0 {
            return self;
        }
        if self.low == 1.0 && self.high == 1.0 {
            return other;
        }
        // 0 times an end at infinity is 0: that end is no number within.
        let product = |a: f64, b: f64| if a == 0.0 || b == 0.0 { 0.0 } else { a * b };
        let ends = [
            product(self.low, other.low),
            product(self.low, other.high),
            product(self.high, other.low),
            product(self.high, other.high),
        ];
        let low = ends.iter().copied().fold(f64::INFINITY, f64::min);
        let high = ends.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        // What has only one sign keeps it.
        let found = Self::outward(low, high);
        Self::new(
            if low >= 0.0 {
                found.low.max(0.0)
            } else {
                found.low
            },
            if high <= 0.0 {
                found.high.min(0.0)
            } else {
                found.high
            },
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::language::Scatter;

    /// Holds an operation on intervals against the same on many numbers within.
    #[track_caller]
    fn dense(
        name: &str,
        on_intervals: impl Fn(Interval) -> Partly,
        on_numbers: impl Fn(f64) -> f64,
    ) {
        let mut row = Scatter::new(7);
        for _ in 0..400 {
            let (a, b) = (8.0 * row.part() - 4.0, 8.0 * row.part() - 4.0);
            let within = Interval::new(a.min(b), a.max(b));
            let (found, gap) = on_intervals(within);
            for step in 0..=50 {
                let x = within.low + within.width() * f64::from(step) / 50.0;
                let y = on_numbers(x.min(within.high));
                if y.is_finite() {
                    assert!(
                        found.holds(y),
                        "{name} of {within:?}: {found:?}, at {x}: {y}"
                    );
                } else {
                    assert!(gap, "{name} of {within:?} has no value at {x}");
                }
            }
        }
    }

    #[test]
    fn no_operation_gives_less_than_the_numbers_within() {
        dense("abs", |x| (x.abs(), false), f64::abs);
        dense("sqrt", Interval::sqrt, f64::sqrt);
        dense("sin", |x| (x.sin(), false), f64::sin);
        dense("cos", |x| (x.cos(), false), f64::cos);
        dense("tan", Interval::tan, f64::tan);
        dense("exp", |x| (x.rising(f64::exp), false), f64::exp);
        dense("atan", |x| (x.rising(f64::atan), false), f64::atan);
        for exponent in [-3.0, -2.0, -0.5, 0.0, 0.5, 1.0, 2.0, 3.0, 4.0] {
            let raised = |x: f64| {
                if exponent == 2.0 {
                    x * x
                } else {
                    x.powf(exponent)
                }
            };
            dense("power", |x| x.power(exponent), raised);
        }
        for other in [-2.0, -0.3, 0.0, 0.7, 3.0] {
            let beside = Interval::new(other, other + 1.0);
            for y in [other, other + 0.25, other + 1.0] {
                dense("+", |x| (x + beside, false), |x| x + y);
                dense("-", |x| (x - beside, false), |x| x - y);
                dense("*", |x| (x * beside, false), |x| x * y);
                dense("/", |x| x.over(beside), |x| x / y);
                dense("/", |x| beside.over(x), |x| y / x);
                dense("least", |x| (x.least(beside), false), |x| x.min(y));
                dense("greatest", |x| (x.greatest(beside), false), |x| x.max(y));
                dense("atan2", |x| x.atan2(beside), |x| x.atan2(y));
                dense("atan2", |x| beside.atan2(x), |x| y.atan2(x));
            }
        }
    }

    #[test]
    fn zero_stays_zero_and_one_changes_nothing() {
        assert!((Interval::ZERO * Interval::ALL).is_zero());
        let some = Interval::new(0.1, 0.3);
        assert_eq!(some * Interval::point(1.0), some);
        assert_eq!(some + Interval::ZERO, some);
    }
}
