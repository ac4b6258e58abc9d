//! Limits with a proof, against brute force: random structured formulas, and formulas
//! for which a search once said too little.

use setover::internals::language::Value;
use setover::internals::notebook::{Known, ToleranceAnalysis, Verdict, Workspace};

use crate::shelf::open;
use crate::structured::Formula;

fn opened(text: &str) -> Workspace {
    open(text)
}

/// How many formulas are drawn; `SETOVER_TRIALS` times as many.
fn count() -> u64 {
    let times = std::env::var("SETOVER_TRIALS");
    2_000 * times.ok().and_then(|times| times.parse().ok()).unwrap_or(1)
}

#[test]
fn no_value_lies_outside_and_no_check_holds_that_a_part_breaks() {
    let (mut enclosed, mut unknown, mut wrong) = (0_u64, 0, Vec::new());
    let mut verdicts = [0_u32; 3];
    for seed in 0..count() {
        let formula = Formula::of(seed);
        let [(low, _), (high, _)] = formula.brute_force(100);
        // Two checks: one 2 % inside the extreme that brute force finds, one 2 % out.
        let width = high - low;
        let inside = low + 0.02 * width;
        let outside = high + 0.02 * width + 0.001;
        let text = format!(
            "{}check y >= {inside:.9} mm\ncheck y <= {outside:.9} mm\n",
            formula.notebook()
        );
        let workspace = opened(&text);
        let travel = ToleranceAnalysis::of(&workspace);
        let y = workspace.find("y").expect("y");
        let limits = &travel.limits[&y];
        let mut say = |what: String| wrong.push(format!("seed {seed}: {what}\n{text}"));
        match limits.known {
            Known::Proven => {
                // Reached to one part in 10^6: brute force comes near.
                let slack = 1e-9 + 2e-6 * (limits.high - limits.low) * 1e3;
                if low < limits.low * 1e3 - slack || high > limits.high * 1e3 + slack {
                    say(format!("{} to {} is outside {limits:?}", low, high));
                }
            }
            Known::Enclosed => {
                enclosed += 1;
                if low < limits.low * 1e3 - 1e-9 || high > limits.high * 1e3 + 1e-9 {
                    say(format!("{} to {} is outside {limits:?}", low, high));
                }
            }
            Known::Searched | Known::Unknown => {
                unknown += 1;
                println!("seed {seed} not known: {limits:?}\n{text}");
            }
        }
        let first = travel.checks.keys().min().copied().expect("a check");
        for (slot, check) in &travel.checks {
            match check.verdict() {
                Verdict::Holds => verdicts[0] += 1,
                Verdict::MayFail | Verdict::Fails => verdicts[1] += 1,
                Verdict::NotKnown => verdicts[2] += 1,
            }
            if *slot == first && check.verdict() == Verdict::Holds && width > 1e-6 {
                say("holds, though a part breaks it".to_owned());
            }
            if check.verdict() == Verdict::MayFail && check.counterexample.is_none() {
                say("may fail, without a part that does".to_owned());
            }
        }
    }
    println!(
        "{enclosed} enclosed, {unknown} not known; checks hold, fail, not known: {verdicts:?}"
    );
    assert!(
        wrong.is_empty(),
        "{} wrong\n{}",
        wrong.len(),
        wrong.join("\n")
    );
    assert_eq!(unknown, 0);
    assert!(enclosed * 20 <= count(), "{enclosed} enclosed");
}

#[test]
fn limits_that_a_search_once_took_for_less() {
    // Source: arithmetic. With every size at the end that the sum asks for, and the fold
    // at its far side: 0.3 + 10 + 5 * 5.1 and more.
    let text = "a = 10 mm (+0.08/-0.3)\nb = 10 mm (+0.4/-0.45)\nc = 5 mm ±0.1\nd = 5 mm ±0.1
e = 5 mm ±0.1\nf = 5 mm ±0.1\ng = 5 mm ±0.1
y = abs(a - b - 0.25 mm) - b + c + d + e + f + g\n";
    let workspace = opened(text);
    let travel = ToleranceAnalysis::of(&workspace);
    let limits = &travel.limits[&workspace.find("y").expect("y")];
    assert_eq!(limits.known, Known::Proven);
    // a - b - 0.25 is least at 9.7 - 9.55 - 0.25 = -0.1 where b is least, and greatest at
    // 10.08 - 9.55 - 0.25 = 0.28: 0.28 - 9.55 + 25.5 = 16.23.
    assert!((limits.high * 1e3 - 16.23).abs() < 1e-5, "{limits:?}");
    assert!(limits.range().is_some());

    let text = "x1 = 10 mm (+0.3/-0.3)\ny1 = 5 mm (+0.3/-0.3)\nx2 = 10.1 mm (+0.3/-0.3)
y2 = 5.1 mm (+0.3/-0.3)\ncheck sqrt((x1-x2)^2 + (y1-y2)^2) >= 0.05 mm\n";
    let workspace = opened(text);
    let travel = ToleranceAnalysis::of(&workspace);
    let check = travel.checks.values().next().expect("a check");
    assert_eq!(check.verdict(), Verdict::MayFail);
    assert_eq!(check.counterexample.as_ref().map(Vec::len), Some(4));
}

#[test]
fn a_fit_that_just_touches_holds() {
    // ISO 286: H7 has no lower deviation, h6 no upper one: the play is at least 0.
    let workspace = opened("bore = 12 mm H7\npin = 12 mm h6\ncheck bore - pin >= 0 mm\n");
    let travel = ToleranceAnalysis::of(&workspace);
    let check = travel.checks.values().next().expect("a check");
    assert_eq!(check.verdict(), Verdict::Holds);
    assert!(matches!(
        workspace.value(workspace.find("bore").expect("bore")),
        Some(Value::Size(_))
    ));
}

/// Arguments that are left out are none, and what moves never is: a function that asks which
/// of its arguments it was given is seen through.
#[test]
fn a_function_that_asks_what_it_was_given_is_seen_through() {
    // Source: Pythagoras; 30 ±0.1 and 40 ±0.2, and 50 ±0.1 with a leg of 30 ±0.1.
    let cases = [
        (
            "right_triangle(a: a, b: b).hypotenuse",
            [29.9_f64.hypot(39.8), 30.1_f64.hypot(40.2)],
        ),
        (
            "right_triangle(a: a, hypotenuse: c).b",
            [
                (49.9_f64.powi(2) - 30.1_f64.powi(2)).sqrt(),
                (50.1_f64.powi(2) - 29.9_f64.powi(2)).sqrt(),
            ],
        ),
        ("given(q: b)", [39.8, 40.2]),
        ("given(a, b)", [69.7, 70.3]),
    ];
    for (formula, [low, high]) in cases {
        let text = format!(
            "a = 30 mm ±0.1\nb = 40 mm ±0.2\nc = 50 mm ±0.1\n\
             given(p: none, q: none) = if p = none or q = none and p > 1 mm then q else p + q\n\
             y = {formula}"
        );
        let limits = crate::shelf::limits_of(&opened(&text), "y").expect("limits");
        assert_eq!(limits.known, Known::Proven, "{formula}");
        crate::shelf::close(limits.low, low / 1e3, formula);
        crate::shelf::close(limits.high, high / 1e3, formula);
    }
}
