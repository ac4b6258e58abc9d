//! The units of the language: one line each with symbol, factor and source.
//!
//! The factor turns a number in the unit into coherent SI. It comes from uom's
//! unit definition where that is exact. uom rounds pound, pound-force, psi and
//! horsepower to about seven digits (16 oz is not 1 lb there, nor is psi lbf/in²),
//! so those are defined here from the exact international definitions.

use std::collections::HashMap;
use std::ops::Deref;
use std::sync::LazyLock;

use uom::Conversion;
use uom::si::{angle, energy, force, length, mass, power, pressure, time, volume};

use super::Dimension;

/// One unit: how it is written and what it is worth.
#[derive(Clone, Copy, Debug)]
pub struct UnitDefinition {
    /// The symbol that is printed.
    pub symbol: &'static str,
    /// Other spellings that are understood.
    pub spellings: &'static [&'static str],
    /// What the unit is called.
    pub name: &'static str,
    /// Added after multiplying by the factor; not 0 only for temperatures counted from
    /// another zero than the kelvin's.
    pub offset: f64,
    /// What it measures.
    pub dimension: Dimension,
    /// Where the factor comes from.
    pub source: &'static str,
    factor: fn() -> f64,
}

impl UnitDefinition {
    /// Returns the value of one unit in coherent SI.
    #[must_use]
    pub fn factor(&self) -> f64 {
        (self.factor)()
    }
}

/// One of the defined units, by its place in the table.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct NamedUnit(u8);

impl NamedUnit {
    /// The first of the table, which fills places that are not in use.
    pub(super) const FIRST: Self = Self(0);
}

impl Deref for NamedUnit {
    type Target = UnitDefinition;

    fn deref(&self) -> &UnitDefinition {
        &UNITS[usize::from(self.0)]
    }
}

const SI: &str = "SI Brochure, 9th edition (2019), by uom";
const YARD: &str = "international yard and pound agreement of 1959: 1 in = 25.4 mm, by uom";
const POUND: &str = "international yard and pound agreement of 1959: 1 lb = 0.453 592 37 kg";
const GRAVITY: &str = "standard acceleration of free fall 9.806 65 m/s^2, 3rd CGPM (1901)";
const COUNT: &str = "a count of 1";
const SQUARE_INCH: &str = "lbf/in^2, exactly as defined";
const HORSEPOWER: &str = "550 ft*lbf/s, exactly as defined";
const FAHRENHEIT: &str = "(F + 459.67) * 5/9, exactly as defined";

/// One pound in kilograms, exactly.
const POUND_KG: f64 = 0.453_592_37;
/// Standard acceleration of free fall in metres per second squared, exactly.
const G: f64 = 9.806_65;
/// One inch in metres, exactly.
const INCH: f64 = 0.0254;
/// One pound-force in newtons, exactly.
const LBF: f64 = POUND_KG * G;
/// One pound-force per square inch in pascals.
const PSI: f64 = LBF / (INCH * INCH);

/// The factor of a uom unit.
macro_rules! uom {
    ($module:ident :: $unit:ident) => {
        <$module::$unit as Conversion<f64>>::coefficient()
    };
}

/// The table of units: symbol, other spellings, name = factor (=> offset), dimension, source.
macro_rules! units {
    ($($symbol:literal $spellings:tt $name:literal =
        $factor:expr $(=> $offset:expr)?, $dimension:ident, $source:expr;)*) => {
        static UNITS: &[UnitDefinition] = &[$(UnitDefinition {
            symbol: $symbol,
            spellings: &$spellings,
            name: $name,
            factor: || $factor,
            offset: 0.0 $(+ $offset)?,
            dimension: Dimension::$dimension,
            source: $source,
        }),*];
    };
}

