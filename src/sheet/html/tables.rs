//! Values and grids of a page.

use maud::{Markup, html as markup};

use super::{Placed, clean, parts};
use crate::sheet::formatted_value::FormattedValue;
use crate::sheet::grid_columns::{GridColumn, grid_columns};
use crate::sheet::model::{Grid, Row, RowKind};
use crate::sheet::terminal_grid::{behind_the_point, is_decimal};

/// A figure's width of blank, and a point's.
const FIGURE: char = '\u{2007}';
const POINT: char = '\u{2008}';

/// Numbers padded so that their decimal points stand in one line.
fn lined_up<'a>(written: impl Iterator<Item = &'a FormattedValue>) -> Vec<String> {
    let numbers: Vec<&str> = written.map(|written| written.number.as_str()).collect();
    let (decimal, behind) = (is_decimal, behind_the_point);
    let most = numbers
        .iter()
        .filter(|number| decimal(number))
        .map(|number| behind(number))
        .max()
        .unwrap_or(0);
    let padded = numbers.iter().map(|number| {
        let mut text = clean(number).replace('-', "−");
        if decimal(number) {
            let missing = most - behind(number);
            if behind(number) == 0 && missing > 0 {
                text.push(POINT);
                text.extend(std::iter::repeat_n(FIGURE, missing - 1));
            } else {
                text.extend(std::iter::repeat_n(FIGURE, missing));
            }
        }
        text
    });
    padded.collect()
}

/// Values that only lead to others: folded away under their names.
pub fn working(rows: &[Placed]) -> Markup {
    let names: Vec<&str> = rows.iter().map(|placed| placed.row.name.as_str()).collect();
    let told = rows
        .iter()
        .any(|placed| parts::mark(&placed.row.status) == parts::Mark::Ill);
    markup! {
        details.working open[told] {
            summary { "Working: " (clean(&names.join(", "))) }
            div.fold { (values(rows)) }
        }
    }
}

/// A run of values as one table.
pub fn values(placed: &[Placed]) -> Markup {
    let rows: Vec<&Row> = placed.iter().map(|placed| placed.row).collect();
    let numbers = lined_up(rows.iter().map(|row| &row.written));
    let none = FormattedValue::default();
    let others = lined_up(rows.iter().map(|row| row.other.as_ref().unwrap_or(&none)));
    let both = rows.iter().any(|row| row.other.is_some());
    let limits = rows.iter().any(|row| !row.limits.is_empty());
    // Where all is text, a column for units would have no cell of its own.
    let numbered = rows.iter().any(|row| !row.written.number.is_empty());
    let span = if numbered { "2" } else { "1" };
    markup! {
        table.values {
            @if both || limits {
                thead {
                    tr {
                        th scope="col" { "name" }
                        th scope="col" colspan=(span) { "value" }
                        @if both { th scope="col" colspan="2" { "or" } }
                        @if limits { th scope="col" { "limits" } }
                        th scope="col" { "note" }
                    }
                }
            }
            tbody {
                @for (((row, number), other), Placed { id, .. }) in rows.iter().zip(numbers).zip(others).zip(placed) {
                    tr id=(id) {
                        th scope="row" { (clean(&row.name)) }
                        @if row.written.number.is_empty() {
                            td.words colspan=(span) { (clean(&row.written.unit)) }
                        } @else {
                            td.number { (number) }
                            td.unit { (clean(&row.written.unit)) }
                        }
                        @if both {
                            td.number.other { (other) }
                            td.unit.other { (clean(row.other.as_ref().map_or("", |other| &other.unit))) }
                        }
                        @if limits { td.limits { (clean(&row.limits)) } }
                        td.remarks { (remarks(row)) }
                    }
                }
            }
        }
    }
}

/// What stands behind a value: its state, its note, and room for a reading.
fn remarks(row: &Row) -> Markup {
    markup! {
        @if row.status != "computed" && !row.status.is_empty() {
            (parts::state(&row.status)) " "
        }
        (parts::remark(&row.note))
        @if row.kind == RowKind::Measured {
            span.reading { " next reading " span.blank {} }
        }
    }
}

/// A table or a what-if table.
pub fn grid(Placed { id, row }: &Placed) -> Markup {
    let name = if row.name.is_empty() {
        &row.formula
    } else {
        &row.name
    };
    markup! {
        div id=(id) class={"grid" @if is_long(row) { " long" }} tabindex="0" role="region" aria-label=(clean(name)) {
            @match &row.grid {
                Some(grid) => (grid_table(grid, name, &row.note)),
                None => p { (clean(name)) " " (parts::state(&row.status)) " " (parts::remark(&row.note)) },
            }
        }
    }
}

/// Whether a table is so long and narrow that it had better stand in columns.
fn is_long(row: &Row) -> bool {
    let long = |grid: &Grid| grid.rows.len() > 24 && grid.columns.len() <= 5;
    row.grid.as_ref().is_some_and(long)
}

/// The columns of a grid, ready to be written.
fn columns(grid: &Grid) -> Vec<GridColumn> {
    let columns = grid_columns(grid, |cells| lined_up(cells.iter().copied()));
    let ready = |column: GridColumn| GridColumn {
        heading: clean(&column.heading.replace('\n', " ")),
        cells: column.cells.iter().map(|text| clean(text)).collect(),
        ..column
    };
    columns.into_iter().map(ready).collect()
}

fn grid_table(grid: &Grid, name: &str, note: &str) -> Markup {
    let columns = columns(grid);
    let marked = grid.marks.iter().any(|mark| !mark.is_empty());
    let class = |column: &GridColumn| if column.right { "number" } else { "words" };
    markup! {
        table.cells {
            caption { (clean(name)) " " (parts::remark(note)) }
            @if !grid.columns.is_empty() {
                thead {
                    tr {
                        @for column in &columns { th scope="col" class=(class(column)) { (column.heading) } }
                        @if marked { th scope="col" { "state" } }
                    }
                }
            }
            tbody {
                @for index in 0..grid.rows.len() {
                    tr {
                        @for column in &columns {
                            td class=(class(column)) { (column.cells.get(index).map_or("", String::as_str)) }
                        }
                        @if marked {
                            @let mark = grid.marks.get(index).map_or("", String::as_str);
                            td.words { @if !mark.is_empty() { (parts::state(mark)) } }
                        }
                    }
                }
            }
        }
    }
}
