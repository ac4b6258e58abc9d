//! The worm-shaft notebook: the worst case fails, root-sum-square passes, and the
//! explanation says what to tighten.

use setover::internals::notebook::{Request, ToleranceAnalysis, sample};
use setover::internals::sheet::{RowKind, explain, slot_called};

use crate::shelf::{open, row};

const NOTEBOOK: &str = include_str!("../../notebooks/worm-shaft.job");

/// Source: arithmetic on the sizes of the notebook: 40.1 less 6, 18, 6 and twice 5 is
/// 0.1; the tolerances against it add to 0.04 + 0.02 + 0.03 + 0.02 = 0.11, those for
/// it to that and twice 0.12; the middle is 0.22. Widths of bearings: ISO 492, normal class, bore over 2.5
/// to 10 mm, 0/-0.12 mm (from memory).
#[test]
fn the_stack_fails_at_the_worst_and_passes_by_root_sum_square() {
    let workspace = open(NOTEBOOK);
    let float = row(&workspace, RowKind::Cell, "float");
    assert_eq!(
        (float.text.as_str(), float.limits.as_str()),
        ("0.220 mm", "-0.010 to 0.450")
    );
    for (check, misses) in [
        ("float >= 0.02 mm", "0.030 mm"),
        ("float <= 0.4 mm", "0.050 mm"),
    ] {
        let status = row(&workspace, RowKind::Check, check).status;
        assert!(
            status.contains(&format!("misses by {misses} at the limits")),
            "{status}"
        );
        assert!(status.ends_with("root-sum-square holds"), "{status}");
        let slot = slot_called(&workspace, check).expect("the check");
        let explained = explain(&workspace, slot).expect("an explanation");
        assert_eq!(explained.margins[0].holds, [true, false, true]);
        assert!(explained.tighten.iter().any(|one| one.to.is_some()));
    }
    let slot = slot_called(&workspace, "float >= 0.02 mm").expect("the check");
    let explained = explain(&workspace, slot).expect("an explanation");
    let housing = explained.tighten.iter().find(|one| one.name == "housing");
    let to = housing.and_then(|one| one.to.as_deref());
    assert_eq!(to, Some("40.1 ±0.01 mm"));
    let travel = ToleranceAnalysis::of(&workspace);
    let sampled = sample(&workspace, &travel, &Request::new(20_000, 1)).expect("not too many");
    assert!(
        sampled
            .checks
            .iter()
            .all(|check| check.outside_ppm() < 100.0)
    );
}
