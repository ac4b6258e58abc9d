//! Rows of the tables in tests/reference.

use std::collections::HashMap;
use std::ops::Index;

/// One row: its cells by column name.
#[derive(Debug)]
pub struct Row {
    cells: HashMap<String, String>,
}

impl Row {
    /// The text of a column.
    #[track_caller]
    pub fn text(&self, column: &str) -> &str {
        &self[column]
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

impl Index<&str> for Row {
    type Output = String;

    #[track_caller]
    fn index(&self, column: &str) -> &String {
        self.cells
            .get(column)
            .unwrap_or_else(|| panic!("no column {column}"))
    }
}

/// The rows of a table below its heading remarks.
pub fn rows(text: &str) -> Vec<Row> {
    let mut below = text;
    while below.starts_with('#') {
        below = below.split_once('\n').expect("a row below the remarks").1;
    }
    let mut reader = csv::Reader::from_reader(below.as_bytes());
    let rows: Vec<Row> = reader
        .deserialize()
        .map(|row| Row {
            cells: row.expect("a reference table has the same cells in each row"),
        })
        .collect();
    assert!(!rows.is_empty(), "a reference table has rows");
    rows
}
