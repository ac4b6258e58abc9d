//! The order in which statements stand does not matter.

use std::fmt::Write;

use proptest::prelude::*;
use setover::internals::language::Value;

use crate::support::{notebook, trials, value};

/// A notebook without rings: each cell uses a few of those before it.
fn cells() -> impl Strategy<Value = Vec<String>> {
    let cell = (
        any::<prop::sample::Index>(),
        any::<prop::sample::Index>(),
        0_u8..8,
        1_u32..50,
    );
    prop::collection::vec(cell, 1..60).prop_map(|cells| {
        cells
            .iter()
            .enumerate()
            .map(|(place, (first, second, shape, number))| {
                let pick = |index: &prop::sample::Index| match place {
                    0 => format!("{number} mm"),
                    _ => format!("c{}", index.index(place)),
                };
                let (a, b) = (pick(first), pick(second));
                let formula = match shape {
                    0 => format!("{number} mm"),
                    1 => format!("{a} + {b} / 2"),
                    2 => format!("if {a} < {b} then {a} else {b} + 1 mm"),
                    3 => format!("max({a}, {b}) - {number} thou"),
                    4 => format!("half({a}, by: {number})"),
                    5 => format!("x + {b} where x = {a} / {number}"),
                    6 => format!("[{a}, {b}][2]"),
                    _ => format!("record(a: {a}, b: {b}).a - {b}"),
                };
                format!("c{place} = {formula}")
            })
            .chain(["half(x, by: 2) = x / by".to_owned()])
            .collect()
    })
}

fn values(statements: &[String]) -> Vec<Option<Value>> {
    let mut text = String::new();
    for statement in statements {
        let _ = writeln!(text, "{statement}");
    }
    let workspace = notebook(&text);
    (0..statements.len() - 1)
        .map(|place| value(&workspace, &format!("c{place}")).cloned())
        .collect()
}

proptest! {
    #![proptest_config(trials(100))]

    #[test]
    fn shuffled_cells_come_to_the_same((cells, shuffled) in cells().prop_flat_map(|cells| (Just(cells.clone()), Just(cells).prop_shuffle()))) {
        let expected = values(&cells);
        prop_assert!(expected.iter().all(Option::is_some), "{cells:?}");
        prop_assert_eq!(values(&shuffled), expected, "{:?}", shuffled);
    }
}
