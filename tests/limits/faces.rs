//! The faces of a size: as drawn, its limits, aimed at, measured.
//!
//! Sources of the deviations, ISO 286-2:2010 (from memory; tests/published holds the
//! tables): for 12 mm f7 -16/-34, H7 0/+18, g6 -6/-17, js6 ±5.5 µm; for 16 mm s6 +28/+39.
//! All else is arithmetic on them.

use setover::internals::notebook::{Workspace, problems};
use setover::internals::sheet::{RowKind, RowState, Sheet};

use crate::shelf::{close, limits_of, open, row};

fn text(notebook: &str, name: &str) -> String {
    row(&open(notebook), RowKind::Cell, name).text
}

#[track_caller]
fn check(notebook: &str, name: &str, expected: &str) {
    assert_eq!(text(notebook, name), expected, "{notebook}");
}

#[test]
fn the_faces_have_their_figures() {
    let size = "journal = 12 mm f7\nbore = 12 mm H7\nplain = 5 mm\n";
    for (formula, expected) in [
        ("journal.drawn", "12.000 mm"),
        ("journal.low", "11.966 mm"),
        ("journal.high", "11.984 mm"),
        ("journal.aim", "11.975 mm"),
        ("journal + 0 mm", "11.975 mm"),
        ("plain.drawn", "5.000 mm"),
        ("plain.low + plain.high + plain.aim", "15.000 mm"),
        ("bore - journal", "0.034 mm"),
        ("(journal + 0.5 mm) H7", "12.5 H7 mm"),
    ] {
        check(&format!("{size}x = {formula}"), "x", expected);
    }
    // A face prints as it does in the row of its size: an aim with its fourth decimal, a
    // limit that is no even figure rounded inward. In inches 16/25.4 and 34/25.4 thou off.
    for (formula, expected) in [
        ("(20 mm (+0.013/0)).aim", "20.0065 mm"),
        ("limits(1 in, \"H7\").max", "1.0008 in"),
        ("limits(1 in, \"f7\").max", "0.9992 in"),
        ("limits(1 in, \"f7\").min", "0.9984 in"),
    ] {
        check(&format!("x = {formula}"), "x", expected);
    }
    let thirds = "third = (10 mm / 3) ±0.05\n";
    check(&format!("{thirds}x = third.low"), "x", "3.284 mm");
    check(&format!("{thirds}x = third.high"), "x", "3.383 mm");
    check("a = 30°15' ±5'\nx = a.low", "x", "30°10'00\"");
    check("x = 30°15' ±5'", "x", "30°15'00\" ±0°05'00\"");
    // What has no limits of its own, and a count with limits.
    for wrong in ["a = 10 mm ±0.1\nb = a + 1 mm\nc = b.low", "n = 5 ±1"] {
        assert!(Sheet::of(&open_anyway(wrong)).has_errors(), "{wrong}");
    }
}

/// A notebook with errors in it.
fn open_anyway(text: &str) -> Workspace {
    let shelf = crate::shelf::Texts::default();
    Workspace::of_text(std::path::Path::new("main.job"), text, &shelf)
}

#[test]
fn a_reading_counts_and_keeps_its_target() {
    let text = "over = over_pins(0.8 mm, 16, 1.4 mm)\nleft = over.reading - over.aim\nhalf = over / 2\nmeasured over = 14.80 mm";
    let workspace = open(text);
    let aim = limits_value(&workspace, "over");
    // What is left is the reading less what the formula gives, whatever that is.
    close(limits_value(&workspace, "left"), 0.0148 - aim, "left");
    close(
        limits_value(&workspace, "half"),
        0.0074,
        "half of the reading",
    );
    // Without a reading there is no error, and the sheet says that it waits.
    let waiting = open(
        "journal = 12 mm f7\nleft = journal.reading - journal.aim\nmore = left * 2\nop Take off {left}.",
    );
    let sheet = Sheet::of(&waiting);
    assert!(waiting.is_good() && !sheet.has_errors());
    for name in ["left", "more"] {
        assert_eq!(
            row(&waiting, RowKind::Cell, name).state,
            RowState::NotMeasured
        );
    }
    assert_eq!(
        row(&waiting, RowKind::Op, "1").text,
        "Take off (not measured yet)."
    );
}

/// The value of a cell that a formula works with; for a measured one its aim.
fn limits_value(workspace: &Workspace, name: &str) -> f64 {
    let slot = workspace.find(name).expect("a cell");
    let value = workspace.value(slot).expect("a value");
    match value.size_faces() {
        Some(size) => size.aim,
        None => value.quantity().expect("a number").si,
    }
}

