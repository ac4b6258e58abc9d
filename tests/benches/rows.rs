//! Tables that follow from a rule: 10,000 rows of five columns.
//!
//! `cargo bench --bench rows`. The limit is 50 ms; beside the times stand the ratios to
//! the same arithmetic written out in Rust, and to a tenth of the rows.

use std::hint::black_box;
use std::path::Path;
use std::time::{Duration, Instant};

use setover::internals::language::{STEPS, Value};
use setover::internals::notebook::{Shelf, Workspace};

struct Nothing;

impl Shelf for Nothing {
    fn text(&self, _: &Path) -> Result<String, String> {
        Err("there is nothing".to_owned())
    }

    fn beside(&self, _: &Path) -> Vec<String> {
        Vec::new()
    }
}

/// The best of several runs.
fn time<T>(mut run: impl FnMut() -> T) -> Duration {
    let runs = (0..15).map(|_| {
        let start = Instant::now();
        black_box(run());
        start.elapsed()
    });
    runs.min().unwrap_or_default()
}

fn main() {
    let text = "r = 60 mm\n";
    let workspace = Workspace::of_text(Path::new("rows.job"), text, &Nothing);
    let rule = |rows: u32| {
        format!(
            "rows for turn from 0 deg to {} deg by 0.01 deg starting run = 0 mm, x = r with
               x = r * cos(turn),
               y = r * sin(turn),
               chord = sqrt((x - before.x)^2 + y^2),
               run = before.run + chord",
            f64::from(rows - 1) / 100.0
        )
    };
    let table = |rows: u32| {
        let found = workspace.evaluate(&rule(rows), &[], STEPS);
        match found {
            Ok(Value::Table(table)) => table.rows.len() * table.columns.len(),
            other => panic!("no table: {other:?}"),
        }
    };
    assert_eq!(table(10_000), 50_000, "five columns with the counter");
    let plain = || {
        let (mut x, mut run) = (0.06_f64, 0.0_f64);
        let rows = (0..10_000_u32).map(|place| {
            let turn = (f64::from(place) / 100.0).to_radians();
            let before = x;
            x = 0.06 * turn.cos();
            let y = 0.06 * turn.sin();
            let chord = ((x - before).powi(2) + y.powi(2)).sqrt();
            run += chord;
            [turn, x, y, chord, run]
        });
        rows.collect::<Vec<_>>()
    };
    let [all, tenth, written_out] = [
        time(|| table(10_000)),
        time(|| table(1_000)),
        time(|| black_box(plain()).len()),
    ];
    let times = |a: Duration, b: Duration| a.as_secs_f64() / b.as_secs_f64();
    println!("10,000 rows of five columns: {all:.1?}, limit 50 ms");
    println!("  {:.1} times 1,000 rows", times(all, tenth));
    println!(
        "  {:.0} times the same written out in Rust",
        times(all, written_out)
    );
}
