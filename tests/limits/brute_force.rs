//! Limits against brute force: all corners and dense sampling over generated
//! notebooks, by rewriting each size as the value it takes and opening the notebook
//! anew. That way nothing of how limits are worked out is used.

use std::fmt::Write;

use proptest::prelude::*;
use setover::internals::notebook::{Monotonicity, Workspace};

use crate::shelf::{limits_of, open, open_with};

/// A size that a notebook defines: `a = 12 mm ±0.05`.
#[derive(Clone, Debug)]
pub struct Size {
    pub name: String,
    pub size: f64,
    pub unit: &'static str,
    pub down: f64,
    pub up: f64,
}

/// Reads the sizes of a notebook of the reference table.
fn sizes(text: &str) -> Vec<Size> {
    let mut found = Vec::new();
    for line in text.lines() {
        let Some((name, rest)) = line.split_once(" = ") else {
            continue;
        };
        let number = |text: &str| text.trim().parse::<f64>().expect("a number");
        let split = rest
            .split_once('±')
            .or_else(|| rest.split_once("+-"))
            .map(|(size, half)| (size, -number(half), number(half)))
            .or_else(|| {
                let (size, both) = rest.split_once(" (")?;
                let (up, down) = both.strip_suffix(')')?.split_once('/')?;
                up.trim().parse::<f64>().ok()?;
                Some((size, number(down), number(up)))
            });
        let Some((size, down, up)) = split else {
            continue;
        };
        let unit = [" mm", " deg"].into_iter().find(|unit| size.contains(unit));
        let unit = unit.unwrap_or("");
        let size = number(size.trim().trim_end_matches(unit.trim()));
        found.push(Size {
            name: name.to_owned(),
            size,
            unit,
            down,
            up,
        });
    }
    found
}

/// The notebook with each size replaced by a plain value.
fn placed(text: &str, sizes: &[Size], at: impl Fn(usize) -> f64) -> String {
    let mut out = String::new();
    for line in text.lines() {
        let name = line.split_once(" = ").map_or("", |(name, _)| name);
        match sizes.iter().position(|size| size.name == name) {
            Some(index) => {
                let size = &sizes[index];
                let value = size.size + size.down + at(index) * (size.up - size.down);
                let _ = writeln!(out, "{name} = {value:.17}{}", size.unit);
            }
            None => {
                let _ = writeln!(out, "{line}");
            }
        }
    }
    out
}

fn value_of(workspace: &Workspace, name: &str) -> Option<f64> {
    let slot = workspace.find(name)?;
    workspace.value(slot)?.quantity().ok().map(|value| value.si)
}

/// The least and the greatest `y` over scattered places between the limits, and
/// over all corners where there are few sizes.
pub fn reached(text: &str, places: usize) -> (f64, f64) {
    let sizes = sizes(text);
    let mut ends = (f64::INFINITY, f64::NEG_INFINITY);
    let mut take = |text: String| {
        if let Some(y) = value_of(&open(&text), "y") {
            ends = (ends.0.min(y), ends.1.max(y));
        }
    };
    if sizes.len() <= 10 {
        for corner in 0..1_u32 << sizes.len() {
            take(placed(text, &sizes, |index| f64::from(corner >> index & 1)));
        }
    }
    // Halton's sequence in the first prime bases spreads evenly.
    const BASES: [u32; 12] = [2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37];
    for place in 1..=places {
        let place = u32::try_from(place).expect("few places");
        take(placed(text, &sizes, |index| {
            halton(place, BASES[index % BASES.len()])
        }));
    }
    ends
}

fn halton(mut index: u32, base: u32) -> f64 {
    let (mut part, mut found) = (1.0, 0.0);
    while index > 0 {
        part /= f64::from(base);
        found += part * f64::from(index % base);
        index /= base;
    }
    found
}