#[test]
fn an_aim_may_be_set_within_the_limits() {
    check(
        "journal = 12 mm f7\naim journal = 11.98 mm\nx = journal + 0 mm",
        "x",
        "11.980 mm",
    );
    let set = open("journal = 12 mm f7\naim journal = 11.98 mm");
    assert_eq!(
        row(&set, RowKind::Cell, "journal").status,
        "aim 11.980, set"
    );
    let outside = open_anyway("journal = 12 mm f7\naim journal = 12 mm");
    assert!(Sheet::of(&outside).has_errors());
}

#[test]
fn ops_print_what_may_be_made() {
    let op = |text: &str| row(&open(text), RowKind::Op, "1").text;
    assert_eq!(
        op("journal = 12 mm f7\nother = journal\nop Turn to {other}."),
        "Turn to 12 f7 (11.966 to 11.984 mm, aim 11.975)."
    );
    // A reading is never the target.
    assert_eq!(
        op("journal = 12 mm f7\nmeasured journal = 11.97 mm\nop Turn to {journal}."),
        "Turn to 12 f7 (11.966 to 11.984 mm, aim 11.975); measured 11.970."
    );
    assert_eq!(
        op("pin = 12 mm js6\nop Turn to {pin}."),
        "Turn to 12 js6 (11.9945 to 12.0055 mm)."
    );
    assert_eq!(
        op("ring = 12 mm H7\nop Leave {ring + 1 mm}."),
        "Leave 13.009 mm."
    );
}

#[test]
fn drawn_arguments_do_not_step_when_limits_move() {
    // 1 : 10 by its drawn ends: atan(1 / 20) = 2.862 deg; the limits move its diameter.
    let taper = "big = 25 mm (0/-0.1)\nsmall = 20 mm (+0.1/0)\nslide = top_slide_angle(big, small, 50 mm)\nmeasured big = 24.9 mm";
    check(taper, "slide", "2.862 deg");
    assert!(limits_of(&open(taper), "slide").is_none_or(|l| l.low >= l.high));
    // The drill is chosen by the drawn figure; that it lies outside the limits is said.
    let drilled =
        open_anyway("bore = 12 mm (+0.5/+0.3)\nd = nearest_drill(bore, [12, 12.4] mm).diameter");
    assert_eq!(row(&drilled, RowKind::Cell, "d").text, "12.000 mm");
    let said = Sheet::of(&drilled).errors;
    assert_eq!((said.len(), said[0].severity), (1, "warning"));
    assert!(said[0].message.contains("outside the limits"), "{said:?}");
    // The result of a choice at the aim says where the drawn figures decide otherwise.
    let press =
        open("seat = 16 mm s6\nbore = 16 mm H7\nhot = if seat > bore then 150 degC else 20 degC");
    let hot = row(&press, RowKind::Cell, "hot");
    assert_eq!(
        (hot.text.as_str(), hot.status.as_str()),
        ("150 degC", "at the drawn figures 20 degC")
    );
}

#[test]
fn a_fit_to_a_measured_mate_is_aimed_at_that_mate() {
    let text = "bore = 12 mm H7\nmeasured bore = 12.011 mm\nregister = bore.reading - 0.006 mm";
    check(text, "register", "12.005 mm");
    // A gauge without limits counts at its reading where limits stand on a formula.
    let wires = "wire = 0.725 mm\nover = over_wires(\"M10x1\", wire) (-0.026/-0.138)";
    let moved = format!("{wires}\nmeasured wire = 0.732 mm");
    let low = |text: &str| {
        row(&open(text), RowKind::Cell, "over")
            .low
            .expect("a limit")
    };
    // Three wires of a 60 deg thread: the reading moves by three times the wire.
    assert!((low(&moved) - low(wires) - 0.021).abs() < 1e-6);
}

#[test]
fn a_reading_measures_what_its_cell_measures() {
    for wrong in [
        "bore = 12 mm H7\nmeasured bore = 12.011",
        "f = 5 N\nmeasured f = 5 mm",
        "bore = 12 mm\nmeasured bore = \"M8\"",
    ] {
        assert!(Sheet::of(&open_anyway(wrong)).has_errors(), "{wrong}");
    }
}

#[test]
fn the_last_reading_outside_its_limits_is_bad() {
    let good = open("bore = 12 mm H7\nmeasured bore = 12.03 mm\nmeasured bore = 12.01 mm");
    assert!(good.is_good());
    let bad = open("bore = 12 mm H7\nmeasured bore = 12.01 mm\nmeasured bore = 12.03 mm");
    assert!(!bad.is_good());
    // A result that may come out so is possible, no more.
    let result = open("a = 10 mm ±0.1\nb = 60 mm ±0.1\nat = a + b\nmeasured at = 70.1 mm");
    let at = row(&result, RowKind::Measured, "at");
    assert_eq!(
        (at.text.as_str(), at.limits.as_str()),
        ("70.100 mm", "69.800 to 70.200")
    );
    assert_eq!(at.status, "possible; +0.100 mm from the aim");
}

