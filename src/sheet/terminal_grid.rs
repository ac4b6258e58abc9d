//! Tables, records and what-if tables on a terminal.

use comfy_table::{Cell, CellAlignment, Row as TableRow, Table};
use unicode_width::UnicodeWidthStr;

use super::formatted_value::FormattedValue;
use super::grid_columns::grid_columns;
use super::model::Grid;
use super::narrow;
use super::terminal_style::{TerminalStyle, plain_table};
use crate::diagnostic::push_line;

/// Returns the figure of a number, without the tolerance that may stand behind it.
fn figure(number: &str) -> &str {
    number.split_once(' ').map_or(number, |(figure, _)| figure)
}

/// Returns whether a number lines up by its decimal point; angles in minutes and fractions don't.
fn is_decimal(number: &str) -> bool {
    !number.is_empty() && !figure(number).contains(['°', '/', 'e'])
}

/// Returns how wide a number is from its decimal point on, with the tolerance behind it.
pub(super) fn behind_the_point(number: &str) -> usize {
    let figure = figure(number);
    match number.split_once('.') {
        Some((whole, _)) if whole.len() < figure.len() => number.width() - whole.width(),
        _ => number.width() - figure.width(),
    }
}

/// Returns numbers padded so that their decimal points stand in one line when they are
/// aligned to the right.
pub(super) fn lined_up<'a>(written: impl Iterator<Item = &'a FormattedValue>) -> Vec<String> {
    padded(written, |number, missing| {
        number.to_owned() + &" ".repeat(missing)
    })
}

/// Returns numbers written by `pad`, which is told how many columns each lacks behind its
/// decimal point.
pub(super) fn padded<'a>(
    written: impl Iterator<Item = &'a FormattedValue>,
    pad: impl Fn(&str, usize) -> String,
) -> Vec<String> {
    let numbers: Vec<&str> = written.map(|written| written.number.as_str()).collect();
    let decimals = numbers.iter().filter(|number| is_decimal(number));
    let most = decimals.map(|number| behind_the_point(number)).max();
    let missing = |number: &str| match most {
        Some(most) if is_decimal(number) => most - behind_the_point(number),
        _ => 0,
    };
    numbers
        .iter()
        .map(|number| pad(number, missing(number)))
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
    let whole = Block {
        places: (0..headings.len()).collect(),
        marks: true,
    };
    let table = |block: &Block, headings: &[String]| {
        grid_table(grid, block, headings, &texts, &right, look)
    };
    let lines = |tables: &[Table]| -> Vec<String> {
        let lines = tables.iter().flat_map(Table::lines);
        lines.map(|line| format!("   {line}")).collect()
    };
    let one = table(&whole, &headings);
    if !too_wide(&one, room) || grid.columns.is_empty() {
        lines(&[one]).iter().for_each(|line| push_line(out, line));
        return;
    }
    // Headings of several lines, or two blocks of columns with the first one in both:
    // whichever is shorter.
    let data = (0..headings.len()).map(|place| {
        let cells = texts.iter().filter_map(|row| row.get(place));
        cells.map(|text| text.width()).max().unwrap_or(0)
    });
    let broken = headings.iter().zip(data);
    let broken: Vec<String> = broken
        .map(|(heading, width)| narrow::broken_heading(heading, width))
        .collect();
    let tall = Some(table(&whole, &broken)).filter(|table| !too_wide(table, room));
    let tall = tall.map(|table| lines(&[table]));
    let blocks = [&headings, &broken].into_iter().find_map(|headings| {
        let blocks = two_blocks(headings.len());
        let mut blocks = blocks.map(|blocks| blocks.map(|block| table(&block, headings)));
        blocks.find(|blocks| !blocks.iter().any(|table| too_wide(table, room)))
    });
    let blocks = blocks.map(|blocks| lines(&blocks));
    match shorter(tall, blocks) {
        Some(lines) => lines.iter().for_each(|line| push_line(out, line)),
        None => {
            let headings: Vec<String> = headings.iter().map(|h| h.replace('\n', " ")).collect();
            narrow::write_grid(out, &headings, &texts, &grid.marks, usize::from(look.width));
        }
    }
}

/// Returns the shorter of two layouts, where both can be had; of equal ones the first.
pub(super) fn shorter(
    first: Option<Vec<String>>,
    second: Option<Vec<String>>,
) -> Option<Vec<String>> {
    let layouts = first.into_iter().chain(second);
    layouts.min_by_key(Vec::len)
}

/// Some columns of a table.
struct Block {
    places: Vec<usize>,
    /// Whether the marks at the rows stand behind them.
    marks: bool,
}

/// Returns the ways to break so many columns into two blocks, the first column in both, the more
/// even first.
fn two_blocks(count: usize) -> impl Iterator<Item = [Block; 2]> {
    let middle = count.div_ceil(2) + 1;
    let mut breaks: Vec<usize> = (2..count).collect();
    breaks.sort_by_key(|at| at.abs_diff(middle));
    breaks.into_iter().map(move |at| {
        [
            Block {
                places: (0..at).collect(),
                marks: false,
            },
            Block {
                places: std::iter::once(0).chain(at..count).collect(),
                marks: true,
            },
        ]
    })
}

/// Returns whether a table needs more columns than there are.
fn too_wide(table: &Table, room: usize) -> bool {
    let widths = table.column_max_content_widths();
    widths
        .iter()
        .map(|width| usize::from(*width) + 2)
        .sum::<usize>()
        > room
}

/// Returns the table of a grid.
fn grid_table(
    grid: &Grid,
    block: &Block,
    headings: &[String],
    texts: &[Vec<String>],
    right: &[bool],
    look: TerminalStyle,
) -> Table {
    let marked = block.marks && grid.marks.iter().any(|mark| !mark.is_empty());
    let cell = |texts: &[String], place: &usize| {
        let text = texts.get(*place).map_or("", String::as_str);
        aligned(text, right.get(*place) == Some(&true))
    };
    let mut table = plain_table(look);
    // The lines are indented by three columns.
    table.set_width(look.width.max(23) - 3);
    if !grid.columns.is_empty() {
        let cells = block.places.iter().map(|place| cell(headings, place));
        table.set_header(TableRow::from(cells.collect::<Vec<_>>()));
    }
    for (index, row) in texts.iter().enumerate() {
        let cells = block.places.iter().map(|place| cell(row, place));
        let mut cells: Vec<Cell> = cells.collect();
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
