//! What a change costs: in proportion to what depends on it, not to what the
//! notebook holds.
//!
//! `cargo bench --bench change`. Every figure is a ratio to something measured in
//! the same run; absolute times are printed for orientation only.

mod generated;

use std::path::Path;
use std::time::{Duration, Instant};

use generated::{Texts, with_dependents};
use setover::internals::notebook::{PageId, Workspace, vary};

const CELLS: usize = 100_000;

/// The least of several timings of `work`: what other programs of the machine take
/// is left out.
fn time<T>(rounds: usize, mut work: impl FnMut(usize) -> T) -> Duration {
    let times = (0..rounds).map(|round| {
        let start = Instant::now();
        let made = work(round);
        let time = start.elapsed();
        drop(std::hint::black_box(made));
        time
    });
    times.min().unwrap_or_default()
}

fn opened(text: &str) -> Workspace {
    Workspace::of_text(Path::new("part.job"), text, &Texts(&[]))
}

fn main() {
    let everything = with_dependents(CELLS, CELLS);
    let open = time(3, |_| opened(&everything));
    let mut whole = opened(&everything);
    let input = whole.find("input").expect("the input");
    let full = time(9, |round| {
        whole.redefine(input, &format!("{} mm", 40 + round % 2))
    });
    drop(whole);
    println!("{CELLS} cells: opened in {open:.2?}; all of them recalculated in {full:.2?}");
    println!("dependents   a change    per dependent   of a full recalculation");
    for dependents in [10, 1_000, CELLS] {
        let mut workspace = opened(&with_dependents(CELLS, dependents));
        let input = workspace.find("input").expect("the input");
        let rounds = if dependents == CELLS { 9 } else { 2_000 };
        let mut computed = 0;
        let change = time(rounds, |round| {
            let changed = workspace.redefine(input, &format!("{} mm", 40 + round % 2));
            computed = changed.as_ref().map_or(0, Vec::len);
            changed
        });
        assert_eq!(computed, dependents + 1, "the input and its dependents");
        println!(
            "{dependents:>10}  {change:>9.2?}  {:>11.0} ns   1/{:.0}",
            change.as_secs_f64() * 1e9 / dependents as f64,
            full.as_secs_f64() / change.as_secs_f64()
        );
    }
    typed();
    tables();
    solved();
}

/// One line of the text changed, as an editor or the prompt does it.
fn typed() {
    let text = with_dependents(CELLS, 10);
    let mut workspace = opened(&text);
    let other = text.replacen("input = 40 mm", "input = 41 mm", 1);
    let change = time(10, |round| {
        let text = if round % 2 == 0 { &other } else { &text };
        let updated = workspace.update_text(PageId::MAIN, text, &Texts(&[]));
        assert_eq!(updated.computed.len(), 11);
    });
    let open = time(3, |_| opened(&text));
    println!(
        "a line of the text changed: {change:.2?}, 1/{:.0} of opening it",
        open.as_secs_f64() / change.as_secs_f64()
    );
}

/// A what-if table of 1,000 rows over 200 cells.
fn tables() {
    let text = with_dependents(200, 200)
        + "vary input from 40 mm to 139.9 mm by 0.1 mm show c199, c100, c7\n";
    let mut workspace = opened(&text);
    let input = workspace.find("input").expect("the input");
    let one = time(200, |round| {
        workspace.redefine(input, &format!("{} mm", 40 + round % 2))
    });
    let slot = workspace.pages[0].items.last().and_then(|item| item.slot);
    let slot = slot.expect("the table");
    let mut rows = 0;
    let all = time(9, |_| {
        let table = vary(&workspace, slot);
        rows = table.as_ref().map_or(0, |table| table.rows.len());
        table
    });
    assert_eq!(rows, 1_000);
    println!(
        "vary, 1,000 rows over 200 cells: {all:.2?}, {:.2} times a change of one cell, a row",
        all.as_secs_f64() / 1_000.0 / one.as_secs_f64()
    );
}

/// Solving through one cell and through 200.
fn solved() {
    for cells in [1, 10, 200] {
        let mut text = String::from("input = 40 mm\nc0 = input + x\n");
        for cell in 1..cells {
            text += &format!("c{cell} = c{} * 1.001 + 0.01 mm\n", cell - 1);
        }
        text += &format!(
            "find x between 0 mm and 500 mm so that c{}^2 = 10000 mm^2\n",
            cells - 1
        );
        let mut workspace = opened(&text);
        assert!(
            workspace
                .find("x")
                .and_then(|x| workspace.value(x))
                .is_some()
        );
        let input = workspace.find("input").expect("the input");
        let change = time(50, |round| {
            workspace.redefine(input, &format!("{} mm", 40 + round % 2))
        });
        println!(
            "find through {cells} cells: {change:.2?}, {:.0} ns a cell and trial of about 75",
            change.as_secs_f64() * 1e9 / 75.0 / (cells + 1) as f64
        );
    }
}
