//! The notebooks as they are: `setover run` of each beside an empty program, with and
//! without samples.
//!
//! `cargo bench --bench real`. Every figure is a ratio to something measured in the
//! same run; absolute times are printed for orientation only.

mod generated;

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

use generated::empty_program;

const ROUNDS: usize = 15;

/// The least of several timings of a program: what other programs of the machine take
/// is left out.
fn time(program: &Path, arguments: &[&str]) -> Duration {
    let times = (0..ROUNDS).map(|_| {
        let start = Instant::now();
        let output = Command::new(program).args(arguments).output();
        let time = start.elapsed();
        assert!(output.is_ok(), "{} runs", program.display());
        time
    });
    times.min().unwrap_or_default()
}

fn main() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let empty = empty_program(folder.path());
    let setover = Path::new(env!("CARGO_BIN_EXE_setover"));
    let nothing = time(&empty, &[]);
    let notebooks = Path::new(env!("CARGO_MANIFEST_DIR")).join("notebooks");
    let mut all: Vec<PathBuf> = std::fs::read_dir(notebooks)
        .expect("the notebooks")
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.extension().is_some_and(|extension| extension == "job"))
        .collect();
    all.sort();
    println!("an empty program takes {nothing:.2?}");
    println!("notebook                run   times empty   100,000 samples");
    for path in all {
        let file = path.to_string_lossy();
        let run = time(setover, &["run", &file]);
        let sampled = time(setover, &["run", "--samples", "100000", &file]);
        let name = path.file_stem().unwrap_or_default().to_string_lossy();
        println!(
            "{name:<18}{run:>9.2?}  {:>12.1}  {sampled:>16.2?}",
            run.as_secs_f64() / nothing.as_secs_f64()
        );
    }
}
