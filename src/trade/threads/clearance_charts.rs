//! The charts of clearance holes.

use std::sync::LazyLock;

use serde::{Deserialize, Serialize};
use uom::si::f64::Length;
use uom::si::length::inch;

use crate::trade::drills::Drill;
use crate::trade::lengths::{mm, same};
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

/// A row of a chart: millimetres, or inches with the names of drills.
#[derive(Deserialize)]
struct Row {
    #[serde(alias = "major_mm", alias = "major_in")]
    major: f64,
    #[serde(alias = "close_mm")]
    close: String,
    #[serde(alias = "medium_mm")]
    medium: String,
    #[serde(alias = "free_mm")]
    free: String,
}

/// A chart of clearance holes, by major diameter.
pub(super) type Chart = Vec<(Length, Clearances)>;

/// Source: ISO 273:1979.
static METRIC: LazyLock<Chart> =
    LazyLock::new(|| read("clearance_metric", "ISO 273:1979", mm, metric_drill));

/// Source: common practice, no source.
static BRITISH: LazyLock<Chart> = LazyLock::new(|| {
    let source = "common practice, no source";
    read("clearance_british", source, mm, metric_drill)
});

/// Source: ASME B18.2.8-1999.
static UNIFIED: LazyLock<Chart> = LazyLock::new(|| {
    let size = Length::new::<inch>;
    read("clearance_unified", "ASME B18.2.8-1999", size, inch_drill)
});

fn metric_drill(millimetres: &str) -> Option<Drill> {
    millimetres.parse().ok().map(mm).map(Drill::of)
}

fn read(
    name: &str,
    source: &'static str,
    size: fn(f64) -> Length,
    drill: fn(&str) -> Option<Drill>,
) -> Chart {
    let rows = built_in::<Row>(name).rows.into_iter().filter_map(|row| {
        let holes = Clearances {
            close: drill(&row.close)?,
            medium: drill(&row.medium)?,
            free: drill(&row.free)?,
            source,
        };
        Some((size(row.major), holes))
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
