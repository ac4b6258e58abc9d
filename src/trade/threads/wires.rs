//! Measuring the pitch diameter over three wires.

use uom::si::f64::Length;

use crate::diagnostic::Fault;
use crate::trade::bounds;
use crate::trade::lengths::{exceeds, in_millimetres};
use crate::trade::threads::{Thread, thread};

/// The wire that touches the flanks at the pitch line.
///
/// `designation` as for [`thread`].
///
/// Source: Machinery's Handbook, measuring screw threads: p / (2 cos(angle / 2)).
///
/// # Errors
/// A fault when the designation names no known thread.
pub fn best_wire(designation: &str) -> Result<Length, Fault> {
    Ok(best(&thread(designation)?))
}

fn best(thread: &Thread) -> Length {
    thread.pitch / (thread.angle / 2.0).cos() / 2.0
}

/// The smallest and the largest wire that can be used: one that still stands out
/// of the thread, and one that still touches the straight flanks.
///
/// `designation` as for [`thread`].
///
/// Source: geometry of the groove; agrees with Machinery's Handbook (0.5052 p and
/// 1.0104 p at 60°, 0.4873 p and 0.6500 p Acme).
///
/// # Errors
/// A fault when the designation names no known thread.
pub fn wire_range(designation: &str) -> Result<(Length, Length), Fault> {
    Ok(range(&thread(designation)?))
}

fn range(thread: &Thread) -> (Length, Length) {
    let half = thread.angle / 2.0;
    let sine = half.sin().value;
    // The wire's centre stands w / (2 sin) - p / 4 cot above the pitch line, its top
    // w / 2 higher, its contact w / 2 × sin lower.
    let crest = (thread.major - thread.pitch_diameter) / 2.0;
    let sunk = thread.pitch / half.tan() / 4.0;
    let centre = 0.5 / sine;
    let smallest = (crest + sunk) / (centre + 0.5);
    let flank = crest - thread.form.rounding(thread.pitch);
    let largest = (flank + sunk) / (centre - sine * 0.5);
    (smallest, largest)
}

/// What the measurement over wires exceeds the pitch diameter by.
fn excess(thread: &Thread, wire: Length) -> Length {
    let half = thread.angle / 2.0;
    wire + wire / half.sin() - thread.pitch / half.tan() / 2.0
}

/// Checks that a wire suits the thread.
fn check_wire(thread: &Thread, wire: Length) -> Result<(), Fault> {
    bounds::length_above_zero(wire, "wire", 1)?;
    let (smallest, largest) = range(thread);
    // The largest of handbook tables are rounded up: a micrometre is no fault.
    let slack = thread.pitch * 1e-3;
    if exceeds(smallest, wire + slack) || exceeds(wire, largest + slack) {
        let why = if wire < smallest {
            "sinks below the crests"
        } else {
            "rests on the crests"
        };
        return Err(Fault::new(format!(
            "a wire of {} {why} of {}",
            in_millimetres(wire),
            thread.designation
        ))
        .advise(format!(
            "take one from {} to {}; the best is {}",
            in_millimetres(smallest),
            in_millimetres(largest),
            in_millimetres(best(thread))
        ))
        .in_argument(1));
    }
    Ok(())
}

/// The measurement over three wires of a thread at its basic pitch diameter.
///
/// `designation` as for [`thread`]; `wire` the diameter of the wires. The lead
/// angle is left out: the error is small for threads of a single start, and grows
/// with several.
///
/// Source: Machinery's Handbook, measuring screw threads:
/// M = E + w (1 + 1 / sin(angle / 2)) - (p / 2) cot(angle / 2).
///
/// # Errors
/// A fault when the designation names no known thread, or the wire can't rest on its
/// flanks.
pub fn over_wires(designation: &str, wire: Length) -> Result<Length, Fault> {
    let thread = thread(designation)?;
    check_wire(&thread, wire)?;
    Ok(thread.pitch_diameter + excess(&thread, wire))
}

