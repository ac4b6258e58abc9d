//! Notebooks made up for measuring.
#![allow(dead_code, unused_imports)] // each bench takes what it needs

#[path = "../../common/texts.rs"]
mod texts;

use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::process::Command;

pub use texts::Texts;

/// A program that does nothing, built in a folder.
#[must_use]
pub fn empty_program(folder: &Path) -> PathBuf {
    let (empty, source) = (folder.join("empty"), folder.join("empty.rs"));
    std::fs::write(&source, "fn main() {}\n").expect("the empty program is written");
    let built = Command::new("rustc")
        .arg("-O")
        .arg("-o")
        .arg(&empty)
        .arg(&source)
        .status();
    assert!(
        built.is_ok_and(|status| status.success()),
        "the empty program builds"
    );
    empty
}

/// A notebook of so many cells, each worked out from cells before it, of the kind
/// that a part's notebook has.
#[must_use]
pub fn notebook(cells: usize) -> String {
    let mut text = String::from("title Generated part\n\n[Sizes]\n");
    for cell in 0..cells {
        let before = cell.saturating_sub(1 + cell % 7);
        let _ = match cell % 5 {
            0 => writeln!(text, "c{cell} = {}.5 mm", cell % 90 + 10),
            1 => writeln!(
                text,
                "c{cell} = c{before} / 2 + 3 mm            # half of it"
            ),
            2 => writeln!(text, "c{cell} = c{before} * 2 - 1.5 mm"),
            3 => writeln!(text, "c{cell} = (c{before} + 2 * 3 mm) / 1.25"),
            _ => writeln!(
                text,
                "c{cell} = if c{before} > 20 mm then c{before} - 5 mm else c{before} + 5 mm"
            ),
        };
    }
    text
}

/// A notebook of so many cells of which `dependents` follow from the cell `input`,
/// near or far, and the others from the cell `other`.
#[must_use]
pub fn with_dependents(cells: usize, dependents: usize) -> String {
    let mut text = String::from("title Generated part\n\ninput = 40 mm\nother = 40 mm\n\n");
    for cell in 0..cells {
        let (origin, first) = if cell < dependents {
            ("input", 0)
        } else {
            ("other", dependents)
        };
        let before = match (cell - first).checked_sub(1 + cell % 7) {
            Some(before) if cell % 50 != 0 => format!("c{}", first + before),
            _ => origin.to_owned(),
        };
        let _ = match cell % 5 {
            0 => writeln!(text, "c{cell} = {before} + {}.5 mm", cell % 9),
            1 => writeln!(text, "c{cell} = {before} / 2 + 3 mm"),
            2 => writeln!(text, "c{cell} = {before} * 2 - 1.5 mm"),
            3 => writeln!(text, "c{cell} = ({before} + 2 * 3 mm) / 1.25"),
            _ => writeln!(
                text,
                "c{cell} = if {before} > 20 mm then {before} - 5 mm else {before} + 5 mm"
            ),
        };
    }
    text
}
