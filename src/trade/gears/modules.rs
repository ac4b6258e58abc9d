//! Standard modules.

use std::sync::LazyLock;

use serde::{Deserialize, Serialize};
use uom::si::f64::Length;
use uom::si::length::millimeter;

use crate::diagnostic::Fault;
use crate::trade::table::table;
use crate::trade::words::short;

/// A standard module.
#[derive(Clone, Debug, PartialEq)]
struct GearModule {
    /// The module.
    pub module: Length,
    /// "I", preferred, or "II", the second choice.
    pub series: String,
    /// The standard that has it.
    pub standard: String,
}

/// The standard modules nearest to a wanted one.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct NearestModule {
    /// The nearest module of either series.
    pub module: Length,
    /// Its series.
    pub series: String,
    /// The standard that has it.
    pub standard: String,
    /// The nearest module of the preferred series.
    pub preferred: Length,
    /// Nearest module less the wanted one.
    pub difference: Length,
}

#[derive(Deserialize)]
struct Row {
    module_mm: f64,
    series: String,
    standard: String,
}

table!(TABLE: Row = "gear_modules");

static MODULES: LazyLock<Vec<GearModule>> = LazyLock::new(|| {
    TABLE
        .rows
        .iter()
        .map(|row| GearModule {
            module: Length::new::<millimeter>(row.module_mm),
            series: row.series.clone(),
            standard: row.standard.clone(),
        })
        .collect()
});

/// The standard modules nearest to a wanted one, say one measured on a worn
/// gear; of two as near, the smaller.
///
/// Arguments: `module` (mm).
///
/// # Errors
/// A fault where the module is not a length from half the smallest to twice
/// the greatest standard one.
///
/// Source: ISO 54:1996 from 1 mm, DIN 780-1 below.
pub fn nearest_module(module: Length) -> Result<NearestModule, Fault> {
    let off = |row: &&GearModule| (row.module - module).abs().get::<millimeter>();
    let all = || MODULES.iter();
    let nearest = all().min_by(|a, b| off(a).total_cmp(&off(b)));
    let preferred = all()
        .filter(|row| row.series == "I")
        .min_by(|a, b| off(a).total_cmp(&off(b)));
    match (nearest, preferred) {
        (Some(nearest), Some(preferred))
            if module <= 2.0 * nearest.module && module >= nearest.module / 2.0 =>
        {
            Ok(NearestModule {
                difference: nearest.module - module,
                module: nearest.module,
                series: nearest.series.clone(),
                standard: nearest.standard.clone(),
                preferred: preferred.module,
            })
        }
        _ => Err(Fault::new(format!(
            "no standard module is near {} mm: they run from 0.05 mm to 50 mm",
            short(module.get::<millimeter>(), 6)
        ))
        .advise("a diametral pitch P is the module 25.4 mm / P")
        .in_argument(0)),
    }
}
