//! Tables, records and what-if tables on a terminal.

use comfy_table::{Cell, CellAlignment, Row as TableRow, Table};
use unicode_width::UnicodeWidthStr;

use super::formatted_value::FormattedValue;
use super::grid_columns::grid_columns;
use super::model::Grid;
use super::narrow;
use super::terminal::{TerminalStyle, plain_table, push_line};

/// The figure of a number, without the tolerance that may stand behind it.
fn figure(number: &str) -> &str {
    number.split_once(' ').map_or(number, |(figure, _)| figure)
}

/// Whether a number lines up by its decimal point; angles in minutes and fractions don't.
pub(super) fn is_decimal(number: &str) -> bool {
    !number.is_empty() && !figure(number).contains(['°', '/', 'e'])
}

/// How wide a number is from its decimal point on, with the tolerance behind it.
pub(super) fn behind_the_point(number: &str) -> usize {
    let figure = figure(number);
    match number.split_once('.') {
        Some((whole, _)) if whole.len() < figure.len() => number.width() - whole.width(),
        _ => number.width() - figure.width(),
    }
}

/// Numbers padded so that their decimal points stand in one line when they are
/// aligned to the right.
pub(super) fn lined_up<'a>(written: impl Iterator<Item = &'a FormattedValue>) -> Vec<String> {
    let numbers: Vec<&str> = written.map(|written| written.number.as_str()).collect();
    let behind = behind_the_point;
    let decimal = is_decimal;
    let most = numbers
        .iter()
        .filter(|number| decimal(number))
        .map(|number| behind(number))
        .max()
        .unwrap_or(0);
    numbers
        .iter()
        .map(|number| {
            let pad = if number.is_empty() || !decimal(number) {
                0
            } else {
                most - behind(number)
            };
            format!("{number}{}", " ".repeat(pad))
        })
        .collect()
}

pub(super) fn write_grid(out: &mut String, grid: &Grid, look: TerminalStyle) {
    let columns = grid_columns(grid, |cells| lined_up(cells.iter().copied()));
    let right: Vec<bool> = columns.iter().map(|column| column.right).collect();
    let texts: Vec<Vec<String>> = (0..grid.rows.len())
        .map(|row| {
            columns
                .iter()
                .filter_map(|column| column.cells.get(row).cloned())
                .collect()
        })
        .collect();
    let headings: Vec<String> = columns.into_iter().map(|column| column.heading).collect();
    let room = usize::from(look.width).saturating_sub(4);
    let mut table = grid_table(grid, &headings, &texts, &right, look);
    if too_wide(&table, room) {
        let data = (0..headings.len()).map(|place| {
            let cells = texts.iter().filter_map(|row| row.get(place));
            cells.map(|text| text.width()).max().unwrap_or(0)
        });
        let broken = headings.iter().zip(data);
        let broken: Vec<String> = broken
            .map(|(heading, width)| narrow::broken_heading(heading, width))
            .collect();
        table = grid_table(grid, &broken, &texts, &right, look);
    }
    if too_wide(&table, room) && !grid.columns.is_empty() {
        let headings: Vec<String> = headings.iter().map(|h| h.replace('\n', " ")).collect();
        narrow::write_grid(out, &headings, &texts, &grid.marks, usize::from(look.width));
        return;
    }
    for line in table.lines() {
        push_line(out, &format!("   {line}"));
    }
}

/// Whether a table needs more columns than there are.
fn too_wide(table: &Table, room: usize) -> bool {
    let widths = table.column_max_content_widths();
    widths
        .iter()
        .map(|width| usize::from(*width) + 2)
        .sum::<usize>()
        > room
}

/// The table of a grid.
fn grid_table(
    grid: &Grid,
    headings: &[String],
    texts: &[Vec<String>],
    right: &[bool],
    look: TerminalStyle,
) -> Table {
    let marked = grid.marks.iter().any(|mark| !mark.is_empty());
    let mut table = plain_table(look);
    // The lines are indented by three columns.
    table.set_width(look.width.max(23) - 3);
    if !grid.columns.is_empty() {
        let cells = headings
            .iter()
            .zip(right)
            .map(|(heading, right)| aligned(heading, *right));
        table.set_header(TableRow::from(cells.collect::<Vec<_>>()));
    }
    for (index, row) in texts.iter().enumerate() {
        let mut cells: Vec<Cell> = row
            .iter()
            .zip(right)
            .map(|(text, right)| aligned(text, *right))
            .collect();
        if marked {
            cells.push(Cell::new(grid.marks.get(index).map_or("", String::as_str)));
        }
        table.add_row(TableRow::from(cells));
    }
    table
}

pub(super) fn aligned(text: &str, right: bool) -> Cell {
    Cell::new(text).set_alignment(if right {
        CellAlignment::Right
    } else {
        CellAlignment::Left
    })
}
