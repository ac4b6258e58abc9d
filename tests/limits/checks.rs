//! Checks at the limits.

use setover::internals::language::SlotId;
use setover::internals::sheet::RowKind;

use crate::shelf::{limits_of, open, row};

#[track_caller]
fn status(text: &str, condition: &str) -> String {
    row(
        &open(&format!("{text}\ncheck {condition}")),
        RowKind::Check,
        condition,
    )
    .status
}

#[test]
fn a_check_holds_fails_or_may_fail() {
    let sizes = "a = 10 mm ±0.1\nb = 4 mm ±0.05";
    assert_eq!(status(sizes, "a - b >= 5.85 mm"), "holds");
    assert_eq!(status(sizes, "a - b > 6.5 mm"), "fails: misses by 0.500 mm");
    // At the least a - b is 5.85 mm; root-sum-square 6 - sqrt(0.1^2 + 0.05^2) = 5.888.
    assert_eq!(
        status(sizes, "a - b >= 5.88 mm"),
        "may fail: misses by 0.030 mm at the limits, driven most by a; root-sum-square holds"
    );
    assert_eq!(
        status(sizes, "a - b >= 5.9 mm"),
        "may fail: misses by 0.050 mm at the limits, driven most by a; root-sum-square misses too"
    );
}

#[test]
fn chains_and_joined_conditions_use_their_worst_margin() {
    let sizes = "a = 10 mm ±0.1\nb = 4 mm ±0.05";
    assert_eq!(status(sizes, "5.8 mm < a - b < 6.2 mm"), "holds");
    assert!(status(sizes, "5.9 mm < a - b < 6.05 mm").contains("misses by 0.100 mm"));
    assert!(
        status(sizes, "a > 9 mm and b < 4.04 mm")
            .contains("misses by 0.010 mm at the limits, driven most by b")
    );
    assert!(status(sizes, "a = 10 mm").contains("misses by 0.100 mm"));
    assert!(status(sizes, "not (a > 10.05 mm)").starts_with("may fail"));
}

#[test]
fn a_check_is_judged_at_sizes_that_parts_can_have() {
    // Source: arithmetic; the play is 0.016 to 0.052, in the middle 0.034; the drawn
    // figures, which no two parts have, would give 0.
    let sizes = "a = 12 mm (+0.018/0)\nb = 12 mm (-0.016/-0.034)";
    assert_eq!(status(sizes, "0.01 mm <= a - b <= 0.06 mm"), "holds");
    let found = status(sizes, "a - b >= 0.02 mm");
    assert!(
        found.starts_with("may fail: misses by 0.004 mm at the limits"),
        "{found}"
    );
    // At the drawn figures this holds, between the limits never.
    assert_eq!(
        status(sizes, "a - b <= 0.01 mm"),
        "fails: misses by 0.024 mm"
    );
}

#[test]
fn a_failure_between_the_limits_is_seen() {
    // Source: arithmetic; between its limits the gap reaches 0 though no corner does.
    let text = "a = 10 mm ±0.1\nb = 10.02 mm ±0.1";
    let found = status(text, "abs(a - b) > 0.002 mm");
    assert!(found.starts_with("may fail"), "{found}");
}

#[test]
fn sizes_that_only_differ_by_rounding_hold() {
    assert_eq!(status("a = 0.3 mm ±0.1", "a >= 0.2 mm"), "holds");
    assert_eq!(status("a = 0.3 mm ±0.1", "a <= 0.4 mm"), "holds");
}

#[test]
fn at_a_kink_root_sum_square_says_nothing() {
    // ISO 286-2:2010 (from memory): H7 0/+18, s6 +28/+39 µm, so the grip is 0.010 to
    // 0.039 mm about 0.0245 mm; held up at 0.020 mm, a sum of shares would reach 0.010.
    let sizes = "bore = 12 mm H7\nseat = 12 mm s6\ngrip = seat - bore\n";
    let workspace = open(&format!(
        "{sizes}held = max(grip, 0.02 mm)\ncheck held <= 0.03 mm\n"
    ));
    let limits = limits_of(&workspace, "held").expect("limits");
    assert!(limits.bends, "{limits:?}");
    let status = row(&workspace, RowKind::Check, "held <= 0.03 mm").status;
    assert!(
        status.contains("samples tell how many parts fail"),
        "{status}"
    );
    assert!(!status.contains("root-sum-square"), "{status}");
    // A sum keeps its verdict, and so does a product, which hardly bends.
    let workspace = open(&format!(
        "{sizes}area = grip * seat\ncheck grip <= 0.03 mm\n"
    ));
    for name in ["grip", "area"] {
        assert!(
            !limits_of(&workspace, name).expect("limits").bends,
            "{name}"
        );
    }
}

/// What rests on a what-if table is not known anywhere: not in an explanation, not in what
/// moved, and it is not sampled. Source: arithmetic; d = 20.5 mm makes most 61.5 mm, which
/// the check forbids.
#[test]
fn nothing_claims_limits_of_a_named_vary() {
    use setover::internals::notebook::{Request, ToleranceAnalysis, Verdict, sample};
    use setover::internals::sheet::{TerminalStyle, explain, explanation_text};
    let text = "d = 20 mm ±0.5\nk = 1\nx = d * k\nt = vary k over 1, 2, 3 show x\n\
                most = max(t.x)\nlong = most + d\ncheck most <= 60.5 mm\n";
    let workspace = open(text);
    let slot = |name: &str| workspace.find(name).expect("a cell");
    let travel = ToleranceAnalysis::of(&workspace);
    for name in ["most", "long"] {
        assert_eq!(travel.limits[&slot(name)].range(), None, "{name}");
        let look = TerminalStyle {
            width: 80,
            colour: false,
        };
        let explained = explain(&workspace, slot(name)).expect("an explanation");
        let said = explanation_text(&explained, look);
        assert!(said.contains("not known"), "{said}");
    }
    let verdicts: Vec<Verdict> = travel
        .checks
        .values()
        .map(|check| check.verdict())
        .collect();
    assert_eq!(verdicts, [Verdict::NotKnown]);
    let sampled = sample(&workspace, &travel, &Request::new(1_000, 1)).expect("not too many");
    let rows: Vec<SlotId> = sampled.rows.iter().map(|row| row.slot).collect();
    assert_eq!(rows, [slot("d"), slot("x")]);
    assert!(sampled.checks.is_empty(), "{:?}", sampled.checks);
}
