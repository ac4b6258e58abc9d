//! Lengths as messages write them, and the bounds every length has to keep.

use uom::si::f64::Length;
use uom::si::length::{meter, millimeter};

use crate::diagnostic::Fault;

/// The greatest length that makes sense on a bench, in metres.
const GREATEST: f64 = 100.0;

/// Lengths that differ by less than this, in metres, are one length: a tenth of a
/// nanometre, far below any gauge and far above the rounding of the arithmetic.
const SAME: f64 = 1e-10;

/// Writes a length in millimetres, to a tenth of a micrometre: `6.8 mm`.
#[must_use]
pub fn in_millimetres(length: Length) -> String {
    format!("{} mm", trimmed(length))
}

/// The number of millimetres, to a tenth of a micrometre, without closing zeros.
pub(crate) fn trimmed(length: Length) -> f64 {
    let rounded = (length.get::<millimeter>() * 1e4).round() / 1e4;
    rounded + 0.0 // no minus zero
}

/// Whether two lengths are the same but for the rounding of the arithmetic.
#[must_use]
pub fn same(a: Length, b: Length) -> bool {
    (a - b).get::<meter>().abs() < SAME
}

/// Whether `a` is greater than `b` by more than the rounding of the arithmetic.
#[must_use]
pub fn exceeds(a: Length, b: Length) -> bool {
    (a - b).get::<meter>() >= SAME
}

/// Checks that a length is above zero and no more than 100 m.
///
/// `what` names the length ("the hole"); `argument` is its index, from 0.
///
/// # Errors
/// A fault when it is zero, negative, not a number or beyond 100 m.
pub fn check_positive(length: Length, what: &str, argument: usize) -> Result<(), Fault> {
    let metres = length.get::<meter>();
    if metres > 0.0 && metres <= GREATEST {
        return Ok(());
    }
    let message = if metres > GREATEST {
        format!("{what} is more than 100 m")
    } else {
        format!(
            "{what} is {}, but must be more than 0 mm",
            in_millimetres(length)
        )
    };
    Err(Fault::new(message).in_argument(argument))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_written_without_closing_zeros() {
        let written = |mm: f64| in_millimetres(Length::new::<millimeter>(mm));
        assert_eq!(written(6.8), "6.8 mm");
        assert_eq!(written(0.1 + 0.2), "0.3 mm");
        assert_eq!(written(-0.00001), "0 mm");
        assert_eq!(written(25.4), "25.4 mm");
    }

    #[test]
    fn only_lengths_between_nothing_and_a_hundred_metres_pass() {
        let fault = |mm: f64| check_positive(Length::new::<millimeter>(mm), "the hole", 1);
        assert!(fault(1e-6).is_ok());
        assert!(fault(100_000.0).is_ok());
        for bad in [
            0.0,
            -1.0,
            100_001.0,
            f64::NAN,
            f64::INFINITY,
            -f64::INFINITY,
        ] {
            let found = fault(bad).unwrap_err();
            assert_eq!(found.argument, Some(1), "{bad}");
            assert!(found.message.starts_with("the hole is "), "{found}");
        }
    }
}
