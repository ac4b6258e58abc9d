//! Parallel keys and their keyways.
//!
//! # Example
//! ```
//! use setover::trade::keys::parallel_key;
//! use uom::si::f64::Length;
//! use uom::si::length::millimeter;
//!
//! // ISO/R 773: a shaft of 25 mm takes a key 8 mm wide and 7 mm high.
//! let key = parallel_key(Length::new::<millimeter>(25.0))?;
//! assert!((key.width.get::<millimeter>() - 8.0).abs() < 1e-12);
//! assert!((key.height.get::<millimeter>() - 7.0).abs() < 1e-12);
//! # Ok::<(), setover::diagnostic::Fault>(())
//! ```

use std::sync::LazyLock;

use serde::Deserialize;
use uom::si::f64::Length;
use uom::si::length::millimeter;

use crate::diagnostic::Fault;
use crate::trade::table::{Table, built_in};
use crate::trade::words::short;

/// A parallel key with its keyway.
#[derive(Clone, Debug, PartialEq)]
pub struct ParallelKey {
    /// Width of the key.
    pub width: Length,
    /// Height of the key.
    pub height: Length,
    /// Depth of the keyway in the shaft, from its surface.
    pub shaft_depth: Length,
    /// Depth of the keyway in the hub, from the bore.
    pub hub_depth: Length,
    /// How much deeper either keyway may be; none may be shallower.
    pub depth_tolerance: Length,
    /// Shortest length in which the key is made.
    pub shortest: Length,
    /// Longest length in which the key is made.
    pub longest: Length,
    /// The tolerance classes of the keyway's width.
    pub note: String,
    /// The standard.
    pub standard: String,
}

#[derive(Deserialize)]
struct Row {
    over_mm: f64,
    to_mm: f64,
    width_mm: f64,
    height_mm: f64,
    shaft_depth_mm: f64,
    hub_depth_mm: f64,
    depth_tolerance_mm: f64,
    shortest_mm: f64,
    longest_mm: f64,
}

static KEYS: LazyLock<Table<Row>> = LazyLock::new(|| {
    built_in(
        "parallel_keys.csv",
        include_str!("../../library/tables/parallel_keys.csv"),
    )
});

/// The parallel key for a shaft diameter (mm, over 6 to 230).
///
/// # Errors
/// A fault when the diameter is outside the table.
///
/// Source: ISO/R 773, high form; DIN 6885-1.
pub fn parallel_key(diameter: Length) -> Result<ParallelKey, Fault> {
    let diameter_mm = diameter.get::<millimeter>();
    let row = KEYS
        .rows
        .iter()
        .find(|row| row.over_mm < diameter_mm && diameter_mm <= row.to_mm + 1e-9);
    let mm = Length::new::<millimeter>;
    let Some(row) = row else {
        return Err(Fault::new(format!(
            "the shaft is {} mm; parallel keys are tabulated for shafts over 6 mm and up to 230 mm",
            short(diameter_mm, 4)
        ))
        .advise("on a thinner shaft use a cross pin, a flat or a taper")
        .in_argument(0));
    };
    Ok(ParallelKey {
        width: mm(row.width_mm),
        height: mm(row.height_mm),
        shaft_depth: mm(row.shaft_depth_mm),
        hub_depth: mm(row.hub_depth_mm),
        depth_tolerance: mm(row.depth_tolerance_mm),
        shortest: mm(row.shortest_mm),
        longest: mm(row.longest_mm),
        note: "keyway width: tight P9 in shaft and hub, normal N9 in the shaft and JS9 in the hub, sliding H9 in the shaft and D10 in the hub".to_owned(),
        standard: KEYS.source.clone(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(value: f64) -> Length {
        Length::new::<millimeter>(value)
    }

    #[test]
    fn a_diameter_at_the_end_of_a_range_belongs_to_it() {
        // Source: ISO/R 773: 5 x 5 over 12 to 17, 6 x 6 over 17 to 22 mm.
        for (diameter, width) in [
            (17.0, 5.0),
            (17.001, 6.0),
            (22.0, 6.0),
            (6.001, 2.0),
            (230.0, 50.0),
        ] {
            assert_eq!(
                parallel_key(mm(diameter)).unwrap().width,
                mm(width),
                "{diameter}"
            );
        }
    }

    #[test]
    fn ranges_join_and_a_key_fills_its_keyways() {
        let mut end = 6.0;
        for row in &KEYS.rows {
            assert_eq!(row.over_mm, end);
            end = row.to_mm;
            // ISO/R 773: the key has clearance over its top, 0.1 to 0.4 mm.
            let over_top = row.shaft_depth_mm + row.hub_depth_mm - row.height_mm;
            assert!((0.1..=0.45).contains(&over_top), "{end}: {over_top}");
            assert!(row.shortest_mm < row.longest_mm);
        }
        assert_eq!(end, 230.0);
    }

    #[test]
    fn a_shaft_outside_the_table_is_refused() {
        for diameter in [0.0, 6.0, 230.1, -20.0, f64::NAN, f64::INFINITY] {
            let fault = parallel_key(mm(diameter)).unwrap_err();
            assert!(fault.message.contains("up to 230 mm"));
            assert_eq!(fault.argument, Some(0));
        }
    }
}
