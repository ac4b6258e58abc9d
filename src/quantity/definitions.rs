//! The units of the language: one line each with symbol, factor and source.
//!
//! The factor turns a number in the unit into coherent SI. It comes from uom's
//! unit definition where that is exact. uom rounds pound, pound-force, psi and
//! horsepower to about seven digits (16 oz is not 1 lb there, nor is psi lbf/in²),
//! so those are defined here from the exact international definitions.

use std::collections::HashMap;
use std::sync::LazyLock;

use uom::Conversion;
use uom::si::{angle, energy, force, length, mass, power, pressure, time, volume};

use super::Dimension;

/// One unit: how it is written and what it is worth.
#[derive(Clone, Debug)]
pub struct UnitDefinition {
    /// The symbol that is printed.
    pub symbol: &'static str,
    /// Other spellings that are understood.
    pub spellings: &'static [&'static str],
    /// What the unit is called.
    pub name: &'static str,
    /// The value of one unit in coherent SI.
    pub factor: f64,
    /// What is added after multiplying by the factor; not 0 only for temperatures
    /// counted from another zero than the kelvin's.
    pub offset: f64,
    /// What it measures.
    pub dimension: Dimension,
    /// Where the factor comes from.
    pub source: &'static str,
}

const SI: &str = "SI Brochure, 9th edition (2019), by uom";
const YARD: &str = "international yard and pound agreement of 1959: 1 in = 25.4 mm, by uom";
const POUND: &str = "international yard and pound agreement of 1959: 1 lb = 0.453 592 37 kg";
const GRAVITY: &str = "standard acceleration of free fall 9.806 65 m/s^2, 3rd CGPM (1901)";
const COUNT: &str = "a count of 1";

/// One pound in kilograms, exactly.
const POUND_KG: f64 = 0.453_592_37;
/// Standard acceleration of free fall in metres per second squared, exactly.
const G: f64 = 9.806_65;
/// One inch in metres, exactly.
const INCH: f64 = 0.0254;

/// The factor of a uom unit.
macro_rules! factor {
    ($module:ident :: $unit:ident) => {
        <$module::$unit as Conversion<f64>>::coefficient()
    };
}

