//! A number with its dimension and the unit it likes to be shown in.

use std::fmt;

use super::{Dimension, SAME, Side, Style, System, Unit, default_unit, parse_unit};
use crate::diagnostic::Fault;

/// A run-time quantity: a number in coherent SI, what it measures, and the unit
/// it likes to be shown in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Quantity {
    /// The value in coherent SI (metres, radians, kilograms, seconds, kelvins).
    pub si: f64,
    /// What it measures.
    pub dimension: Dimension,
    /// The unit to show it in; [`Unit::NONE`] for the default of its dimension.
    pub unit: Unit,
}

/// Returns why a sum, a product or a power has no result.
pub(super) fn too_large() -> Fault {
    Fault::new("the powers of the units grow past what can be counted")
}

impl Quantity {
    /// Returns a plain number.
    #[must_use]
    pub const fn number(value: f64) -> Self {
        Self {
            si: value,
            dimension: Dimension::NONE,
            unit: Unit::NONE,
        }
    }

    /// Returns a value in coherent SI, shown in the default unit of its dimension.
    #[must_use]
    pub const fn si(value: f64, dimension: Dimension) -> Self {
        Self {
            si: value,
            dimension,
            unit: Unit::NONE,
        }
    }

    /// Returns a number in a unit.
    #[must_use]
    pub fn new(value: f64, unit: Unit) -> Self {
        Self {
            si: unit.to_si(value),
            dimension: unit.dimension(),
            unit,
        }
    }

    /// Returns a number in a unit that is written out.
    ///
    /// # Errors
    /// When `unit` is not a unit.
    pub fn of(value: f64, unit: &str) -> Result<Self, Fault> {
        Ok(Self::new(value, parse_unit(unit)?))
    }

    /// Returns the number in `unit`, whatever the dimensions.
    #[must_use]
    pub fn in_unit(self, unit: Unit) -> f64 {
        unit.from_si(self.si)
    }

    /// Returns the unit it is shown in when nothing else is asked for.
    #[must_use]
    pub fn shown_unit(self, system: System) -> Unit {
        if self.unit == Unit::NONE {
            let unit = default_unit(self.dimension, system);
            // A mass below 1 kg says more in g.
            let mass = Dimension::new(0, 1, 0, 0, 0);
            let light = self.dimension == mass && self.si.abs() < 1.0 && self.si != 0.0;
            match parse_unit("g") {
                Ok(grams) if light && system == System::Metric => grams,
                _ => unit,
            }
        } else if self.unit.parts().is_empty() {
            // It says how the number is written, and no more.
            default_unit(self.dimension, system).styled(self.unit.style())
        } else {
            self.unit
        }
    }

    /// Returns the same value as a limit or a deviation, which is shown with all its
    /// digits, or rounded to a side where these are many.
    #[must_use]
    pub fn as_limit(self, side: Side) -> Self {
        if let Style::DegreesMinutesSeconds | Style::Fraction(_) = self.unit.style() {
            return self;
        }
        Self {
            unit: self.unit.styled(Style::AllDigits(side)),
            ..self
        }
    }

    /// Returns the same length as a coordinate, which is shown in steps of the readout.
    ///
    /// # Errors
    /// When it is no length.
    pub fn as_coordinate(self) -> Result<Self, Fault> {
        if !self.dimension.agrees(Dimension::LENGTH) {
            let message = format!(
                "{self} is {}; the readout shows lengths",
                self.dimension.words()
            );
            return Err(Fault::new(message));
        }
        Ok(Self {
            dimension: Dimension::LENGTH,
            unit: self.unit.styled(Style::Coordinate),
            ..self
        })
    }

    /// Returns the same value shown in `unit`.
    ///
    /// # Errors
    /// When the unit measures something else.
    pub fn shown_in(self, unit: Unit) -> Result<Self, Fault> {
        if !self.dimension.agrees(unit.dimension()) {
            return Err(self.not_in(unit));
        }
        if self.unit.from_another_zero() != unit.from_another_zero()
            && self.dimension == unit.dimension()
        {
            let advice = "20 degC is a temperature, a difference of temperatures is in K";
            return Err(
                Fault::new(format!("{self} can't be shown in {}", unit.symbol())).advise(advice),
            );
        }
        Ok(Self {
            dimension: unit.dimension(),
            unit,
            ..self
        })
    }

