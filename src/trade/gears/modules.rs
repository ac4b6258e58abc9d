//! Standard modules.

use std::sync::LazyLock;

use serde::Deserialize;
use uom::si::f64::Length;
use uom::si::length::millimeter;

use crate::diagnostic::Fault;
use crate::trade::bounds;
use crate::trade::table::{Table, built_in};

/// A standard module.
#[derive(Clone, Debug, PartialEq)]
pub struct GearModule {
    /// The module.
    pub module: Length,
    /// "I", preferred, or "II", the second choice.
    pub series: String,
    /// The standard that has it.
    pub standard: String,
}

/// The standard modules nearest to a wanted one.
#[derive(Clone, Debug, PartialEq)]
pub struct NearestModule {
    /// The nearest module of either series.
    pub nearest: GearModule,
    /// The nearest module of the preferred series.
    pub preferred: GearModule,
    /// Nearest module less the wanted one.
    pub difference: Length,
}

#[derive(Deserialize)]
struct Row {
    module_mm: f64,
    series: String,
    standard: String,
}

static TABLE: LazyLock<Table<Row>> = LazyLock::new(|| {
    built_in(
        "gear_modules.csv",
        include_str!("../../../library/tables/gear_modules.csv"),
    )
});

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

/// All standard modules, smallest first.
///
/// Source: ISO 54:1996 from 1 mm, DIN 780-1 below.
#[must_use]
pub fn standard_modules() -> &'static [GearModule] {
    &MODULES
}

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
    bounds::length_above_zero(module, "module", 0)?;
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
                nearest: nearest.clone(),
                preferred: preferred.clone(),
            })
        }
        _ => Err(Fault::new(format!(
            "no standard module is near {} mm: they run from 0.05 mm to 50 mm",
            bounds::shown(module.get::<millimeter>())
        ))
        .advise("a diametral pitch P is the module 25.4 mm / P")
        .in_argument(0)),
    }
}
