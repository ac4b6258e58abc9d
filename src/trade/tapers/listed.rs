//! The tapers of the library's two tables.

use std::sync::LazyLock;

use serde::Deserialize;
use uom::si::angle::{degree, radian};
use uom::si::f64::{Angle, Length};
use uom::si::length::inch;

use crate::trade::lengths::mm;
use crate::trade::table::built_in;
use crate::trade::tapers::Taper;

/// The series whose tapers have numbers: the name in the tables, what stands before and behind
/// the number of a designation, and the words that are understood before or behind one, longer
/// ones first. Tapers of other series are called by what the table has for a number.
pub(super) const SERIES: [(&str, &str, &str, &[&str]); 8] = [
    ("Morse", "MT", "", &["morse taper", "morse", "mt", "mk"]),
    ("Brown & Sharpe", "B&S ", "", BROWN_SHARPE),
    ("Jacobs", "JT", "", &["jacobs taper", "jacobs", "jt", "j"]),
    ("Jarno", "Jarno ", "", &["jarno"]),
    ("metric", "metric ", "", &["metric taper", "metric"]),
    ("7:24", "ISO ", "", STEEP),
    ("metric taper pin", "taper pin ", " mm", PINS),
    ("inch taper pin", "taper pin #", "", &[]),
];
const BROWN_SHARPE: &[&str] = &["brown & sharpe", "brown and sharpe", "b & s", "b&s", "bs"];
const STEEP: &[&str] = &["7:24", "7/24", "iso", "int", "sk", "bt", "nt"];
const PINS: &[&str] = &["taper pin", "pin"];

/// A row of the tables.
pub(super) struct Known {
    /// The number in its series.
    pub(super) number: String,
    pub(super) taper: Taper,
}

/// A row as it stands in one of the tables; that of Morse tapers has fewer columns.
#[derive(Deserialize)]
struct Row {
    series: Option<String>,
    number: String,
    big_in: Option<f64>,
    small_in: Option<f64>,
    length_in: Option<f64>,
    big_mm: Option<f64>,
    small_mm: Option<f64>,
    length_mm: Option<f64>,
    taper_per_foot_in: Option<f64>,
    one_in: Option<f64>,
    half_angle_deg: Option<f64>,
    note: Option<String>,
    standard: String,
}

static KNOWN: LazyLock<Vec<Known>> = LazyLock::new(|| {
    let rows = ["tapers_morse", "tapers_other"].map(|name| built_in::<Row>(name).rows);
    rows.into_iter().flatten().filter_map(known).collect()
});

fn known(row: Row) -> Option<Known> {
    let (series, note) = match row.series {
        Some(series) => (series, row.note.unwrap_or_default()),
        None => (
            "Morse".to_owned(),
            "big end at the gauge line, small end at the end of the plug".to_owned(),
        ),
    };
    let size = |inches: Option<f64>, millimetres: Option<f64>| {
        inches.map(Length::new::<inch>).or(millimetres.map(mm))
    };
    let rate = (row.taper_per_foot_in.map(|inches| inches / 12.0))
        .or(row.one_in.map(|one_in| 1.0 / one_in));
    let half_angle = match (rate, row.half_angle_deg) {
        (Some(rate), None) => Angle::new::<radian>((rate / 2.0).atan()),
        (None, Some(degrees)) => Angle::new::<degree>(degrees),
        _ => return None,
    };
    let rate = rate.unwrap_or(2.0 * half_angle.get::<radian>().tan());
    let (before, behind) = (SERIES.iter().find(|(name, ..)| *name == series))
        .map_or(("", ""), |(_, before, behind, _)| (before, behind));
    let (big, length) = (
        size(row.big_in, row.big_mm),
        size(row.length_in, row.length_mm),
    );
    let follows = || Some(big? - length? * rate);
    let taper = Taper {
        designation: format!("{before}{}{behind}", row.number),
        series,
        big,
        small: size(row.small_in, row.small_mm).or_else(follows),
        length,
        rate,
        half_angle,
        note,
        standard: row.standard,
    };
    Some(Known {
        number: row.number,
        taper,
    })
}

/// Returns every taper of the tables.
pub(super) fn all() -> &'static [Known] {
    &KNOWN
}

/// Returns the tapers of one series, in the order of the table.
pub(super) fn of_series(series: &str) -> impl Iterator<Item = &'static Known> {
    KNOWN
        .iter()
        .filter(move |known| known.taper.series == series)
}

/// Returns the taper of a series with a number, compared without regard to case.
pub(super) fn find(series: &str, number: &str) -> Option<&'static Taper> {
    let found = of_series(series).find(|known| known.number.eq_ignore_ascii_case(number));
    found.map(|known| &known.taper)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_of_the_tables_is_taken_up() {
        let lines = |text: &str| text.lines().filter(|line| !line.starts_with('#')).count() - 1;
        let rows = lines(include_str!("../../../library/tables/tapers_morse.csv"))
            + lines(include_str!("../../../library/tables/tapers_other.csv"));
        assert_eq!(all().len(), rows);
    }
}
