//! The charts of clearance holes.

use std::sync::LazyLock;

use serde::{Deserialize, Serialize};
use uom::si::f64::Length;
use uom::si::length::{inch, millimeter};

use crate::trade::drills::{Drill, name_of};
use crate::trade::lengths::same;
use crate::trade::table::built_in;
use crate::trade::threads::Form;
use crate::trade::threads::listed::inch_drill;

/// The clearance holes of a thread.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Clearances {
    /// The close (fine) fit.
    #[serde(rename = "clearance_close")]
    pub close: Drill,
    /// The medium (normal) fit.
    #[serde(rename = "clearance_medium")]
    pub medium: Drill,
    /// The free (coarse, loose) fit.
    #[serde(rename = "clearance_free")]
    pub free: Drill,
    /// Where the holes come from.
    #[serde(skip)]
    pub source: &'static str,
}

#[derive(Deserialize)]
struct MillimetreRow {
    major_mm: f64,
    close_mm: f64,
    medium_mm: f64,
    free_mm: f64,
}

#[derive(Deserialize)]
struct InchRow {
    major_in: f64,
    close: String,
    medium: String,
    free: String,
}

/// A chart of clearance holes, by major diameter.
pub(super) type Chart = Vec<(Length, Clearances)>;

static METRIC: LazyLock<Chart> = LazyLock::new(|| millimetres("clearance_metric", "ISO 273:1979"));

static BRITISH: LazyLock<Chart> =
    LazyLock::new(|| millimetres("clearance_british", "common practice, no source"));

static UNIFIED: LazyLock<Chart> = LazyLock::new(|| {
    let table = built_in::<InchRow>("clearance_unified");
    let rows = table.rows.into_iter().filter_map(|row| {
        let holes = Clearances {
            close: inch_drill(&row.close)?,
            medium: inch_drill(&row.medium)?,
            free: inch_drill(&row.free)?,
            source: "ASME B18.2.8-1999",
        };
        Some((Length::new::<inch>(row.major_in), holes))
    });
    rows.collect()
});

fn millimetres(name: &str, source: &'static str) -> Chart {
    let drill = |mm: f64| {
        let diameter = Length::new::<millimeter>(mm);
        Drill {
            name: name_of(diameter),
            diameter,
        }
    };
    let table = built_in::<MillimetreRow>(name);
    let rows = table.rows.into_iter().map(|row| {
        let holes = Clearances {
            close: drill(row.close_mm),
            medium: drill(row.medium_mm),
            free: drill(row.free_mm),
            source,
        };
        (Length::new::<millimeter>(row.major_mm), holes)
    });
    rows.collect()
}

/// Returns the chart for a thread; none for threads that are not on screws.
pub(super) fn chart(series: &str, form: Form) -> Option<&'static Chart> {
    match form {
        Form::Metric => Some(&METRIC),
        Form::Unified | Form::AmericanNational | Form::SharpV => Some(&UNIFIED),
        Form::Whitworth if series == "G" => None,
        Form::Whitworth | Form::BritishAssociation => Some(&BRITISH),
        Form::Trapezoidal | Form::Acme => None,
    }
}

/// Returns the clearance holes of a thread, where its chart has the diameter.
pub(super) fn holes(series: &str, form: Form, major: Length) -> Option<Clearances> {
    let (_, holes) = chart(series, form)?
        .iter()
        .find(|(diameter, _)| same(*diameter, major))?;
    Some(holes.clone())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_charts_rise_with_diameter_and_fit() {
        for chart in [&METRIC, &UNIFIED, &BRITISH] {
            assert!(chart.len() > 20);
            for (major, holes) in chart.iter() {
                let Clearances {
                    close,
                    medium,
                    free,
                    ..
                } = holes;
                assert!(
                    *major < close.diameter
                        && close.diameter < medium.diameter
                        && medium.diameter < free.diameter,
                    "{major:?}"
                );
            }
        }
    }
}
