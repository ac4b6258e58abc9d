//! Screw threads: a designation as a drawing gives it, and what follows from it.
//!
//! # Example
//! ```
//! use setover::internals::trade::threads::thread;
//! use uom::si::length::millimeter;
//!
//! // ISO 261: the coarse pitch of M8 is 1.25 mm.
//! assert!((thread("M8")?.pitch.get::<millimeter>() - 1.25).abs() < 1e-12);
//! assert!(thread("M8.3").is_err());
//! # Ok::<(), setover::internals::diagnostic::Fault>(())
//! ```

mod clearance;
mod clearance_charts;
mod designation;
mod dimensions;
mod form;
mod listed;
mod resolve;
mod series;
mod sizes;
mod tapping;
mod tokens;
mod unknown;
mod usual_drill;

pub use clearance::{ClearanceDrill, clearance_drill};
pub use clearance_charts::Clearances;
pub use dimensions::Thread;
pub use form::Form;
pub use tapping::{engagement, tapping_drill};

use uom::si::f64::Area;

use crate::diagnostic::Fault;

/// Returns the thread of a designation.
///
/// `designation` is written as a drawing gives it: `M8`, `M8x1`, `1/4-20 UNC`,
/// `#10-32 UNF`, `1/4 BSF`, `2 BA`, `1/4-40 ME`, `1/4-26 Brass`, `G 1/4`,
/// `Tr 20x8(P4)`, `1/2-10 Acme`; a size and pitch in no table as `M8x1.1`,
/// `0.3-32 UN`, `3/8-26 Whit`, `1/4-20 NC` (American National) or `1/4-20 sharp V`.
/// A tolerance class and `LH` may follow. Case and spaces do not matter.
///
/// The depth of a 60° external thread is 17/24 H = 0.6134 p (rounded root).
///
/// Source: ISO 261, ISO 724, ISO 68-1 (metric); ASME B1.1 (Unified); BS 84 (BSW,
/// BSF), BS 93 (BA), ISO 228-1 (G); ISO 2903, ISO 2904 (trapezoidal); ASME B1.5
/// (Acme); stress area ISO 898-1 and ASME B1.1.
///
/// # Errors
/// A fault when the designation names no known thread, with the nearest that are.
pub fn thread(designation: &str) -> Result<Thread, Fault> {
    resolve::resolve(designation).map_err(|fault| fault.in_argument(0))
}

/// Returns the designations of every thread in the tables, in one way of writing.
#[must_use]
pub fn designations() -> Vec<&'static str> {
    listed::LISTED
        .iter()
        .map(|listed| listed.designation.as_str())
        .collect()
}

/// Returns the tensile stress area of a bolt of this thread.
///
/// `designation` as for [`thread`].
///
/// A strength figure from it is a guide for light home-shop work, no substitute
/// for the maker's data or a licensed engineer: nothing here is for boilers,
/// pressure parts, lifting or carrying people.
///
/// Source: ISO 898-1:2013 (metric: π/4 (d - 0.9382 p)²); ASME B1.1-2003
/// (Unified: π/4 (d - 0.9743 / n)²).
///
/// # Errors
/// A fault when the designation names no known thread, or one for which no
/// standard gives a stress area.
pub fn stress_area(designation: &str) -> Result<Area, Fault> {
    let thread = thread(designation)?;
    thread.stress_area.ok_or_else(|| {
        Fault::new(format!(
            "no standard known here gives a stress area for `{}` ({})",
            thread.designation, thread.standard
        ))
        .advise("ISO metric and Unified threads have one; else take the area of the minor diameter")
        .in_argument(0)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stress_area_is_given_only_where_a_standard_has_one() {
        use uom::si::area::square_millimeter;
        // ISO 898-1:2013, table of stress areas: M8 is 36.6 mm², M8x1 39.2 mm².
        for (designation, area) in [("M8", 36.6), ("M8x1", 39.2), ("M10", 58.0), ("M12", 84.3)] {
            let found = stress_area(designation).unwrap().get::<square_millimeter>();
            assert!((found - area).abs() < 0.05, "{designation}: {found}");
        }
        let fault = stress_area("1/4 BSF").unwrap_err();
        assert_eq!(fault.argument, Some(0));
        assert!(fault.message.contains("`1/4-26 BSF`"), "{fault}");
    }
}
