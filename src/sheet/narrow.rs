//! The layout for a narrow terminal: no number is ever broken across lines.

use comfy_table::ColumnConstraint;
use unicode_width::UnicodeWidthStr;

use super::model::Row;
use super::terminal_style::{TerminalStyle, plain_table, push_table};
use crate::diagnostic::push_line;
pub use crate::diagnostic::wrapped;

/// The widest a table may be made to fit by wrapping its last column; below this
/// much room for it, values are stacked instead.
pub const ROOM_FOR_REMARKS: usize = 16;

/// Writes values one below the other: the name with its value, then what else there is to
/// say, indented.
pub fn write_values(
    out: &mut String,
    rows: &[&Row],
    remark: impl Fn(&Row) -> String,
    width: usize,
) {
    for row in rows {
        wrapped(
            out,
            &format!("{}  {}", row.name, row.written.line()),
            width,
            2,
            4,
        );
        let other = row
            .other
            .as_ref()
            .map_or(String::new(), super::FormattedValue::line);
        for more in [other, row.limits.clone(), remark(row)] {
            if !more.is_empty() {
                wrapped(out, &more, width, 4, 4);
            }
        }
    }
}

/// Writes a grid one row below the other, each value with the name of its column.
pub fn write_grid(
    out: &mut String,
    headings: &[String],
    rows: &[Vec<String>],
    marks: &[String],
    width: usize,
) {
    for (index, row) in rows.iter().enumerate() {
        let named = row.iter().enumerate().map(|(place, text)| {
            let heading = headings.get(place).map_or("", String::as_str);
            format!("{heading} {}", text.trim()).trim().to_owned()
        });
        let mut line = named.collect::<Vec<_>>().join("; ");
        if let Some(mark) = marks.get(index).filter(|mark| !mark.is_empty()) {
            line = format!("{line}; {mark}");
        }
        wrapped(out, &line, width, 3, 5);
    }
}

/// Returns a column's heading on several lines, broken behind `_` and at blanks, so that it
/// is no wider than its longest part or than `width`. A heading of several lines
/// stays as it is.
pub fn broken_heading(heading: &str, width: usize) -> String {
    if heading.contains('\n') {
        return heading.to_owned();
    }
    let parts: Vec<&str> = heading.split_inclusive(['_', ' ']).collect();
    let longest = parts.iter().map(|part| part.trim_end().width()).max();
    let width = width.max(longest.unwrap_or(0));
    let mut lines: Vec<String> = Vec::new();
    for part in parts {
        match lines.last_mut() {
            Some(line) if line.width() + part.trim_end().width() <= width => line.push_str(part),
            _ => lines.push(part.to_owned()),
        }
    }
    let lines: Vec<&str> = lines.iter().map(|line| line.trim_end()).collect();
    lines.join("\n")
}

/// Stands for a blank at which no line is broken.
pub const UNBROKEN: char = '\u{a0}';

/// Returns rows of words in columns, broken between words to the terminal's width. Where
/// that leaves the last column too little room it comes below the others, indented.
pub fn words_text<const N: usize>(
    rows: impl Iterator<Item = [String; N]>,
    look: TerminalStyle,
) -> String {
    let rows: Vec<[String; N]> = rows.collect();
    let mut out = String::new();
    let widths = column_widths(&rows);
    let needed: usize = widths.iter().map(|column| column.least + 2).sum();
    if widths.len() > 1 && needed + 1 > usize::from(look.width) {
        for row in &rows {
            stacked(&mut out, row, usize::from(look.width));
        }
        return out;
    }
    let mut table = plain_table(look);
    for row in rows {
        table.add_row(row);
    }
    let before_last = widths.len().saturating_sub(1);
    for (place, column) in widths.iter().take(before_last).enumerate() {
        if let Some(narrow) = table.column_mut(place).filter(|_| column.whole) {
            narrow.set_constraint(ColumnConstraint::ContentWidth);
        }
    }
    push_table(&mut out, &table);
    out
}

/// The width that a column needs beside others.
struct ColumnWidth {
    least: usize,
    /// Whether that is all of its longest text.
    whole: bool,
}

/// Returns what columns of words need side by side: the first as it is, a short one too,
/// a long one its longest word and room to be read.
fn column_widths<const N: usize>(rows: &[[String; N]]) -> [ColumnWidth; N] {
    /// The narrowest that words read well in.
    const READABLE: usize = 24;
    let column = |place: usize| {
        let cells = rows.iter().filter_map(|row| row.get(place));
        let widest = cells.clone().map(|cell| cell.width()).max().unwrap_or(0);
        let words = cells.flat_map(|cell| cell.split(' '));
        let word = words.map(UnicodeWidthStr::width).max().unwrap_or(0);
        let whole = place == 0 || widest <= READABLE;
        ColumnWidth {
            least: if whole { widest } else { word.max(READABLE) },
            whole,
        }
    };
    std::array::from_fn(column)
}

/// Writes a row with its last column below the others.
pub fn stacked(out: &mut String, row: &[String], width: usize) {
    let Some((last, first)) = row.split_last() else {
        return;
    };
    let first: Vec<&str> = first.iter().map(String::as_str).collect();
    let mut line = String::new();
    wrapped(&mut line, &first.join(&format!("{UNBROKEN} ")), width, 2, 4);
    *out += &line.replace(UNBROKEN, " ");
    if !last.is_empty() {
        wrapped(out, last, width, 6, 6);
    }
}

/// Writes a line of a formula or of a notebook as it stands; one that is too long is
/// broken between words, what follows indented below it.
pub fn code_line(out: &mut String, line: &str, width: usize) {
    if line.width() <= width {
        push_line(out, line);
    } else {
        let indent = line.len() - line.trim_start().len();
        let indent = indent.min(width / 4);
        wrapped(out, line.trim_start(), width, indent, indent + 4);
    }
}

/// Writes a heading that stands out; one that is too long is broken between words.
pub fn heading(out: &mut String, text: &str, look: TerminalStyle) {
    let width = usize::from(look.width);
    if text.width() <= width {
        push_line(out, &look.bold(text));
    } else {
        wrapped(out, text, width, 0, 2);
    }
}