units! {
    "mm" [] "millimetre" = uom!(length::millimeter), LENGTH, SI;
    "cm" [] "centimetre" = uom!(length::centimeter), LENGTH, SI;
    "m" [] "metre" = uom!(length::meter), LENGTH, SI;
    "km" [] "kilometre" = uom!(length::kilometer), LENGTH, SI;
    "um" ["µm", "μm"] "micrometre" = uom!(length::micrometer), LENGTH, SI;
    "nm" [] "nanometre" = uom!(length::nanometer), LENGTH, SI;
    "in" ["inch", "inches", "\""] "inch" = uom!(length::inch), LENGTH, YARD;
    "thou" [] "thousandth of an inch" = uom!(length::mil), LENGTH, YARD;
    "ft" ["foot", "feet"] "foot" = uom!(length::foot), LENGTH, YARD;
    "yd" ["yard", "yards"] "yard" = uom!(length::yard), LENGTH, YARD;

    "deg" ["°", "degree", "degrees"] "degree" = uom!(angle::degree), ANGLE, SI;
    "rad" ["radian", "radians"] "radian" = uom!(angle::radian), ANGLE, SI;
    "mrad" [] "milliradian" = 1e-3, ANGLE, SI;
    "arcmin" [] "minute of arc" = uom!(angle::minute), ANGLE, SI;
    "arcsec" [] "second of arc" = uom!(angle::second), ANGLE, SI;

    "s" ["sec"] "second" = uom!(time::second), TIME, SI;
    "ms" [] "millisecond" = uom!(time::millisecond), TIME, SI;
    "min" [] "minute" = uom!(time::minute), TIME, SI;
    "h" ["hour", "hours"] "hour" = uom!(time::hour), TIME, SI;

    "kg" [] "kilogram" = uom!(mass::kilogram), MASS, SI;
    "g" [] "gram" = uom!(mass::gram), MASS, SI;
    "mg" [] "milligram" = uom!(mass::milligram), MASS, SI;
    "t" ["tonne", "tonnes"] "tonne" = uom!(mass::megagram), MASS, SI;
    "lb" ["lbs"] "pound" = POUND_KG, MASS, POUND;
    "oz" [] "ounce, a sixteenth of a pound" = POUND_KG / 16.0, MASS, POUND;

    "N" [] "newton" = uom!(force::newton), FORCE, SI;
    "kN" [] "kilonewton" = uom!(force::kilonewton), FORCE, SI;
    "lbf" [] "pound-force" = LBF, FORCE, GRAVITY;
    "kgf" ["kp"] "kilogram-force" = G, FORCE, GRAVITY;
    "ozf" [] "ounce-force" = LBF / 16.0, FORCE, GRAVITY;

    "Pa" [] "pascal" = uom!(pressure::pascal), PRESSURE, SI;
    "kPa" [] "kilopascal" = uom!(pressure::kilopascal), PRESSURE, SI;
    "MPa" [] "megapascal" = uom!(pressure::megapascal), PRESSURE, SI;
    "GPa" [] "gigapascal" = uom!(pressure::gigapascal), PRESSURE, SI;
    "bar" [] "bar" = uom!(pressure::bar), PRESSURE, SI;
    "psi" [] "pound-force per square inch" = PSI, PRESSURE, SQUARE_INCH;
    "ksi" [] "thousand psi" = 1e3 * PSI, PRESSURE, SQUARE_INCH;

    "J" [] "joule" = uom!(energy::joule), TORQUE, SI;
    "kJ" [] "kilojoule" = uom!(energy::kilojoule), TORQUE, SI;
    "W" [] "watt" = uom!(power::watt), POWER, SI;
    "kW" [] "kilowatt" = uom!(power::kilowatt), POWER, SI;
    "hp" [] "horsepower" = 550.0 * 12.0 * INCH * LBF, POWER, HORSEPOWER;

    "L" ["l", "litre", "litres"] "litre" = uom!(volume::liter), VOLUME, SI;
    "ml" ["mL"] "millilitre" = uom!(volume::milliliter), VOLUME, SI;

    "K" ["kelvin"] "kelvin" = 1.0, TEMPERATURE, SI;

    "rev" ["revs"] "revolution" = 1.0, NONE, COUNT;
    "tooth" ["teeth"] "tooth" = 1.0, NONE, COUNT;
    "%" ["percent"] "per cent" = 0.01, NONE, "a hundredth";
    // uom's revolution_per_minute is an angular velocity (2 pi rad); ours is counted.
    "rpm" [] "revolutions per minute" = 1.0 / 60.0, ROTATION, "1 rev/min";
    "Hz" [] "hertz" = 1.0, ROTATION, SI;

    "degC" ["°C"] "degree Celsius" = 1.0 => 273.15, TEMPERATURE, SI;
    "degF" ["°F"] "degree Fahrenheit" = 5.0 / 9.0 => 459.67 * 5.0 / 9.0, TEMPERATURE, FAHRENHEIT;
}

