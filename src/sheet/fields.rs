//! Records and tables of one row on a terminal: fields in columns behind the name.

use unicode_width::UnicodeWidthStr;

use super::formatted_value::FormattedValue;
use super::grid_columns::grid_columns;
use super::model::Grid;
use super::narrow;
use super::terminal_style::TerminalStyle;
use crate::diagnostic::push_line;

/// The longest value that stands in a column; a longer one has lines of its own.
const LONGEST: usize = 28;
/// The most columns of fields.
const MOST: usize = 4;
/// What stands between two columns of fields.
const GAP: usize = 3;

/// Returns whether a grid is a record, or a table of one row without marks.
pub(super) fn are_fields(grid: &Grid) -> bool {
    grid.columns.is_empty() && grid.rows.iter().all(|row| row.len() == 2)
        || grid.rows.len() == 1 && grid.marks.iter().all(String::is_empty)
}

/// Returns the names and the values of the fields.
fn named(grid: &Grid) -> Vec<(String, String)> {
    if grid.columns.is_empty() {
        let pair = |row: &Vec<FormattedValue>| {
            let mut cells = row.iter().map(FormattedValue::line);
            (
                cells.next().unwrap_or_default(),
                cells.next().unwrap_or_default(),
            )
        };
        return grid.rows.iter().map(pair).collect();
    }
    let columns = grid_columns(grid, |cells| {
        cells.iter().map(|cell| cell.number.clone()).collect()
    });
    let values = grid.rows.iter().flatten().map(FormattedValue::line);
    let heading = |place: usize| grid.columns.get(place).map(|name| name.replace('\n', " "));
    let named = (0..columns.len()).zip(values.chain(std::iter::repeat(String::new())));
    named
        .map(|(place, value)| (heading(place).unwrap_or_default(), value))
        .filter(|(_, value)| !value.is_empty())
        .collect()
}

/// Writes the fields behind the name they belong to, with the note at the end; false where
/// they don't fit beside it.
pub(super) fn write(
    out: &mut String,
    name: &str,
    grid: &Grid,
    note: &str,
    look: TerminalStyle,
) -> bool {
    let fields = named(grid);
    let indent = name.width() + 4;
    let width = usize::from(look.width);
    let (long, short): (Vec<_>, Vec<_>) = fields
        .iter()
        .partition(|(_, value)| value.width() > LONGEST);
    let room = width.saturating_sub(indent);
    let Some(mut lines) = columns(&short, room) else {
        return false;
    };
    if long.iter().any(|(name, _)| name.width() + LONGEST > room) {
        return false;
    }
    for (field, value) in long {
        let mut text = String::new();
        let next = field.width() + 2;
        narrow::wrapped(
            &mut text,
            &format!("{field}\u{a0}\u{a0}{value}"),
            room,
            0,
            next,
        );
        lines.extend(text.lines().map(|line| line.replace('\u{a0}', " ")));
    }
    if !note.is_empty() {
        let fits = lines.last().map_or(0, |line| line.width()) + note.width() + 4 <= room;
        match lines.last_mut().filter(|_| fits) {
            Some(last) => last.push_str(&format!("  ({note})")),
            None => {
                let mut text = String::new();
                narrow::wrapped(&mut text, &format!("({note})"), room, 0, 1);
                lines.extend(text.lines().map(str::to_owned));
            }
        }
    }
    for (index, line) in lines.iter().enumerate() {
        let before = if index == 0 { name } else { "" };
        let pad = " ".repeat(indent - 2 - before.width());
        push_line(out, &format!("  {before}{pad}{line}"));
    }
    true
}

/// Returns short fields in as many columns as fit, going down first; nothing where not even one
/// column fits.
fn columns(fields: &[&(String, String)], room: usize) -> Option<Vec<String>> {
    if fields.is_empty() {
        return Some(Vec::new());
    }
    (1..=MOST.min(fields.len())).rev().find_map(|count| {
        let down = fields.len().div_ceil(count);
        let columns: Vec<_> = fields.chunks(down).collect();
        let widest = |part: fn(&(String, String)) -> &String, column: &[&(String, String)]| {
            let widths = column.iter().map(|field| part(field).width());
            widths.max().unwrap_or(0)
        };
        let widths: Vec<(usize, usize)> = columns
            .iter()
            .map(|column| {
                (
                    widest(|field| &field.0, column),
                    widest(|field| &field.1, column),
                )
            })
            .collect();
        let whole: usize = widths.iter().map(|(name, value)| name + 2 + value).sum();
        if whole + GAP * (columns.len() - 1) > room {
            return None;
        }
        let line = |index: usize| {
            let mut line = String::new();
            for (column, (name, value)) in columns.iter().zip(&widths) {
                let Some(field) = column.get(index) else {
                    continue;
                };
                let after = " ".repeat(name - field.0.width() + 2);
                let end = " ".repeat(value - field.1.width() + GAP);
                line.push_str(&format!("{}{after}{}{end}", field.0, field.1));
            }
            line.trim_end().to_owned()
        };
        Some((0..down).map(line).collect())
    })
}
