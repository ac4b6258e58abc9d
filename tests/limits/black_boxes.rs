//! Functions without a program are looked at from outside: their limits are the worst
//! that is seen at corners and scattered places, and are called so.

use setover::internals::notebook::{Known, Limits, Monotonicity, ToleranceAnalysis, Verdict};

use crate::shelf::{close, limits_of, open};

fn limits(text: &str) -> Limits {
    let limits = limits_of(&open(text), "y").expect("limits");
    assert_eq!(limits.known, Known::Searched, "{text}");
    limits
}

#[test]
fn a_smooth_one_has_its_corners() {
    // Source: Pythagoras; 30 ±0.1 and 40 ±0.2.
    let found =
        limits("a = 30 mm ±0.1\nb = 40 mm ±0.2\ny = triangle(a: a, b: b, angle_c: 90 deg).c");
    assert_eq!(found.course, Monotonicity::Steady);
    close(found.low, 29.9_f64.hypot(39.8) / 1e3, "low");
    close(found.high, 30.1_f64.hypot(40.2) / 1e3, "high");
    // The steeper of the two, 40/50 of ±0.2, comes before 30/50 of ±0.1.
    let swings: Vec<f64> = found
        .shares
        .iter()
        .map(|share| share.half_swing())
        .collect();
    assert!((swings[0] - 0.16e-3).abs() < 1e-6 && (swings[1] - 0.06e-3).abs() < 1e-6);
}

#[test]
fn of_many_sizes_the_idle_ones_count() {
    // The least of nine: with all at their upper limits it is the one that reaches least
    // high, though it is idle where they are aimed.
    let mut text = String::from("s0 = 10 mm ±0.9\n");
    for size in 1..9 {
        text += &format!("s{size} = {} mm ±0.{size}\n", 10.5 + f64::from(size) / 10.0);
    }
    text += "y = first(sort([s0, s1, s2, s3, s4, s5, s6, s7, s8]))";
    let found = limits(&text);
    close(found.low, 9.1e-3, "the least of all lower limits");
    close(
        found.high,
        10.7e-3,
        "the least of all upper limits: s1 = 10.6 + 0.1",
    );
}

#[test]
fn one_that_turns_is_seen_inside() {
    // 3 mm and more beside 4 mm: 5 mm where x is 10 mm, the root of 32 mm² at its limits.
    let found =
        limits("x = 10 mm ±1\ny = triangle(a: abs(x - 10 mm) + 3 mm, b: 4 mm, angle_c: 90 deg).c");
    assert_eq!(found.course, Monotonicity::Turns);
    close(found.low, 5e-3, "low");
    close(found.high, 32_f64.sqrt() / 1e3, "high");
}

#[test]
fn one_that_goes_in_steps_or_has_no_value_says_so() {
    // Source: Pythagoras; 3 or 4 mm beside 4 mm.
    let text = "x = 3.5 mm ±0.2\ny = triangle(a: round(x, 1 mm), b: 4 mm, angle_c: 90 deg).c";
    let found = limits(text);
    assert_eq!(found.course, Monotonicity::Steps);
    close(found.low, 5e-3, "low");
    close(found.high, 32_f64.sqrt() / 1e3, "high");
    let found = limits("x = 5 mm ±0.5\ny = triangle(a: x, b: 5.2 mm, angle_b: 90 deg).c");
    assert_eq!(found.course, Monotonicity::Breaks);
    assert_eq!(found.range(), None);
}

#[test]
fn a_check_of_one_never_holds_without_a_proof() {
    let verdict = |least: &str| {
        let text = format!(
            "a = 30 mm ±0.1\nb = 40 mm ±0.2\ncheck triangle(a: a, b: b, angle_c: 90 deg).c > {least}"
        );
        let workspace = open(&text);
        let all = ToleranceAnalysis::of(&workspace);
        let check = all.checks.values().next().expect("a check").clone();
        (check.verdict(), check.counterexample)
    };
    assert_eq!(verdict("49.7 mm"), (Verdict::NotKnown, None));
    let (found, part) = verdict("49.9 mm");
    assert_eq!(found, Verdict::MayFail);
    assert!(
        part.is_some_and(|part| !part.is_empty()),
        "a part that fails"
    );
    assert_eq!(verdict("51 mm").0, Verdict::Fails);
}

#[test]
fn nothing_is_said_once_the_steps_have_run_out() {
    // The least of 64 sizes, again and again: some of it takes more steps than are left.
    let sizes: Vec<String> = (0..64).map(|size| format!("s{size}")).collect();
    let mut text: String = sizes
        .iter()
        .map(|size| format!("{size} = 10 mm ±0.1\n"))
        .collect();
    for cell in 0..24 {
        text += &format!(
            "y{cell} = first(sort([{}])) + {cell} mm\n",
            sizes.join(", ")
        );
    }
    let all = ToleranceAnalysis::of(&open(&text)).limits;
    let untold = |limits: &&Limits| limits.course == Monotonicity::Untold;
    assert!(all.values().any(|limits| untold(&limits)), "they run out");
    for limits in all.values() {
        let unknown = limits.known == Known::Unknown;
        assert_eq!(unknown, untold(&limits), "{limits:?}");
        assert!(!unknown || limits.range().is_none(), "{limits:?}");
    }
}
