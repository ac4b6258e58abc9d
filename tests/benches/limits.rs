//! How long limits and sampling take.
//!
//! `cargo bench --bench limits`. Ratios are to something measured in the same run: the
//! plain evaluation of the notebook, the same chain written by hand in Rust, and the
//! same chain in numpy, whole process against whole process (with the Python that
//! `SETOVER_PYTHON` names, or `python3`, where that has numpy).

#[path = "../common/texts.rs"]
mod texts;

use std::fmt::Write;
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use setover::internals::notebook::{Request, Spread, ToleranceAnalysis, Workspace, sample};
use texts::Texts;

/// The chain: 20 cells over 10 toleranced sizes.
const CHAIN: &str = "s0 = 20 mm ±0.05
s1 = 12 mm (+0.018/0)
s2 = 15 mm ±0.1
s3 = 30 mm ±0.02
s4 = 8 mm (0/-0.12)
s5 = 31 mm ±0.05
s6 = 40 mm ±0.2
s7 = 6 mm ±0.02
s8 = 5 mm (-0.006/-0.017)
s9 = 25 mm ±0.05
c0 = s0 + s1
c1 = c0 * s2 / 10 mm
c2 = sqrt(c1 * s3)
c3 = c2 - s4 / 2
c4 = max(c3, s5)
c5 = c4 * cos(atan(s6 / 100 mm))
c6 = c5 + s7 - s8
c7 = (c6^2 + s9^2) / 50 mm
c8 = c7 / 3 + c2
c9 = min(c8, 60 mm)
c10 = c9 * s7 / s8
c11 = c10 - c0
c12 = c11 + 2 * s9
c13 = sqrt(c12^2 + s6^2)
c14 = c13 * sin(30 deg)
c15 = c14 + c5 / 4
c16 = (c15 - s4) * 1.5
c17 = c16 + s0 - s1
c18 = c17 * s2 / s3
c19 = c18 + c10
check c19 < 130 mm
";

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

/// A notebook of `cells` cells of which `sizes` have limits; each formula uses its
/// neighbours, so that limits travel far.
fn notebook(cells: usize, sizes: usize) -> String {
    let mut text = String::new();
    for index in 0..sizes {
        let _ = writeln!(text, "s{index} = {} mm ±0.0{}", 10 + index, 1 + index % 8);
    }
    for index in 0..cells - sizes {
        let (a, b) = (index % sizes, (index * 7 + 3) % sizes);
        let before = if index < 10 || index % 10 == 0 {
            format!("s{b}")
        } else {
            format!("c{}", index - 1)
        };
        let _ = match index % 5 {
            0 => writeln!(text, "c{index} = s{a} + s{b}"),
            1 => writeln!(text, "c{index} = {before} * 2 - s{a}"),
            2 => writeln!(text, "c{index} = sqrt({before}^2 + s{a}^2)"),
            3 => writeln!(text, "c{index} = max({before}, s{a}) + 1 mm"),
            _ => writeln!(text, "c{index} = {before} * s{a} / s{b}"),
        };
    }
    for index in 0..20 {
        let _ = writeln!(text, "check c{} > 0 mm", index * 20);
    }
    text
}

fn open(text: &str) -> Workspace {
    Workspace::of_text(Path::new("part.job"), text, &Texts(&[]))
}

/// The figures of one cell: mean, standard deviation and the two outer points.
fn figures(values: &mut [f64]) -> [f64; 4] {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let squares = values.iter().map(|v| (v - mean) * (v - mean)).sum::<f64>();
    let tail = (n * 0.00135) as usize;
    let low = *values.select_nth_unstable_by(tail, f64::total_cmp).1;
    let last = values.len() - 1 - tail;
    let high = *values.select_nth_unstable_by(last, f64::total_cmp).1;
    [mean, (squares / (n - 1.0)).sqrt(), low, high]
}