    /// Returns the same value without a radian that is left over beside a length or a mass
    /// and that it is not shown in, as a cell holds it.
    #[inline]
    #[must_use]
    pub fn settled(self) -> Self {
        let dimension = self.dimension.settled();
        if dimension == self.dimension || self.unit.dimension().angle != 0 {
            return self;
        }
        Self { dimension, ..self }
    }

    /// Returns whether it is counted in revolutions or per revolution: `rev`, `rpm`, `mm/rev`.
    #[must_use]
    pub fn counts_revolutions(self) -> bool {
        let mut parts = self.unit.parts().iter();
        parts.any(|(unit, _)| matches!(unit.symbol, "rev" | "rpm"))
    }

    fn not_in(self, unit: Unit) -> Fault {
        let (measures, symbol) = (unit.dimension(), unit.symbol());
        let fault = Fault::new(format!(
            "{self} is {}, which can't be shown in {symbol}",
            self.dimension.words()
        ));
        if self.dimension == Dimension::ANGLE_PER_TIME && measures == Dimension::ROTATION {
            return fault
                .advise("rpm counts revolutions: divide by the angle of one, `/ (360 deg)`");
        }
        if self.dimension == Dimension::NONE && measures == Dimension::ANGLE {
            return fault.advise(format!("multiply by `1 {symbol}`"));
        }
        fault
    }
}

/// Returns how far from 0 a difference still counts as rounding, in coherent SI: one part in
/// 10^12 of its unit.
#[must_use]
pub fn slack(difference: Quantity) -> f64 {
    SAME * difference.shown_unit(System::Metric).factor().abs()
}

impl fmt::Display for Quantity {
    /// Returns the value in the unit it likes to be shown in, as it would be printed.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&super::quantity(*self, System::Metric))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn q(value: f64, unit: &str) -> Quantity {
        Quantity::of(value, unit).unwrap()
    }

    #[test]
    fn power_is_two_pi_n_torque() {
        let two_pi = Quantity::number(2.0 * std::f64::consts::PI);
        let power = two_pi
            .times(q(1200.0, "rpm"))
            .unwrap()
            .times(q(2.0, "N*m"))
            .unwrap();
        // 2 pi * 20 /s * 2 N m, arithmetic.
        assert!((power.si - 251.327_412_287_183_45).abs() < 1e-10);
        assert_eq!(power.dimension, Dimension::new(2, 1, -3, 0, 0));
    }

    #[test]
    fn feed_times_speed_is_shown_in_mm_per_minute() {
        let feed = q(0.1, "mm/rev").times(q(400.0, "rpm")).unwrap();
        assert_eq!(feed.to_string(), "40 mm/min");
    }

    #[test]
    fn unlike_quantities_are_refused_in_the_users_words() {
        let fault = q(30.0, "deg").plus(q(2.0, "mm")).unwrap_err();
        assert_eq!(
            fault.message,
            "30.000 deg (an angle) can't be added to 2.000 mm (a length)"
        );
        assert!(
            Quantity::number(3.0)
                .plus(q(2.0, "mm"))
                .unwrap_err()
                .advice
                .is_some()
        );
    }

    #[test]
    fn temperatures_differ_in_kelvin() {
        let warm = q(80.0, "degC");
        assert_eq!(warm.minus(q(20.0, "degC")).unwrap().si, 60.0);
        assert_eq!(
            q(20.0, "degC")
                .plus(q(60.0, "K"))
                .unwrap()
                .in_unit(warm.unit),
            80.0
        );
        assert!(warm.plus(warm).is_err());
        assert!(warm.times(Quantity::number(2.0)).is_err());
        assert!(warm.order(q(293.0, "K")).is_err());
    }

    #[test]
    fn an_arc_meets_a_length() {
        let arc = q(10.0, "mm").times(q(90.0, "deg")).unwrap();
        let sum = arc.plus(q(1.0, "mm")).unwrap();
        assert_eq!(sum.dimension, Dimension::LENGTH);
        assert!(
            q(1.0, "rad/s")
                .shown_in(parse_unit("rpm").unwrap())
                .is_err()
        );
    }

    #[test]
    fn powers_and_roots_keep_their_unit() {
        let square = q(3.0, "mm").power(Quantity::number(2.0)).unwrap();
        assert_eq!(square.to_string(), "9 mm^2");
        assert_eq!(square.root(2).unwrap().to_string(), "3.000 mm");
        assert!(q(3.0, "mm").root(2).is_err());
        assert!(q(3.0, "mm").power(Quantity::number(0.5)).is_err());
    }
}
