//! Arithmetic of quantities.

use std::cmp::Ordering;

use super::shown::combined;
use super::value::too_large;
use super::{Dimension, Quantity, Style, System, Unit, compare, default_unit};
use crate::diagnostic::Fault;

impl Quantity {
    /// Returns the sum.
    ///
    /// # Errors
    /// When the two measure different things, or both are temperatures counted
    /// from another zero.
    #[inline]
    pub fn plus(self, other: Self) -> Result<Self, Fault> {
        if self.dimension != other.dimension && !self.dimension.agrees(other.dimension) {
            return Err(self.unlike(other, "added to"));
        }
        let unit = match (
            self.unit.from_another_zero(),
            other.unit.from_another_zero(),
        ) {
            (true, true) => {
                let message = format!("{self} and {other} are temperatures and can't be added");
                return Err(
                    Fault::new(message).advise("write the rise in K, such as `20 degC + 60 K`")
                );
            }
            (false, true) => other.unit,
            _ => self.unit_or(other),
        };
        Ok(Self {
            si: self.si + other.si,
            dimension: self.sum_dimension(other),
            unit,
        })
    }

    /// Returns the difference.
    ///
    /// # Errors
    /// When the two measure different things, or a temperature is taken from a
    /// difference of temperatures.
    #[inline]
    pub fn minus(self, other: Self) -> Result<Self, Fault> {
        if self.dimension != other.dimension && !self.dimension.agrees(other.dimension) {
            return Err(other.unlike(self, "taken from"));
        }
        let unit = match (
            self.unit.from_another_zero(),
            other.unit.from_another_zero(),
        ) {
            (true, true) => Unit::NONE,
            (false, true) => {
                let message =
                    format!("{other} is a temperature and can't be taken from a difference");
                return Err(Fault::new(message).advise("write the temperature first"));
            }
            _ => self.unit_or(other),
        };
        Ok(Self {
            si: self.si - other.si,
            dimension: self.sum_dimension(other),
            unit,
        })
    }

    /// Returns the product.
    ///
    /// # Errors
    /// When one is a temperature counted from another zero.
    #[inline]
    pub fn times(self, other: Self) -> Result<Self, Fault> {
        let dimension = self
            .dimension
            .times(other.dimension)
            .ok_or_else(too_large)?;
        let unit = self.combined_unit(other, false)?;
        Ok(Self {
            si: self.si * other.si,
            dimension,
            unit,
        })
    }

    /// Returns the quotient.
    ///
    /// # Errors
    /// When `other` is zero, or one is a temperature counted from another zero.
    #[inline]
    pub fn over(self, other: Self) -> Result<Self, Fault> {
        if other.si == 0.0 {
            return Err(Fault::new(format!("{self} can't be divided by zero")));
        }
        let dimension = self.dimension.over(other.dimension).ok_or_else(too_large)?;
        let unit = self.combined_unit(other, true)?;
        Ok(Self {
            si: self.si / other.si,
            dimension,
            unit,
        })
    }

    /// Returns the same value with its sign changed.
    ///
    /// # Errors
    /// When it is a temperature counted from another zero.
    pub fn negated(self) -> Result<Self, Fault> {
        if self.unit.from_another_zero() {
            return Err(self.no_factor());
        }
        Ok(Self {
            si: -self.si,
            ..self
        })
    }

    /// Returns a power.
    ///
    /// # Errors
    /// When the exponent has a unit, when it is not whole and the base has a unit,
    /// or when the result is no real number.
    pub fn power(self, exponent: Self) -> Result<Self, Fault> {
        if exponent.dimension != Dimension::NONE {
            let message = format!(
                "{exponent} can't be a power: it is {}",
                exponent.dimension.words()
            );
            return Err(Fault::new(message).advise("a power is a plain number"));
        }
        if self.unit.from_another_zero() {
            return Err(self.no_factor());
        }
        let n = exponent.si;
        let si = if n == 2.0 {
            self.si * self.si
        } else {
            self.si.powf(n)
        };
        if !si.is_finite() {
            return Err(Fault::new(format!(
                "{self} to the power {exponent} has no value"
            )));
        }
        if self.dimension == Dimension::NONE {
            return Ok(Self::number(si));
        }
        if n.fract() != 0.0 || n.abs() > 100.0 {
            let message = format!("{self} can only be raised to a whole power, not {exponent}");
            return Err(Fault::new(message).advise("write sqrt(…) for a square root"));
        }
        #[allow(clippy::cast_possible_truncation)] // whole and at most 100
        let whole = n as i32;
        let dimension = self.dimension.power(whole).ok_or_else(too_large)?;
        let unit = if dimension == Dimension::NONE {
            Unit::NONE
        } else {
            self.power_unit(whole)
        };
        Ok(Self {
            si,
            dimension,
            unit,
        })
    }

    fn power_unit(self, whole: i32) -> Unit {
        let mut unit = self.unit;
        for _ in 1..whole.min(8) {
            unit = combined(unit, self.unit, false);
        }
        if (1..=8).contains(&whole) {
            unit
        } else {
            Unit::NONE
        }
    }

