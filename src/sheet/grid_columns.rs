//! The columns of a grid as every layout shows them.

use super::formatted_value::FormattedValue;
use super::model::Grid;

/// A column of a grid: its heading with the unit, and its cells.
pub struct GridColumn {
    /// The heading; of two lines where it is a name with a value.
    pub heading: String,
    /// Whether it holds numbers, which stand to the right.
    pub right: bool,
    /// The cells' texts.
    pub cells: Vec<String>,
}

/// Returns the columns of a grid. A unit that all numbers of a column share stands in its
/// heading; `lined_up` writes the numbers of a column so that they stand in line.
pub fn grid_columns(
    grid: &Grid,
    lined_up: impl Fn(&[&FormattedValue]) -> Vec<String>,
) -> Vec<GridColumn> {
    let widest = grid.rows.iter().map(Vec::len).max().unwrap_or(0);
    let empty = FormattedValue::default();
    let titled = !grid.columns.is_empty();
    let column = |place: usize| {
        let cells = grid.rows.iter().map(|row| row.get(place).unwrap_or(&empty));
        let cells: Vec<&FormattedValue> = cells.collect();
        let number = |cell: &&&FormattedValue| !cell.number.is_empty();
        let unit = cells.iter().find(number).map(|cell| cell.unit.as_str());
        let shared = titled
            && unit.is_some_and(|unit| cells.iter().filter(number).all(|cell| cell.unit == unit));
        let heading = grid.columns.get(place).map_or("", String::as_str);
        let heading = match unit.filter(|unit| shared && !unit.is_empty()) {
            // A name with a value has a unit of its own.
            Some(unit) if heading.contains('\n') => format!("{heading}\n({unit})"),
            Some(unit) => format!("{heading} ({unit})"),
            None => heading.to_owned(),
        };
        let texts = cells.iter().zip(lined_up(&cells)).map(|(cell, number)| {
            match (cell.number.is_empty(), shared) {
                (true, _) => cell.unit.clone(),
                (false, true) => number,
                (false, false) => format!("{number} {}", cell.unit),
            }
        });
        GridColumn {
            heading,
            right: titled && unit.is_some(),
            cells: texts.collect(),
        }
    };
    (0..widest.max(grid.columns.len())).map(column).collect()
}
