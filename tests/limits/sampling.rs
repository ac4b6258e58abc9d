//! Sampling: a column at a time and sample by sample give the same numbers, and the
//! figures are those that probability theory expects.

use proptest::prelude::*;
use setover::internals::notebook::{
    Request, Sampled, Spread, ToleranceAnalysis, Workspace, sample, sampled_values,
};
use setover::internals::sheet::Sheet;

use crate::shelf::{open, open_with};

fn all(workspace: &Workspace, request: &Request) -> Sampled {
    sample(workspace, &ToleranceAnalysis::of(workspace), request).expect("not too many")
}

/// The figures of a name.
#[track_caller]
fn tally<'a>(
    workspace: &Workspace,
    sampled: &'a Sampled,
    name: &str,
) -> &'a setover::internals::notebook::Statistics {
    let slot = workspace.find(name).expect("the name");
    let row = sampled.rows.iter().find(|row| row.slot == slot);
    &row.unwrap_or_else(|| panic!("{name} is not sampled")).tally
}

/// Checks that both evaluators give the same numbers to the last bit.
#[track_caller]
fn both_agree(text: &str, names: &[&str], count: u64) {
    both_agree_in(&open(text), text, names, count);
}

#[track_caller]
fn both_agree_in(workspace: &Workspace, text: &str, names: &[&str], count: u64) {
    let travel = ToleranceAnalysis::of(workspace);
    for name in names {
        let slot = workspace.find(name).expect("the name");
        let fast = Request::new(count, 7);
        let slow = Request {
            columns: false,
            ..fast
        };
        let fast = sampled_values(workspace, &travel, &fast, slot);
        let slow = sampled_values(workspace, &travel, &slow, slot);
        let bits = |values: &[Option<f64>]| -> Vec<Option<u64>> {
            values.iter().map(|value| value.map(f64::to_bits)).collect()
        };
        assert_eq!(fast.len(), usize::try_from(count).expect("few"), "{text}");
        for (sample, (fast, slow)) in bits(&fast).iter().zip(bits(&slow)).enumerate() {
            assert_eq!(*fast, slow, "{name}, sample {sample} of\n{text}");
        }
    }
}

#[test]
fn every_reference_notebook_gives_the_same_in_columns() {
    let mut count = 0;
    for text in crate::reference::notebooks() {
        both_agree(&text, &["y"], 40);
        count += 1;
    }
    println!("{count} notebooks");
    assert!(count >= 500);
}

#[test]
fn everything_that_columns_can_do_is_the_same() {
    let text = "a = 12 mm ±0.3\nb = 7 mm (+0.2/-0.1)\np = 30 deg ±2\nn = 2.5 ±0.4\n\
         half(x, by: 2) = x / by where y = x * 2, z = y - x\n\
         pick(x) = if x > 12.1 mm then x - 12 mm else if x < 11.9 mm then 12 mm - x else 0 mm\n\
         f1 = a + b - 3 mm * n / 2\nf2 = a^3 / b^2 + n^1.5 * 1 mm\nf3 = sqrt(a * b) + cbrt(a * b * 1 mm)\n\
         f4 = sin(p) + cos(p) * tan(p) - asin(0.3 * n / 3) / 1 rad + acos(n / 4) / 1 rad\n\
         f5 = atan2(a, b) + atan(n) + p / 2\nf6 = exp(n) + ln(n) + log10(n) + abs(-n)\n\
         f7 = min(a, b, 7.1 mm) + max(a, b) + sum(a, b, a) + mean(a, b)\n\
         f8 = round(a, 0.1 mm) + round_up(b, 0.05 mm) - round_down(a, 0.03 mm) + remainder(a, 0.7 mm) + whole(n) * 1 mm\n\
         f9 = half(a) + half(x: b, by: 4) + half(a, n)\nf10 = pick(a)\n\
         f11 = if a > 12 mm and b < 7 mm or not (n >= 2.4) then a else b\n\
         f12 = (a as inch) + 1 mm\nf13 = p as dms\nf14 = right_side where right_side = sqrt(a^2 + b^2)\n\
         f15 = top_slide_angle(a + 10 mm, b, 50 mm)\nf16 = spindle_speed(20 m/min, a)\n\
         f17 = if 11.8 mm <= a < 12.2 mm then 1 else 2\nf18 = -a * 2\n";
    let sampled = all(&open(text), &Request::new(10, 1));
    assert_eq!(
        sampled.share.1, 0,
        "nothing is left to the ordinary evaluator"
    );
    both_agree(
        text,
        &[
            "f1", "f2", "f4", "f5", "f6", "f7", "f8", "f9", "f10", "f11", "f12", "f13", "f14",
            "f15", "f16", "f17", "f18",
        ],
        2500,
    );
}

