//! Limits and fits against the tables of ISO 286.

use setover::internals::trade::iso286::{FitKind, deviations, fit, limits, standard_tolerance};
use uom::si::f64::Length;
use uom::si::length::{micrometer, millimeter};

use crate::compared::number;
use crate::lengths::mm;
use crate::rows::{Row, rows};

const GRADES: [&str; 20] = [
    "01", "0", "1", "2", "3", "4", "5", "6", "7", "8", "9", "10", "11", "12", "13", "14", "15",
    "16", "17", "18",
];

/// Sizes at both ends and in the middle of a row's range; grades 14 and up begin above 1 mm.
fn sizes(row: &Row) -> [f64; 3] {
    let (over, to) = (number(&row["over_mm"]), number(&row["to_mm"]));
    [over.max(1.0) + 0.001, f64::midpoint(over, to).max(1.5), to]
}

/// The grades of a row, from its first to its last.
fn grades(row: &Row) -> &'static [&'static str] {
    let at = |column: &str| {
        let found = GRADES.iter().position(|grade| *grade == row[column]);
        found.expect("a grade of the standard")
    };
    &GRADES[at("grade_from")..=at("grade_to")]
}

/// Lower and upper deviation in micrometres, where the standard's tolerance leaves a size.
fn micrometres(size: f64, class: &str) -> Option<(f64, f64)> {
    match deviations(mm(size), class) {
        Ok((lower, upper)) => Some((lower.get::<micrometer>(), upper.get::<micrometer>())),
        Err(fault) if fault.message.contains("leaves nothing of") => None,
        Err(fault) => panic!("{size} mm {class}: {fault}"),
    }
}

#[track_caller]
fn same(size: f64, class: &str, got: f64, wanted: f64) {
    assert!(
        (got - wanted).abs() < 1e-6,
        "{size} mm {class}: {got}, printed {wanted}"
    );
}

#[test]
fn every_tolerance_grade() {
    // Source: ISO 286-1:2010, Table 1; IT01 and IT0 from the 1988 edition (from memory; IT01
    // to IT16 compared cell by cell with a published textbook table).
    let rows = rows(include_str!("../reference/iso286_it_grades.csv"));
    let mut cells = 0;
    for row in &rows {
        for grade in GRADES.map(|grade| format!("IT{grade}")) {
            for size in sizes(row) {
                let got = standard_tolerance(mm(size), &grade).expect("a tabulated grade");
                same(size, &grade, got.get::<micrometer>(), number(&row[&grade]));
                cells += 1;
            }
        }
    }
    println!("{} rows of grades, {cells} values", rows.len());
    assert_eq!((rows.len(), cells), (13, 13 * 20 * 3));
}

#[test]
fn every_shaft_deviation() {
    // Source: ISO 286-1:2010, Tables 4 and 5 (from memory; 493 cells compared with three
    // published tables, as the table's remarks say).
    let rows = rows(include_str!("../reference/iso286_shaft_deviations.csv"));
    let mut values = 0;
    for row in &rows {
        for grade in grades(row) {
            let class = format!("{}{grade}", row["letter"]);
            for size in sizes(row) {
                let Some((lower, upper)) = micrometres(size, &class) else {
                    continue;
                };
                if row["es_um"].is_empty() {
                    same(size, &class, lower, number(&row["ei_um"]));
                } else {
                    same(size, &class, upper, number(&row["es_um"]));
                }
                values += 1;
            }
        }
    }
    println!("{} rows of shaft deviations, {values} values", rows.len());
    assert_eq!(rows.len(), 670);
    assert!(values > 30_000, "{values}");
}

#[test]
fn every_hole_deviation() {
    // Source: ISO 286-1:2010, Tables 2 and 3 with their column of delta values (from memory,
    // compared with a published textbook).
    let rows = rows(include_str!("../reference/iso286_hole_deviations.csv"));
    let delta = |size: f64, grade: &str| {
        let found = rows.iter().find(|row| {
            row["letter"] == "delta"
                && row["grade_from"] == grade
                && number(&row["over_mm"]) < size
                && size <= number(&row["to_mm"])
        });
        number(&found.expect("a delta")["ES_um"])
    };
    let (mut values, mut deltas) = (0, 0);
    for row in &rows {
        if row["letter"] == "delta" {
            // The rule that the delta stands for: ITn - IT(n-1), none up to 3 mm.
            let grade: i32 = row["grade_from"].parse().expect("a grade");
            let width = |grade: i32| {
                let size = mm(number(&row["to_mm"]));
                let found = standard_tolerance(size, &format!("IT{grade}"));
                found.expect("a grade").get::<micrometer>()
            };
            if number(&row["to_mm"]) > 3.0 {
                same(
                    0.0,
                    "delta",
                    width(grade) - width(grade - 1),
                    number(&row["ES_um"]),
                );
            }
            deltas += 1;
            continue;
        }
        for grade in grades(row) {
            let class = format!("{}{grade}", row["letter"]);
            for size in sizes(row) {
                let Some((lower, upper)) = micrometres(size, &class) else {
                    continue;
                };
                if row["ES_um"].is_empty() {
                    same(size, &class, lower, number(&row["EI_um"]));
                } else {
                    let add = row["add_delta"] == "1";
                    let more = if add { delta(size, grade) } else { 0.0 };
                    same(size, &class, upper, number(&row["ES_um"]) + more);
                }
                values += 1;
            }
        }
    }
    println!(
        "{} rows of hole deviations, {values} values, {deltas} deltas",
        rows.len()
    );
    assert_eq!(rows.len(), 953);
    assert!(values > 20_000 && deltas == 78, "{values} {deltas}");
}