static BY_SPELLING: LazyLock<HashMap<&'static str, NamedUnit>> = LazyLock::new(|| {
    let mut map = HashMap::new();
    for (index, unit) in (0_u8..).zip(UNITS) {
        map.insert(unit.symbol, NamedUnit(index));
        for spelling in unit.spellings {
            map.insert(spelling, NamedUnit(index));
        }
    }
    map
});

/// Returns all units of the language.
#[must_use]
pub const fn definitions() -> &'static [UnitDefinition] {
    UNITS
}

/// Returns the unit written `spelling`.
#[must_use]
pub fn definition(spelling: &str) -> Option<NamedUnit> {
    BY_SPELLING.get(spelling).copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn factor_of(spelling: &str) -> f64 {
        definition(spelling).unwrap().factor()
    }

    #[track_caller]
    fn check(spelling: &str, exact: f64) {
        let ours = factor_of(spelling);
        let ulps = (ours.to_bits() as i64 - exact.to_bits() as i64).abs();
        assert!(
            ulps <= 1,
            "{spelling}: {ours:e} is {ulps} ulp from {exact:e}"
        );
    }

    /// Source: SI Brochure 9th edition, tables 4, 7 and 8; the international yard
    /// and pound agreement of 1959; 3rd CGPM 1901.
    #[test]
    fn every_factor_is_its_exact_definition_to_one_ulp() {
        let pi = std::f64::consts::PI;
        let definitions = [
            ("mm", 1e-3),
            ("cm", 1e-2),
            ("m", 1.0),
            ("km", 1e3),
            ("um", 1e-6),
            ("nm", 1e-9),
            ("in", 0.0254),
            ("thou", 0.000_025_4),
            ("ft", 0.3048),
            ("yd", 0.9144),
            ("deg", pi / 180.0),
            ("rad", 1.0),
            ("mrad", 1e-3),
            ("arcmin", pi / 10_800.0),
            ("arcsec", pi / 648_000.0),
            ("s", 1.0),
            ("ms", 1e-3),
            ("min", 60.0),
            ("h", 3600.0),
            ("kg", 1.0),
            ("g", 1e-3),
            ("mg", 1e-6),
            ("t", 1e3),
            ("lb", 0.453_592_37),
            ("oz", 0.028_349_523_125),
            ("N", 1.0),
            ("kN", 1e3),
            ("lbf", 4.448_221_615_260_5),
            ("kgf", 9.806_65),
            ("ozf", 0.278_013_850_953_781_2),
            ("Pa", 1.0),
            ("kPa", 1e3),
            ("MPa", 1e6),
            ("GPa", 1e9),
            ("bar", 1e5),
            ("psi", 6_894.757_293_168_361),
            ("ksi", 6_894_757.293_168_361),
            ("J", 1.0),
            ("kJ", 1e3),
            ("W", 1.0),
            ("kW", 1e3),
            ("hp", 745.699_871_582_270_2),
            ("L", 1e-3),
            ("ml", 1e-6),
            ("K", 1.0),
            ("rev", 1.0),
            ("tooth", 1.0),
            ("%", 0.01),
            ("rpm", 1.0 / 60.0),
            ("Hz", 1.0),
            ("degC", 1.0),
            ("degF", 5.0 / 9.0),
        ];
        for (spelling, exact) in definitions {
            check(spelling, exact);
        }
        for unit in UNITS {
            let checked = definitions.iter().any(|(symbol, _)| *symbol == unit.symbol);
            assert!(checked, "`{}` has no definition above", unit.symbol);
        }
    }

    #[test]
    fn derived_units_are_products_of_their_parts() {
        assert_eq!(
            factor_of("psi"),
            factor_of("lbf") / (factor_of("in") * factor_of("in"))
        );
        assert_eq!(16.0 * factor_of("oz"), factor_of("lb"));
        assert!((factor_of("lbf") / (factor_of("lb") * 9.806_65) - 1.0).abs() < 1e-15);
    }

    #[test]
    fn no_two_units_share_a_spelling() {
        let spellings: usize = UNITS.iter().map(|unit| 1 + unit.spellings.len()).sum();
        assert_eq!(spellings, BY_SPELLING.len());
        assert!(
            UNITS
                .iter()
                .all(|unit| !unit.source.is_empty() && !unit.name.is_empty())
        );
    }
}