#[test]
fn what_columns_can_not_do_is_the_same() {
    both_agree(
        "a = 12 mm ±0.3\nb = 7 mm (+0.2/-0.1)\nfact(n) = if n < 1 then 1 else n * fact(n - 1)\n\
         table t\n| x | y = 2 * x |\n| a | |\n| b | |\n\
         find s between 0 mm and 90 mm so that s * 3 = a + b\n\
         r = thread(\"M8\")\nsizes = [a, b, 3 mm]\n\
         g1 = t.y[2] + s\ng2 = g1 * 2 + a\ng3 = sizes[2] + r.pitch\ng4 = fact(whole(a / 3 mm))",
        &["g1", "g2", "g3", "g4"],
        300,
    );
}

#[test]
fn where_there_is_no_value_there_is_none_in_both() {
    // Each of these has a value at the drawing size and none somewhere else.
    both_agree(
        "a = 12 mm ±0.3\ng5 = sqrt((a - 11.95 mm) * 1 mm)\ng6 = g5 + 1 mm\n\
         g7 = if a > 11.95 mm then g5 else 0 mm\ng8 = 1 / (whole(a / 1 mm - 11.3))\n\
         pick(x) = x\nlong(x) = pick(x) + 1 mm\ng9 = spindle_speed(20 m/min, a - 11.9 mm)\n\
         g10 = if g5 > 0.2 mm and a < 12.2 mm then 1 else 2",
        &["g5", "g6", "g7", "g8", "g9", "g10"],
        2000,
    );
}

/// A cell without a value at the drawing sizes may have one everywhere else.
#[test]
fn what_fails_at_the_drawing_size_is_sampled_all_the_same() {
    let text = "a = 9 mm ±0.4\nc = 3 mm ±0.1\nx = round_up(c, 0.1 mm) - c\n\
                y0 = a + (if x > 9 mm and not (a = 2 mm) then a else 1 mm / (x / a))\n\
                y = y0 + 1 mm * (y0 / 5 mm)\n";
    let path = std::path::Path::new("main.job");
    let workspace = Workspace::of_text(path, text, &crate::shelf::Texts::default());
    both_agree_in(&workspace, text, &["x", "y0", "y"], 130);
}

