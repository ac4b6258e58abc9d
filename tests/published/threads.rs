//! Thread tables against ISO 724, ISO 2306, ISO 273, ASME B1.1, BS 84, BS 93 and ISO
//! 228-1.

use setover::internals::trade::threads::{engagement, tapping_drill, thread};
use uom::si::length::{inch, millimeter};

use crate::compared::near_at;
use crate::rows::rows;

/// Source: ISO 261:1998, ISO 724:1993 (diameters to 0.001 mm), ISO 2306:1972
/// (drills), ISO 273:1979 (clearance holes); from memory, rows of confidence verified
/// compared with published tables.
#[test]
fn every_iso_metric_thread() {
    let table = rows(include_str!("../reference/threads_iso_metric.csv"));
    for row in &table {
        let name = row.text("designation");
        let found = thread(name).unwrap();
        let check = |column: &str, found: f64, tolerance: f64| {
            let expected = row.number(column).unwrap();
            near_at(&format!("{name} {column}"), found, expected, tolerance);
        };
        assert_eq!(found.designation, name);
        assert_eq!(found.series, format!("ISO metric {}", row.text("series")));
        assert_eq!(found.note, None);
        check("major_mm", found.major.get::<millimeter>(), 1e-9);
        check("pitch_mm", found.pitch.get::<millimeter>(), 1e-9);
        check(
            "pitch_dia_mm",
            found.pitch_diameter.get::<millimeter>(),
            5.001e-4,
        );
        check(
            "minor_dia_internal_mm",
            found.minor_internal.get::<millimeter>(),
            5.001e-4,
        );
        let drill = tapping_drill(name, None).unwrap().drill;
        assert_eq!(found.tapping_drill.unwrap().diameter, drill.diameter);
        check("tapping_drill_mm", drill.diameter.get::<millimeter>(), 1e-9);
        match (row.number("clearance_close_mm"), found.clearances) {
            (None, None) => {}
            (Some(_), Some(holes)) => {
                check(
                    "clearance_close_mm",
                    holes.close.diameter.get::<millimeter>(),
                    1e-9,
                );
                check(
                    "clearance_medium_mm",
                    holes.medium.diameter.get::<millimeter>(),
                    1e-9,
                );
                check(
                    "clearance_free_mm",
                    holes.free.diameter.get::<millimeter>(),
                    1e-9,
                );
            }
            (expected, found) => panic!("{name}: {found:?}, published {expected:?}"),
        }
    }
    assert_eq!(table.len(), 151);
    println!("{} ISO metric threads", table.len());
}

/// Source: ASME B1.1-2003 (basic diameters to 0.0001 in); drills and percentages as
/// tap-drill charts of Machinery's Handbook have them; from memory, rows of confidence
/// verified compared with published charts.
#[test]
fn every_unified_thread() {
    let table = rows(include_str!("../reference/threads_unified.csv"));
    for row in &table {
        let name = row.text("designation");
        let found = thread(name).unwrap();
        let check = |column: &str, found: f64, tolerance: f64| {
            let expected = row.number(column).unwrap();
            near_at(&format!("{name} {column}"), found, expected, tolerance);
        };
        assert_eq!(found.designation, name);
        assert_eq!(found.series, row.text("series"));
        check("major_in", found.major.get::<inch>(), 1e-9);
        check("tpi", found.tpi.unwrap(), 1e-12);
        check("tpi", 1.0 / found.pitch.get::<inch>(), 1e-9);
        check("pitch_dia_in", found.pitch_diameter.get::<inch>(), 5.001e-5);
        check(
            "minor_dia_internal_in",
            found.minor_internal.get::<inch>(),
            5.001e-5,
        );
        let drill = found.tapping_drill.unwrap();
        let drill_name = row.text("tapping_drill_name");
        assert_eq!(drill.name.trim_end_matches(" in"), drill_name, "{name}");
        check("tapping_drill_in", drill.diameter.get::<inch>(), 5.001e-5);
        check(
            "pct_thread",
            100.0 * engagement(name, drill.diameter).unwrap(),
            0.5001,
        );
        // A drill below the basic minor diameter is pointed out.
        let below = row.text("note") == "drill is below basic D1";
        assert_eq!(
            tapping_drill(name, None).unwrap().note.is_some(),
            below,
            "{name}"
        );
    }
    assert_eq!(table.len(), 75);
    println!("{} Unified threads", table.len());
}

/// Source: BS 84:1956 (BSW, BSF), BS 93:1951 (BA, minor diameters to 0.01 mm), ISO
/// 228-1:2000 (G); ME and Brass are Whitworth form, common practice; drills: BS 1157 and
/// common practice. From memory, rows of confidence verified compared with published tables.
#[test]
fn every_british_thread() {
    let table = rows(include_str!("../reference/threads_british.csv"));
    for row in &table {
        let name = row.text("designation");
        // Two trade series carry their count in the name of the series.
        let written = name
            .replace("ME40", "ME")
            .replace("ME32", "ME")
            .replace("Brass26", "Brass");
        let found = thread(name).unwrap();
        let check = |column: &str, found: f64, tolerance: f64| {
            let expected = row.number(column).unwrap();
            near_at(&format!("{name} {column}"), found, expected, tolerance);
        };
        assert_eq!(found.designation, written);
        let series = row.text("series");
        assert!(
            series.starts_with(&found.series),
            "{name}: {}",
            found.series
        );
        check("major_mm", found.major.get::<millimeter>(), 1e-9);
        // The table gives nominal inches to four decimals.
        check("major_in", found.major.get::<inch>(), 1.001e-4);
        match found.tpi {
            None => assert_eq!(series, "BA"),
            Some(tpi) => check("tpi", tpi, 1e-12),
        }
        check("tpi", 1.0 / found.pitch.get::<inch>(), 0.0501);
        check(
            "pitch_mm",
            found.pitch.get::<millimeter>(),
            if series == "G" { 5.001e-4 } else { 5.001e-6 },
        );
        check(
            "thread_angle_deg",
            found.angle.get::<uom::si::angle::degree>(),
            1e-9,
        );
        check(
            "minor_dia_mm",
            found.minor_internal.get::<millimeter>(),
            5.001e-4,
        );
        if let Some(minor) = row.number("minor_dia_in_bs84") {
            near_at(name, found.minor_external.get::<inch>(), minor, 2.001e-4);
        }
        if row.number("tapping_drill_mm").is_some() {
            let drill = found.tapping_drill.unwrap();
            check("tapping_drill_mm", drill.diameter.get::<millimeter>(), 1e-9);
            check(
                "pct_thread",
                100.0 * engagement(name, drill.diameter).unwrap(),
                0.5001,
            );
        }
        let depth = match row.text("depth_formula") {
            "0.640327*p" => 0.640_327,
            "0.6*p" => 0.6,
            other => panic!("{other}"),
        };
        near_at(
            name,
            (found.depth / found.pitch).get::<uom::si::ratio::ratio>(),
            depth,
            5e-7,
        );
    }
    assert_eq!(table.len(), 105);
    println!("{} British threads", table.len());
}
