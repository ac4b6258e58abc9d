//! How long the page of a notebook takes to write, and how large it is.
//!
//! `cargo bench --bench page`. The wish is 20 ms for 200 cells.

mod generated;

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use generated::{Texts, notebook};
use setover::internals::cli::Files;
use setover::internals::notebook::Workspace;
use setover::internals::sheet::{Colophon, Sheet, TerminalStyle, html, terminal};
use setover::internals::syntax::parse_document;

/// The middle of several timings of `work`.
fn time<T>(mut work: impl FnMut() -> T) -> Duration {
    let mut times: Vec<Duration> = (0..31)
        .map(|_| {
            let start = Instant::now();
            std::hint::black_box(work());
            start.elapsed()
        })
        .collect();
    times.sort();
    times[times.len() / 2]
}

fn report(name: &str, workspace: &Workspace) {
    let colophon = Colophon {
        computed: "2031-05-09 14:05 UTC".to_owned(),
        version: "0.0.0".to_owned(),
    };
    let sheet = Sheet::of(workspace);
    let page = html(&sheet, &colophon);
    println!(
        "{name:<22} {:>4} rows  {:>7} bytes  sheet {:>9.2?}  page {:>9.2?}",
        sheet.rows().count(),
        page.len(),
        time(|| Sheet::of(workspace)),
        time(|| html(&sheet, &colophon)),
    );
}

fn main() {
    let text = notebook(200);
    let generated = Workspace::of_text(Path::new("part.job"), &text, &Texts(&[]));
    let sheet = Sheet::of(&generated);
    println!(
        "200 cells: parsed in {:.2?}, parsed and computed in {:.2?}, printed in {:.2?}",
        time(|| parse_document(&text)),
        time(|| Workspace::of_text(Path::new("part.job"), &text, &Texts(&[]))),
        time(|| terminal(
            &sheet,
            TerminalStyle {
                width: 80,
                colour: false
            }
        )),
    );
    report("200 cells", &generated);
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("notebooks");
    let entries = std::fs::read_dir(folder).expect("the notebooks");
    let mut files: Vec<PathBuf> = entries.flatten().map(|entry| entry.path()).collect();
    files.sort();
    for file in files {
        let name = file.file_stem().unwrap_or_default().to_string_lossy();
        if let Ok(workspace) = Workspace::open(&file, &Files) {
            report(&name, &workspace);
        }
    }
}
