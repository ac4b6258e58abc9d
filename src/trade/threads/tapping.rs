//! The hole to tap, and how much of the thread it leaves.

use serde::Serialize;
use uom::si::f64::Length;

use crate::diagnostic::Fault;
use crate::trade::drills::{Drill, nearest_drill};
use crate::trade::lengths::{exceeds, in_millimetres};
use crate::trade::threads::usual_drill::{rule, stock};
use crate::trade::threads::{Thread, thread};

/// A hole for a tap.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TappingDrill {
    /// The drill to use.
    #[serde(flatten)]
    pub drill: Drill,
    /// The hole that the rule or the engagement asked for gives, before the nearest
    /// drill is taken.
    pub exact: Length,
    /// The engagement with this drill, as a share of the full thread.
    pub engagement: f64,
    /// What was searched, in words: `inch drills`, or the table.
    pub searched: String,
    /// What to mind, such as a hole below the basic minor diameter.
    pub note: Option<String>,
}

/// Returns the tapping drill of a thread.
///
/// `designation` as for [`thread`]; `engagement` the share of a full thread
/// wanted, above 0 up to 1 (0.75 for 75 %), or none for the usual drill.
///
/// A full thread (100 %) takes twice the full depth of the external thread out of
/// the major diameter: 1.2990 p at 60° (twice 3/4 H), 1.2807 p Whitworth, 1.2 p BA,
/// 1 p trapezoidal and Acme. On this basis the basic minor diameter of an ISO
/// metric or Unified thread is 83.3 %, and the usual drill about 75 %. With an
/// engagement the nearest stocked drill is taken, metric for ISO metric, BA,
/// other British and trapezoidal threads, inch for Unified and Acme.
///
/// Tap by hand or slowly, with the tap square and oiled, and back it to break the
/// chip; above 80 % of a full thread a tap breaks easily and holds little more.
///
/// Source: ISO 2306:1972; Machinery's Handbook, tap drill sizes: hole = D - 1.299
/// p × engagement; BS 1157.
///
/// # Errors
/// A fault when the designation names no known thread or the engagement is out of
/// its range.
pub fn tapping_drill(designation: &str, engagement: Option<f64>) -> Result<TappingDrill, Fault> {
    let thread = thread(designation)?;
    let Some(engagement) = engagement else {
        return Ok(usual(&thread));
    };
    let full = thread.form.full_depth_on_diameter(thread.pitch);
    let exact = thread.major - full * engagement;
    let stock = stock(thread.form);
    Ok(match nearest_drill(exact, stock, "nearest") {
        Ok(found) => hole(&thread, found.drill, exact, stock.searched(), None),
        Err(_) => bored(&thread, exact),
    })
}

/// Returns the usual hole.
fn usual(thread: &Thread) -> TappingDrill {
    match &thread.tapping_drill {
        Some(drill) => {
            let searched = "the usual drill".to_owned();
            hole(thread, drill.clone(), drill.diameter, searched, None)
        }
        None => bored(thread, rule(thread.form, thread.major, thread.pitch)),
    }
}

/// Returns a hole that no drill makes.
fn bored(thread: &Thread, exact: Length) -> TappingDrill {
    let note = "no drill of about this size is stocked: bore the hole".to_owned();
    let searched = stock(thread.form).searched();
    hole(thread, Drill::of(exact), exact, searched, Some(note))
}

fn hole(
    thread: &Thread,
    drill: Drill,
    exact: Length,
    searched: String,
    note: Option<String>,
) -> TappingDrill {
    let below = exceeds(thread.minor_internal, drill.diameter).then(|| {
        format!(
            "below the basic minor diameter, {}: the tap turns hard",
            in_millimetres(thread.minor_internal)
        )
    });
    TappingDrill {
        engagement: share(thread, drill.diameter),
        drill,
        exact,
        searched,
        note: note.or(below),
    }
}

/// Returns the share of a full thread that a hole leaves.
fn share(thread: &Thread, drill: Length) -> f64 {
    let full = thread.form.full_depth_on_diameter(thread.pitch);
    ((thread.major - drill) / full).value
}

/// Returns the engagement that a drilled hole gives, as a share of a full thread.
///
/// `designation` as for [`thread`]; `drill` the diameter of the hole. The basis is
/// that of [`tapping_drill`].
///
/// Source: Machinery's Handbook, tap drill sizes: percentage = (D - hole) / (1.299
/// p).
///
/// # Errors
/// A fault when the designation names no known thread, or the hole is as large as
/// the thread or smaller than its full depth.
pub fn engagement(designation: &str, drill: Length) -> Result<f64, Fault> {
    let thread = thread(designation)?;
    let root = thread.major - thread.form.full_depth_on_diameter(thread.pitch);
    let fault = |message: String| {
        Err(Fault::new(message)
            .advise(format!(
                "take a drill from {} (100 %) to less than {}",
                in_millimetres(root),
                in_millimetres(thread.major)
            ))
            .in_argument(1))
    };
    if !exceeds(thread.major, drill) {
        return fault(format!(
            "a hole of {} leaves no thread in {}",
            in_millimetres(drill),
            thread.designation
        ));
    }
    if exceeds(root, drill) {
        return fault(format!(
            "a hole of {} is smaller than the full depth of {}",
            in_millimetres(drill),
            thread.designation
        ));
    }
    Ok(share(&thread, drill))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::lengths::mm;
    use crate::trade::threads::listed::LISTED;
    use proptest::prelude::*;

    #[test]
    fn a_thread_without_a_listed_drill_has_the_drill_of_its_rule() {
        // ISO 2306 rule D - p; ISO 2904 D1 = d - p.
        assert_eq!(tapping_drill("M8x1.1", None).unwrap().drill.name, "6.9 mm");
        assert_eq!(tapping_drill("Tr 16x4", None).unwrap().drill.name, "12 mm");
        let large = tapping_drill("M200x8", None).unwrap();
        assert!((large.drill.diameter - mm(192.0)).abs() < mm(1e-9));
        assert!(large.note.unwrap().contains("bore the hole"));
    }

    #[test]
    fn no_usual_drill_is_far_from_its_thread() {
        let mut checked = 0;
        for row in LISTED.iter() {
            let Some(drill) = thread(&row.designation).unwrap().tapping_drill else {
                continue;
            };
            let share = engagement(&row.designation, drill.diameter).unwrap();
            assert!(
                (0.55..1.0 + 1e-9).contains(&share),
                "{}: {share}",
                row.designation
            );
            checked += 1;
        }
        assert!(checked > 500, "{checked}");
    }

    #[test]
    fn bad_input_is_refused_and_blamed() {
        for bad in [6.0, 8.0, 9.0] {
            let fault = engagement("M8", mm(bad)).unwrap_err();
            assert_eq!(fault.argument, Some(1), "{bad}");
        }
        assert_eq!(tapping_drill("M8y", None).unwrap_err().argument, Some(0));
        assert_eq!(engagement("", mm(5.0)).unwrap_err().argument, Some(0));
        let noted = tapping_drill("M8", Some(0.95)).unwrap();
        assert!(
            noted
                .note
                .unwrap()
                .contains("below the basic minor diameter")
        );
    }

    proptest! {
        #[test]
        fn engagement_and_hole_are_inverse(row in 0_usize..10_000, wanted in 0.01_f64..=1.0) {
            let designation = &LISTED[row % LISTED.len()].designation;
            let found = tapping_drill(designation, Some(wanted)).unwrap();
            let back = engagement(designation, found.exact).unwrap();
            prop_assert!((back - wanted).abs() < 1e-9, "{designation}: {back}");
        }
    }
}
