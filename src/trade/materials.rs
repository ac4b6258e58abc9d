//! Properties of workshop materials.
//!
//! # Example
//! ```
//! use setover::internals::trade::materials::stiffness;
//! use uom::si::pressure::gigapascal;
//!
//! assert!((200.0..=215.0).contains(&stiffness("mild steel")?.get::<gigapascal>()));
//! assert!(stiffness("cheese").is_err());
//! # Ok::<(), setover::internals::diagnostic::Fault>(())
//! ```

use serde::Deserialize;
use uom::si::f64::{MassDensity, Pressure, TemperatureCoefficient};
use uom::si::mass_density::kilogram_per_cubic_meter;
use uom::si::pressure::{gigapascal, megapascal};
use uom::si::temperature_coefficient::per_kelvin;

use crate::diagnostic::Fault;
use crate::trade::material_names::{Wanted, resolve};
use crate::trade::table::table;
use crate::trade::words::list;

#[derive(Clone, Debug, Deserialize)]
struct Row {
    material: String,
    density_kg_m3: Option<f64>,
    expansion_per_k: Option<f64>,
    stiffness_gpa: Option<f64>,
    shear_modulus_gpa: Option<f64>,
    poisson_ratio: Option<f64>,
    cutting_force_n_mm2: Option<f64>,
}

impl Row {
    /// Returns the shear modulus in gigapascals: the published one, else E / (2 (1 + ν)).
    fn shear_modulus_gpa(&self) -> Option<f64> {
        match (
            self.shear_modulus_gpa,
            self.stiffness_gpa,
            self.poisson_ratio,
        ) {
            (None, Some(stiffness), Some(ratio)) => Some(stiffness / (2.0 * (1.0 + ratio))),
            (published, _, _) => published,
        }
    }

    /// Returns Poisson's ratio: the published one, else E / (2 G) − 1.
    fn poisson_ratio(&self) -> Option<f64> {
        match (
            self.poisson_ratio,
            self.stiffness_gpa,
            self.shear_modulus_gpa,
        ) {
            (None, Some(stiffness), Some(shear)) => Some(stiffness / (2.0 * shear) - 1.0),
            (published, _, _) => published,
        }
    }
}

table!(MATERIALS: Row = "materials");

fn property(material: &str, name: &str, value: impl Fn(&Row) -> Option<f64>) -> Result<f64, Fault> {
    let rows = &MATERIALS.rows;
    let known: Vec<&str> = rows.iter().map(|row| row.material.as_str()).collect();
    let found =
        resolve(material, Wanted::Properties, &known).map_err(|fault| fault.in_argument(0))?;
    let row = rows.iter().find(|row| row.material == found);
    row.and_then(&value).ok_or_else(|| {
        let with_it: Vec<&str> = rows
            .iter()
            .filter(|row| value(row).is_some())
            .map(|row| row.material.as_str())
            .collect();
        Fault::new(format!(
            "the table has no {name} of `{found}`; it has one of {}",
            list(&with_it)
        ))
        .advise("write the value itself")
        .in_argument(0)
    })
}

/// Returns the materials of the table, in its order.
#[must_use]
pub fn materials() -> Vec<&'static str> {
    let rows = &MATERIALS.rows;
    rows.iter().map(|row| row.material.as_str()).collect()
}

/// Returns the density of a material (its name or a common designation).
///
/// # Errors
/// A fault when the material is unknown.
///
/// Source: engineering data books, typical values at room temperature (from memory).
pub fn density(material: &str) -> Result<MassDensity, Fault> {
    property(material, "density", |row| row.density_kg_m3)
        .map(MassDensity::new::<kilogram_per_cubic_meter>)
}

/// Returns the linear thermal expansion of a material per kelvin, mean from 20 to 100 °C.
///
/// # Errors
/// A fault when the material is unknown or its expansion is not in the table.
///
/// Source: engineering data books, typical values (from memory).
pub fn expansion_rate(material: &str) -> Result<TemperatureCoefficient, Fault> {
    property(material, "thermal expansion", |row| row.expansion_per_k)
        .map(TemperatureCoefficient::new::<per_kelvin>)
}