fn build() -> Vec<UnitDefinition> {
    let length = Dimension::LENGTH;
    let angle = Dimension::ANGLE;
    let time = Dimension::new(0, 0, 1, 0, 0);
    let mass = Dimension::new(0, 1, 0, 0, 0);
    let force = Dimension::new(1, 1, -2, 0, 0);
    let energy = Dimension::new(2, 1, -2, 0, 0);
    let pressure = Dimension::new(-1, 1, -2, 0, 0);
    let power = Dimension::new(2, 1, -3, 0, 0);
    let volume = Dimension::new(3, 0, 0, 0, 0);
    let temperature = Dimension::new(0, 0, 0, 1, 0);
    let lbf = POUND_KG * G;
    let mut units = Vec::new();
    let mut unit = |symbol, spellings, name, factor, dimension, source| {
        units.push(UnitDefinition {
            symbol,
            spellings,
            name,
            factor,
            offset: 0.0,
            dimension,
            source,
        });
    };

    unit(
        "mm",
        &[],
        "millimetre",
        factor!(length::millimeter),
        length,
        SI,
    );
    unit(
        "cm",
        &[],
        "centimetre",
        factor!(length::centimeter),
        length,
        SI,
    );
    unit("m", &[], "metre", factor!(length::meter), length, SI);
    unit(
        "km",
        &[],
        "kilometre",
        factor!(length::kilometer),
        length,
        SI,
    );
    unit(
        "um",
        &["µm", "μm"],
        "micrometre",
        factor!(length::micrometer),
        length,
        SI,
    );
    unit(
        "nm",
        &[],
        "nanometre",
        factor!(length::nanometer),
        length,
        SI,
    );
    unit(
        "in",
        &["inch", "inches", "\""],
        "inch",
        factor!(length::inch),
        length,
        YARD,
    );
    unit(
        "thou",
        &[],
        "thousandth of an inch",
        factor!(length::mil),
        length,
        YARD,
    );
    unit(
        "ft",
        &["foot", "feet"],
        "foot",
        factor!(length::foot),
        length,
        YARD,
    );
    unit(
        "yd",
        &["yard", "yards"],
        "yard",
        factor!(length::yard),
        length,
        YARD,
    );

    unit(
        "deg",
        &["°", "degree", "degrees"],
        "degree",
        factor!(angle::degree),
        angle,
        SI,
    );
    unit(
        "rad",
        &["radian", "radians"],
        "radian",
        factor!(angle::radian),
        angle,
        SI,
    );
    unit("mrad", &[], "milliradian", 1e-3, angle, SI);
    unit(
        "arcmin",
        &[],
        "minute of arc",
        factor!(angle::minute),
        angle,
        SI,
    );
    unit(
        "arcsec",
        &[],
        "second of arc",
        factor!(angle::second),
        angle,
        SI,
    );

    unit("s", &["sec"], "second", factor!(time::second), time, SI);
    unit(
        "ms",
        &[],
        "millisecond",
        factor!(time::millisecond),
        time,
        SI,
    );
    unit("min", &[], "minute", factor!(time::minute), time, SI);
    unit(
        "h",
        &["hour", "hours"],
        "hour",
        factor!(time::hour),
        time,
        SI,
    );

    unit("kg", &[], "kilogram", factor!(mass::kilogram), mass, SI);
    unit("g", &[], "gram", factor!(mass::gram), mass, SI);
    unit("mg", &[], "milligram", factor!(mass::milligram), mass, SI);
    unit(
        "t",
        &["tonne", "tonnes"],
        "tonne",
        factor!(mass::megagram),
        mass,
        SI,
    );
    unit("lb", &["lbs"], "pound", POUND_KG, mass, POUND);
    unit(
        "oz",
        &[],
        "ounce, a sixteenth of a pound",
        POUND_KG / 16.0,
        mass,
        POUND,
    );

    unit("N", &[], "newton", factor!(force::newton), force, SI);
    unit(
        "kN",
        &[],
        "kilonewton",
        factor!(force::kilonewton),
        force,
        SI,
    );
    unit("lbf", &[], "pound-force", lbf, force, GRAVITY);
    unit("kgf", &["kp"], "kilogram-force", G, force, GRAVITY);
    unit("ozf", &[], "ounce-force", lbf / 16.0, force, GRAVITY);

    unit("Pa", &[], "pascal", factor!(pressure::pascal), pressure, SI);
    unit(
        "kPa",
        &[],
        "kilopascal",
        factor!(pressure::kilopascal),
        pressure,
        SI,
    );
    unit(
        "MPa",
        &[],
        "megapascal",
        factor!(pressure::megapascal),
        pressure,
        SI,
    );
    unit(
        "GPa",
        &[],
        "gigapascal",
        factor!(pressure::gigapascal),
        pressure,
        SI,
    );
    unit("bar", &[], "bar", factor!(pressure::bar), pressure, SI);
    let psi = lbf / (INCH * INCH);
    unit(
        "psi",
        &[],
        "pound-force per square inch",
        psi,
        pressure,
        "lbf/in^2, exactly as defined",
    );
    unit(
        "ksi",
        &[],
        "thousand psi",
        1e3 * psi,
        pressure,
        "lbf/in^2, exactly as defined",
    );

    unit("J", &[], "joule", factor!(energy::joule), energy, SI);
    unit(
        "kJ",
        &[],
        "kilojoule",
        factor!(energy::kilojoule),
        energy,
        SI,
    );
    unit("W", &[], "watt", factor!(power::watt), power, SI);
    unit("kW", &[], "kilowatt", factor!(power::kilowatt), power, SI);
    let horsepower = 550.0 * 12.0 * INCH * lbf;
    unit(
        "hp",
        &[],
        "horsepower",
        horsepower,
        power,
        "550 ft*lbf/s, exactly as defined",
    );

    unit(
        "L",
        &["l", "litre", "litres"],
        "litre",
        factor!(volume::liter),
        volume,
        SI,
    );
    unit(
        "ml",
        &["mL"],
        "millilitre",
        factor!(volume::milliliter),
        volume,
        SI,
    );

    unit("K", &["kelvin"], "kelvin", 1.0, temperature, SI);

    unit("rev", &["revs"], "revolution", 1.0, Dimension::NONE, COUNT);
    unit("tooth", &["teeth"], "tooth", 1.0, Dimension::NONE, COUNT);
    unit(
        "%",
        &["percent"],
        "per cent",
        0.01,
        Dimension::NONE,
        "a hundredth",
    );
    // uom's revolution_per_minute is an angular velocity (2 pi rad); ours is counted.
    unit(
        "rpm",
        &[],
        "revolutions per minute",
        1.0 / 60.0,
        Dimension::ROTATION,
        "1 rev/min",
    );
    unit("Hz", &[], "hertz", 1.0, Dimension::ROTATION, SI);

    let mut from_another_zero = |symbol, spellings, name, factor, offset, source| {
        units.push(UnitDefinition {
            symbol,
            spellings,
            name,
            factor,
            offset,
            dimension: temperature,
            source,
        });
    };
    from_another_zero("degC", &["°C"], "degree Celsius", 1.0, 273.15, SI);
    let fahrenheit = "(F + 459.67) * 5/9, exactly as defined";
    from_another_zero(
        "degF",
        &["°F"],
        "degree Fahrenheit",
        5.0 / 9.0,
        459.67 * 5.0 / 9.0,
        fahrenheit,
    );
    units
}

static DEFINITIONS: LazyLock<Vec<UnitDefinition>> = LazyLock::new(build);

static BY_SPELLING: LazyLock<HashMap<&'static str, u8>> = LazyLock::new(|| {
    let mut map = HashMap::new();
    for (index, unit) in (0_u8..).zip(DEFINITIONS.iter()) {
        map.insert(unit.symbol, index);
        for spelling in unit.spellings {
            map.insert(spelling, index);
        }
    }
    map
});

/// All units of the language.
#[must_use]
pub fn definitions() -> &'static [UnitDefinition] {
    &DEFINITIONS
}

/// The number, in the list of all units, of the unit written `spelling`.
#[must_use]
pub fn definition(spelling: &str) -> Option<u8> {
    BY_SPELLING.get(spelling).copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn factor_of(spelling: &str) -> f64 {
        DEFINITIONS[usize::from(definition(spelling).unwrap())].factor
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
        for (spelling, exact) in [
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
        ] {
            check(spelling, exact);
        }
        assert_eq!(DEFINITIONS.len(), 52, "a unit without a check above");
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
        let spellings: usize = DEFINITIONS
            .iter()
            .map(|unit| 1 + unit.spellings.len())
            .sum();
        assert_eq!(spellings, BY_SPELLING.len());
        assert!(
            DEFINITIONS
                .iter()
                .all(|unit| !unit.source.is_empty() && !unit.name.is_empty())
        );
    }
}