fn formula(depth: u32) -> BoxedStrategy<String> {
    let leaf = prop_oneof![
        Just("a".to_owned()),
        Just("b".to_owned()),
        Just("c".to_owned()),
        Just("2 mm".to_owned()),
    ];
    if depth == 0 {
        return leaf.boxed();
    }
    let two = (formula(depth - 1), formula(depth - 1), 0_u32..12);
    prop_oneof![
        1 => leaf,
        5 => two.prop_map(|(x, y, kind)| match kind {
            0 => format!("({x}) + ({y})"),
            1 => format!("({x}) - ({y})"),
            2 => format!("({x}) * ({y}) / 10 mm"),
            3 => format!("({x}) / ({y}) * 1 mm"),
            4 => format!("sqrt(({x}) * ({y}))"),
            5 => format!("max({x}, {y})"),
            6 => format!("(if ({x}) < ({y}) then ({x}) else ({y}) / 2)"),
            7 => format!("(if ({x}) > 9 mm and not (({y}) = 2 mm) then ({y}) else 1 mm / (({x}) / ({y})))"),
            8 => format!("round_up({x}, 0.1 mm) - ({y})"),
            9 => format!("(({x})^2 + ({y})^2) / 20 mm"),
            10 => format!("({x}) * cos(atan(({y}) / 30 mm))"),
            _ => format!("twice({x}, {y})"),
        }),
    ]
    .boxed()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn generated_formulas_give_the_same_in_columns(formulas in prop::collection::vec(formula(3), 1..4)) {
        let mut text = String::from(
            "a = 9 mm ±0.4\nb = 8.8 mm (+0.3/-0.2)\nc = 3 mm ±0.1\n\
             twice(x, y: 1 mm) = if x > y then 2 * z else z / 2 where z = x + y / 3\n",
        );
        for (index, formula) in formulas.iter().enumerate() {
            text += &format!("y{index} = {formula}\n");
        }
        text += "y = y0 + 1 mm * (y0 / 5 mm)\n";
        // Some of these have no value somewhere, even at the drawing size.
        let workspace = Workspace::of_text(std::path::Path::new("main.job"), &text, &crate::shelf::Texts::default());
        let travel = ToleranceAnalysis::of(&workspace);
        let slot = workspace.find("y").expect("y");
        let request = Request::new(130, 3);
        let fast = sampled_values(&workspace, &travel, &request, slot);
        let slow = sampled_values(&workspace, &travel, &Request { columns: false, ..request }, slot);
        prop_assert_eq!(fast.len(), slow.len());
        for (fast, slow) in fast.iter().zip(&slow) {
            prop_assert_eq!(fast.map(f64::to_bits), slow.map(f64::to_bits), "{}", text);
        }
    }
}

const STACK: &str = "s1 = 10 mm ±0.06\ns2 = 20 mm ±0.06\ns3 = 30 mm (0/-0.12)\nt = s1 + s2 + s3\n\
                     u = s1 * s2\ncheck t <= 60.08 mm\ncheck s1 > 9 mm";

#[test]
fn the_same_seed_gives_the_same_whatever_the_threads() {
    let workspace = open(STACK);
    let request = Request::new(20_000, 5);
    let one = all(
        &workspace,
        &Request {
            threads: 1,
            ..request
        },
    );
    for threads in [2, 3, 7] {
        let many = all(&workspace, &Request { threads, ..request });
        assert_eq!(one.rows, many.rows, "{threads} threads");
        assert_eq!(one.checks, many.checks, "{threads} threads");
    }
    let slow = all(
        &workspace,
        &Request {
            columns: false,
            ..request
        },
    );
    assert_eq!(one.rows, slow.rows);
    let other = all(&workspace, &Request { seed: 6, ..request });
    assert_ne!(one.rows, other.rows);
}

#[test]
fn figures_are_those_of_probability_theory() {
    // Source: independent variables' means and variances add; a normal distribution cut
    // at three standard deviations has 0.986578 of the deviation (arithmetic); the sum of
    // three such is normal enough that 0.135 % lies 3 deviations out, to a few percent.
    let workspace = open(STACK);
    let sampled = all(&workspace, &Request::new(400_000, 1));
    let t = tally(&workspace, &sampled, "t");
    let deviation = 0.986_578 * 0.000_02 * 3.0_f64.sqrt();
    assert_eq!((t.count, t.missing), (400_000, 0));
    assert!(
        (t.mean() - 0.059_94).abs() < 5.0 * deviation / 632.0,
        "{}",
        t.mean()
    );
    assert!(
        (t.deviation() / deviation - 1.0).abs() < 0.005,
        "{}",
        t.deviation()
    );
    let (low, high) = t.points().expect("points");
    assert!(((t.mean() - low) / deviation - 2.95).abs() < 0.06, "{low}");
    assert!(
        ((high - t.mean()) / deviation - 2.95).abs() < 0.06,
        "{high}"
    );
    // No check fails where no part can: 9.94 mm is the least.
    assert_eq!(sampled.checks[1].fails, 0);
    // t <= 60.08 mm lies 4.1 deviations out: 21 in a million of a normal distribution.
    assert!(sampled.checks[0].outside_ppm() < 100.0);
}

