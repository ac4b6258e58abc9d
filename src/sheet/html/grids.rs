//! Values and grids of a page.

use maud::{Markup, html as markup};

use super::parts::{self, PageRow, clean, minus};
use crate::sheet::formatted_value::FormattedValue;
use crate::sheet::grid_columns::{GridColumn, grid_columns};
use crate::sheet::model::{Grid, Mark, Row, RowKind, RowState, joined};
use crate::sheet::terminal_grid::{behind_the_point, padded};

/// The longest text that a phone has room for beside its name.
const BESIDE: usize = 24;
/// The longest text of a row that is short.
const SHORT: usize = 40;
/// A figure's width of blank, and a point's.
const FIGURE: char = '\u{2007}';
const POINT: char = '\u{2008}';

/// Returns numbers padded so that their decimal points stand in one line.
fn lined_up<'a>(written: impl Iterator<Item = &'a FormattedValue>) -> Vec<String> {
    padded(written, |number, missing| {
        let mut text = clean(number).replace('-', "−");
        let point = missing > 0 && behind_the_point(number) == 0;
        text.extend(point.then_some(POINT));
        text.extend(std::iter::repeat_n(FIGURE, missing - usize::from(point)));
        text
    })
}

/// Returns values that only lead to others, folded away under their names.
pub fn working(rows: &[PageRow]) -> Markup {
    let told = rows
        .iter()
        .any(|placed| placed.row.state.mark() == Mark::Ill);
    folded(rows, told, &values(rows))
}

/// Returns rows folded away under their names; open where that is told.
pub fn folded(rows: &[PageRow], told: bool, shown: &Markup) -> Markup {
    let names = rows.iter().map(|placed| placed.row.name.as_str());
    let names: Vec<&str> = names.filter(|name| !name.is_empty()).collect();
    markup! {
        details.working open[told] {
            summary { "Working: " (clean(&names.join(", "))) }
            (shown)
        }
    }
}

/// Returns a run of values as one table.
pub fn values(placed: &[PageRow]) -> Markup {
    let rows: Vec<&Row> = placed.iter().map(|placed| placed.row).collect();
    let numbers = lined_up(rows.iter().map(|row| &row.written));
    let none = FormattedValue::default();
    let others = lined_up(rows.iter().map(|row| row.other.as_ref().unwrap_or(&none)));
    let both = rows.iter().any(|row| row.other.is_some());
    let limits = rows.iter().any(|row| !row.limits.is_empty());
    // Where all is text, a column for units would have no cell of its own.
    let numbered = rows.iter().any(|row| !row.written.number.is_empty());
    let span = if numbered { "2" } else { "1" };
    // On paper, short rows stand in two columns.
    let long = |row: &&Row| row.written.number.is_empty() && row.written.unit.len() > SHORT;
    let class = if limits || rows.iter().any(long) {
        "values"
    } else {
        "values short"
    };
    markup! {
        div.fold {
        table class=(class) {
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
                @for (((row, number), other), PageRow { id, .. }) in rows.iter().zip(numbers).zip(others).zip(placed) {
                    tr id=(id) {
                        th scope="row" { (clean(&row.name)) }
                        @if row.written.number.is_empty() {
                            td.words.long[row.written.unit.chars().count() > BESIDE] colspan=(span) { (clean(&minus(&row.written.unit))) }
                        } @else {
                            td.number { (number) }
                            td.unit { (clean(&row.written.unit)) }
                        }
                        @if both {
                            td.number.other { (other) }
                            td.unit.other { (clean(row.other.as_ref().map_or("", |other| &other.unit))) }
                        }
                        @if limits { td.limits { (clean(&minus(&row.limits))) } }
                        td.remarks { (remarks(row)) }
                    }
                }
            }
        }
        }
    }
}

/// Returns what stands behind a value: its state, its note, and room for a reading.
fn remarks(row: &Row) -> Markup {
    markup! {
        @if row.status != "computed" && !row.status.is_empty() {
            (parts::state(row.state, &row.status)) " "
        }
        (parts::remark(&row.note))
        @if row.kind == RowKind::Measured {
            span.reading { " next reading " span.blank {} }
        }
    }
}

/// Returns a table or a what-if table.
pub fn grid(PageRow { id, row }: &PageRow) -> Markup {
    let name = row.called();
    let all = row.rest.as_ref().and_then(|rest| rest.grid.as_ref());
    let seen = row.grid.as_ref().and_then(|grid| Seen::of(grid, all));
    let style = seen
        .as_ref()
        .map(|seen| format!("--columns:{}", seen.columns));
    let mut class = String::from("grid");
    if let Some(seen) = &seen {
        class.push(' ');
        class.push_str(seen.class);
        class.push_str(if seen.wider { " wider" } else { "" });
    }
    class.push_str(if is_long(row) { " long" } else { "" });
    let chosen = |grid: &Grid| !grid.left_out.is_empty();
    if row.grid.as_ref().is_some_and(chosen) {
        class.push_str(" choice");
    }
    markup! {
        div id=(id) class=(class) style=[style] tabindex="0" role="region" aria-label=(clean(name)) {
            @match &row.grid {
                Some(grid) => {
                    (grid_table(grid, name, &joined(&[&grid.left_out, &row.note])))
                    (rest(row, name))
                }
                None => p { (clean(name)) " " (parts::state(row.state, &row.status)) " " (parts::remark(&row.note)) },
            }
        }
    }
}

