//! Notebooks for tests, held in memory.

use std::collections::HashMap;
use std::path::Path;

use setover::internals::notebook::{Limits, Shelf, ToleranceAnalysis, Workspace, problems};
use setover::internals::sheet::{Row, RowKind, Sheet};

/// Notebooks by file name.
#[derive(Default)]
pub struct Texts(HashMap<String, String>);

impl Shelf for Texts {
    fn text(&self, path: &Path) -> Result<String, String> {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        self.0
            .get(&*name)
            .cloned()
            .ok_or_else(|| "there is no such file".to_owned())
    }

    fn beside(&self, _: &Path) -> Vec<String> {
        Vec::new()
    }
}

/// A notebook whose text is whole, with those it uses.
#[track_caller]
pub fn open_with(text: &str, others: &[(&str, &str)]) -> Workspace {
    let texts = others
        .iter()
        .map(|(name, text)| ((*name).to_owned(), (*text).to_owned()));
    let shelf = Texts(texts.collect());
    let workspace = Workspace::of_text(Path::new("main.job"), text, &shelf);
    let found = problems(&workspace);
    assert!(found.is_empty(), "{found:#?}\n{text}");
    workspace
}

/// A notebook whose text is whole.
#[track_caller]
pub fn open(text: &str) -> Workspace {
    open_with(text, &[])
}

/// The limits of a cell.
#[track_caller]
pub fn limits_of(workspace: &Workspace, name: &str) -> Option<Limits> {
    let slot = workspace
        .find(name)
        .unwrap_or_else(|| panic!("there is no {name}"));
    ToleranceAnalysis::of(workspace).limits.get(&slot).cloned()
}

/// The row of a name on the sheet; of several readings the last.
#[track_caller]
pub fn row(workspace: &Workspace, kind: RowKind, name: &str) -> Row {
    let sheet = Sheet::of(workspace);
    let rows = sheet.rows();
    let row = rows
        .filter(|row| row.kind == kind && row.name == name)
        .last();
    row.unwrap_or_else(|| panic!("there is no row {name}"))
        .clone()
}

/// Whether two numbers agree to 1e-9 of their size or 1e-14.
#[track_caller]
pub fn close(found: f64, expected: f64, what: &str) {
    let off = (found - expected).abs();
    assert!(
        off <= 1e-9 * expected.abs() + 1e-14,
        "{what}: {found} should be {expected}"
    );
}
