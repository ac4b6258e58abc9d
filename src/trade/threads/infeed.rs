//! Depth of thread and the feed to it.

use serde::Serialize;
use uom::si::angle::degree;
use uom::si::f64::{Angle, Length};

use crate::diagnostic::Fault;
use crate::trade::lengths::{exceeds, in_millimetres};
use crate::trade::threads::{Thread, thread};

/// The most passes that are listed.
const MOST_PASSES: f64 = 500.0;

/// One pass of cutting a thread.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Pass {
    /// The number of the pass, from 1.
    pub pass: u32,
    /// The depth reached, on the radius.
    pub depth: Length,
    /// The depth of this cut, on the radius.
    pub cut: Length,
    /// What the dial of the top slide shows, from touching the work.
    pub along: Length,
    /// What this pass adds on that dial.
    pub along_cut: Length,
}

/// Returns the setting asked for, or the usual one: half a degree less than half the
/// angle of the thread, so that the trailing flank is cut clean.
///
/// Source: common practice, no source (29.5° for 60°, 27° for 55°).
fn compound_of(thread: &Thread, compound: Option<Angle>) -> Angle {
    compound.unwrap_or(thread.angle / 2.0 - Angle::new::<degree>(0.5))
}

/// Returns the passes that cut an external thread, each taking the same area of chip.
///
/// `designation` as for [`thread`]; `first` the depth of the first cut, on the
/// radius; `compound` as for `infeed`. The area cut grows with the square of the
/// depth, so pass n reaches first × √n; the last reaches the depth exactly.
///
/// Source: common practice, no source: equal areas of a triangular groove.
///
/// # Errors
/// A fault when the designation names no known thread, the first cut is not above
/// zero, is deeper than the thread or would take more than 500 passes, or the angle
/// is out of range.
pub fn infeed_passes(
    designation: &str,
    first: Length,
    compound: Option<Angle>,
) -> Result<Vec<Pass>, Fault> {
    let thread = thread(designation)?;
    let cosine = compound_of(&thread, compound).cos();
    let depth = thread.depth;
    if exceeds(first, depth) {
        return Err(Fault::new(format!(
            "a first cut of {} is deeper than the thread, {}",
            in_millimetres(first),
            in_millimetres(depth)
        ))
        .in_argument(1));
    }
    let passes = passes((depth / first).value);
    if passes > MOST_PASSES {
        let least = depth / MOST_PASSES.sqrt();
        return Err(Fault::new(format!(
            "a first cut of {} would take {passes} passes; at most {MOST_PASSES} are listed",
            in_millimetres(first)
        ))
        .advise(format!("write {} or more", in_millimetres(least * 1.01)))
        .in_argument(1));
    }
    // At most 500, just checked.
    let count = passes as u32;
    let mut rows = Vec::with_capacity(count as usize);
    let mut before = Length::default();
    for pass in 1..=count {
        let reached = if pass == count {
            depth
        } else {
            first * f64::from(pass).sqrt()
        };
        rows.push(Pass {
            pass,
            depth: reached,
            cut: reached - before,
            along: reached / cosine,
            along_cut: (reached - before) / cosine,
        });
        before = reached;
    }
    Ok(rows)
}

/// Returns the passes to a depth of so many first cuts; a whole square is not one too many.
fn passes(ratio: f64) -> f64 {
    (ratio * ratio * (1.0 - 1e-9)).ceil().max(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use uom::si::length::millimeter;

    fn mm(value: f64) -> Length {
        Length::new::<millimeter>(value)
    }

    fn deg(value: f64) -> Option<Angle> {
        Some(Angle::new::<degree>(value))
    }

    #[test]
    fn four_equal_areas_reach_the_depth_in_four_passes() {
        // Arithmetic: √1, √2, √3, √4 of half the depth.
        let depth = thread("M10").unwrap().depth;
        let rows = infeed_passes("M10", depth / 2.0, deg(0.0)).unwrap();
        assert_eq!(rows.len(), 4);
        for (row, share) in rows
            .iter()
            .zip([0.5, 0.5 * 2.0_f64.sqrt(), 0.5 * 3.0_f64.sqrt(), 1.0])
        {
            assert!((row.depth - depth * share).abs() < mm(1e-9), "{row:?}");
            assert_eq!(row.depth, row.along);
        }
        assert_eq!(infeed_passes("M10", depth, None).unwrap().len(), 1);
    }

    #[test]
    fn the_usual_setting_follows_the_angle_of_the_thread() {
        // Common practice, no source.
        for (designation, degrees) in [
            ("M8", 29.5),
            ("1/4 BSF", 27.0),
            ("2 BA", 23.25),
            ("1/2-10 Acme", 14.0),
        ] {
            let found = compound_of(&thread(designation).unwrap(), None).get::<degree>();
            assert!((found - degrees).abs() < 1e-9, "{designation}");
        }
    }

    #[test]
    fn bad_input_is_refused_and_blamed() {
        for (fault, argument) in [
            (infeed_passes("M8", mm(1.0), None).unwrap_err(), 1),
            (infeed_passes("M8", mm(1e-9), None).unwrap_err(), 1),
            (infeed_passes("X8", mm(0.2), None).unwrap_err(), 0),
        ] {
            assert_eq!(fault.argument, Some(argument), "{fault}");
            assert!(fault.message.len() < 200, "{fault}");
        }
    }

    proptest! {
        #[test]
        fn every_pass_but_the_last_takes_the_same_area(first in 0.05_f64..0.7, angle in 0.0_f64..=30.0) {
            let rows = infeed_passes("M8", mm(first), deg(angle)).unwrap();
            let depth = thread("M8").unwrap().depth;
            let mut before = mm(0.0);
            for (index, row) in rows.iter().enumerate() {
                let area = (row.depth * row.depth - before * before).value;
                let whole = (mm(first) * mm(first)).value;
                if index + 1 < rows.len() {
                    prop_assert!((area / whole - 1.0).abs() < 1e-9);
                } else {
                    prop_assert!(area / whole < 1.0 + 1e-6 && area > 0.0);
                    prop_assert!((row.depth - depth).abs() < mm(1e-9));
                }
                before = row.depth;
            }
            let sum: f64 = rows.iter().map(|row| row.along_cut.get::<millimeter>()).sum();
            let along = depth.get::<millimeter>() / angle.to_radians().cos();
            prop_assert!((sum - along).abs() < 1e-9);
        }
    }
}
