//! Screw heads: the counterbores and countersinks they want.

use serde::{Deserialize, Serialize};
use uom::si::f64::Length;
use uom::si::length::millimeter;

use crate::diagnostic::Fault;
use crate::trade::lengths::same;
use crate::trade::table::table;
use crate::trade::threads::{ClearanceDrill, Form, clearance_drill, thread};

#[derive(Deserialize)]
struct Row {
    thread: String,
    cap_diameter_mm: Option<f64>,
    cap_knurled_mm: Option<f64>,
    cap_height_mm: Option<f64>,
    cap_key_mm: Option<f64>,
    counterbore_diameter_mm: Option<f64>,
    counterbore_depth_mm: Option<f64>,
    hexagon_sharp_mm: Option<f64>,
    hexagon_least_mm: Option<f64>,
    hexagon_height_mm: Option<f64>,
    hexagon_key_mm: Option<f64>,
    slotted_sharp_mm: Option<f64>,
    slotted_diameter_mm: Option<f64>,
    slotted_height_mm: Option<f64>,
    slot_mm: Option<f64>,
}

table!(HEADS: Row = "screw_heads");

/// A countersunk head, 90°.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Countersunk {
    /// The diameter to countersink to: that of the head with a sharp edge.
    pub diameter: Length,
    /// The diameter of the head as made: the least of a hexagon socket head, the
    /// greatest of a slotted one, as the standards tabulate them.
    pub head_diameter: Length,
    /// The greatest height of the head.
    pub head_height: Length,
    /// The key across flats, or the width of the slot.
    pub key: Length,
}

/// A socket head cap screw, the counterbore that sinks its head, and the
/// countersunk heads of the same thread.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Counterbore {
    /// The thread: `M6`.
    pub thread: String,
    /// The greatest diameter of a plain head.
    pub head_diameter: Length,
    /// The greatest diameter of a knurled head.
    pub knurled_diameter: Length,
    /// The height of the head.
    pub head_height: Length,
    /// The key across flats.
    pub key: Length,
    /// The diameter of the counterbore.
    pub diameter: Length,
    /// The depth of the counterbore.
    pub depth: Length,
    /// The clearance hole below it, medium fit.
    pub clearance: ClearanceDrill,
    /// The hexagon socket countersunk screw of the thread.
    pub countersunk: Option<Countersunk>,
    /// The slotted countersunk screw of the thread.
    pub slotted: Option<Countersunk>,
}

/// Returns the counterbore for a hexagon socket head cap screw.
///
/// `designation` is the screw's thread, `M6`; a length behind it (`M6x20`) is
/// passed over, since the head does not depend on it.
///
/// Source: ISO 4762:2004 (heads); DIN 974-1:2008, row 1 (counterbores); ISO
/// 273:1979 (clearance hole); ISO 10642:2004, ISO 2009:2011 (countersunk heads).
///
/// # Errors
/// A fault when the designation is no metric thread, or no such screw is in the
/// table; it then names those that are.
pub fn counterbore(designation: &str) -> Result<Counterbore, Fault> {
    let row = row(designation)?;
    let found = || {
        Some(Counterbore {
            thread: row.thread.clone(),
            head_diameter: mm(row.cap_diameter_mm)?,
            knurled_diameter: mm(row.cap_knurled_mm)?,
            head_height: mm(row.cap_height_mm)?,
            key: mm(row.cap_key_mm)?,
            diameter: mm(row.counterbore_diameter_mm)?,
            depth: mm(row.counterbore_depth_mm)?,
            clearance: clearance_drill(&row.thread, "medium").ok()?,
            countersunk: hexagon(row),
            slotted: slotted(row),
        })
    };
    found().ok_or_else(|| {
        none_made(designation, "hexagon socket head cap", |row| {
            row.cap_diameter_mm.is_some()
        })
    })
}

/// Returns the countersink for a countersunk screw, 90°.
///
/// `designation` as for [`counterbore`]; `head` is `socket` (hexagon socket) or
/// `slotted`.
///
/// Source: ISO 10642:2004 (hexagon socket); ISO 2009:2011 (slotted).
///
/// # Errors
/// A fault when the designation is no metric thread, the head is not known, or no
/// such screw is in the table; it then names those that are.
pub fn countersink(designation: &str, head: &str) -> Result<Countersunk, Fault> {
    let row = row(designation)?;
    match head.trim().to_lowercase().as_str() {
        "socket" | "hexagon socket" => hexagon(row).ok_or_else(|| {
            none_made(designation, "hexagon socket countersunk", |row| {
                hexagon(row).is_some()
            })
        }),
        "slotted" => slotted(row).ok_or_else(|| {
            none_made(designation, "slotted countersunk", |row| {
                slotted(row).is_some()
            })
        }),
        _ => {
            let shown: String = head.chars().take(40).collect();
            Err(
                Fault::new(format!("no countersunk head is called `{shown}`"))
                    .advise("write `socket` or `slotted`")
                    .in_argument(1),
            )
        }
    }
}

