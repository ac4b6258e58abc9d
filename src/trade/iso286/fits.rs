//! Fits: the clearance between a hole and a shaft at their limits.

use serde::{Deserialize, Serialize};
use uom::si::f64::Length;
use uom::si::length::millimeter;

use crate::diagnostic::Fault;
use crate::trade::iso286::class::{Feature, is_class};
use crate::trade::iso286::limits;
use crate::trade::table::table;
use crate::trade::words::quote;

/// Clearances nearer to nothing than this, in millimetres, count as none: it is
/// what subtracting two sizes in floating point leaves behind.
const ROUNDING_MM: f64 = 1e-9;

/// What a fit gives whatever the sizes within their limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum FitKind {
    /// The shaft is never bigger than the hole.
    Clearance,
    /// Clearance or interference, as the sizes fall.
    Transition,
    /// The shaft is never smaller than the hole.
    Interference,
}

/// The clearance between a hole and a shaft at their limits; interference is negative.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Clearance {
    /// Largest hole less smallest shaft.
    pub greatest_clearance: Length,
    /// Smallest hole less largest shaft.
    pub least_clearance: Length,
    /// Clearance, transition or interference.
    pub kind: FitKind,
}

/// A hole and a shaft of one size with their tolerance classes.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Fit {
    /// The two classes, hole first.
    pub fit: String,
    /// The largest hole.
    pub hole_max: Length,
    /// The smallest hole.
    pub hole_min: Length,
    /// The largest shaft.
    pub shaft_max: Length,
    /// The smallest shaft.
    pub shaft_min: Length,
    /// The clearance between them.
    #[serde(flatten)]
    pub clearance: Clearance,
}

/// Returns the fit of a size (mm, over 0 to 500) with two classes, hole first: `H7/g6`.
///
/// # Errors
/// A fault when the text is not a hole's class, a stroke and a shaft's class, or
/// when [`limits`] refuses one of them.
///
/// Source: ISO 286-1:2010, clause 3.3 (clearance, interference, fit).
pub fn fit(size: Length, classes: &str) -> Result<Fit, Fault> {
    let (hole, shaft) = parts(classes).map_err(|fault| fault.in_argument(1))?;
    let hole = limits(size, hole)?;
    let shaft = limits(size, shaft)?;
    Ok(Fit {
        fit: classes.to_owned(),
        clearance: clearance(hole.upper - shaft.lower, hole.lower - shaft.upper),
        hole_max: hole.max,
        hole_min: hole.min,
        shaft_max: shaft.max,
        shaft_min: shaft.min,
    })
}

fn parts(classes: &str) -> Result<(&str, &str), Fault> {
    let shown = quote(classes.trim());
    let Some((hole, shaft)) = classes.split_once('/') else {
        return Err(Fault::new(format!("{shown} is not a fit"))
            .advise("write the hole's class, a stroke and the shaft's class, as in `H7/g6`"));
    };
    let (hole, shaft) = (hole.trim(), shaft.trim());
    let feature = |class: &str, wanted: Feature| match super::parse(class)?.feature {
        found if found == wanted => Ok(()),
        found => Err(Fault::new(format!(
            "{} is a {}'s class where the {}'s is expected",
            quote(class),
            found.name(),
            wanted.name()
        ))
        .advise(if is_class(hole) && is_class(shaft) && hole != shaft {
            format!(
                "the hole comes first: `{}/{}`",
                capital(hole, shaft),
                small(hole, shaft)
            )
        } else {
            "the hole comes first, in capitals: `H7/g6`".to_owned()
        })),
    };
    feature(hole, Feature::Hole)?;
    feature(shaft, Feature::Shaft)?;
    Ok((hole, shaft))
}

/// Returns the hole's class for the advice: whichever of the two is in capitals, else the
/// first put so.
fn capital(first: &str, second: &str) -> String {
    let is_capital = |text: &str| text.starts_with(|c: char| c.is_ascii_uppercase());
    if !is_capital(first) && is_capital(second) {
        second.to_owned()
    } else {
        first.to_uppercase()
    }
}

/// Returns the shaft's class for the advice: whichever of the two is in small letters, else
/// the second put so.
fn small(first: &str, second: &str) -> String {
    let is_small = |text: &str| text.starts_with(|c: char| c.is_ascii_lowercase());
    if !is_small(second) && is_small(first) {
        first.to_owned()
    } else {
        second.to_lowercase()
    }
}

/// Returns the clearance between a hole and a shaft from their smallest and largest sizes (mm).
///
/// A reading is a pair of equal sizes.
///
/// Source: ISO 286-1:2010, clause 3.3 (clearance, interference, fit).
pub fn fit_between(hole: (Length, Length), shaft: (Length, Length)) -> Clearance {
    clearance(hole.1 - shaft.0, hole.0 - shaft.1)
}

fn clearance(greatest: Length, least: Length) -> Clearance {
    let settled = |length: Length| {
        if length.get::<millimeter>().abs() < ROUNDING_MM {
            Length::new::<millimeter>(0.0)
        } else {
            length
        }
    };
    let (greatest, least) = (settled(greatest), settled(least));
    let none = Length::new::<millimeter>(0.0);
    let kind = if least >= none {
        FitKind::Clearance
    } else if greatest <= none {
        FitKind::Interference
    } else {
        FitKind::Transition
    };
    Clearance {
        greatest_clearance: greatest,
        least_clearance: least,
        kind,
    }
}

#[derive(Deserialize)]
struct PreferredRow {
    basis: String,
    fit: String,
    name: String,
    used_for: String,
}

