//! Cutting speeds against the ranges of handbooks and the rules of workshop books.

use setover::internals::trade::cutting_speeds::{nearest_speed, speed_for};
use uom::si::f64::{Frequency, Velocity};
use uom::si::frequency::cycle_per_minute;
use uom::si::velocity::{foot_per_minute, meter_per_second};

use crate::compared::number;
use crate::evaluated::quantity;
use crate::rows::rows;

#[test]
fn every_range() {
    // Source: ranges of the kind given in Machinery's Handbook and workshop textbooks, from
    // memory. The library's table comes from the same memory: no independent proof, but a
    // guard against slips of the pen.
    let rows = rows(include_str!("../reference/cutting_speeds.csv"));
    for row in &rows {
        let range = speed_for(&row["material"], &row["tool"], &row["operation"]);
        let range = range.unwrap_or_else(|fault| panic!("{row:?}: {fault}"));
        let low = number(&row["speed_low_m_min"]);
        let high = number(&row["speed_high_m_min"]);
        for (got, wanted) in [
            (range.low, low),
            (range.high, high),
            (range.middle, f64::midpoint(low, high)),
        ] {
            let got = got.get::<meter_per_second>() * 60.0;
            assert!((got - wanted).abs() < 1e-9 * wanted, "{row:?}: {got}");
        }
        let no_source = row["source"].starts_with("common practice");
        assert_eq!(
            range.basis.starts_with("common practice"),
            no_source,
            "{row:?}"
        );
    }
    println!("{} ranges of cutting speed", rows.len());
    assert_eq!(rows.len(), 144);
}

#[test]
fn rules_of_thumb_fall_into_the_ranges() {
    // Source: common practice, no source: feet per minute for HSS turning: mild steel 100,
    // silver steel 60, cast iron 70, brass 200 to 300, aluminium 300 (from memory).
    for (material, feet) in [
        ("mild steel", 100.0),
        ("silver steel", 60.0),
        ("cast iron", 70.0),
        ("brass", 200.0),
        ("brass", 300.0),
        ("aluminium", 300.0),
    ] {
        let range = speed_for(material, "HSS", "turn").expect("a range");
        let rule = Velocity::new::<foot_per_minute>(feet);
        assert!(
            range.low <= rule && rule <= range.high,
            "{material} {feet} ft/min"
        );
    }
    // Source: Machinery's Handbook: carbon steel tools at half the speed of HSS (from memory).
    let steel = |tool| {
        speed_for("mild steel", tool, "turn")
            .expect("a range")
            .middle
    };
    assert!(
        (steel("carbon steel") / steel("HSS") - uom::si::f64::Ratio::from(0.5))
            .value
            .abs()
            < 1e-12
    );
}

#[test]
fn the_machine_speed_below_a_worked_spindle_speed() {
    // Source: ISO 3:1973, R10 series, for the machine's speeds (from memory); the speeds
    // wanted, 318.31 and 382 rpm, are 1000 x 20 / (20 pi) and Machinery's Handbook's 3.82 x
    // 100 / 1 (from memory).
    let machine =
        [125.0, 160.0, 200.0, 250.0, 315.0, 400.0, 500.0].map(Frequency::new::<cycle_per_minute>);
    for (wanted, below) in [(318.31, 315.0), (382.0, 315.0), (400.0, 400.0)] {
        let found = nearest_speed(Frequency::new::<cycle_per_minute>(wanted), &machine);
        let found = found.expect("a speed");
        assert!((found.speed.get::<cycle_per_minute>() - below).abs() < 1e-9);
        assert!(!found.slower_than_slowest);
    }
}

#[test]
fn a_textbook_cut_is_one_pass() {
    // Source: Kalpakjian and Schmid, Manufacturing Engineering and Technology, turning, first
    // example (from memory): 0.500 in bar to
    // 0.480 in is a depth of cut of 0.010 in.
    let mm = |expression: &str| quantity(expression).si * 1000.0;
    let passes = "roughing_passes(0.5 in, 0.48 in, 0.05 in, 0 in)";
    assert!((quantity(&format!("count({passes})")).si - 1.0).abs() < 1e-9);
    assert!((mm(&format!("{passes}[1].cut")) - 0.254).abs() < 1e-9);
    assert!((mm(&format!("{passes}[1].dial_on_diameter")) - 0.508).abs() < 1e-9);
    // Worked by hand: (from - to) / 2 is the sum of the cuts; of the last two roughing cuts
    // one under a quarter of full depth is shared.
    for (arguments, diameters) in [
        (
            "40 mm, 32 mm, 1.5 mm, 0.25 mm",
            &[37.0, 34.0, 32.5, 32.0][..],
        ),
        ("25 mm, 20 mm, 1 mm, 0.25 mm", &[23.0, 21.0, 20.5, 20.0]),
        ("25 mm, 20 mm, 1 mm, 0.3 mm", &[23.0, 21.8, 20.6, 20.0]),
        ("25 mm, 20 mm, 1 mm, 0 mm", &[23.0, 21.0, 20.0]),
        ("20 mm, 24.5 mm, 1 mm, 0.25 mm", &[22.0, 24.0, 24.5]),
        ("20 mm, 19.8 mm, 1 mm, 0.25 mm", &[19.8]),
        ("20 mm, 19.5 mm, 1 mm, 0.25 mm", &[19.5]),
        ("20 mm, 18.9 mm, 1 mm, 0.25 mm", &[19.4, 18.9]),
        ("25 mm, 20 mm, 5 mm, 0 mm", &[20.0]),
    ] {
        let passes = format!("roughing_passes({arguments})");
        let count = quantity(&format!("count({passes})")).si;
        assert!(
            (count - diameters.len() as f64).abs() < 1e-9,
            "{arguments}: {count}"
        );
        let mut before = mm(arguments.split(',').next().expect("from"));
        let from = before;
        for (pass, diameter) in (1..).zip(diameters) {
            let of = |column: &str| mm(&format!("{passes}[{pass}].{column}"));
            assert!(
                (of("diameter") - diameter).abs() < 1e-9,
                "{arguments}, pass {pass}"
            );
            assert!((of("cut") - (before - diameter).abs() / 2.0).abs() < 1e-9);
            assert!((of("dial_on_diameter") - (from - diameter).abs()).abs() < 1e-9);
            assert!((of("dial_on_radius") - (from - diameter).abs() / 2.0).abs() < 1e-9);
            before = *diameter;
        }
    }
}