    /// Returns a square or cube root.
    ///
    /// # Errors
    /// When the value is negative (square root) or its dimension has no such root.
    pub fn root(self, degree: i8) -> Result<Self, Fault> {
        let name = if degree == 2 { "square" } else { "cube" };
        if self.unit.from_another_zero() {
            return Err(self.no_factor());
        }
        if degree == 2 && self.si < 0.0 {
            return Err(Fault::new(format!(
                "{self} is negative and has no square root"
            )));
        }
        // A radian beside a length or a mass counts as 1 where it would leave no root.
        let root = |dimension: Dimension| dimension.root(degree);
        let Some(dimension) = root(self.dimension).or_else(|| root(self.dimension.settled()))
        else {
            let message = format!(
                "{self} is {} and has no {name} root",
                self.dimension.words()
            );
            return Err(Fault::new(message));
        };
        let si = if degree == 2 {
            self.si.sqrt()
        } else {
            self.si.cbrt()
        };
        let parts = self.unit.parts().iter();
        let roots =
            parts.map(|(unit, power)| (power % degree == 0).then(|| (*unit, power / degree)));
        let roots: Option<Vec<_>> = roots.collect();
        let unit = roots.and_then(|roots| Unit::of(&roots)).unwrap_or_default();
        Ok(Self {
            si,
            dimension,
            unit,
        })
    }

    /// Returns the order of two values, equal where they differ by rounding only.
    ///
    /// # Errors
    /// When the two measure different things or either is not a number.
    pub fn order(self, other: Self) -> Result<Ordering, Fault> {
        compare(self.si, other.si, self.scale_beside(other)?)
            .ok_or_else(|| Fault::new("what is not a number can't be compared"))
    }

    /// Returns the unit, in coherent SI, that decides what is rounding when two values are
    /// compared.
    ///
    /// # Errors
    /// When the two measure different things.
    pub fn scale_beside(self, other: Self) -> Result<f64, Fault> {
        if !self.dimension.agrees(other.dimension) {
            return Err(self.unlike(other, "compared with"));
        }
        let zeros = (
            self.unit.from_another_zero(),
            other.unit.from_another_zero(),
        );
        if zeros.0 != zeros.1 {
            let message = format!("{self} and {other} are a temperature and a difference");
            return Err(
                Fault::new(message).advise("compare temperatures in degC, differences in K")
            );
        }
        let scale = |q: Self| match q.unit {
            Unit::NONE => 0.0,
            unit => unit.factor(),
        };
        Ok(match scale(self).max(scale(other)) {
            0.0 if self.dimension == Dimension::NONE => 1.0,
            0.0 => default_unit(self.dimension, System::Metric).factor(),
            scale => scale,
        })
    }

    #[inline]
    fn unit_or(self, other: Self) -> Unit {
        let unit = match (self.unit == Unit::NONE, other.unit == Unit::NONE) {
            (true, false) if other.is_percentage() => Unit::NONE,
            (false, true) if self.is_percentage() => Unit::NONE,
            (true, _) => other.unit,
            (false, _) => self.unit,
        };
        // A coordinate and a length make a coordinate.
        if other.unit.is_coordinate() && !unit.is_coordinate() {
            return unit.styled(Style::Coordinate);
        }
        unit
    }

    /// Returns the dimension of a sum: the one without a stray radian where they differ.
    #[inline]
    fn sum_dimension(self, other: Self) -> Dimension {
        if self.dimension == other.dimension {
            self.dimension
        } else {
            self.dimension.without_angle()
        }
    }

    #[inline]
    fn combined_unit(self, other: Self, over: bool) -> Result<Unit, Fault> {
        if self.unit.from_another_zero() {
            return Err(self.no_factor());
        }
        if other.unit.from_another_zero() {
            return Err(other.no_factor());
        }
        if other.unit == Unit::NONE {
            return Ok(if self.is_percentage() {
                Unit::NONE
            } else if other.dimension == Dimension::NONE {
                self.unit
            } else {
                Unit::NONE
            });
        }
        if self.unit == Unit::NONE && self.dimension != Dimension::NONE {
            return Ok(Unit::NONE);
        }
        Ok(combined(self.unit, other.unit, over))
    }

    /// Returns whether it is written in per cent. What a percentage makes of a plain number is
    /// a plain number: 75 % of 40 is 30 and not 3000 %.
    fn is_percentage(self) -> bool {
        self.dimension == Dimension::NONE
            && matches!(self.unit.parts(), [(unit, 1)] if unit.symbol == "%")
    }

    fn no_factor(self) -> Fault {
        Fault::new(format!(
            "{self} counts from another zero and can't be multiplied or divided"
        ))
        .advise("take a difference of temperatures first, in K")
    }

    fn unlike(self, other: Self, verb: &str) -> Fault {
        let words = |q: Self| q.dimension.words();
        let fault = Fault::new(format!(
            "{self} ({}) can't be {verb} {other} ({})",
            words(self),
            words(other)
        ));
        let pair = |d: Dimension| {
            self.dimension == Dimension::NONE && other.dimension == d
                || self.dimension == d && other.dimension == Dimension::NONE
        };
        let bare = if self.dimension == Dimension::NONE {
            self
        } else {
            other
        };
        if pair(Dimension::LENGTH) {
            fault.advise(format!(
                "give the number its unit, such as `{} mm`",
                super::plain(bare.si)
            ))
        } else if pair(Dimension::ANGLE) {
            fault.advise(format!(
                "give the number its unit, such as `{} deg`",
                super::plain(bare.si)
            ))
        } else {
            fault
        }
    }
}
