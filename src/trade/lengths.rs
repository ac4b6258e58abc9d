//! Lengths as messages write them, and when two are one length.

use uom::si::f64::Length;
use uom::si::length::{meter, millimeter};

use crate::quantity::short;

/// Lengths that differ by less than this, in metres, are one length: a tenth of a
/// nanometre, far below any gauge and far above the rounding of the arithmetic.
const SAME: f64 = 1e-10;

/// Returns a length of so many millimetres.
#[must_use]
pub fn mm(value: f64) -> Length {
    Length::new::<millimeter>(value)
}

/// Writes a length in millimetres, to a tenth of a micrometre: `6.8 mm`.
#[must_use]
pub fn in_millimetres(length: Length) -> String {
    format!("{} mm", short(length.get::<millimeter>(), 4))
}

/// Returns whether two lengths are the same but for the rounding of the arithmetic.
#[must_use]
pub fn same(a: Length, b: Length) -> bool {
    (a - b).get::<meter>().abs() < SAME
}

/// Returns whether `a` is greater than `b` by more than the rounding of the arithmetic.
#[must_use]
pub fn exceeds(a: Length, b: Length) -> bool {
    (a - b).get::<meter>() >= SAME
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_written_without_closing_zeros() {
        let written = |value: f64| in_millimetres(mm(value));
        assert_eq!(written(6.8), "6.8 mm");
        assert_eq!(written(0.1 + 0.2), "0.3 mm");
        assert_eq!(written(-0.00001), "0 mm");
        assert_eq!(written(25.4), "25.4 mm");
    }
}
