//! Units as a value is written or shown in: products and quotients of the
//! defined units, with a way of writing the number.

use super::dimension::product;
use super::{Dimension, NamedUnit};

/// The most defined units that one unit is made of.
pub(super) const MOST: usize = 7;

/// To which side a number is rounded.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Side {
    /// To the nearest step.
    #[default]
    Nearest,
    /// Never below the number: a lower limit.
    Up,
    /// Never above the number: an upper limit.
    Down,
}

/// How the number of a shown value is written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Style {
    /// As a decimal number.
    #[default]
    Decimal,
    /// As degrees, minutes and seconds.
    DegreesMinutesSeconds,
    /// As the nearest fraction with this denominator.
    Fraction(u16),
    /// As a limit or a deviation: with all its digits where those are few, else rounded
    /// to this side.
    AllDigits(Side),
    /// As a coordinate: in whole steps of the readout, where the notebook has one.
    Coordinate,
}

/// A unit: defined units to powers, in written order, and how the number is written.
///
/// [`Unit::NONE`] says that a value has no wish of its own: it is shown in the
/// default unit of its dimension. A unit of no parts with a style says how the number
/// is written, and no more.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Unit {
    /// Defined units and their powers; the first power of 0 ends them.
    parts: [(NamedUnit, i8); MOST],
    style: Style,
}

impl Unit {
    /// No wish: the default unit of the dimension.
    pub const NONE: Self = Self {
        parts: [(NamedUnit::FIRST, 0); MOST],
        style: Style::Decimal,
    };

    /// Returns how the unit is printed behind a number: `mm`, `kg/m^3`, `1/mm`. What is read
    /// by programs has the symbol that can be typed, `mm^-1`.
    #[must_use]
    pub fn printed(self) -> String {
        let symbol = self.symbol();
        match (self.parts(), symbol.split_once("^-")) {
            ([(_, power)], Some((unit, "1"))) if *power < 0 => format!("1/{unit}"),
            ([(_, power)], Some((unit, raised))) if *power < 0 => format!("1/{unit}^{raised}"),
            _ => symbol,
        }
    }

    /// Returns the unit made of these parts, those to the power 0 left out; nothing when
    /// there are more than seven, or when a power of their dimension passes 127.
    #[must_use]
    pub fn of(parts: &[(NamedUnit, i8)]) -> Option<Self> {
        let mut unit = Self::NONE;
        let mut places = unit.parts.iter_mut();
        let mut dimension = Dimension::NONE;
        for (named, power) in parts.iter().filter(|(_, power)| *power != 0) {
            dimension = dimension.times(named.dimension.power(i32::from(*power))?)?;
            *places.next()? = (*named, *power);
        }
        Some(unit)
    }

    /// Returns the defined units it is made of and their powers, in written order.
    #[must_use]
    pub fn parts(&self) -> &[(NamedUnit, i8)] {
        let length = self.parts.iter().position(|(_, power)| *power == 0);
        self.parts.split_at(length.unwrap_or(MOST)).0
    }

    /// Returns how the number is written.
    #[must_use]
    pub const fn style(self) -> Style {
        self.style
    }

    /// Returns the same unit with another way of writing the number.
    #[must_use]
    pub const fn styled(self, style: Style) -> Self {
        Self { style, ..self }
    }

    /// Returns the value of one unit in coherent SI.
    #[must_use]
    pub fn factor(self) -> f64 {
        let mut factor = 1.0;
        for (unit, power) in self.parts() {
            // Multiplying or dividing keeps one rounding where a power of a rounded
            // factor would bring more.
            for _ in 0..power.unsigned_abs() {
                if *power > 0 {
                    factor *= unit.factor();
                } else {
                    factor /= unit.factor();
                }
            }
        }
        factor
    }

    /// Returns what is added after multiplying by the factor (temperatures from another
    /// zero).
    #[must_use]
    pub fn offset(self) -> f64 {
        match self.parts {
            [(unit, 1), (_, 0), ..] => unit.offset,
            _ => 0.0,
        }
    }

    /// Returns a number of this unit in coherent SI.
    #[must_use]
    pub fn to_si(self, number: f64) -> f64 {
        let factor = self.factor();
        let multiplied = match whole(factor) {
            Some(whole) => number / whole,
            None => number * factor,
        };
        multiplied + self.offset()
    }

    /// Returns a value in coherent SI as a number of this unit.
    #[must_use]
    pub fn from_si(self, value: f64) -> f64 {
        let factor = self.factor();
        match whole(factor) {
            Some(whole) => (value - self.offset()) * whole,
            None => (value - self.offset()) / factor,
        }
    }

    /// Returns what it measures.
    #[must_use]
    pub fn dimension(self) -> Dimension {
        let mut dimension = Dimension::NONE;
        for (unit, power) in self.parts() {
            // None of the powers passes 127: `of` has seen to it.
            let raised = unit.dimension.power(i32::from(*power));
            dimension = raised
                .and_then(|raised| dimension.times(raised))
                .unwrap_or_default();
        }
        dimension
    }

    /// Returns how the unit is printed after a number: `N*mm`, `kg/m^3`, `K^-1`.
    #[must_use]
    pub fn symbol(self) -> String {
        let parts = self.parts().iter();
        let parts: Vec<(&str, i8)> = parts.map(|(unit, power)| (unit.symbol, *power)).collect();
        product(&parts)
    }

    /// Says whether a value in this unit is a coordinate, which the readout rounds.
    #[must_use]
    pub fn is_coordinate(self) -> bool {
        self.style == Style::Coordinate
    }

    /// Says whether values in this unit count from another zero (°C, °F).
    #[must_use]
    pub fn from_another_zero(self) -> bool {
        self.offset() != 0.0
    }
}

/// Returns how many of a unit make one of coherent SI, where that is a whole number:
/// dividing by 1000 rounds once where multiplying by 0.001 rounds twice.
fn whole(factor: f64) -> Option<f64> {
    let inverse = (1.0 / factor).round();
    (factor < 1.0 && (inverse * factor - 1.0).abs() < 1e-14).then_some(inverse)
}
