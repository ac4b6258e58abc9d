//! What instruments said, in place of the drawing's sizes.

use setover::internals::sheet::{Row, RowKind, Sheet};

use crate::shelf::{limits_of, open, open_with, row};

#[test]
fn tolerances_of_every_form_have_their_limits() {
    // Source: how a drawing gives limits, ISO 129-1:2018, 8 (from memory); arithmetic.
    let forms = [
        ("64 mm ±0.05", 0.063_95, 0.064_05),
        ("64 mm +-0.05", 0.063_95, 0.064_05),
        ("64 mm +-0.05 mm", 0.063_95, 0.064_05),
        ("20 mm (+0.02/-0.01)", 0.019_99, 0.020_02),
        ("20 mm (0/-0.013)", 0.019_987, 0.02),
        ("20 mm (-0.01/+0.02)", 0.019_99, 0.020_02),
        ("20 mm (+0.02/+0.01)", 0.020_01, 0.020_02),
        ("1/2 in ±0.005", 0.012_573, 0.012_827),
        ("1/2 in ±0.1 mm", 0.0126, 0.0128),
        ("30 deg ±0.5", 29.5_f64.to_radians(), 30.5_f64.to_radians()),
    ];
    for (form, low, high) in forms {
        let limits = limits_of(&open(&format!("y = {form}")), "y").expect(form);
        crate::shelf::close(limits.low, low, form);
        crate::shelf::close(limits.high, high, form);
    }
}

#[test]
fn a_reading_takes_the_place_of_the_limits() {
    let workspace = open(
        "bore = 12 mm (+0.018/0)\npin = 12 mm (-0.006/-0.017)\nplay = bore - pin\nmeasured bore = 12.011 mm",
    );
    let bore = row(&workspace, RowKind::Measured, "bore");
    assert_eq!(bore.text, "12.011 mm");
    // The middle of 12.000 and 12.018 is 12.009.
    assert_eq!(bore.status, "inside; +0.002 mm from the aim");
    assert_eq!(bore.limits, "12.000 to 12.018");
    // 12.011 less 11.994 and 11.983; in the middle 11.9885
    let play = row(&workspace, RowKind::Cell, "play");
    assert_eq!(
        (play.text.as_str(), play.limits.as_str()),
        ("0.023 mm", "0.017 to 0.028")
    );
    assert_eq!(
        limits_of(&workspace, "play").expect("limits").shares.len(),
        1
    );
}

#[test]
fn readings_outside_say_by_how_much_and_the_latest_counts() {
    let workspace = open(
        "bore = 12 mm (+0.018/0)\nwall = 20 mm - bore\nmeasured bore = 12.011 mm\nmeasured bore = 12.021 mm\nmeasured bore = 12.019 mm",
    );
    // Each row shows its own reading; the last sums them up.
    let sheet = Sheet::of(&workspace);
    let readings: Vec<&Row> = sheet
        .rows()
        .filter(|row| row.kind == RowKind::Measured)
        .collect();
    let texts: Vec<&str> = readings.iter().map(|row| row.text.as_str()).collect();
    assert_eq!(texts, ["12.011 mm", "12.021 mm", "12.019 mm"]);
    assert_eq!(readings[0].status, "inside; +0.002 mm from the aim");
    assert_eq!(
        readings[1].status,
        "outside, 0.003 mm too large; +0.012 mm from the aim"
    );
    // The row of the size keeps its own figures.
    let bore = row(&workspace, RowKind::Cell, "bore");
    assert_eq!(bore.text, "12 (+0.018/0) mm");
    assert_eq!(bore.status, "aim 12.009; measured 12.019 mm");
    assert_eq!(
        readings[2].status,
        "outside, 0.001 mm too large; +0.010 mm from the aim; 3 readings, spread 0.010 mm"
    );
    assert_eq!(row(&workspace, RowKind::Cell, "wall").text, "7.981 mm");
    let small = open("bore = 12 mm (+0.018/0)\nmeasured bore = 11.99 mm");
    let bore = row(&small, RowKind::Measured, "bore");
    assert_eq!(
        bore.status,
        "outside, 0.010 mm too small; -0.019 mm from the aim"
    );
}

#[test]
fn a_reading_on_a_limit_is_inside() {
    for reading in [
        "12 mm",
        "12.018 mm",
        "11.999999999999999 mm",
        "0.473149606299212598 in",
    ] {
        let workspace = open(&format!(
            "bore = 12 mm (+0.018/0)\nmeasured bore = {reading}"
        ));
        let status = row(&workspace, RowKind::Measured, "bore").status;
        assert!(status.starts_with("inside"), "{reading}: {status}");
    }
}

#[test]
fn a_measured_result_is_held_against_what_it_may_come_out_as() {
    // The first size was measured, so 10.08 less 4 ± 0.05 may come out 6.03 to 6.13; a
    // fit to a measured mate is aimed at that mate.
    let workspace = open(
        "a = 10 mm ±0.1\nb = 4 mm ±0.05\ngap = a - b\nrest = gap - 1 mm\nmeasured a = 10.08 mm\nmeasured gap = 6.2 mm",
    );
    let gap = row(&workspace, RowKind::Measured, "gap");
    assert_eq!(
        gap.status,
        "further out than its sizes allow, 0.070 mm too large; +0.120 mm from the aim"
    );
    crate::shelf::close(gap.low.expect("a limit"), 6.03, "low, in mm");
    crate::shelf::close(gap.high.expect("a limit"), 6.13, "high, in mm");
    let rest = row(&workspace, RowKind::Cell, "rest");
    assert_eq!((rest.text.as_str(), rest.limits.as_str()), ("5.200 mm", ""));
}

#[test]
fn readings_in_used_notebooks_count_here() {
    let others = [(
        "shaft.job",
        "journal = 12 mm (-0.006/-0.017)\nmeasured journal = 11.99 mm",
    )];
    let workspace = open_with(
        "use shaft\nbore = 12 mm ±0.01\nplay = bore - shaft.journal",
        &others,
    );
    let play = row(&workspace, RowKind::Cell, "play");
    assert_eq!(
        (play.text.as_str(), play.limits.as_str()),
        ("0.010 mm", "0.000 to 0.020")
    );
}
