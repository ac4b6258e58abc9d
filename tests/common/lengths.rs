//! Lengths for tests.

use uom::si::f64::Length;
use uom::si::length::millimeter;

/// A length of so many millimetres.
pub fn mm(value: f64) -> Length {
    Length::new::<millimeter>(value)
}
