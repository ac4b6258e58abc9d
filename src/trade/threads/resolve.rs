//! From a designation, taken apart, to its thread.

use uom::si::f64::Length;
use uom::si::length::{inch, millimeter};

use crate::diagnostic::Fault;
use crate::trade::threads::designation::{ParsedDesignation, take_apart};
use crate::trade::threads::dimensions::finish;
use crate::trade::threads::listed::{BasicSizes, close, rows};
use crate::trade::threads::series::Series;
use crate::trade::threads::sizes::{Candidate, six_places, sizes};
use crate::trade::threads::{Thread, unknown};

/// From so many threads an inch on, a whole number is a numbered size.
const NUMBERED: f64 = 24.0;

/// Returns the thread of a designation.
///
/// # Errors
/// A fault when it can't be read, is unknown or makes no thread.
pub(super) fn resolve(text: &str) -> Result<Thread, Fault> {
    let asked = take_apart(text).map_err(|fault| unknown::advised(fault, text))?;
    let Some(series) = asked.series else {
        return Err(unknown::no_series(text, &asked));
    };
    let sizes = sizes(series, asked.size)?;
    let usual = usual_table(series, &asked);
    for size in &sizes {
        let matching: Vec<&BasicSizes> = rows(usual)
            .filter(|row| size.fits(row) && asked.rate.is_none_or(|rate| close(row.rate(), rate)))
            .collect();
        match (matching.as_slice(), asked.rate) {
            ([], _) => {}
            ([row], _) | ([row, ..], Some(_)) => return listed(row, series, size, &asked),
            (several, None) => return Err(unknown::several(text, several)),
        }
    }
    match (series.calculated(), asked.rate) {
        (Some(name), Some(rate)) => calculated(series, name, rate, &sizes, &asked),
        _ => Err(unknown::not_in_series(text, series, &sizes, &asked)),
    }
}

/// Returns the tables to look in: without a pitch, the first of a series that has one
/// usual table.
fn usual_table(series: Series, asked: &ParsedDesignation) -> &'static [&'static str] {
    let tables = series.tables();
    match series {
        Series::Metric | Series::Whitworth if asked.rate.is_none() => {
            tables.get(..1).unwrap_or(tables)
        }
        _ => tables,
    }
}

/// Returns a thread of a table, or one of its size and pitch in another form.
fn listed(
    row: &BasicSizes,
    series: Series,
    size: &Candidate,
    asked: &ParsedDesignation,
) -> Result<Thread, Fault> {
    let mut parts = row.clone();
    if let (Some(name), false) = (series.calculated(), series.form() == row.form) {
        parts.designation = format!("{}-{} {name}", size.written, row.rate());
        parts.series = name.to_owned();
        parts.form = series.form();
        if series == Series::SharpV {
            parts.drill = None;
        }
    }
    finish(parts, asked)
}

