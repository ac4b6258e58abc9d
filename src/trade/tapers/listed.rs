//! The tapers of the library's two tables.

use std::sync::LazyLock;

use serde::Deserialize;
use uom::si::angle::{degree, radian};
use uom::si::f64::{Angle, Length};
use uom::si::length::{inch, millimeter};

use crate::trade::table::built_in;

/// A series of tapers with numbers of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Series {
    Morse,
    BrownSharpe,
    Jacobs,
    Metric,
    Steep,
    Jarno,
    MetricPin,
    InchPin,
    Pipe,
    Cone,
    DrillChuck,
    SpindleNose,
    Collet,
}

impl Series {
    /// Returns the name of the series in messages, records and tables.
    pub(super) fn name(self) -> &'static str {
        match self {
            Series::Morse => "Morse",
            Series::BrownSharpe => "Brown & Sharpe",
            Series::Jacobs => "Jacobs",
            Series::Metric => "metric",
            Series::Steep => "7:24",
            Series::Jarno => "Jarno",
            Series::MetricPin => "metric taper pin",
            Series::InchPin => "inch taper pin",
            Series::Pipe => "pipe thread",
            Series::Cone => "cone",
            Series::DrillChuck => "drill chuck",
            Series::SpindleNose => "spindle nose",
            Series::Collet => "collet",
        }
    }

    fn designation(self, number: &str) -> String {
        match self {
            Series::Morse => format!("MT{number}"),
            Series::BrownSharpe => format!("B&S {number}"),
            Series::Jacobs => format!("JT{number}"),
            Series::Metric => format!("metric {number}"),
            Series::Steep => format!("ISO {number}"),
            Series::Jarno => format!("Jarno {number}"),
            Series::MetricPin => format!("taper pin {number} mm"),
            Series::InchPin => format!("taper pin #{number}"),
            Series::Pipe
            | Series::Cone
            | Series::DrillChuck
            | Series::SpindleNose
            | Series::Collet => number.to_owned(),
        }
    }

    const ALL: [Series; 13] = [
        Series::Morse,
        Series::BrownSharpe,
        Series::Jacobs,
        Series::Metric,
        Series::Steep,
        Series::Jarno,
        Series::MetricPin,
        Series::InchPin,
        Series::Pipe,
        Series::Cone,
        Series::DrillChuck,
        Series::SpindleNose,
        Series::Collet,
    ];
}

/// A row of the tables.
pub(super) struct Known {
    pub(super) series: Series,
    pub(super) number: String,
    pub(super) designation: String,
    pub(super) big: Option<Length>,
    pub(super) small: Option<Length>,
    pub(super) length: Option<Length>,
    pub(super) rate: f64,
    pub(super) half_angle: Angle,
    pub(super) note: String,
    pub(super) standard: String,
}

#[derive(Deserialize)]
struct MorseRow {
    number: String,
    big_in: f64,
    small_in: f64,
    length_in: f64,
    taper_per_foot_in: f64,
    standard: String,
}

#[derive(Deserialize)]
struct OtherRow {
    series: String,
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
    note: String,
    standard: String,
}

static KNOWN: LazyLock<Vec<Known>> = LazyLock::new(|| {
    let morse = built_in::<MorseRow>("tapers_morse");
    let other = built_in::<OtherRow>("tapers_other");
    let morse = morse.rows.into_iter().map(of_morse);
    let other = other.rows.into_iter().filter_map(of_other);
    morse.chain(other).collect()
});

fn of_morse(row: MorseRow) -> Known {
    let rate = row.taper_per_foot_in / 12.0;
    Known {
        series: Series::Morse,
        designation: Series::Morse.designation(&row.number),
        number: row.number,
        big: Some(Length::new::<inch>(row.big_in)),
        small: Some(Length::new::<inch>(row.small_in)),
        length: Some(Length::new::<inch>(row.length_in)),
        rate,
        half_angle: Angle::new::<radian>((rate / 2.0).atan()),
        note: "big end at the gauge line, small end at the end of the plug".to_owned(),
        standard: row.standard,
    }
}

fn of_other(row: OtherRow) -> Option<Known> {
    let series = Series::ALL
        .into_iter()
        .find(|series| series.name() == row.series)?;
    let size = |inches: Option<f64>, millimetres: Option<f64>| {
        inches
            .map(Length::new::<inch>)
            .or(millimetres.map(Length::new::<millimeter>))
    };
    let (rate, half_angle) = match (row.taper_per_foot_in, row.one_in, row.half_angle_deg) {
        (Some(per_foot), None, None) => of_rate(per_foot / 12.0),
        (None, Some(one_in), None) => of_rate(1.0 / one_in),
        (None, None, Some(degrees)) => {
            let half = Angle::new::<degree>(degrees);
            (2.0 * half.get::<radian>().tan(), half)
        }
        _ => return None,
    };
    Some(Known {
        series,
        designation: series.designation(&row.number),
        number: row.number,
        big: size(row.big_in, row.big_mm),
        small: size(row.small_in, row.small_mm),
        length: size(row.length_in, row.length_mm),
        rate,
        half_angle,
        note: row.note,
        standard: row.standard,
    })
}

fn of_rate(rate: f64) -> (f64, Angle) {
    (rate, Angle::new::<radian>((rate / 2.0).atan()))
}

/// Returns every taper of the tables.
pub(super) fn all() -> &'static [Known] {
    &KNOWN
}

/// Returns the tapers of one series, in the order of the table.
pub(super) fn of_series(series: Series) -> Vec<&'static Known> {
    KNOWN
        .iter()
        .filter(|known| known.series == series)
        .collect()
}

/// Returns the taper of a series with a number, compared without regard to case.
pub(super) fn find(series: Series, number: &str) -> Option<&'static Known> {
    KNOWN
        .iter()
        .find(|known| known.series == series && known.number.eq_ignore_ascii_case(number))
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
        let by_series: usize = Series::ALL
            .map(|series| of_series(series).len())
            .iter()
            .sum();
        assert_eq!(by_series, rows);
    }
}
