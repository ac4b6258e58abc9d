//! Standard parts and features against published tables.

use setover::internals::language::Value;

use crate::evaluated::{quantity, value};
use crate::rows::{Row, rows};

/// Holds fields of a call against columns of a row, in millimetres.
#[track_caller]
fn check(row: &Row, call: &str, fields: &[(&str, &str)]) {
    for (field, column) in fields {
        let Some(published) = row.number(column) else {
            let found = value(&format!("{call}.{field}"));
            assert_eq!(found, Ok(Value::None), "{call}.{field}");
            continue;
        };
        let found = quantity(&format!("{call}.{field}")).si * 1e3;
        assert!(
            (found - published).abs() < 1e-9,
            "{call}.{field}: {found}, published {published}"
        );
    }
}

/// Source: ISO 15:2017, makers' catalogues compared.
#[test]
fn bearings() {
    let table = rows(include_str!("../reference/bearings.csv"));
    for row in &table {
        let call = format!("bearing(\"{}\")", row.text("designation"));
        let fields = [
            ("bore", "bore_d"),
            ("outside", "outside_D"),
            ("width", "width_B"),
            ("corner", "rs_min"),
        ];
        check(row, &call, &fields);
    }
    assert_eq!(table.len(), 84);
}

/// Source: DIN 471 and DIN 472, an open data set; a groove is two depths off its shaft or bore.
#[test]
fn grooves_of_retaining_rings() {
    let table = rows(include_str!("../reference/retaining_rings.csv"));
    for row in &table {
        let call = format!(
            "retaining_ring({} mm, \"{}\")",
            row.text("d1"),
            row.text("kind")
        );
        let fields = [
            ("thickness", "s"),
            ("groove", "d2"),
            ("groove_tolerance", "d2_tol"),
            ("groove_width", "m_H13"),
            ("groove_depth", "t"),
        ];
        check(row, &call, &fields);
    }
    assert_eq!(table.len(), 89);
    for (place, sizes) in [("shaft", [17, 25, 35]), ("bore", [22, 35, 47])] {
        for size in sizes {
            let call = format!("retaining_ring({size} mm, \"{place}\")");
            let depth = format!("abs({call}.groove - {size} mm) - 2 * {call}.groove_depth");
            assert!(quantity(&depth).si.abs() < 1e-9, "{call}");
        }
    }
    let fault = value("retaining_ring(20.5 mm)").unwrap_err();
    assert!(fault.contains("20 mm and 21 mm"), "{fault}");
}

/// Source: ISO 4017, ISO 4032, ISO 7089, an open data set of the standards.
#[test]
fn hexagons_and_washers() {
    let hexagons = rows(include_str!("../reference/nuts_bolts.csv"));
    for row in &hexagons {
        let call = format!("hexagon(\"{}\")", row.text("thread"));
        let fields = [
            ("across_flats", "s"),
            ("head_height", "k_screw"),
            ("nut_height", "m_nut_max"),
        ];
        check(row, &call, &fields);
    }
    let washers = rows(include_str!("../reference/washers.csv"));
    for row in &washers {
        let call = format!("washer(\"{}\")", row.text("thread"));
        check(
            row,
            &call,
            &[
                ("hole", "d1_min"),
                ("outside", "d2_max"),
                ("thickness", "h"),
            ],
        );
    }
    assert_eq!((hexagons.len(), washers.len()), (15, 19));
}

/// Source: ISO 299, DIN 508, published tables.
#[test]
fn slots_and_their_nuts() {
    let table = rows(include_str!("../reference/t_slots.csv"));
    let mut checked = 0;
    for row in &table {
        let width = row.text("slot_width");
        let call = format!("t_slot({width} mm)");
        if row.text("part") == "slot" {
            let fields = [
                ("head_width_least", "head_width_min"),
                ("head_width_most", "head_width_max"),
                ("head_depth_least", "head_depth_min"),
                ("head_depth_most", "head_depth_max"),
                ("depth_least", "slot_depth_min"),
                ("depth_most", "slot_depth_max"),
            ];
            check(row, &call, &fields);
            checked += 1;
        } else if !["16", "20", "24"].contains(&width) {
            let fields = [
                ("nut_width", "nut_width_e"),
                ("nut_height", "nut_height_h"),
                ("nut_base", "nut_base_k"),
            ];
            check(row, &call, &fields);
            checked += 1;
        }
    }
    assert_eq!(checked, 20);
}

/// Source: DIN 332-1, a published data set; ISO 6411.
#[test]
fn centre_holes() {
    let table = rows(include_str!("../reference/centre_holes.csv"));
    for row in &table {
        let call = format!("centre_hole(\"{} {}\")", row.text("form"), row.text("d1"));
        let fields = [
            ("pilot", "d1"),
            ("mouth", "d2"),
            ("chamfer", "d3"),
            ("chamfer_width", "b"),
            ("depth", "t_min"),
            ("cut_off", "a"),
        ];
        check(row, &call, &fields);
    }
    assert_eq!(table.len(), 37);
}

/// Source: DIN 76-1, forms A to D, run-outs and blind holes.
#[test]
fn undercuts_of_threads() {
    let table = rows(include_str!("../reference/undercuts_thread.csv"));
    for row in &table {
        let pitch = row.text("pitch_mm");
        let outside = format!("undercut({pitch} mm)");
        let inside = format!("undercut_internal({pitch} mm)");
        let grooves = [
            ("length_least", "g1_min"),
            ("length_most", "g2_max"),
            ("short_least", "g1_min_short"),
            ("short_most", "g2_max_short"),
            ("diameter_offset", "dg_offset"),
            ("radius", "r"),
        ];
        match row.text("place") {
            "external" => check(row, &outside, &grooves),
            "internal" => check(row, &inside, &grooves),
            "run-out" => check(
                row,
                &outside,
                &[("run_out", "x1_max"), ("shoulder", "a1_max")],
            ),
            _ => check(row, &inside, &[("beyond", "e1_min")]),
        }
    }
    assert_eq!(table.len(), 93);
}

#[test]
fn bad_input_is_refused_with_what_there_is() {
    for (call, says) in [
        ("bearing(\"6044\")", "did you mean"),
        ("bearing(\"ball\")", "no `ball`"),
        ("hexagon(\"M7\")", "`M7`"),
        ("t_slot(13 mm)", "12 mm and 14 mm"),
        (
            "table_row(\"bearing\", \"bore\", 20 mm)",
            "did you mean `bearings`?",
        ),
        (
            "table_row(\"bearings\", \"hole\", 20 mm)",
            "it has `designation`, `bore`",
        ),
        ("table_row(\"bearings\", \"bore\", 20)", "a length"),
        ("table_range(\"parallel_keys\", 300 mm)", "over 6 to 230 mm"),
    ] {
        let fault = value(call).unwrap_err();
        assert!(fault.contains(says), "{call}: {fault}");
    }
}