/// Returns a thread that no table has, from its form.
fn calculated(
    series: Series,
    name: &str,
    rate: f64,
    sizes: &[Candidate],
    asked: &ParsedDesignation,
) -> Result<Thread, Fault> {
    // A small whole number with a fine count is a numbered size: `10-40 UN`.
    let size = sizes
        .iter()
        .find(|size| size.numbered && rate >= NUMBERED)
        .or(sizes.first());
    let Some(size) = size else {
        return Err(Fault::new("the designation begins with no size")
            .advise("write the size first, such as `M8x1` or `1/4-20 UN`"));
    };
    if rate <= 0.0 {
        return Err(Fault::new(format!("a pitch of {rate} makes no thread"))
            .advise("the pitch, or the threads per inch, must be above 0"));
    }
    let (millimetres, inches) = (Length::new::<millimeter>, Length::new::<inch>);
    let (major, pitch, tpi, designation, note);
    if series.is_metric() {
        (major, pitch, tpi) = (millimetres(size.nominal), millimetres(rate), None);
        let (prefix, standard) = match series {
            Series::Metric => ("M", "ISO 261"),
            _ => ("Tr ", "ISO 2903"),
        };
        let size_written = &size.written;
        designation = format!("{prefix}{size_written}x{rate}");
        note = if rows(series.tables()).any(|row| size.fits(row)) {
            format!("{rate} mm is not an {standard} pitch for {prefix}{size_written}")
        } else {
            format!("{size_written} mm is not an {standard} diameter")
        };
    } else {
        (major, pitch, tpi) = (inches(size.nominal), inches(1.0) / rate, Some(rate));
        // `1-30` is the numbered size: a whole inch with so fine a thread says that it is one.
        let whole = !size.numbered && rate >= NUMBERED && size.written.parse::<u32>().is_ok();
        let point = if whole { ".0" } else { "" };
        designation = format!("{}{point}-{} {name}", size.written, six_places(rate));
        note = "this size with this pitch is in no table here".to_owned();
    }
    let form = series.form();
    finish(
        BasicSizes {
            designation,
            series: name.to_owned(),
            form,
            nominal: size.nominal,
            major,
            pitch,
            tpi,
            minor: None,
            drill: None,
            note: Some(format!("{note}; calculated from {}", form.standard())),
        },
        asked,
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use uom::si::angle::degree;

    #[track_caller]
    fn check(texts: &[&str], designation: &str, series: &str, major: f64, pitch: f64) {
        for text in texts {
            let thread = resolve(text).unwrap_or_else(|fault| panic!("{text}: {fault}"));
            assert_eq!(thread.designation, designation, "{text}");
            assert_eq!(thread.series, series, "{text}");
            assert!(
                (thread.major.get::<millimeter>() - major).abs() < 1e-9,
                "{text}"
            );
            assert!(
                (thread.pitch.get::<millimeter>() - pitch).abs() < 1e-9,
                "{text}"
            );
            // What is written out is understood again.
            assert_eq!(
                resolve(&thread.designation).unwrap().designation,
                designation
            );
        }
    }

    #[test]
    fn a_thread_is_found_however_it_is_written() {
        let tpi = |n: f64| 25.4 / n;
        check(
            &["M8", "m8", " M 8 ", "M8x1.25", "M8-6H"],
            "M8",
            "ISO metric coarse",
            8.0,
            1.25,
        );
        check(
            &["M8x1", "M8 x 1.0", "M8×1", "m8X1", "M8*1-6g"],
            "M8x1",
            "ISO metric fine",
            8.0,
            1.0,
        );
        check(&["M15x1.5"], "M15x1.5", "ISO metric fine", 15.0, 1.5);
        check(
            &[
                "1/4-20 UNC",
                "1/4 UNC",
                "UNC 1/4",
                "0.25-20unc",
                "1/4-20 UN",
                "¼-20 UNC-2A",
            ],
            "1/4-20 UNC",
            "UNC",
            6.35,
            tpi(20.0),
        );
        check(
            &["#10-32 UNF", "10-32 UNF", "No. 10-32 UNF", ".190-32 UNF"],
            "#10-32 UNF",
            "UNF",
            4.826,
            tpi(32.0),
        );
        check(
            &["1-8 UNC", "1 UNC", "1\"-8 UNC"],
            "1-8 UNC",
            "UNC",
            25.4,
            tpi(8.0),
        );
        check(
            &["1-64 UNC", "#1 UNC"],
            "#1-64 UNC",
            "UNC",
            1.8542,
            tpi(64.0),
        );
        check(
            &["1-1/8-12 UNF", "1 1/8-12 UNF", "1 1/8 - 12 UNF"],
            "1 1/8-12 UNF",
            "UNF",
            28.575,
            tpi(12.0),
        );
        check(
            &["1/4 BSF", "1/4-26 BSF", "BSF 1/4", "1/4 x 26 BSF"],
            "1/4-26 BSF",
            "BSF",
            6.35,
            tpi(26.0),
        );
        check(
            &["1/4 BSW", "1/4-20 BSW", "1/4 Whit.", "1/4-20 Whitworth"],
            "1/4-20 BSW",
            "BSW",
            6.35,
            tpi(20.0),
        );
        check(
            &["2 BA", "2BA", "BA 2", "ba2", "#2 BA"],
            "2 BA",
            "BA",
            4.7,
            0.81,
        );
        check(
            &[
                "ME 1/4x40",
                "1/4-40 ME",
                "1/4 x 40 ME",
                "1/4 ME40",
                "ME40 1/4",
            ],
            "1/4-40 ME",
            "ME",
            6.35,
            tpi(40.0),
        );
        check(
            &["1/4-26 Brass", "1/4 brass", "Brass 1/4"],
            "1/4-26 Brass",
            "Brass",
            6.35,
            tpi(26.0),
        );
        check(
            &["G 1/4", "G1/4", "1/4 BSP", "G 1/4 A", "1/4 BSPP"],
            "G 1/4",
            "G",
            13.157,
            tpi(19.0),
        );
        check(&["G 1-1/2", "G 1 1/2"], "G 1 1/2", "G", 47.803, tpi(11.0));
        check(
            &["Tr 16x4", "TR16X4", "Tr 16 × 4-7e"],
            "Tr 16x4",
            "Tr",
            16.0,
            4.0,
        );
        check(
            &["Acme 1/2-10", "1/2-10 Acme", "1/2 Acme", "1/2-10 ACME-2G"],
            "1/2-10 Acme",
            "Acme",
            12.7,
            2.54,
        );
    }

    #[test]
    fn what_no_table_has_is_calculated_with_a_note() {
        check(&["M8x1.1"], "M8x1.1", "ISO metric", 8.0, 1.1);
        check(&["M8.3x0.7"], "M8.3x0.7", "ISO metric", 8.3, 0.7);
        check(&["10-40 UN", "#10-40 UNS"], "#10-40 UN", "UN", 4.826, 0.635);
        check(&["1-16 UN"], "1-16 UN", "UN", 25.4, 1.5875);
        check(
            &["3/8-27 Whit"],
            "3/8-27 Whitworth",
            "Whitworth",
            9.525,
            25.4 / 27.0,
        );
        check(&["Tr 17x3"], "Tr 17x3", "Tr", 17.0, 3.0);
        check(&["0.6-8 Acme"], "0.6-8 Acme", "Acme", 15.24, 3.175);
        let note = |text: &str| resolve(text).unwrap().note;
        assert_eq!(
            note("M8x1.1").as_deref(),
            Some("1.1 mm is not an ISO 261 pitch for M8; calculated from ISO 68-1")
        );
        assert_eq!(
            note("M8.3x0.7").as_deref(),
            Some("8.3 mm is not an ISO 261 diameter; calculated from ISO 68-1")
        );
        assert_eq!(note("M8x1"), None);
    }

    #[test]
    fn several_starts_multiply_the_lead() {
        let thread = resolve("Tr 20x8(P4) LH").unwrap();
        assert_eq!((thread.starts, thread.left_hand), (2, true));
        assert_eq!(thread.designation, "Tr 20x8(P4) LH");
        assert_eq!(resolve(&thread.designation).unwrap(), thread);
        assert!((thread.lead.get::<millimeter>() - 8.0).abs() < 1e-12);
        // Machinery's Handbook: tan(helix) = lead / (π d2), d2 = 20 - 0.5 × 4 = 18 mm.
        assert!(
            (thread.helix.get::<degree>() - 8.052_3).abs() < 1e-3,
            "{:?}",
            thread.helix
        );
        let thread = resolve("1/2-0.1P-0.2L Acme").unwrap();
        assert_eq!(
            (thread.starts, thread.designation.as_str()),
            (2, "1/2-0.1P-0.2L Acme")
        );
        assert_eq!(resolve(&thread.designation).unwrap(), thread);
        assert!(resolve("Tr 20x7(P4)").is_err());
        assert!(resolve("Tr 20x0(P4)").is_err());
        assert!(resolve("Tr 20x8(P0)").is_err());
    }
}
