//! The threads of the tables, in one list.

use std::sync::LazyLock;

use serde::Deserialize;
use uom::si::f64::Length;
use uom::si::length::{inch, millimeter};

use crate::trade::drills::{Drill, drill};
use crate::trade::lengths::mm;
use crate::trade::table::built_in;
use crate::trade::threads::Form;

/// What fixes a thread: a row of a table, or what is calculated from a designation.
#[derive(Clone, Debug)]
pub(super) struct BasicSizes {
    /// As a drawing gives it: `M8x1`, `1/4-20 UNC`.
    pub(super) designation: String,
    /// `ISO metric coarse`, `UNC`, `BA`.
    pub(super) series: String,
    pub(super) form: Form,
    /// The number in the designation: millimetres, inches, BA number, or the inches
    /// that name a pipe.
    pub(super) nominal: f64,
    pub(super) major: Length,
    pub(super) pitch: Length,
    /// Threads per inch, where the series counts them.
    pub(super) tpi: Option<f64>,
    /// The minor diameter where the standard rounds it.
    pub(super) minor: Option<Length>,
    /// The tapping drill.
    pub(super) drill: Option<Drill>,
    /// What to mind, such as that a pitch is not standard.
    pub(super) note: Option<String>,
}

impl BasicSizes {
    /// Returns the pitch in millimetres, or threads per inch, as the series has it.
    pub(super) fn rate(&self) -> f64 {
        self.tpi.unwrap_or(self.pitch.get::<millimeter>())
    }
}

/// A row of a table of threads; each table has some of the columns.
#[derive(Deserialize)]
struct Row {
    designation: String,
    series: Option<String>,
    major_mm: Option<f64>,
    major_in: Option<f64>,
    pitch_mm: Option<f64>,
    tpi: Option<f64>,
    minor_mm: Option<f64>,
    tapping_drill_mm: Option<f64>,
    tapping_drill: Option<String>,
}

/// Every thread of the tables.
///
/// Source: ISO 261:1998, ISO 2306:1972; ASME B1.1-2003; BS 84:1956, BS 93:1951,
/// ISO 228-1:2000; ISO 2903:1993; ASME B1.5-1997, as the tables themselves say.
pub(super) static LISTED: LazyLock<Vec<BasicSizes>> = LazyLock::new(|| {
    let tables = [
        ("threads_iso_metric", Form::Metric, "ISO metric"),
        ("threads_unified", Form::Unified, ""),
        ("threads_british", Form::Whitworth, ""),
        ("threads_trapezoidal", Form::Trapezoidal, "Tr"),
        ("threads_acme", Form::Acme, "Acme"),
    ];
    let rows = tables.into_iter().flat_map(|(name, form, series)| {
        let rows = built_in::<Row>(name).rows.into_iter();
        rows.filter_map(move |row| listed(row, form, series))
    });
    rows.collect()
});

/// Returns the thread of a row of a table that has mostly threads of one form; `series` is
/// what the name of its series begins with.
fn listed(row: Row, form: Form, series: &str) -> Option<BasicSizes> {
    let series = [series, row.series.as_deref().unwrap_or("")].join(" ");
    let series = series.trim().to_owned();
    let major = row.major_mm.map(mm);
    let major = major.or(row.major_in.map(Length::new::<inch>))?;
    let pitch = row.tpi.map(|tpi| Length::new::<inch>(1.0) / tpi);
    let nominal = match series.as_str() {
        "BA" => row.designation.strip_suffix(" BA")?.parse().ok()?,
        "G" => inches(row.designation.strip_prefix("G ")?)?,
        _ if form == Form::Whitworth => row.major_mm? / 25.4,
        _ => row.major_mm.or(row.major_in)?,
    };
    let drill = row.tapping_drill.and_then(|name| inch_drill(&name));
    Some(BasicSizes {
        form: if series == "BA" {
            Form::BritishAssociation
        } else {
            form
        },
        designation: row.designation,
        series,
        nominal,
        major,
        pitch: pitch.or(row.pitch_mm.map(mm))?,
        tpi: row.tpi,
        minor: row.minor_mm.map(mm),
        drill: row.tapping_drill_mm.map(mm).map(Drill::of).or(drill),
        note: None,
    })
}

/// Returns a drill that an inch table names; whole inches stand there without a unit.
pub(super) fn inch_drill(name: &str) -> Option<Drill> {
    let whole = name.bytes().all(|b| b.is_ascii_digit());
    let name = if whole {
        format!("{name} in")
    } else {
        name.to_owned()
    };
    drill(&name).ok()
}

/// Returns the inches of `1 1/4`, `3/8`, `2`.
fn inches(text: &str) -> Option<f64> {
    let mut sum = 0.0;
    for part in text.split(' ') {
        sum += match part.split_once('/') {
            Some((top, bottom)) => top.parse::<f64>().ok()? / bottom.parse::<f64>().ok()?,
            None => part.parse::<f64>().ok()?,
        };
    }
    Some(sum)
}

/// Returns the rows of some tables.
pub(super) fn rows(tables: &'static [&'static str]) -> impl Iterator<Item = &'static BasicSizes> {
    LISTED
        .iter()
        .filter(|row| tables.contains(&row.series.as_str()))
}

/// Returns whether two pitches or counts are the same.
pub(super) fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-6 * a.abs().max(b.abs())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_of_every_table_is_listed_once() {
        let rows = |text: &str| text.lines().filter(|line| !line.starts_with("# ")).count() - 1;
        let expected = rows(include_str!(
            "../../../library/tables/threads_iso_metric.csv"
        )) + rows(include_str!("../../../library/tables/threads_unified.csv"))
            + rows(include_str!("../../../library/tables/threads_british.csv"))
            + rows(include_str!(
                "../../../library/tables/threads_trapezoidal.csv"
            ))
            + rows(include_str!("../../../library/tables/threads_acme.csv"));
        assert_eq!(LISTED.len(), expected);
        let mut names: Vec<&str> = LISTED.iter().map(|t| t.designation.as_str()).collect();
        names.sort_unstable();
        assert!(names.windows(2).all(|pair| pair[0] != pair[1]));
    }

    #[test]
    fn every_named_drill_is_found() {
        let table = built_in::<Row>("threads_unified");
        for row in table.rows {
            if let Some(name) = row.tapping_drill {
                assert!(inch_drill(&name).is_some(), "{}: {name}", row.designation);
            }
        }
    }
}
