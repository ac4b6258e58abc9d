//! Results that jump, turn or break between the limits say so.

use setover::internals::notebook::Monotonicity;
use setover::internals::sheet::RowKind;

use crate::shelf::{limits_of, open, row};

const DRILL: &str = "standard(size) = round_up(size, 0.1 mm)\n";

#[test]
fn a_step_anywhere_between_the_limits_is_found() {
    // The step of the drill size is moved through the whole tolerance of 0.08 mm.
    for place in 1..80 {
        let size = 8.0 + f64::from(place) * 0.001 - 0.04;
        let text = format!("{DRILL}size = {size:.4} mm ±0.04\ndrill = standard(size)");
        let limits = limits_of(&open(&text), "drill").expect("limits");
        assert_eq!(limits.course, Monotonicity::Steps, "{text}");
    }
}

#[test]
fn many_steps_and_steps_upon_a_slope_are_found() {
    for text in [
        "a = 10 mm ±0.2\ny = round_up(a, 0.1 mm)",
        "a = 10 mm ±0.2\ny = round_down(a, 0.03 mm)",
        "a = 10 mm ±0.2\ny = a + round(a, 0.15 mm)",
        "a = 10 mm ±0.2\nb = 5 mm ±2\ny = b + round_up(a, 0.1 mm) / 4",
        "a = 10 mm ±0.2\ny = if a > 10.03 mm then a else a - 0.1 mm",
        "a = 10 mm ±0.2\nsizes = [5, 6, 7] mm\ny = sizes[whole(a / 4 mm)]",
        "a = 5.03 mm ±0.05\nb = 5.03 mm ±0.05\ny = round(a + b, 0.3 mm)",
    ] {
        let limits = limits_of(&open(text), "y").expect("limits");
        assert_eq!(limits.course, Monotonicity::Steps, "{text}");
    }
}

#[test]
fn a_bend_is_no_step() {
    for text in [
        "a = 10 mm ±0.2\ny = max(a, 10.1 mm)",
        "a = 10 mm ±0.2\ny = if a > 10.05 mm then 2 * a else a + 10.05 mm",
        "a = 10 mm ±0.2\ny = if a > 9.95 mm then a else 9.95 mm",
        "a = 1 mm (+0.2/0)\ny = if a > 1 mm then sqrt((a - 1 mm) * 1 mm) else 0 mm",
        "a = 10 mm ±0.2\ny = round_up(9.3 mm, 0.5 mm) + a",
    ] {
        let limits = limits_of(&open(text), "y").expect("limits");
        assert_eq!(limits.course, Monotonicity::Steady, "{text}");
    }
}

#[test]
fn a_turn_is_found_wherever_it_lies() {
    for at in 1..40 {
        let turn = 9.8 + f64::from(at) * 0.01;
        let text = format!("a = 10 mm ±0.2\ny = (a - {turn:.3} mm)^2 / 1 mm");
        let limits = limits_of(&open(&text), "y").expect("limits");
        assert_eq!(limits.course, Monotonicity::Turns, "{text}");
        assert!(limits.low < 1e-5, "{text} {limits:?}");
    }
    let text = "a = 10 mm ±0.2\nb = 10 mm ±0.2\ny = abs(a - b)";
    let limits = limits_of(&open(text), "y").expect("limits");
    assert_eq!(limits.course, Monotonicity::Turns);
}

#[test]
fn a_gap_is_found() {
    let text = "a = 10 mm ±0.2\ny = sqrt((a - 9.9 mm) * 1 mm)";
    let workspace = open(text);
    let limits = limits_of(&workspace, "y").expect("limits");
    assert_eq!(limits.course, Monotonicity::Breaks);
    assert_eq!(
        row(&workspace, RowKind::Cell, "y").limits,
        "no value at some limits"
    );
}

#[test]
fn rows_say_how_they_behave() {
    let workspace = open(&format!(
        "{DRILL}a = 10 mm ±0.2\nt = abs(a - 10 mm)\nd = standard(a)\nl = a + 1 mm"
    ));
    let limits = |name: &str| row(&workspace, RowKind::Cell, name).limits;
    assert_eq!(limits("a"), "9.800 to 10.200");
    assert_eq!(limits("t"), "0.000 to 0.200");
    assert_eq!(limits("d"), "9.800 to 10.200 in steps");
    assert_eq!(limits("l"), "10.800 to 11.200");
    assert_eq!(row(&workspace, RowKind::Cell, "t").low, Some(0.0));
    assert_eq!(
        row(&workspace, RowKind::Cell, "t").limits_known,
        Some("proven")
    );
    assert!(row(&workspace, RowKind::Cell, "d").steps);
}
