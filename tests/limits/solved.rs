//! What hangs on a `find`, on a record or on what stays while sizes move: proven like
//! any formula. Long sums.

use setover::internals::language::SlotId;
use setover::internals::notebook::{
    Known, Request, ToleranceAnalysis, Verdict, Workspace, sampled_values,
};

use crate::shelf::{close, limits_of, open};

#[track_caller]
fn verdicts(workspace: &Workspace) -> Vec<(Verdict, Known)> {
    let found = ToleranceAnalysis::of(workspace);
    let mut slots: Vec<SlotId> = found.checks.keys().copied().collect();
    slots.sort_unstable();
    let of = |slot: &SlotId| (found.checks[slot].verdict(), found.checks[slot].known);
    slots.iter().map(of).collect()
}

#[track_caller]
fn proven(workspace: &Workspace, name: &str, [low, high]: [f64; 2]) {
    let limits = limits_of(workspace, name).unwrap_or_else(|| panic!("{name} has no limits"));
    assert_eq!(limits.known, Known::Proven, "{name}: {limits:?}");
    close(limits.low, low, name);
    close(limits.high, high, name);
}

#[test]
fn a_solution_moves_between_proven_limits() {
    // Source: arithmetic; the length is 1000 mm^2 over the width, 19.5 to 20.5 mm.
    let text = "width = 20 mm ±0.5\nfind length between 1 mm and 200 mm so that area = 1000 mm^2
area = length * width\nspare = 60 mm - length\ncheck length <= 51.3 mm\ncheck length <= 51.2 mm
check abs(length * width - 1000 mm^2) < 0.001 mm^2\n";
    let workspace = open(text);
    let ends = [1.0 / 20.5, 1.0 / 19.5];
    proven(&workspace, "length", ends);
    proven(&workspace, "spare", [0.06 - ends[1], 0.06 - ends[0]]);
    let found = verdicts(&workspace);
    assert_eq!(
        found,
        [
            (Verdict::Holds, Known::Proven),
            (Verdict::MayFail, Known::Proven),
            (Verdict::Holds, Known::Proven),
        ]
    );
    // In a formula, too, and where the condition folds: a quadratic with one root there.
    let text = "side = 3 mm ±0.1
diagonal = (find d between 1 mm and 20 mm so that d^2 = 2 * side^2) + 1 mm
least = find x between 0 mm and 50 mm so that max(x, 2 mm) + x = side\n";
    let workspace = open(text);
    let root = std::f64::consts::SQRT_2;
    proven(
        &workspace,
        "diagonal",
        [0.0029 * root + 0.001, 0.0031 * root + 0.001],
    );
    // max(x, 2) is 2 as long as the side is below 4 mm: x is the side less 2.
    proven(&workspace, "least", [0.0009, 0.0011]);
}

#[test]
fn a_solution_that_is_not_proven_to_be_the_only_one_proves_nothing() {
    for condition in [
        // It only touches 0, so that no sign tells.
        "(x - a)^2 = 0 mm^2",
        // It jumps past 0 unless the size stands in one place.
        "round(x, 1 mm) + a = 3.1 mm + round(x, 1 mm) - 0.1 mm + x - x",
    ] {
        let text = format!(
            "a = 3 mm ±0.1\ny = find x between 0 mm and 10 mm so that {condition}\ncheck y <= 9 mm\n"
        );
        let workspace = Workspace::of_text(
            std::path::Path::new("main.job"),
            &text,
            &crate::shelf::Texts::default(),
        );
        for (verdict, _) in verdicts(&workspace) {
            assert_ne!(verdict, Verdict::Holds, "{text}");
        }
    }
}

#[test]
fn a_check_on_what_stays_or_on_a_record_holds_with_a_proof() {
    // The drill follows from the drawn figure, which stays; the blank is a record.
    let text = "bore = 20 mm H8\nlong = 50 mm ±0.2\npilot = drill_under(bore, 1 mm)
blank = blank_length(long, 2 mm, 0 mm)\ncheck pilot < 20 mm\ncheck blank <= 54.21 mm
check blank.length - long >= 3.99 mm\nstock = record(end: long + 1 mm, metal: \"brass\")
check stock.end <= 51.2 mm\n";
    let workspace = open(text);
    // Source: arithmetic; 50 ±0.2 and twice 2 mm to face.
    proven(&workspace, "blank", [0.0538, 0.0542]);
    let found = verdicts(&workspace);
    let holds = (Verdict::Holds, Known::Proven);
    assert_eq!(found, [holds; 4], "{found:?}");
}

#[test]
fn the_solution_in_lanes_is_that_of_the_evaluator() {
    let text = "a = 12 mm ±0.3\nb = 7 mm (+0.2/-0.1)
find s between 1 mm and 90 mm so that s^3 = a * b * s + 100 mm^2 * c
c = a + s / 4\ny = (find z between 0 mm and 40 mm so that z * sqrt(z / b) = a) + s\n";
    let workspace = open(text);
    let analysis = ToleranceAnalysis::of(&workspace);
    for name in ["s", "c", "y"] {
        let slot = workspace.find(name).expect("the name");
        let fast = Request::new(400, 7);
        let slow = Request {
            columns: false,
            ..fast
        };
        let fast = sampled_values(&workspace, &analysis, &fast, slot);
        let slow = sampled_values(&workspace, &analysis, &slow, slot);
        assert_eq!(fast.len(), 400);
        for (fast, slow) in fast.iter().zip(&slow) {
            let (fast, slow) = (fast.expect("a value"), slow.expect("a value"));
            // Solved to the last digits from both sides, not to the same bit.
            assert!((fast / slow - 1.0).abs() < 1e-14, "{name}: {fast} {slow}");
        }
    }
}

#[test]
fn a_running_sum_keeps_its_largest_shares_and_counts_the_rest() {
    // Source: arithmetic. 600 sizes of 5 mm, each 50th ±0.05, the others ±0.01 mm.
    let mut text = String::new();
    for index in 0..600 {
        let limit = if index % 50 == 0 { "0.05" } else { "0.01" };
        let before = if index == 0 {
            String::new()
        } else {
            format!("t{} + ", index - 1)
        };
        text += &format!("s{index} = 5 mm ±{limit}\nt{index} = {before}s{index}\n");
    }
    text += "u = 4 m - 2 * t599\ncheck u >= -2013.0 mm\ncheck u >= -2012.9 mm\n";
    let workspace = open(&text);
    let half = 12.0 * 0.05e-3 + 588.0 * 0.01e-3;
    proven(&workspace, "t599", [3.0 - half, 3.0 + half]);
    proven(&workspace, "u", [-2.0 - 2.0 * half, -2.0 + 2.0 * half]);
    let limits = limits_of(&workspace, "u").expect("limits");
    assert_eq!((limits.shares.len(), limits.others.count), (100, 500));
    close(limits.shares[11].half_swing(), 1e-4, "the twelfth share");
    close(limits.shares[12].half_swing(), 2e-5, "the thirteenth share");
    let (middle, rss) = limits.root_sum_square();
    close(middle, -2.0, "the middle");
    let squares: f64 = 12.0 * 1e-4_f64.powi(2) + 588.0 * 2e-5_f64.powi(2);
    close(rss, squares.sqrt(), "the root-sum-square range");
    let found = verdicts(&workspace);
    let holds = (Verdict::Holds, Known::Proven);
    assert_eq!(found, [holds, (Verdict::MayFail, Known::Proven)]);
}
