//! Stacks of gauge blocks against textbook examples.

use setover::internals::trade::gauge_blocks::{Stack, gauge_blocks};
use uom::si::f64::Length;
use uom::si::length::{inch, millimeter};

use crate::compared::{check, inputs, length, number};
use crate::rows::rows;

#[track_caller]
fn exact(height: Length, set: &str) -> Stack {
    let stack = gauge_blocks(height, set).unwrap_or_else(|fault| panic!("{fault}"));
    let sum: f64 = stack
        .blocks
        .iter()
        .map(|block| block.get::<millimeter>())
        .sum();
    assert!((sum - height.get::<millimeter>()).abs() < 1e-9, "{stack:?}");
    assert_eq!(stack.off.get::<millimeter>(), 0.0);
    stack
}

#[test]
fn worked_sine_bars() {
    // Source: the column source of each row.
    let rows = rows(include_str!("../reference/worked_gauge_blocks.csv"));
    for row in &rows {
        let inputs = inputs(row);
        let bar = length(inputs["L"]);
        if row["unit"] == "deg" {
            let build = |name: &str| exact(length(inputs[name]), "metric 87").height;
            let ratio = (build("h1") - build("h2")) / bar;
            check(row, ratio.value.asin().to_degrees());
            continue;
        }
        let height = bar * number(inputs["angle"]).to_radians().sin();
        let (set, unit_mm) = match row["unit"].as_str() {
            "in" => ("inch 81", 25.4),
            _ => ("metric 87", 1.0),
        };
        let stack = gauge_blocks(height, set).expect("a stack");
        check(row, stack.height.get::<millimeter>() / unit_mm);
    }
    println!("{} worked examples of sine bars", rows.len());
    assert_eq!(rows.len(), 3);
}

#[test]
fn textbook_stacks() {
    // Source: textbooks of engineering metrology, blocks picked by the last figure (from
    // memory): 58.975 mm = 1.005 + 1.47 + 6.5 + 50, 29.758 mm = 1.008 + 1.05 + 1.7 + 6
    // + 20, 49.3115 mm = 1.0005 + 1.001 + 1.31 + 21 + 25. Ours are never more.
    let mm = Length::new::<millimeter>;
    for (height, set, textbook) in [
        (58.975, "metric 87", &[1.005, 1.47, 6.5, 50.0][..]),
        (29.758, "metric 45", &[1.008, 1.05, 1.7, 6.0, 20.0]),
        (49.3115, "metric 112", &[1.0005, 1.001, 1.31, 21.0, 25.0]),
    ] {
        let sum: f64 = textbook.iter().sum();
        assert!((sum - height).abs() < 1e-9);
        let stack = exact(mm(height), set);
        assert!(stack.blocks.len() <= textbook.len(), "{stack:?}");
    }
}

#[test]
fn stacks_of_the_inch_set() {
    // Worked by hand: 2.27 = 2 + 0.27 and no block is 0.27, so three blocks; in 1.3579
    // only 0.1009 gives the 9, the 1.257 left needs 1 and a block for the 7, and what is
    // then left, 0.11 to 0.15, is a block: four.
    let inches = Length::new::<inch>;
    assert_eq!(exact(inches(2.27), "inch 81").blocks.len(), 3);
    assert_eq!(exact(inches(1.3579), "inch 81").blocks.len(), 4);
}
