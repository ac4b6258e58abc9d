//! How parsing, loading and evaluating grow with a notebook, and how long a whole
//! `setover run` takes beside an empty program.
//!
//! `cargo bench --bench scale`. Every figure is a ratio to something measured in
//! the same run; absolute times are printed for orientation only.

mod generated;

use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use generated::{Texts, empty_program, notebook, with_dependents};
use setover::internals::notebook::Workspace;
use setover::internals::syntax::parse_document;

/// The middle of several timings of `work`.
fn time<T>(rounds: usize, mut work: impl FnMut() -> T) -> Duration {
    let mut times: Vec<Duration> = (0..rounds)
        .map(|_| {
            let start = Instant::now();
            std::hint::black_box(work());
            start.elapsed()
        })
        .collect();
    times.sort();
    times[rounds / 2]
}

/// Memory held by the process, in bytes (Linux).
fn resident() -> f64 {
    let text = std::fs::read_to_string("/proc/self/statm").unwrap_or_default();
    let pages: f64 = text
        .split_whitespace()
        .nth(1)
        .and_then(|pages| pages.parse().ok())
        .unwrap_or(0.0);
    pages * 4096.0
}

fn main() {
    println!("cells      parse      parse+evaluate   per cell   ratio to 200 cells, per cell");
    let mut first = 0.0;
    for cells in [200, 10_000, 100_000] {
        let text = notebook(cells);
        let rounds = if cells > 50_000 { 3 } else { 9 };
        let parse = time(rounds, || parse_document(&text));
        let all = time(rounds, || {
            Workspace::of_text(Path::new("part.job"), &text, &Texts(&[]))
        });
        let each = all.as_secs_f64() / cells as f64;
        if first == 0.0 {
            first = each;
        }
        println!(
            "{cells:>7}  {parse:>10.2?}  {all:>10.2?}  {:>9.2} us  {:.2}",
            each * 1e6,
            each / first
        );
    }
    let text = notebook(100_000);
    let before = resident();
    let workspace = Workspace::of_text(Path::new("part.job"), &text, &Texts(&[]));
    let held = resident() - before;
    println!(
        "memory: {:.0} bytes a cell with 100,000 cells",
        held / 100_000.0
    );
    drop(workspace);
    with_formulas();
    whole_process();
}

/// What a cell takes that was worked out again, so that it has its compiled formula.
fn with_formulas() {
    let text = with_dependents(100_000, 100_000);
    let before = resident();
    let mut workspace = Workspace::of_text(Path::new("part.job"), &text, &Texts(&[]));
    let input = workspace.find("input").expect("the input");
    for size in ["41 mm", "42 mm", "43 mm"] {
        let changed = workspace.redefine(input, size).map(|changed| changed.len());
        assert_eq!(changed.ok(), Some(100_001));
    }
    println!(
        "memory: {:.0} bytes a cell with 100,000 cells and their formulas",
        (resident() - before) / 100_000.0
    );
}

/// `setover run` on 200 cells beside an empty program.
fn whole_process() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let file = folder.path().join("part.job");
    std::fs::write(&file, notebook(200)).expect("the notebook is written");
    let empty = empty_program(folder.path());
    let run = |program: &Path, arguments: &[&str]| {
        let output = Command::new(program)
            .args(arguments)
            .output()
            .expect("it runs");
        assert!(
            output.status.success(),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        );
    };
    let setover = Path::new(env!("CARGO_BIN_EXE_setover"));
    let path = file.to_string_lossy();
    let nothing = time(31, || run(&empty, &[]));
    let sheet = time(31, || run(setover, &["run", &path]));
    let ratio = sheet.as_secs_f64() / nothing.as_secs_f64();
    println!(
        "whole process, 200 cells: {sheet:.2?} against {nothing:.2?} for an empty program: {ratio:.1} times"
    );
}
