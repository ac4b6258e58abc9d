//! Rows of the published tables in tests/reference.

use std::collections::HashMap;

/// One row: its cells by column name.
pub struct Row {
    cells: HashMap<String, String>,
}

impl Row {
    /// The text of a column.
    #[track_caller]
    pub fn text(&self, column: &str) -> &str {
        self.cells
            .get(column)
            .unwrap_or_else(|| panic!("no column {column}"))
    }

    /// The number of a column, none where the cell is blank.
    #[track_caller]
    pub fn number(&self, column: &str) -> Option<f64> {
        match self.text(column) {
            "" => None,
            text => Some(text.parse().unwrap_or_else(|_| panic!("{column}: {text}"))),
        }
    }
}

/// The rows of a table, below its heading remarks.
pub fn rows(text: &str) -> Vec<Row> {
    let mut below = text;
    while below.starts_with('#') {
        below = below.split_once('\n').expect("a row below the remarks").1;
    }
    let mut reader = csv::Reader::from_reader(below.as_bytes());
    let rows: Vec<Row> = reader
        .deserialize()
        .map(|row| Row {
            cells: row.expect("a whole row"),
        })
        .collect();
    assert!(!rows.is_empty());
    rows
}

/// Fails unless two numbers agree within a tolerance.
#[track_caller]
pub fn near(what: &str, found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found - expected).abs() <= tolerance,
        "{what}: {found}, published {expected} ± {tolerance}"
    );
}
