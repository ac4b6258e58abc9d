//! Drill sizes against ANSI/ASME B94.11M and ISO 235.

use setover::internals::trade::drills::{Stock, drill, nearest_drill, reaming_drill};
use uom::si::f64::Length;
use uom::si::length::{inch, millimeter};

use crate::compared::near_at;
use crate::evaluated::{quantity, value};
use crate::rows::rows;

/// Source: ANSI/ASME B94.11M-1993, number and letter drills (from memory; #1 to #80 and A
/// to Z compared with a published data set).
#[test]
fn every_number_and_letter_drill_has_its_size() {
    let table = rows(include_str!("../reference/drills_number_letter.csv"));
    for row in &table {
        let name = row.text("name");
        let found = drill(name).unwrap();
        assert_eq!(found.name, name);
        near_at(
            name,
            found.diameter.get::<inch>(),
            row.number("in").unwrap(),
            1e-9,
        );
        near_at(
            name,
            found.diameter.get::<millimeter>(),
            row.number("mm").unwrap(),
            5.000_1e-4,
        );
    }
    assert_eq!(table.len(), 106);
    println!("{} number and letter drills", table.len());
}

/// Source: Machinery's Handbook, decimal equivalents of drill sizes, and ISO 235:1980
/// (from memory).
#[test]
fn the_drill_next_in_size_is_the_one_in_the_tables() {
    let cases = [
        // Decimal size, set, side, drill.
        (0.257, "letter", "nearest", "F"),
        (0.250, "letter", "nearest", "E"),
        (0.250, "fraction", "nearest", "1/4"),
        (0.2000, "number", "over", "#7"),
        (0.2000, "number", "under", "#8"),
        (0.2280, "inch", "over", "#1"),
        (0.2285, "inch", "over", "A"),
        (0.4130, "inch", "over", "Z"),
        (0.4140, "inch", "over", "27/64"),
        (0.4210, "fraction", "nearest", "27/64"),
        (0.0135, "number", "nearest", "#80"),
        (1.0625, "fraction", "nearest", "1 1/16"),
    ];
    for (size, set, side, name) in cases {
        let found = nearest_drill(Length::new::<inch>(size), Stock::Set(set), side).unwrap();
        assert_eq!(found.drill.name, name, "{size} {set} {side}");
    }
    for (size, side, name) in [
        (6.647, "over", "6.7 mm"),
        (0.98, "nearest", "0.98 mm"),
        (2.07, "nearest", "2.05 mm"),
        (13.96, "under", "13.9 mm"),
        (15.2, "over", "15.25 mm"),
        (40.6, "over", "41 mm"),
    ] {
        let found = nearest_drill(Length::new::<millimeter>(size), Stock::Set("metric"), side);
        assert_eq!(found.unwrap().drill.name, name, "{size} {side}");
    }
    // What leaves 0.5 mm, 1/64 in and 0.2 mm: the largest that is not over 11.5 mm, 31/64 in, 6.5 mm.
    for (asked, size) in [
        ("12 mm, 0.5 mm", 11.5e-3),
        ("0.5 in, 1/64 in, \"fraction\"", 31.0 / 64.0 * 0.0254),
        ("6.7 mm, 0.2 mm, [8, 3, 5.1, 6.5] mm", 6.5e-3),
    ] {
        let found = quantity(&format!("drill_under({asked}) + 0 mm")).si;
        assert!((found - size).abs() < 1e-12, "{asked}: {found}");
    }
    for (asked, says) in [
        ("5 mm, 5 mm", "whole hole"),
        ("5 mm, -0.1 mm", "`allowance`"),
        ("5 mm, 4.95 mm", "no drill for 0.05 mm"),
    ] {
        let wrong = value(&format!("drill_under({asked})")).unwrap_err();
        assert!(wrong.contains(says), "{asked}: {wrong}");
    }
}

/// Source: common practice, no source: reamer makers' charts ask for 0.1 to 0.2 mm up
/// to 10 mm, 0.2 to 0.3 mm up to 20 mm, 0.3 to 0.4 mm up to 30 mm on the diameter
/// (from memory).
#[test]
fn the_metal_left_for_a_reamer_is_what_charts_ask_for() {
    let chart = [
        (4.0, 10.0, 0.1, 0.2),
        (10.5, 20.0, 0.15, 0.3),
        (20.5, 30.0, 0.2, 0.4),
    ];
    let mut checked = 0;
    for (from, to, least, most) in chart {
        let mut size = from;
        while size <= to {
            let found = reaming_drill(Length::new::<millimeter>(size), None).unwrap();
            let leaves = found.leaves.get::<millimeter>();
            assert!(
                leaves > least - 1e-9 && leaves < most + 1e-9,
                "{size} mm: {} leaves {leaves}",
                found.drill.name
            );
            size += 0.5;
            checked += 1;
        }
    }
    println!("{checked} reamed sizes");
}