fn mm(value: Option<f64>) -> Option<Length> {
    value.map(Length::new::<millimeter>)
}

fn hexagon(row: &Row) -> Option<Countersunk> {
    Some(Countersunk {
        diameter: mm(row.hexagon_sharp_mm)?,
        head_diameter: mm(row.hexagon_least_mm)?,
        head_height: mm(row.hexagon_height_mm)?,
        key: mm(row.hexagon_key_mm)?,
    })
}

fn slotted(row: &Row) -> Option<Countersunk> {
    Some(Countersunk {
        diameter: mm(row.slotted_sharp_mm)?,
        head_diameter: mm(row.slotted_diameter_mm)?,
        head_height: mm(row.slotted_height_mm)?,
        key: mm(row.slot_mm)?,
    })
}

/// Returns the row of a screw.
fn row(designation: &str) -> Result<&'static Row, Fault> {
    // The head depends on neither pitch nor length: only what stands before an `x`.
    let size = designation
        .split(['x', 'X', '×'])
        .next()
        .unwrap_or_default();
    let thread = thread(size)?;
    if thread.form != Form::Metric {
        return Err(Fault::new(format!(
            "the heads of `{}` screws are not in the table",
            thread.designation
        ))
        .advise("the table has metric screws; write `M6`")
        .in_argument(0));
    }
    HEADS
        .rows
        .iter()
        .find(|row| {
            let major = row.thread.strip_prefix('M').and_then(|d| d.parse().ok());
            mm(major).is_some_and(|major| same(major, thread.major))
        })
        .ok_or_else(|| none_made(designation, "countersunk or socket head cap", |_| true))
}

/// Returns a screw that is not made, with those that are.
fn none_made(designation: &str, kind: &str, made: impl Fn(&Row) -> bool) -> Fault {
    let known: Vec<&str> = HEADS
        .rows
        .iter()
        .filter(|row| made(row))
        .map(|row| row.thread.as_str())
        .collect();
    Fault::new(format!(
        "no {kind} screw of `{}` is in the table",
        designation.trim()
    ))
    .advise(format!("it has {}", known.join(", ")))
    .in_argument(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_counterbore_swallows_its_head() {
        for row in &HEADS.rows {
            let Ok(found) = counterbore(&row.thread) else {
                assert!(row.cap_diameter_mm.is_none(), "{}", row.thread);
                continue;
            };
            assert!(found.diameter > found.knurled_diameter, "{}", row.thread);
            assert!(
                found.knurled_diameter > found.head_diameter,
                "{}",
                row.thread
            );
            assert!(found.depth > found.head_height, "{}", row.thread);
            assert!(
                found.head_diameter > found.clearance.drill.diameter,
                "{}",
                row.thread
            );
            for sunk in [found.countersunk, found.slotted].into_iter().flatten() {
                assert!(sunk.diameter > sunk.head_diameter, "{}", row.thread);
            }
        }
    }

    #[test]
    fn a_length_behind_the_size_is_passed_over() {
        for text in ["M6", "M6x20", "m6 × 20", "M 6"] {
            let found = counterbore(text).unwrap();
            // ISO 4762, DIN 974-1: M6 has a 5 mm key and an 11 mm counterbore.
            assert_eq!(found.thread, "M6");
            assert!((found.key.get::<millimeter>() - 5.0).abs() < 1e-9);
            assert!((found.diameter.get::<millimeter>() - 11.0).abs() < 1e-9);
        }
        // ISO 2009: M3.5 is made slotted only.
        assert!(countersink("M3.5", "slotted").is_ok());
    }

    #[test]
    fn screws_that_are_not_made_are_refused_with_those_that_are() {
        let check = |fault: Fault, argument: usize, message: &str| {
            assert_eq!(fault.argument, Some(argument), "{fault}");
            assert!(fault.message.contains(message), "{fault}");
            assert!(fault.advice.is_some(), "{fault}");
        };
        check(
            counterbore("M3.5").unwrap_err(),
            0,
            "no hexagon socket head cap screw of `M3.5`",
        );
        check(counterbore("M7").unwrap_err(), 0, "of `M7` is in the table");
        check(
            counterbore("M300").unwrap_err(),
            0,
            "`M300` has no coarse pitch",
        );
        check(
            counterbore("1/4 UNC").unwrap_err(),
            0,
            "the heads of `1/4-20 UNC`",
        );
        check(counterbore("").unwrap_err(), 0, "empty");
        check(counterbore("x").unwrap_err(), 0, "empty");
        check(counterbore(&"M6".repeat(99_999)).unwrap_err(), 0, "at most");
        check(
            countersink("M2", "socket").unwrap_err(),
            0,
            "no hexagon socket countersunk screw of `M2`",
        );
        check(
            countersink("M24", "slotted").unwrap_err(),
            0,
            "no slotted countersunk screw of `M24`",
        );
        check(countersink("M6", "").unwrap_err(), 1, "no countersunk head");
        check(countersink("M6", "bugle").unwrap_err(), 1, "`bugle`");
    }
}