/// Returns Young's modulus of a material.
///
/// # Errors
/// A fault when the material is unknown.
///
/// Source: engineering data books, typical values at room temperature (from
/// memory); spring wire: EN 13906-1.
pub fn stiffness(material: &str) -> Result<Pressure, Fault> {
    property(material, "stiffness", |row| row.stiffness_gpa).map(Pressure::new::<gigapascal>)
}

/// Returns the shear modulus of a material: for spring wire that of its standard, else
/// E / (2 (1 + ν)) from Young's modulus and Poisson's ratio.
///
/// # Errors
/// A fault when the material is unknown or has no Poisson's ratio (wood).
///
/// Source: EN 13906-1 for spring wire; for the rest the relation between the
/// moduli of an isotropic material, any textbook of strength of materials.
pub fn shear_modulus(material: &str) -> Result<Pressure, Fault> {
    property(material, "shear modulus", Row::shear_modulus_gpa).map(Pressure::new::<gigapascal>)
}

/// Returns Poisson's ratio of a material.
///
/// # Errors
/// A fault when the material is unknown or has none (wood).
///
/// Source: engineering data books, typical values (from memory).
pub fn poisson_ratio(material: &str) -> Result<f64, Fault> {
    property(material, "Poisson's ratio", Row::poisson_ratio)
}

/// Returns the specific cutting force of a material: cutting force per area of chip.
///
/// It is a starting value for a chip about 0.2 to 0.4 mm thick; thin chips need
/// more, and books differ by 30 % and more.
///
/// # Errors
/// A fault when the material is unknown or its cutting force is not in the table.
///
/// Source: textbook values, rounded (from memory).
pub fn cutting_force(material: &str) -> Result<Pressure, Fault> {
    property(material, "specific cutting force", |row| {
        row.cutting_force_n_mm2
    })
    .map(Pressure::new::<megapascal>)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steel_is_mild_steel() {
        // Source: textbook value of the density of steel, 7850 kg/m³.
        let found = density("steel").unwrap();
        assert!((found.get::<kilogram_per_cubic_meter>() - 7850.0).abs() < 1e-9);
    }

    #[test]
    fn shear_moduli_agree_with_published_ones() {
        // Source: engineering data books (from memory): steel 79 to 82 GPa, copper
        // 44 to 48, aluminium alloys 26 to 27, brass 35 to 40, phosphor bronze 41 to
        // 44, grey iron 40 to 48, titanium alloy 42 to 44, stainless 73 to 77;
        // spring wire 81.5 and stainless spring wire 73: EN 13906-1.
        for (material, low, high) in [
            ("mild steel", 79.0, 82.0),
            ("copper", 44.0, 48.0),
            ("aluminium", 26.0, 27.0),
            ("brass", 35.0, 40.0),
            ("phosphor bronze", 41.0, 44.0),
            ("cast iron", 40.0, 48.0),
            ("titanium", 42.0, 44.0),
            ("304", 73.0, 77.0),
            ("spring steel", 81.499, 81.501),
            ("1.4310", 72.999, 73.001),
        ] {
            let found = shear_modulus(material).unwrap().get::<gigapascal>();
            assert!((low..=high).contains(&found), "{material}: {found}");
        }
    }

    #[test]
    fn every_material_is_physical() {
        for material in materials() {
            let density = density(material).unwrap().get::<kilogram_per_cubic_meter>();
            assert!((500.0..9000.0).contains(&density), "{material}");
            assert!(stiffness(material).is_ok());
            if let Ok(ratio) = poisson_ratio(material) {
                assert!((0.2..0.5).contains(&ratio), "{material}: {ratio}");
            }
        }
    }

    #[test]
    fn what_is_missing_says_what_there_is() {
        for (fault, says) in [
            (
                expansion_rate("beech wood").unwrap_err(),
                "no thermal expansion of `beech wood`",
            ),
            (
                cutting_force("nylon").unwrap_err(),
                "no specific cutting force of `nylon 66`",
            ),
            (
                shear_modulus("wood").unwrap_err(),
                "no shear modulus of `beech wood`",
            ),
            (
                density("unobtainium").unwrap_err(),
                "no material `unobtainium`",
            ),
            (density("").unwrap_err(), "no material"),
            (stiffness("coper").unwrap_err(), "did you mean `copper`?"),
        ] {
            assert!(fault.to_string().contains(says), "{fault}");
            assert_eq!(fault.argument, Some(0));
        }
    }
}