table!(PREFERRED: PreferredRow = "preferred_fits");

/// A preferred fit worked out for one size.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PreferredFit {
    /// The classes, such as `H7/g6`.
    pub fit: String,
    /// Hole or shaft: the one whose tolerance begins at the size on the drawing.
    pub basis: String,
    /// The name of the fit, such as sliding.
    pub name: String,
    /// What the fit is for.
    pub used_for: String,
    /// The greatest clearance; interference is negative.
    pub greatest: Length,
    /// The least clearance; interference is negative.
    pub least: Length,
}

/// Returns the preferred fits for a size (mm, over 0 to 500), hole basis first, loosest first.
///
/// # Errors
/// A fault when the size is outside the tables. A fit that the standard does
/// not define for the size is left out.
///
/// Source: ISO 1829:1975, preferred tolerance zones; ANSI B4.2-1978, table of
/// preferred fits (from memory).
pub fn preferred_fits(size: Length) -> Result<Vec<PreferredFit>, Fault> {
    super::checked_size(size)?;
    Ok(PREFERRED
        .rows
        .iter()
        .filter_map(|row| {
            let found = fit(size, &row.fit).ok()?;
            Some(PreferredFit {
                fit: row.fit.clone(),
                basis: row.basis.clone(),
                name: row.name.clone(),
                used_for: row.used_for.clone(),
                greatest: found.clearance.greatest_clearance,
                least: found.clearance.least_clearance,
            })
        })
        .collect())
}

#[cfg(test)]
mod tests {
    use uom::si::length::micrometer;

    use super::*;
    use crate::trade::lengths::mm;

    #[track_caller]
    fn check(size: f64, classes: &str, greatest: f64, least: f64, kind: FitKind) {
        let fit = fit(mm(size), classes).unwrap();
        assert!(
            (fit.clearance.greatest_clearance.get::<micrometer>() - greatest).abs() < 1e-6
                && (fit.clearance.least_clearance.get::<micrometer>() - least).abs() < 1e-6
                && fit.clearance.kind == kind,
            "{size} {classes}: {fit:?}"
        );
        let hole = (fit.hole_min, fit.hole_max);
        let shaft = (fit.shaft_min, fit.shaft_max);
        assert_eq!(fit_between(hole, shaft).kind, kind);
    }

    #[test]
    fn clearance_at_the_limits() {
        // Source: ANSI B4.2-1978, tables of preferred hole basis fits at 20 mm
        // and at 5 mm (from memory).
        check(20.0, "H11/c11", 370.0, 110.0, FitKind::Clearance);
        check(20.0, "H9/d9", 169.0, 65.0, FitKind::Clearance);
        check(20.0, "H8/f7", 74.0, 20.0, FitKind::Clearance);
        check(20.0, "H7/g6", 41.0, 7.0, FitKind::Clearance);
        check(20.0, "H7/h6", 34.0, 0.0, FitKind::Clearance);
        check(20.0, "H7/k6", 19.0, -15.0, FitKind::Transition);
        check(20.0, "H7/n6", 6.0, -28.0, FitKind::Transition);
        check(20.0, "H7/p6", -1.0, -35.0, FitKind::Interference);
        check(20.0, "H7/s6", -14.0, -48.0, FitKind::Interference);
        check(20.0, "H7/u6", -20.0, -54.0, FitKind::Interference);
        // ISO 286-1:2010, 3.3: an interference fit may end at nothing.
        check(5.0, "H7/p6", 0.0, -20.0, FitKind::Interference);
    }

    #[test]
    fn readings_fit_as_sizes_do() {
        let found = fit_between((mm(12.011), mm(12.011)), (mm(11.994), mm(11.994)));
        assert!((found.greatest_clearance.get::<micrometer>() - 17.0).abs() < 1e-6);
        assert_eq!(found.greatest_clearance, found.least_clearance);
        assert_eq!(found.kind, FitKind::Clearance);
        let same = fit_between((mm(12.0), mm(12.0)), (mm(12.0), mm(12.0)));
        assert_eq!(same.kind, FitKind::Clearance);
    }

    #[test]
    fn twenty_preferred_fits_in_order() {
        let rows = preferred_fits(mm(20.0)).unwrap();
        assert_eq!(rows.len(), 20);
        for basis in ["hole", "shaft"] {
            let loosest: Vec<f64> = rows
                .iter()
                .filter(|row| row.basis == basis)
                .map(|row| row.greatest.get::<micrometer>())
                .collect();
            assert_eq!(loosest.len(), 10);
            assert!(loosest.is_sorted_by(|a, b| a > b), "{loosest:?}");
        }
        for size in [0.5, 1.0, 3.0, 500.0] {
            assert_eq!(preferred_fits(mm(size)).unwrap().len(), 20, "{size}");
        }
        assert!(preferred_fits(mm(501.0)).is_err());
    }

    #[test]
    fn what_is_no_fit_says_why() {
        for (classes, says) in [
            ("H7", "is not a fit"),
            ("", "is not a fit"),
            ("g6/H7", "the hole comes first: `H7/g6`"),
            ("H7/G6", "`H7/g6`"),
            ("h7/g6", "`H7/g6`"),
            ("H7/g66", "the grades are"),
            ("H7/g6/h5", "is a fit"),
            ("H7/", "empty"),
        ] {
            let fault = fit(mm(20.0), classes).unwrap_err();
            assert!(fault.to_string().contains(says), "{classes}: {fault}");
            assert_eq!(fault.argument, Some(1));
        }
    }
}