/// A generated notebook: sizes, functions, and formulas one on another.
fn notebook() -> impl Strategy<Value = (String, usize)> {
    let size = (100_u32..9000, 0_u32..30, 0_u32..30);
    let sizes = prop::collection::vec(size, 2..8);
    let steps = prop::collection::vec(
        (
            0_u32..14,
            any::<prop::sample::Index>(),
            any::<prop::sample::Index>(),
        ),
        1..7,
    );
    (sizes, steps).prop_map(|(sizes, steps)| {
        let mut text = String::from(
            "mean2(a, b) = (a + b) / 2\n\
             slant(a, b) = sqrt(square(a) + square(b))\n\
             square(a) = a * a\n",
        );
        let mut names: Vec<String> = Vec::new();
        for (index, (size, down, up)) in sizes.iter().enumerate() {
            let name = format!("s{index}");
            let size = f64::from(*size) / 100.0;
            let (down, up) = (f64::from(*down) / 100.0, f64::from(*up + 1) / 100.0);
            let _ = writeln!(text, "{name} = {size} mm (+{up}/-{down})");
            names.push(name);
        }
        for (index, (kind, a, b)) in steps.iter().enumerate() {
            let (a, b) = (a.get(&names).clone(), b.get(&names).clone());
            let name = format!("c{index}");
            let formula = match kind {
                0 | 1 => format!("{a} + {b}"),
                2 | 3 => format!("{a} - {b}"),
                4 => format!("mean2({a}, {b}) - {a} / 3"),
                5 => format!("slant({a}, {b})"),
                6 => format!("{a} * {b} / 50 mm"),
                7 => format!("max({a}, {b})"),
                8 => format!("min({a}, {b} - 1 mm)"),
                9 => format!("sum({a}, {b}, {a})"),
                10 => format!("t{index}.y[2] - t{index}.y[1]"),
                11 => format!("sqrt(square({a}) + 1 mm^2) + {b}"),
                12 => format!("{a} * cos(atan({b} / 100 mm))"),
                _ => format!("abs({a}) + 2 * {b}"),
            };
            if *kind == 10 {
                let _ = writeln!(
                    text,
                    "table t{index}\n| x | y = 2 * x |\n| {a} | |\n| {b} | |"
                );
            }
            if *kind == 11 {
                let _ = writeln!(
                    text,
                    "find f{index} between -200 mm and 400 mm so that f{index} * 3 = {a} + {b}"
                );
                let _ = writeln!(text, "{name} = f{index} + {a}");
            } else {
                let _ = writeln!(text, "{name} = {formula}");
            }
            names.push(name);
        }
        let last = names.last().cloned().unwrap_or_default();
        let _ = writeln!(text, "y = {last} + s0 - s0");
        (text, sizes.len())
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, failure_persistence: None, ..ProptestConfig::default() })]

    /// Source: brute force over all corners and scattered places.
    #[test]
    fn limits_are_what_brute_force_finds((text, count) in notebook()) {
        let workspace = open(&text);
        let limits = limits_of(&workspace, "y").expect("y has limits");
        let all = sizes(&text);
        prop_assert_eq!(all.len(), count);
        let (least, most) = reached(&text, 40);
        let slack = 1e-9 * (most - least) + 1e-11;
        if limits.course == Monotonicity::Steady {
            prop_assert!((limits.low - least).abs() <= slack, "low {} is {least}\n{text}", limits.low);
            prop_assert!((limits.high - most).abs() <= slack, "high {} is {most}\n{text}", limits.high);
        } else {
            // What turns must be seen to leave the corners, or to rise and fall.
            prop_assert_eq!(limits.course, Monotonicity::Turns, "{}", text);
            prop_assert!(limits.low <= least + slack && limits.high >= most - slack, "{text}");
        }
    }
}

#[test]
fn a_difference_with_itself_has_no_limits() {
    for formula in [
        "a - a",
        "a + b - a - b",
        "(a + 1 mm) / (a + 1 mm)",
        "b - (b - a) - a",
    ] {
        let workspace = open(&format!(
            "a = 12.3 mm ±0.05\nb = 45.6 mm ±0.1\ny = {formula}"
        ));
        let limits = limits_of(&workspace, "y").expect("y depends on sizes");
        assert_eq!(limits.course, Monotonicity::Steady, "{formula}");
        assert_eq!(limits.low.to_bits(), limits.high.to_bits(), "{formula}");
        assert!(limits.shares.is_empty(), "{formula}: {:?}", limits.shares);
    }
}

#[test]
fn limits_travel_through_used_notebooks() {
    // Source: arithmetic, 10 ± 0.1 less 4 (+0.02/-0.03) less 5 ± 0.05.
    let others = [
        ("inner.job", "rod = 4 mm (+0.02/-0.03)"),
        (
            "outer.job",
            "use inner\nbore = 10 mm ±0.1\ngap = bore - inner.rod",
        ),
    ];
    let workspace = open_with(
        "use outer as o\nshim = 5 mm ±0.05\ny = o.gap - shim",
        &others,
    );
    let limits = limits_of(&workspace, "y").expect("limits");
    crate::shelf::close(limits.low, 0.000_83, "low");
    crate::shelf::close(limits.high, 0.001_18, "high");
    assert_eq!(limits.shares.len(), 3);
}

#[test]
fn a_source_that_is_idle_at_the_drawing_sizes_sets_a_corner() {
    // Source: arithmetic. With eight sources the corners are not all computed; the
    // two behind the idle side of the maximum act only together.
    let mut text = String::from("big = 20 mm ±0.1\np = 9.9 mm ±0.2\nq = 9.9 mm ±0.2\n");
    for index in 0..6 {
        let _ = writeln!(text, "e{index} = 1 mm ±0.01");
    }
    text += "y = max(big, p + q) + e0 + e1 + e2 + e3 + e4 + e5\nz = max(big, 19.8 mm + p - q) + sum(e0, e1, e2, e3, e4, e5)";
    let workspace = open(&text);
    let y = limits_of(&workspace, "y").expect("limits");
    crate::shelf::close(y.high, 0.026_26, "20.2 mm and 6 at 1.01 mm");
    crate::shelf::close(y.low, 0.025_84, "19.9 mm and 6 at 0.99 mm");
    let z = limits_of(&workspace, "z").expect("limits");
    crate::shelf::close(z.high, 0.026_26, "20.2 mm and 6 at 1.01 mm");
}