#[test]
fn every_printed_limit() {
    // Source: limit tables after ISO 286-2:2010, named in the column source; rows of
    // confidence memory are from memory, the others were compared with the table named.
    let rows = rows(include_str!("../reference/iso286_limits_samples.csv"));
    for row in &rows {
        for size in sizes(row) {
            let class = &row["class"];
            let (lower, upper) = micrometres(size, class).expect("a size");
            same(size, class, lower, number(&row["lower_um"]));
            same(size, class, upper, number(&row["upper_um"]));
        }
    }
    println!("{} printed limits", rows.len());
    assert_eq!(rows.len(), 379);
}

#[test]
fn examples_of_the_standard() {
    // Source: ISO 286-1:2010, examples of determining limits: 130 N4 and 90 F7 (from
    // memory).
    for (size, class, lower, upper) in [(130.0, "N4", -35.0, -23.0), (90.0, "F7", 36.0, 71.0)] {
        let (got_lower, got_upper) = micrometres(size, class).expect("a size");
        same(size, class, got_lower, lower);
        same(size, class, got_upper, upper);
    }
}

#[test]
fn a_loose_running_fit_of_34_mm() {
    // Source: ISO 286-2:2010, limits of H11 and c11 over 30 to 40 mm, as a 34H11/c11 fit: hole 34.000
    // to 34.160 mm, shaft 33.720 to 33.880 mm (from memory).
    let found = fit(mm(34.0), "H11/c11").expect("a fit");
    for (got, wanted) in [
        (found.hole_max, 34.160),
        (found.hole_min, 34.000),
        (found.shaft_max, 33.880),
        (found.shaft_min, 33.720),
        (found.clearance.greatest_clearance, 0.440),
        (found.clearance.least_clearance, 0.120),
    ] {
        assert!((got.get::<millimeter>() - wanted).abs() < 1e-9, "{found:?}");
    }
    assert_eq!(found.clearance.kind, FitKind::Clearance);
}

#[test]
fn shaft_basis_fits_of_20_mm() {
    // Source: ANSI B4.2-1978, table of preferred shaft basis fits at 20 mm: greatest
    // and least clearance in mm (from memory).
    for (classes, greatest, least) in [
        ("C11/h11", 0.370, 0.110),
        ("D9/h9", 0.169, 0.065),
        ("F8/h7", 0.074, 0.020),
        ("G7/h6", 0.041, 0.007),
        ("K7/h6", 0.019, -0.015),
        ("N7/h6", 0.006, -0.028),
        ("P7/h6", -0.001, -0.035),
        ("S7/h6", -0.014, -0.048),
        ("U7/h6", -0.020, -0.054),
    ] {
        let found = fit(mm(20.0), classes).expect("a fit");
        let near = |got: Length, wanted: f64| (got.get::<millimeter>() - wanted).abs() < 1e-9;
        assert!(
            near(found.clearance.greatest_clearance, greatest),
            "{classes}: {found:?}"
        );
        assert!(
            near(found.clearance.least_clearance, least),
            "{classes}: {found:?}"
        );
    }
}

#[test]
fn inch_sizes_are_placed_by_their_millimetres() {
    // Source: ISO 286-1:2010, Table 1 (from memory): 1 in is 25.4 mm, IT7 over 18 to 30 mm is
    // 21 um.
    let inch = Length::new::<uom::si::length::inch>(1.0);
    let found = limits(inch, "H7").expect("limits");
    assert!((found.max.get::<millimeter>() - 25.421).abs() < 1e-9);
}

/// Half micrometres are kept: JS and js lie half the tolerance to each side.
/// Source: ISO 286-1:2010, Table 1 (IT7 over 30 to 50 mm is 25 micrometres, IT6 over 10 to 18 mm is 11) and 4.3.2.5.
#[test]
fn half_micrometres_are_kept() {
    use crate::evaluated::quantity;
    for (expression, printed) in [
        ("limits(32 mm, \"JS7\").upper", "0.0125 mm"),
        ("limits(32 mm, \"JS7\").lower", "-0.0125 mm"),
        ("limits(32 mm, \"JS7\").max", "32.0125 mm"),
        ("limits(32 mm, \"JS7\").tolerance", "0.025 mm"),
        ("limits(12 mm, \"js6\").min", "11.9945 mm"),
        ("limits(12 mm, \"js6\").max", "12.0055 mm"),
    ] {
        let stated: f64 = printed.trim_end_matches(" mm").parse().unwrap();
        let found = quantity(expression).si * 1e3;
        assert!((found - stated).abs() < 1e-9, "{expression}: {found}");
    }
}