/// How many columns of a wide table a phone shows beside the first: whole ones, so that
/// no number is cut in two at the edge, wherever the table is scrolled to.
struct Seen {
    /// The class of the grid.
    class: &'static str,
    /// Whether there are more columns than it shows.
    wider: bool,
    /// How many columns the table has.
    columns: usize,
}

impl Seen {
    /// How many columns stand beside the first, the most letters that a cell may have
    /// there, and their class.
    const WAYS: [(usize, usize, &'static str); 3] = [
        (3, 8, "by-three"),
        (2, 12, "by-two"),
        (1, usize::MAX, "by-one"),
    ];

    /// Nothing for what a phone has room for. All rows of the table, where only some are
    /// shown, come in columns as wide.
    fn of(grid: &Grid, rest: Option<&Grid>) -> Option<Self> {
        let columns = columns(grid);
        let of_rest = rest.map(self::columns).unwrap_or_default();
        let others = (columns.len() + usize::from(is_marked(grid))).checked_sub(1)?;
        if others < 2 {
            return None;
        }
        let letters = |text: &str| text.trim().chars().count();
        // Numbers stay on one line, words need not; headings break at their underscores,
        // and their letters are smaller.
        let widest = |column: &GridColumn| {
            let parts = |text: &str| text.split([' ', '_']).map(letters).max().unwrap_or(0);
            let of_cell = |cell: &String| {
                if column.right {
                    letters(cell)
                } else {
                    parts(cell)
                }
            };
            let cells = column.cells.iter().map(of_cell).max().unwrap_or(0);
            cells.max(parts(&column.heading) * 4 / 5)
        };
        let others_too = columns.iter().skip(1).chain(of_rest.iter().skip(1));
        let most = others_too.map(widest).max().unwrap_or(0);
        let (beside, _, class) = Self::WAYS
            .into_iter()
            .find(|(beside, letters, _)| *beside <= others && most <= *letters)?;
        Some(Self {
            class,
            wider: others > beside,
            columns: others + 1,
        })
    }
}

/// Returns all rows of a table of which some are shown, all fields of a record, folded away.
fn rest(row: &Row, name: &str) -> Markup {
    let all = row.rest.as_ref().and_then(|rest| rest.grid.as_ref());
    markup! {
        @if let Some(all) = all {
            details.working {
                summary {
                    @if all.columns.is_empty() { "All fields" } @else { "All " (all.rows.len()) " rows" }
                }
                div.fold { (grid_table(all, name, "")) }
            }
        }
    }
}

/// Returns whether a table is so long and narrow that it had better stand in columns.
fn is_long(row: &Row) -> bool {
    let long = |grid: &Grid| grid.rows.len() > 24 && grid.columns.len() <= 5;
    row.grid.as_ref().is_some_and(long)
}

/// Returns whether the rows of a grid have states.
fn is_marked(grid: &Grid) -> bool {
    grid.marks.iter().any(|mark| !mark.is_empty())
}

/// Returns the columns of a grid, ready to be written.
fn columns(grid: &Grid) -> Vec<GridColumn> {
    let columns = grid_columns(grid, |cells| lined_up(cells.iter().copied()));
    let ready = |column: GridColumn| GridColumn {
        heading: clean(&column.heading.replace('\n', " ")),
        cells: column.cells.iter().map(|text| clean(text)).collect(),
        ..column
    };
    columns.into_iter().map(ready).collect()
}

/// Returns a heading that may break behind its underscores.
fn breakable(heading: &str) -> Markup {
    markup! {
        @for part in heading.split_inclusive('_') { (part) @if part.ends_with('_') { wbr; } }
    }
}

fn grid_table(grid: &Grid, name: &str, note: &str) -> Markup {
    let columns = columns(grid);
    let marked = is_marked(grid);
    let class = |column: &GridColumn| if column.right { "number" } else { "words" };
    markup! {
        table.cells {
            caption { div { (clean(name)) " " (parts::remark(note)) } }
            @if !grid.columns.is_empty() {
                thead {
                    tr {
                        @for column in &columns { th scope="col" class=(class(column)) { (breakable(&column.heading)) } }
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
                            td.words { @if !mark.is_empty() { (parts::state(RowState::Fails, mark)) } }
                        }
                    }
                }
            }
        }
    }
}
