//! Depth of thread and the feed to it.

use uom::si::angle::degree;
use uom::si::f64::{Angle, Length};

use crate::diagnostic::Fault;
use crate::trade::bounds;
use crate::trade::lengths::{exceeds, in_millimetres};
use crate::trade::threads::{Thread, thread};

/// The most passes that are listed.
const MOST_PASSES: f64 = 500.0;

/// One pass of cutting a thread.
#[derive(Clone, Copy, Debug, PartialEq)]
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

/// The depth of the external thread, on the radius.
///
/// `designation` as for [`thread`].
///
/// Source: ISO 68-1, ISO 724 and ASME B1.1 (17/24 H = 0.6134 p); BS 84 (0.6403 p); BS
/// 93 (0.6 p); ISO 2904 (0.5 p + clearance); ASME B1.5 (0.5 p + 0.010 or 0.005 in).
///
/// # Errors
/// A fault when the designation names no known thread.
pub fn thread_depth(designation: &str) -> Result<Length, Fault> {
    Ok(thread(designation)?.depth)
}

/// The usual setting of the top slide, from square to the work: half a degree less
/// than half the angle of the thread, so that the trailing flank is cut clean.
///
/// Source: common practice, no source (29.5° for 60°, 27° for 55°).
#[must_use]
pub fn usual_compound(thread: &Thread) -> Angle {
    thread.angle / 2.0 - Angle::new::<degree>(0.5)
}

/// The setting asked for, or the usual; in bounds for the thread.
fn compound_of(thread: &Thread, compound: Option<Angle>, argument: usize) -> Result<Angle, Fault> {
    let Some(compound) = compound else {
        return Ok(usual_compound(thread));
    };
    let degrees = compound.get::<degree>();
    let half = (thread.angle.get::<degree>() / 2.0 * 1e3).round() / 1e3;
    if degrees >= 0.0 && degrees <= half + 1e-9 {
        return Ok(compound);
    }
    let shown = (degrees * 1e3).round() / 1e3;
    let message = if degrees > half {
        format!(
            "a top slide at {shown} deg leaves steps on the flank of {}, whose half angle is {half} deg",
            thread.designation
        )
    } else {
        format!("a top slide at {shown} deg feeds into no thread")
    };
    Err(Fault::new(message)
        .advise(format!(
            "set it from 0 deg (straight in) to {half} deg, measured from square to the work; {} deg is usual",
            usual_compound(thread).get::<degree>()
        ))
        .in_argument(argument))
}

/// How far to feed the top slide for the full depth of an external thread.
///
/// `designation` as for [`thread`]; `compound` the angle of the top slide from the
/// direction of the cross slide, 0° up to half the angle of the thread, or none for
/// half a degree less than that.
///
/// Start from the tool just touching the work; keep chuck key, sleeves and fingers
/// clear, and stop short of the shoulder.
///
/// Source: depth / cos(compound), the right triangle of the slide.
///
/// # Errors
/// A fault when the designation names no known thread or the angle is out of range.
pub fn infeed(designation: &str, compound: Option<Angle>) -> Result<Length, Fault> {
    let thread = thread(designation)?;
    let compound = compound_of(&thread, compound, 1)?;
    Ok(thread.depth / compound.cos())
}

/// The passes that cut an external thread, each taking the same area of chip.
///
/// `designation` as for [`thread`]; `first` the depth of the first cut, on the
/// radius; `compound` as for [`infeed`]. The area cut grows with the square of the
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
    bounds::length_above_zero(first, "first cut", 1)?;
    let cosine = compound_of(&thread, compound, 2)?.cos();
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

/// The passes to a depth of so many first cuts; a whole square is not one too many.
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
        let depth = thread_depth("M10").unwrap();
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
            let found = usual_compound(&thread(designation).unwrap()).get::<degree>();
            assert!((found - degrees).abs() < 1e-9, "{designation}");
        }
    }

    #[test]
    fn bad_input_is_refused_and_blamed() {
        for (fault, argument) in [
            (infeed("M8", deg(30.5)).unwrap_err(), 1),
            (infeed("M8", deg(90.0)).unwrap_err(), 1),
            (infeed("M8", deg(-1.0)).unwrap_err(), 1),
            (infeed("M8", deg(f64::NAN)).unwrap_err(), 1),
            (infeed("1/4 BSF", deg(29.5)).unwrap_err(), 1),
            (infeed("", None).unwrap_err(), 0),
            (infeed_passes("M8", mm(0.0), None).unwrap_err(), 1),
            (infeed_passes("M8", mm(-0.1), None).unwrap_err(), 1),
            (infeed_passes("M8", mm(f64::NAN), None).unwrap_err(), 1),
            (infeed_passes("M8", mm(1.0), None).unwrap_err(), 1),
            (infeed_passes("M8", mm(1e-9), None).unwrap_err(), 1),
            (infeed_passes("M8", mm(0.2), deg(45.0)).unwrap_err(), 2),
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
            let depth = thread_depth("M8").unwrap();
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
            let along = infeed("M8", deg(angle)).unwrap().get::<millimeter>();
            prop_assert!((sum - along).abs() < 1e-9);
        }
    }
}