#[test]
fn an_even_spread_fills_the_limits_evenly() {
    let workspace =
        open("a = 10 mm ±0.1\nb = 10 mm ±0.1\ny = a - b\ncheck a <= 10.05 mm\ncheck y <= 0.1 mm");
    let request = Request {
        spread: Spread::Even,
        ..Request::new(200_000, 9)
    };
    let sampled = all(&workspace, &request);
    // Source: areas: a quarter of a square of sizes, an eighth of the triangle's square.
    assert!((sampled.checks[0].outside_ppm() - 250_000.0).abs() < 4_000.0);
    assert!((sampled.checks[1].outside_ppm() - 125_000.0).abs() < 3_500.0);
    let a = tally(&workspace, &sampled, "a");
    assert!((a.deviation() * 1e3 - 0.2 / 12.0_f64.sqrt()).abs() < 2e-4);
    let bars = a.bars.iter().filter(|bar| **bar > 0).count();
    assert!(bars >= 20, "{:?}", a.bars);
}

#[test]
fn root_sum_square_is_what_sampling_finds() {
    // Every linear notebook of the reference: half the root-sum-square range is three
    // standard deviations of the result, less the cut of the tails.
    let mut count = 0;
    for text in crate::reference::notebooks_of("stack") {
        let workspace = open(&text);
        let travel = ToleranceAnalysis::of(&workspace);
        let slot = workspace.find("y").expect("y");
        let (middle, half) = travel.limits[&slot].root_sum_square();
        let sampled = sample(&workspace, &travel, &Request::new(8_192, 2)).expect("not too many");
        let y = tally(&workspace, &sampled, "y");
        let deviation = 0.986_578 * half / 3.0;
        assert!((y.mean() - middle).abs() < 5.0 * deviation / 90.0, "{text}");
        assert!((y.deviation() / deviation - 1.0).abs() < 0.05, "{text}");
        count += 1;
    }
    assert!(count > 20, "{count}");
}

#[test]
fn readings_and_used_notebooks_are_sampled_too() {
    let others = [(
        "shaft.job",
        "journal = 12 mm ±0.02\npin = 4 mm ±0.02\nmeasured pin = 4.01 mm",
    )];
    let workspace = open_with(
        "use shaft\nbore = 12 mm (+0.018/0)\nplay = bore - shaft.journal\nrest = shaft.pin - 1 mm\nbig = shaft.journal H7\nsame = big - bore",
        &others,
    );
    let sampled = all(&workspace, &Request::new(5_000, 4));
    let play = tally(&workspace, &sampled, "play");
    assert!((play.mean() - 9e-6).abs() < 1e-6, "{}", play.mean());
    let rest = workspace.find("rest").expect("rest");
    assert!(sampled.rows.iter().all(|row| row.slot != rest));
    let big = tally(&workspace, &sampled, "big");
    assert!((big.mean() - 12.009e-3).abs() < 1e-6, "{}", big.mean());
}

/// A size at 1 mm is as often above its middle as below: there `mixed` is a length, else a
/// time. No source: it follows from the text.
#[test]
fn what_measures_now_this_now_that_has_no_limits_and_hides_nothing() {
    let text = "a = 1 mm ±0.1\nmixed = if a >= 1 mm then 1 mm else 1 s\nplain = a * 2\n\
        check plain > 1 mm\ncheck mixed < 3 mm";
    let workspace = open(text);
    let travel = ToleranceAnalysis::of(&workspace);
    let slot = workspace.find("mixed").expect("mixed");
    assert_eq!(travel.limits[&slot].range(), None);
    let sampled = all(&workspace, &Request::new(4_096, 1));
    let plain = tally(&workspace, &sampled, "plain");
    assert_eq!((plain.count, plain.missing), (4_096, 0));
    let mixed = tally(&workspace, &sampled, "mixed");
    assert_eq!(mixed.count + mixed.missing, 4_096);
    // Five standard deviations of a coin thrown so often are 160.
    assert!(mixed.missing.abs_diff(2_048) < 160, "{}", mixed.missing);
    let [holds, breaks] = sampled.checks[..] else {
        panic!("two checks")
    };
    assert_eq!((holds.holds, breaks.missing), (4_096, mixed.missing));
    let sheet = Sheet::to_read(&workspace);
    let said: Vec<&str> = sheet.rows().map(|row| row.status.as_str()).collect();
    assert!(
        said.contains(&"not known: it has no value at some limits"),
        "{said:?}"
    );
}