/// The pitch diameter from a measurement over three wires.
///
/// `designation` as for [`thread`], whose pitch and angle are used; `wire` the
/// diameter of the wires; `measured` the reading over them. The lead angle is left
/// out, as in [`over_wires`].
///
/// Source: Machinery's Handbook, measuring screw threads:
/// E = M - w (1 + 1 / sin(angle / 2)) + (p / 2) cot(angle / 2).
///
/// # Errors
/// A fault when the designation names no known thread, the wire can't rest on its
/// flanks, or the reading is so far off that it is of another thread.
pub fn pitch_diameter_from_wires(
    designation: &str,
    wire: Length,
    measured: Length,
) -> Result<Length, Fault> {
    let thread = thread(designation)?;
    check_wire(&thread, wire)?;
    bounds::length_above_zero(measured, "measurement", 2)?;
    let found = measured - excess(&thread, wire);
    // Uncut stock is far above, a ruined thread far below; two pitches is neither.
    if exceeds((found - thread.pitch_diameter).abs(), thread.pitch * 2.0) {
        return Err(Fault::new(format!(
            "{} over wires is not a measurement of {}",
            in_millimetres(measured),
            thread.designation
        ))
        .advise(format!(
            "over these wires it measures {} at its basic pitch diameter",
            in_millimetres(thread.pitch_diameter + excess(&thread, wire))
        ))
        .in_argument(2));
    }
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::threads::tables::LISTED;
    use proptest::prelude::*;
    use uom::si::length::millimeter;

    fn mm(value: f64) -> Length {
        Length::new::<millimeter>(value)
    }

    #[test]
    fn the_best_wire_is_in_range_for_every_thread() {
        for row in LISTED.iter() {
            let wire = best_wire(&row.designation).unwrap();
            let (smallest, largest) = wire_range(&row.designation).unwrap();
            assert!(smallest < wire && wire < largest, "{}", row.designation);
        }
    }

    #[test]
    fn bad_input_is_refused_and_blamed() {
        for (fault, argument) in [
            (over_wires("M10", mm(0.0)).unwrap_err(), 1),
            (over_wires("M10", mm(-0.8)).unwrap_err(), 1),
            (over_wires("M10", mm(0.7)).unwrap_err(), 1),
            (over_wires("M10", mm(1.6)).unwrap_err(), 1),
            (over_wires("M10", mm(f64::NAN)).unwrap_err(), 1),
            (over_wires("M10y", mm(0.8)).unwrap_err(), 0),
            (best_wire("10").unwrap_err(), 0),
            (
                pitch_diameter_from_wires("M10", mm(0.866), mm(0.0)).unwrap_err(),
                2,
            ),
            (
                pitch_diameter_from_wires("M10", mm(0.866), mm(20.0)).unwrap_err(),
                2,
            ),
            (
                pitch_diameter_from_wires("M10", mm(0.866), mm(f64::NAN)).unwrap_err(),
                2,
            ),
            (
                pitch_diameter_from_wires("M10", mm(9.0), mm(10.3)).unwrap_err(),
                1,
            ),
        ] {
            assert_eq!(fault.argument, Some(argument), "{fault}");
        }
        let advice = over_wires("M10", mm(1.6)).unwrap_err().advice.unwrap();
        assert!(advice.contains("the best is 0.866 mm"), "{advice}");
    }

    proptest! {
        #[test]
        fn wires_and_pitch_diameter_are_inverse(row in 0_usize..10_000, share in 0.0_f64..=1.0) {
            let row = &LISTED[row % LISTED.len()];
            let (smallest, largest) = wire_range(&row.designation).unwrap();
            let wire = smallest + (largest - smallest) * share;
            let over = over_wires(&row.designation, wire).unwrap();
            let back = pitch_diameter_from_wires(&row.designation, wire, over).unwrap();
            let basic = thread(&row.designation).unwrap().pitch_diameter;
            prop_assert!((back - basic).abs() < mm(1e-9), "{}", row.designation);
        }
    }
}
