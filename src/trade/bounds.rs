//! What an argument may be: finite, of the right sign, of a size that makes
//! sense, with one wording for all of trade.

use uom::si::angle::{degree, radian};
use uom::si::f64::{Angle, Length};
use uom::si::length::{meter, millimeter};

use crate::diagnostic::Fault;
use crate::trade::words::short;

/// The greatest length that makes sense in a workshop, in metres.
const LONGEST: f64 = 100.0;

/// The least length that is told from nothing, in metres.
const SHORTEST: f64 = 1e-12;

/// A number as a message shows it: at most six decimals, no trailing zeros.
pub(crate) fn shown(value: f64) -> String {
    if value != 0.0 && (value.abs() < 1e-6 || value.abs() >= 1e12) {
        return format!("{value:e}");
    }
    short(value, 6)
}

/// The metres of a length that is finite and not beyond all sense.
pub(crate) fn length(value: Length, name: &str, argument: usize) -> Result<f64, Fault> {
    let metres = value.get::<meter>();
    if !metres.is_finite() || metres.abs() > LONGEST {
        return Err(Fault::new(format!(
            "the {name} must be a length up to 100 m; it is {} mm",
            shown(value.get::<millimeter>())
        ))
        .in_argument(argument));
    }
    Ok(metres)
}

/// The metres of a length that is greater than zero.
pub(crate) fn length_above_zero(value: Length, name: &str, argument: usize) -> Result<f64, Fault> {
    let metres = length(value, name, argument)?;
    if metres < SHORTEST {
        let allowed = if metres > 0.0 {
            "at least 1e-9 mm"
        } else {
            "more than 0 mm"
        };
        return Err(Fault::new(format!(
            "the {name} must be {allowed}; it is {} mm",
            shown(value.get::<millimeter>())
        ))
        .in_argument(argument));
    }
    Ok(metres)
}

/// The metres of a length that is zero or greater.
pub(crate) fn length_from_zero(value: Length, name: &str, argument: usize) -> Result<f64, Fault> {
    let metres = length(value, name, argument)?;
    if metres < 0.0 {
        return Err(Fault::new(format!(
            "the {name} must be 0 mm or more; it is {} mm",
            shown(value.get::<millimeter>())
        ))
        .in_argument(argument));
    }
    Ok(metres)
}

/// The radians of an angle that is finite and at most a hundred thousand turns.
pub(crate) fn angle(value: Angle, name: &str, argument: usize) -> Result<f64, Fault> {
    let radians = value.get::<radian>();
    if !radians.is_finite() || value.get::<degree>().abs() > 3.6e7 {
        return Err(Fault::new(format!(
            "the {name} must be an angle up to 100000 turns; it is {} deg",
            shown(value.get::<degree>())
        ))
        .in_argument(argument));
    }
    Ok(radians)
}

/// The radians of an angle greater than `low` and less than `high` degrees.
pub(crate) fn angle_within(
    value: Angle,
    low: f64,
    high: f64,
    name: &str,
    argument: usize,
) -> Result<f64, Fault> {
    let degrees = value.get::<degree>();
    if !(degrees > low && degrees < high) {
        return Err(Fault::new(format!(
            "the {name} must be between {} deg and {} deg; it is {} deg",
            shown(low),
            shown(high),
            shown(degrees)
        ))
        .in_argument(argument));
    }
    Ok(value.get::<radian>())
}

/// A count from `low` up to and including `high`.
pub(crate) fn count(
    value: u32,
    low: u32,
    high: u32,
    name: &str,
    argument: usize,
) -> Result<u32, Fault> {
    if !(low..=high).contains(&value) {
        return Err(Fault::new(format!(
            "the {name} must be a whole number from {low} to {high}; it is {value}"
        ))
        .in_argument(argument));
    }
    Ok(value)
}

/// A number without a unit from `low` up to and including `high`.
pub(crate) fn number(
    value: f64,
    low: f64,
    high: f64,
    name: &str,
    argument: usize,
) -> Result<f64, Fault> {
    if !(value >= low && value <= high) {
        return Err(Fault::new(format!(
            "the {name} must be from {} to {}; it is {}",
            shown(low),
            shown(high),
            shown(value)
        ))
        .in_argument(argument));
    }
    Ok(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_in_messages_are_short() {
        for (value, text) in [
            (0.1 + 0.2, "0.3"),
            (-5.0, "-5"),
            (-1e-7, "-1e-7"),
            (f64::NAN, "NaN"),
            (f64::INFINITY, "inf"),
            (1e300, "1e300"),
        ] {
            assert_eq!(shown(value), text);
        }
    }

    #[test]
    fn what_is_no_length_is_refused_by_name() {
        for bad in [f64::NAN, f64::INFINITY, -1.0, 0.0, 1e30] {
            let fault =
                length_above_zero(Length::new::<millimeter>(bad), "diameter", 3).unwrap_err();
            assert!(fault.message.contains("diameter"), "{fault}");
            assert_eq!(fault.argument, Some(3));
        }
        assert!(length_from_zero(Length::new::<millimeter>(0.0), "cut", 0).is_ok());
        assert!(angle(Angle::new::<degree>(f64::NAN), "first angle", 0).is_err());
    }
}