#[test]
fn a_varied_size_keeps_its_tolerance_and_sets_readings_aside() {
    let text = "bore = 16 mm H7\nx = bore.high\nmeasured x = 1 mm\nvary bore over 16 mm, 16 mm f7, 18 mm show x";
    let workspace = open(text);
    let sheet = Sheet::of(&workspace);
    let table = sheet
        .rows()
        .find(|row| row.kind == RowKind::Vary)
        .expect("a table");
    let data = table.data.as_ref().expect("of a sheet for programs");
    let shown: Vec<f64> = data
        .value
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(|row| row["x"].as_f64())
        .collect();
    // H7 of 16 and 18 mm is 0/+18, f7 -16/-34 µm.
    assert_eq!(shown, [16.018, 15.984, 18.018]);
}

#[test]
fn nothing_is_rounded_but_coordinates() {
    let text = "lengths mm\nreadout 0.005 mm\na = 12.003 mm\nb = a as readout\nc = b + 1 mm\nholes = pitch_circle(3, 40.007 mm)\nd = holes.x[1]";
    check(text, "a", "12.003 mm");
    check(text, "b", "12.005 mm");
    check(text, "c", "13.005 mm");
    // 40.007 / 2 = 20.0035, shown in steps of 0.005.
    check(text, "d", "20.005 mm");
}

#[test]
fn the_notebook_says_the_units_of_what_functions_give() {
    for (text, expected) in [
        // 4 in (0.475 - 0.369) / (2 2.125) = 0.09976 in.
        (
            "lengths inch\nx = set_over(0.475 in, 0.369 in, 2.125 in, 4 in)",
            "0.0998 in",
        ),
        (
            "x = set_over(0.475 in, 0.369 in, 2.125 in, 4 in)",
            "0.0998 in",
        ),
        (
            "lengths mm\nx = set_over(0.475 in, 0.369 in, 2.125 in, 4 in)",
            "2.534 mm",
        ),
        // 1/20 in / (2 cos 30 deg) = 0.028868 in.
        ("lengths inch\nx = best_wire(\"1/4-20 UNC\")", "0.0289 in"),
    ] {
        check(text, "x", expected);
    }
}

#[test]
fn sizes_with_limits_go_into_functions_at_what_they_are_worked_to() {
    let fit = "seat = 16 mm s6\nbore = 16 mm H7\ngrip = seat - bore\n";
    // The last pass ends at the aim, 16.0335 mm, and not at the drawn 16 mm.
    let workspace = open(&format!(
        "{fit}passes = roughing_passes(20 mm, seat, 0.5 mm)\nlast = passes[count(passes)].diameter"
    ));
    let last = workspace.value(workspace.find("last").expect("a cell"));
    let last = last
        .and_then(|value| value.quantity().ok())
        .expect("a number");
    close(last.si, 0.016_033_5, "the last pass");
    // Lamé's formulas over the grip of 10 to 39 µm, 24.5 µm in the middle: it has a value.
    let workspace = open(&format!(
        "{fit}fit = press_fit(16 mm, 12 mm, grip, 26 mm, 0 mm, \"mild steel\", \"brass\")\np = fit.pressure"
    ));
    let limits = limits_of(&workspace, "p").expect("limits");
    assert!(0.0 < limits.low && limits.low < limits.high, "{limits:?}");
    close(
        limits.high / limits.low,
        39.0 / 10.0,
        "pressure follows the grip",
    );
    // Brass, 20.9e-6/K (ASM Metals Handbook, from memory): 20 degC + (24.5 + 16) µm /
    // (20.9e-6/K 16 mm) is 141.1 degC, from (10 + 16) µm 97.75 and from (39 + 16) µm 184.5.
    let text = format!("{fit}hot = shrink_temperature(16 mm, grip, 0.016 mm, \"brass\")");
    let hot = row(&open(&text), RowKind::Cell, "hot");
    assert_eq!(
        (hot.text.as_str(), hot.limits.as_str()),
        ("141.1 degC", "97.75 to 184.48")
    );
}

#[test]
fn figures_that_were_wrong_once() {
    for (text, expected) in [
        // The set of cutters by module: number 2 is for 14 to 16 teeth (common practice).
        ("x = spur_gear(0.8 mm, 16).cutter + 0", "2"),
        ("x = thread(\"M10x1 LH\").designation", "M10x1 LH"),
        ("arc = 30 mm * 60 deg\nx = arc / (2 mm)", "15.708"),
        ("x = 3 in/in", "3"),
        (
            "x = compound_indexing(87, 40, [29, 33])[1].direction",
            "back",
        ),
    ] {
        check(text, "x", expected);
    }
    for wrong in ["a = 3 mm\nb = 2 * a H7", "c = 3 mm\n  + 4 mm"] {
        assert!(!problems(&open_anyway(wrong)).is_empty(), "{wrong}");
    }
}
