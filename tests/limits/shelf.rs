//! Notebooks for tests, held in memory.

use std::path::Path;

use setover::internals::notebook::{Limits, ToleranceAnalysis, Workspace, problems};
use setover::internals::sheet::{Row, RowKind, Sheet};

pub use crate::texts::Texts;

/// A notebook whose text is whole, with those it uses.
#[track_caller]
pub fn open_with(text: &str, others: &[(&str, &str)]) -> Workspace {
    let workspace = Workspace::of_text(Path::new("main.job"), text, &Texts(others));
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
