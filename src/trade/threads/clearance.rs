//! Clearance holes.

use serde::Serialize;
use uom::si::f64::Length;

use crate::diagnostic::Fault;
use crate::trade::drills::Drill;
use crate::trade::lengths::in_millimetres;
use crate::trade::threads::clearance_charts::{Chart, Clearances, chart};
use crate::trade::threads::thread;
use crate::trade::words::unknown;

/// The fits of a clearance hole.
const FITS: [&str; 3] = ["close", "medium", "free"];

/// A clearance hole.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ClearanceDrill {
    /// The drill.
    #[serde(flatten)]
    pub drill: Drill,
    /// The fit: `close`, `medium` or `free`.
    pub fit: &'static str,
    /// Where the hole comes from.
    pub source: &'static str,
}

/// Returns the drill for a clearance hole.
///
/// `designation` as for [`thread`]; `fit` is `close`, `medium` or `free` (also
/// `fine`, `normal`, `coarse`, `loose`). Fine pitches take the hole of their
/// diameter.
///
/// Source: ISO 273:1979 (metric); ASME B18.2.8-1999 (Unified: close, normal,
/// loose); common practice, no source (BA, BSW, BSF, ME, Brass).
///
/// # Errors
/// A fault when the designation names no known thread, the fit is not known, or
/// the chart does not have the diameter; it then names the nearest that it has.
pub fn clearance_drill(designation: &str, fit: &str) -> Result<ClearanceDrill, Fault> {
    let thread = thread(designation)?;
    let fit = match fit.trim().to_lowercase().as_str() {
        "close" | "fine" => "close",
        "medium" | "normal" => "medium",
        "free" | "coarse" | "loose" => "free",
        _ => {
            let place = "the table of clearance holes";
            let fault = unknown(("fit", fit), place, &FITS, [], "write one of these");
            return Err(fault.in_argument(1));
        }
    };
    let Some(chart) = chart(&thread.series, thread.form) else {
        return Err(Fault::new(format!(
            "`{}` is not a screw thread with a clearance hole",
            thread.designation
        ))
        .advise("charts cover ISO metric, Unified, BA, BSW, BSF, ME and Brass threads")
        .in_argument(0));
    };
    let Some(holes) = thread.clearances else {
        return Err(not_charted(&thread.designation, thread.major, chart, fit).in_argument(0));
    };
    Ok(ClearanceDrill {
        fit,
        source: holes.source,
        drill: hole(holes, fit),
    })
}

fn hole(holes: Clearances, fit: &str) -> Drill {
    match fit {
        "close" => holes.close,
        "medium" => holes.medium,
        _ => holes.free,
    }
}

/// Returns a diameter that the chart leaves out, with its neighbours.
fn not_charted(designation: &str, major: Length, chart: &Chart, fit: &str) -> Fault {
    let below = chart.iter().rfind(|(diameter, _)| *diameter < major);
    let above = chart.iter().find(|(diameter, _)| *diameter > major);
    let near: Vec<String> = [below, above]
        .into_iter()
        .flatten()
        .map(|(diameter, holes)| {
            let drill = hole(holes.clone(), fit);
            format!("{} for {}", drill.name, in_millimetres(*diameter))
        })
        .collect();
    let source = chart.first().map_or("", |(_, holes)| holes.source);
    Fault::new(format!(
        "the clearance chart ({source}) leaves out {}, the diameter of `{designation}`",
        in_millimetres(major)
    ))
    .advise(format!("{fit} holes beside it are {}", near.join(" and ")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fit_is_known_by_its_names() {
        // ISO 273:1979, M6: 6.4, 6.6, 7; ASME B18.2.8-1999, 1/4: 17/64, 9/32, 19/64.
        for (designation, fit, name) in [
            ("M6", "close", "6.4 mm"),
            ("M6", "Fine", "6.4 mm"),
            ("M6x0.75", "medium", "6.6 mm"),
            ("M6", "loose", "7 mm"),
            ("1/4-20 UNC", "close", "17/64"),
            ("1/4-28 UNF", "normal", "9/32"),
            ("1/4-32 UNEF", "free", "19/64"),
            ("2 BA", "close", "4.8 mm"),
            ("1/4 BSF", "close", "6.4 mm"),
        ] {
            assert_eq!(
                clearance_drill(designation, fit).unwrap().drill.name,
                name,
                "{designation} {fit}"
            );
        }
    }

    #[test]
    fn what_the_charts_leave_out_is_refused() {
        for (designation, fit, argument, advice) in [
            ("M9", "medium", 0, "9 mm for 8 mm and 11 mm for 10 mm"),
            ("M8", "tight", 1, "write one of these"),
            ("M8", "", 1, "write one of these"),
            ("M8", "medum", 1, "did you mean `medium`?"),
            ("G 1/4", "close", 0, "charts cover"),
            ("Tr 16x4", "close", 0, "charts cover"),
            ("M300x8", "free", 0, "165 mm for 150 mm"),
            ("M8y", "free", 0, ""),
        ] {
            let fault = clearance_drill(designation, fit).unwrap_err();
            assert_eq!(fault.argument, Some(argument), "{fault}");
            assert!(
                fault.advice.unwrap_or_default().contains(advice),
                "{designation} {fit}"
            );
        }
    }
}
