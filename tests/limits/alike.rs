//! A thousand notebooks made up by chance: every value lies within its limits as they are
//! printed, its samples lie about it, and every writer prints the same digits.

use rand::rngs::StdRng;
use rand::{RngExt, SeedableRng};
use setover::internals::notebook::{Request, ToleranceAnalysis, Workspace, sample};
use setover::internals::sheet::{RowKind, Sheet, TerminalStyle, csv, terminal};

use crate::shelf::open;

const SEED: u64 = 20_261_128;
const NOTEBOOKS: usize = 1_000;

/// A size by chance, with its tolerance in one of the forms that drawings have.
fn size(chance: &mut StdRng) -> String {
    let figure = f64::from(chance.random_range(60..1_600_u32)) / 10.0;
    let small = f64::from(chance.random_range(1..200_u32)) / 1000.0;
    let more = f64::from(chance.random_range(1..200_u32)) / 1000.0;
    match chance.random_range(0..5) {
        0 => format!("{figure} mm H7"),
        1 => format!("{figure} mm f7"),
        2 => format!("{figure} mm ±{small}"),
        3 => format!("{figure} mm (+{}/+{small})", small + more),
        _ => format!("{figure} mm (-{small}/-{})", small + more),
    }
}

/// A notebook with a result that is nearly straight in its sizes.
fn notebook(chance: &mut StdRng) -> String {
    let count = chance.random_range(2..6);
    let mut text = String::new();
    for index in 0..count {
        text += &format!("s{index} = {}\n", size(chance));
    }
    let term = |index: usize, chance: &mut StdRng| match chance.random_range(0..4) {
        0 => format!("2 * s{index}"),
        1 => format!("s{index} / 3"),
        2 => format!("sqrt(s{index} * 50 mm)"),
        _ => format!("s{index}"),
    };
    let mut formula = term(0, chance);
    for index in 1..count {
        let sign = if chance.random() { "+" } else { "-" };
        formula = format!("{formula} {sign} {}", term(index, chance));
    }
    format!("{text}y = {formula}\nop Set {{y}}, turn {{s0}}.\n")
}

fn number(text: &str) -> f64 {
    text.parse().unwrap_or_else(|_| panic!("{text}"))
}

#[test]
fn values_limits_samples_and_writers_agree() {
    println!("seed {SEED}");
    let mut chance = StdRng::seed_from_u64(SEED);
    for _ in 0..NOTEBOOKS {
        let text = notebook(&mut chance);
        let workspace = open(&text);
        let sheet = Sheet::of(&workspace);
        printed_within(&sheet, &text);
        one_text(&sheet, &text);
        samples_about(&workspace, &text);
    }
}

/// Every value as printed lies within its limits as printed.
fn printed_within(sheet: &Sheet, text: &str) {
    for row in sheet.rows().filter(|row| row.kind == RowKind::Cell) {
        let ends = row.limits.split_once(" to ");
        let (low, high) = ends.unwrap_or_else(|| panic!("{} has no limits\n{text}", row.name));
        let (low, high) = (number(low), number(high));
        assert!(low <= high, "{}: {}\n{text}", row.name, row.limits);
        let aim = row.status.strip_prefix("aim ");
        let value = match aim {
            Some(aim) => number(aim),
            None if row.name == "y" => number(&row.written.number),
            None => continue,
        };
        assert!(
            low <= value && value <= high,
            "{}: {value}\n{text}",
            row.name
        );
        let exact = row.aim.expect("an aim");
        let (least, most) = (row.low.expect("a limit"), row.high.expect("a limit"));
        assert!(least <= exact && exact <= most, "{}\n{text}", row.name);
    }
}

/// The terminal, CSV and the ops print the same digits as the row.
fn one_text(sheet: &Sheet, text: &str) {
    let look = TerminalStyle {
        width: 200,
        colour: false,
    };
    let (page, table) = (terminal(sheet, look), csv(sheet));
    let op = sheet
        .rows()
        .find(|row| row.kind == RowKind::Op)
        .expect("an op");
    for row in sheet.rows().filter(|row| row.kind == RowKind::Cell) {
        assert!(page.contains(&row.written.number), "{}\n{page}", row.name);
        assert!(page.contains(&row.limits), "{}\n{page}", row.name);
        assert!(table.contains(&row.text), "{}\n{table}", row.name);
        if row.name == "y" {
            assert!(op.text.contains(&row.text), "{}\n{text}", op.text);
        }
        if row.name == "s0" {
            assert!(op.text.contains(&row.limits), "{}\n{text}", op.text);
        }
    }
}

/// The mean of 20,000 samples lies within 1 % of the range of the value.
fn samples_about(workspace: &Workspace, text: &str) {
    let travel = ToleranceAnalysis::of(workspace);
    let slot = workspace.find("y").expect("y");
    let limits = &travel.limits[&slot];
    let sampled = sample(workspace, &travel, &Request::new(20_000, SEED)).expect("not too many");
    let row = sampled.rows.iter().find(|row| row.slot == slot);
    let mean = row.expect("samples of y").tally.mean();
    let off = (mean - limits.nominal).abs();
    assert!(off <= 0.01 * (limits.high - limits.low), "{off}\n{text}");
}
