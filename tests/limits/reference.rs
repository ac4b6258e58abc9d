//! Every row of tests/reference/limits_uncertainties.csv.
//!
//! Source: worst corners by brute force with mpmath, first-order shares by the
//! general-purpose library `uncertainties`; how the rows are made stands in
//! limits_uncertainties.py beside the table.

use std::collections::HashMap;

use setover::internals::notebook::{Limits, Monotonicity, Workspace};

use crate::shelf::{close, limits_of, open};

const ROWS: &str = include_str!("../reference/limits_uncertainties.csv");

#[derive(serde::Deserialize)]
struct Row {
    id: u32,
    family: String,
    notebook: String,
    nominal: f64,
    corner_low: f64,
    corner_high: f64,
    shares: String,
    rss: Option<f64>,
    half_swings: String,
    monotone: String,
    hidden: String,
}

fn rows() -> Vec<Row> {
    let mut below = ROWS;
    while below.starts_with('#') {
        below = below.split_once('\n').expect("a row below the remarks").1;
    }
    let mut reader = csv::Reader::from_reader(below.as_bytes());
    reader
        .deserialize()
        .map(|row| row.expect("a row"))
        .collect()
}

/// The notebooks of all rows.
pub fn notebooks() -> Vec<String> {
    let rows = rows().into_iter();
    rows.map(|row| row.notebook.replace("\\n", "\n")).collect()
}

/// The notebooks of a family.
pub fn notebooks_of(family: &str) -> Vec<String> {
    let rows = rows().into_iter().filter(|row| row.family == family);
    rows.map(|row| row.notebook.replace("\\n", "\n")).collect()
}

/// `a=1e-5;b=0`
fn pairs(text: &str) -> Vec<(&str, f64)> {
    text.split(';')
        .filter_map(|pair| pair.split_once('='))
        .map(|(name, value)| (name, value.parse().expect("a number")))
        .collect()
}

fn share_of(workspace: &Workspace, limits: &Limits, name: &str) -> f64 {
    let slot = workspace.find(name).expect("the input");
    let share = limits.shares.iter().find(|share| share.source.slot == slot);
    share.map_or(0.0, setover::internals::notebook::Share::half_swing)
}

#[test]
fn every_row_has_its_corners_shares_and_root_sum_square() {
    let rows = rows();
    let mut count = HashMap::new();
    for row in &rows {
        let what = |part: &str| format!("row {} {part}\n{}", row.id, row.notebook);
        let workspace = open(&row.notebook.replace("\\n", "\n"));
        let limits = limits_of(&workspace, "y").expect("y has limits");
        close(limits.nominal, row.nominal, &what("nominal"));
        if row.monotone == "yes" {
            assert_eq!(limits.course, Monotonicity::Steady, "{}", what("course"));
            close(limits.low, row.corner_low, &what("low"));
            close(limits.high, row.corner_high, &what("high"));
        } else {
            turning_or_wide(row, &limits);
        }
        let mut squares = 0.0;
        for (name, swing) in pairs(&row.half_swings) {
            let found = share_of(&workspace, &limits, name);
            close(found, swing, &what(name));
            squares += swing * swing;
        }
        let half = limits.root_sum_square().1;
        let off = (half - squares.sqrt()).abs();
        assert!(off <= 1e-9 * half + 1e-14, "{}", what("root-sum-square"));
        // First-order shares differ from half swings where the formula bends or has a
        // corner between the limits.
        let bends = |(name, first): (&str, f64)| {
            let found = share_of(&workspace, &limits, name);
            (found - first).abs() > 0.01 * first.max(found) + 1e-14
        };
        let bent = pairs(&row.shares).into_iter().any(bends);
        *count
            .entry(if bent { "bent" } else { "straight" })
            .or_insert(0) += 1;
        if let (Some(rss), false) = (row.rss, bent) {
            assert!((half - rss).abs() <= 0.02 * rss + 1e-14, "{}", what("rss"));
        }
        *count.entry(row.monotone.as_str()).or_insert(0) += 1;
        *count
            .entry(if row.hidden.is_empty() {
                "plain"
            } else {
                "hidden"
            })
            .or_insert(0) += 1;
    }
    println!("{} rows: {count:?}", rows.len());
    assert!(rows.len() >= 500);
    assert!(count["hidden"] > 0 && count["no"] > 0);
    // The linear rows are the many.
    assert!(count["straight"] > 5 * count["bent"], "{count:?}");
}

/// A row that is not monotone says that it turns, or its range holds whatever can be
/// reached: here tried at 20,000 places with plain arithmetic of our own.
#[track_caller]
fn turning_or_wide(row: &Row, limits: &Limits) {
    if limits.course == Monotonicity::Turns {
        return;
    }
    let text = row.notebook.replace("\\n", "\n");
    let (least, most) = crate::brute_force::reached(&text, 4000);
    let slack = 1e-9 * (limits.high - limits.low) + 1e-14;
    assert!(
        limits.low <= least + slack && most <= limits.high + slack,
        "row {}: {} to {} is reached, {} to {} is said\n{}",
        row.id,
        least,
        most,
        limits.low,
        limits.high,
        row.notebook
    );
}
