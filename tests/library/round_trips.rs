//! There and back through the language: an inverse gives back what went in.

use proptest::prelude::*;

use crate::evaluated::quantity;

/// Fails unless an expression comes to another, but for the rounding of the
/// arithmetic.
#[track_caller]
fn same(there_and_back: &str, wanted: &str, part: f64) {
    let (found, wanted_value) = (quantity(there_and_back), quantity(wanted));
    assert!(found.dimension.agrees(wanted_value.dimension));
    let off = (found.si - wanted_value.si).abs();
    assert!(
        off <= part * wanted_value.si.abs(),
        "{there_and_back} comes to {found}, not {wanted}"
    );
}

/// Threads of each form, with their majors and pitches in millimetres.
const THREADS: [&str; 7] = [
    "M10",
    "M8x1",
    "1/4-20 UNC",
    "1/2 BSW",
    "2 BA",
    "Tr 16x4",
    "1/2-10 Acme",
];

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn angle_to_taper_and_back(degrees in 0.01..89.0) {
        same(
            &format!("half_angle(rate_from_angle({degrees:?} deg))"),
            &format!("{degrees:?} deg"),
            1e-12,
        );
    }

    #[test]
    fn taper_to_angle_and_back(big in 10.0..200.0, share in 0.01..0.99, length in 1.0..500.0) {
        let small = big * share;
        same(
            &format!("rate_from_angle(top_slide_angle({big:?} mm, {small:?} mm, {length:?} mm))"),
            &format!("taper_rate({big:?} mm, {small:?} mm, {length:?} mm)"),
            1e-9,
        );
    }

    #[test]
    fn drill_to_engagement_and_back(place in 0..THREADS.len(), share in 0.05..1.0) {
        let thread = THREADS[place];
        let hole = format!("tapping_drill(\"{thread}\", {share:?}).exact");
        same(&format!("engagement(\"{thread}\", {hole})"), &format!("{share:?}"), 1e-9);
    }

    #[test]
    fn wires_to_pitch_diameter_and_back(place in 0..THREADS.len(), within in 0.01..0.99) {
        let thread = THREADS[place];
        let wire = format!(
            "(wire_range(\"{thread}\").least + {within:?} * \
             (wire_range(\"{thread}\").most - wire_range(\"{thread}\").least))"
        );
        same(
            &format!("pitch_diameter_from_wires(\"{thread}\", {wire}, over_wires(\"{thread}\", {wire}))"),
            &format!("thread(\"{thread}\").pitch_diameter"),
            1e-12,
        );
    }

    #[test]
    fn over_pins_to_thickness_and_back(module in 0.3..10.0, teeth in 12..200_u32, shift in 0.0..0.5) {
        let gear = format!("{module:?} mm, {teeth}");
        let pin = format!("best_pin({gear}, 20 deg, {shift:?})");
        let over = format!("over_pins({gear}, {pin}, 20 deg, {shift:?})");
        // ISO 21771: s = m (pi / 2 + 2 x tan a).
        same(
            &format!("thickness_from_pins({gear}, {pin}, {over})"),
            &format!("{module:?} mm * (pi / 2 + 2 * {shift:?} * tan(20 deg))"),
            1e-8,
        );
    }

    #[test]
    fn span_to_thickness_and_back(module in 0.3..10.0, teeth in 12..200_u32) {
        let gear = format!("{module:?} mm, {teeth}, span_teeth({teeth})");
        same(
            &format!("thickness_from_span({gear}, span({gear}))"),
            &format!("{module:?} mm * pi / 2"),
            1e-8,
        );
    }

    #[test]
    fn involute_to_angle_and_back(degrees in 1.0..60.0) {
        same(
            &format!("angle_from_involute(involute({degrees:?} deg))"),
            &format!("{degrees:?} deg"),
            1e-9,
        );
    }

    #[test]
    fn sine_bar_to_angle_and_back(degrees in 0.1..60.0, length in 50.0..300.0) {
        let bar = format!("{length:?} mm");
        same(
            &format!("angle_from_sine_bar(sine_bar({degrees:?} deg, {bar}), {bar})"),
            &format!("{degrees:?} deg"),
            1e-9,
        );
    }

    #[test]
    fn flat_to_depth_and_back(diameter in 1.0..300.0, share in 0.05..0.99) {
        let width = diameter * share;
        same(
            &format!("flat_width({diameter:?} mm, flat_depth({diameter:?} mm, {width:?} mm))"),
            &format!("{width:?} mm"),
            1e-9,
        );
    }

    #[test]
    fn speed_to_spindle_and_back(speed in 1.0..500.0, diameter in 0.5..400.0) {
        let diameter = format!("{diameter:?} mm");
        same(
            &format!("surface_speed(spindle_speed({speed:?} m/min, {diameter}), {diameter})"),
            &format!("{speed:?} m/min"),
            1e-12,
        );
    }

    #[test]
    fn holes_turned_and_moved_there_and_back(degrees in -360.0..360.0, x in 1.0..100.0, count in 2..12_u32) {
        let holes = format!("hole_row({count}, 10 mm, 0 deg, 20 mm, 30 mm)");
        let away = format!("turned(moved({holes}, {x:?} mm, -7 mm), {degrees:?} deg)");
        let back = format!("moved(turned({away}, -({degrees:?} deg)), -({x:?} mm), 7 mm)");
        for column in ["x", "y"] {
            same(
                &format!("{back}[{count}].{column}"),
                &format!("{holes}[{count}].{column}"),
                1e-9,
            );
        }
    }
}