/// The chain written by hand: all samples, then the figures of every cell.
fn by_hand(count: usize) -> Vec<[f64; 4]> {
    const SIZES: [(f64, f64, f64); 10] = [
        (20.0, -0.05, 0.05),
        (12.0, 0.0, 0.018),
        (15.0, -0.1, 0.1),
        (30.0, -0.02, 0.02),
        (8.0, -0.12, 0.0),
        (31.0, -0.05, 0.05),
        (40.0, -0.2, 0.2),
        (6.0, -0.02, 0.02),
        (5.0, -0.017, -0.006),
        (25.0, -0.05, 0.05),
    ];
    let sizes: Vec<Vec<f64>> = SIZES
        .iter()
        .enumerate()
        .map(|(source, (size, low, high))| {
            let column = Spread::Normal.column(1, source as u64, 0, count);
            let size = |part: f64| size + low + part * (high - low);
            column.into_iter().map(size).collect()
        })
        .collect();
    let mut cells: Vec<Vec<f64>> = (0..20).map(|_| Vec::with_capacity(count)).collect();
    // The chain reads many columns at one place, as the handwritten loop it is.
    #[allow(clippy::needless_range_loop)]
    for n in 0..count {
        let s = |index: usize| sizes[index][n];
        let c0 = s(0) + s(1);
        let c1 = c0 * s(2) / 10.0;
        let c2 = (c1 * s(3)).sqrt();
        let c3 = c2 - s(4) / 2.0;
        let c4 = c3.max(s(5));
        let c5 = c4 * (s(6) / 100.0).atan().cos();
        let c6 = c5 + s(7) - s(8);
        let c7 = (c6 * c6 + s(9) * s(9)) / 50.0;
        let c8 = c7 / 3.0 + c2;
        let c9 = c8.min(60.0);
        let c10 = c9 * s(7) / s(8);
        let c11 = c10 - c0;
        let c12 = c11 + 2.0 * s(9);
        let c13 = (c12 * c12 + s(6) * s(6)).sqrt();
        let c14 = c13 * 30.0_f64.to_radians().sin();
        let c15 = c14 + c5 / 4.0;
        let c16 = (c15 - s(4)) * 1.5;
        let c17 = c16 + s(0) - s(1);
        let c18 = c17 * s(2) / s(3);
        let c19 = c18 + c10;
        let all = [
            c0, c1, c2, c3, c4, c5, c6, c7, c8, c9, c10, c11, c12, c13, c14, c15, c16, c17, c18,
            c19,
        ];
        for (cell, value) in cells.iter_mut().zip(all) {
            cell.push(value);
        }
    }
    let sizes = sizes.into_iter().chain(cells);
    sizes.map(|mut values| figures(&mut values)).collect()
}

fn main() {
    limits();
    chain();
    whole_process();
}

fn limits() {
    let text = notebook(500, 50);
    let load = time(5, || open(&text));
    let workspace = open(&text);
    let travel = time(3, || ToleranceAnalysis::of(&workspace));
    println!("limits of 500 cells with 50 toleranced sizes");
    println!(
        "  loading and evaluating {load:.2?}; limits {travel:.2?}, {:.0} times that",
        travel.as_secs_f64() / load.as_secs_f64()
    );
}

fn chain() {
    let workspace = open(CHAIN);
    let travel = ToleranceAnalysis::of(&workspace);
    println!("100,000 samples of a chain of 20 cells over 10 sizes");
    let hand = time(5, || by_hand(100_000));
    println!("  by hand in Rust, one thread             {hand:>10.2?}");
    let draws = time(5, || {
        (0..10)
            .map(|source| Spread::Normal.column(1, source, 0, 100_000))
            .collect::<Vec<_>>()
    });
    println!("  of that, drawing the sizes              {draws:>10.2?}");
    for (what, threads, columns, count) in [
        ("columns, one thread", 1, true, 100_000),
        ("columns, all threads", 0, true, 100_000),
        ("ordinary evaluator, all threads", 0, false, 10_000),
    ] {
        let request = Request {
            threads,
            columns,
            ..Request::new(count, 1)
        };
        let took = time(5, || sample(&workspace, &travel, &request));
        let each = took.as_secs_f64() / count as f64 * 100_000.0;
        println!(
            "  {what:<38}{:>10.2?}  {:.2} times by hand",
            Duration::from_secs_f64(each),
            each / hand.as_secs_f64()
        );
    }
    // Both are the same samples: the mean of the last cell must agree.
    let sampled = sample(&workspace, &travel, &Request::new(100_000, 1)).expect("not too many");
    let mean = sampled.rows.last().map_or(0.0, |row| row.tally.mean()) * 1e3;
    let hand = by_hand(100_000)[29][0];
    assert!((mean / hand - 1.0).abs() < 1e-9, "{mean} {hand}");
}

fn whole_process() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let file = folder.path().join("chain.job");
    std::fs::write(&file, CHAIN).expect("the notebook is written");
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/benches/chain_numpy.py");
    let python = std::env::var("SETOVER_PYTHON").unwrap_or_else(|_| "python3".to_owned());
    println!("whole processes");
    for count in ["100000", "1000000"] {
        let ours = time(5, || {
            let run = Command::new(env!("CARGO_BIN_EXE_setover"))
                .args(["run", "--samples", count])
                .arg(&file)
                .output();
            assert!(run.is_ok_and(|run| run.status.success()));
        });
        println!("  setover run --samples {count:<8} {ours:>10.2?}");
        let worked = |python: &str| {
            let run = Command::new(python).arg(&script).arg(count).output();
            run.is_ok_and(|run| run.status.success())
        };
        if !worked(&python) {
            println!("  no numpy with {python}: set SETOVER_PYTHON");
            continue;
        }
        let numpy = time(5, || worked(&python));
        println!(
            "  numpy {count:<24} {numpy:>10.2?}  {:.1} times setover",
            numpy.as_secs_f64() / ours.as_secs_f64()
        );
    }
}
