//! The layout for a narrow terminal: no number is ever broken across lines.

use unicode_width::UnicodeWidthStr;

use super::model::Row;
use super::terminal::push_line;

/// The widest a table may be made to fit by wrapping its last column; below this
/// much room for it, values are stacked instead.
pub const ROOM_FOR_REMARKS: usize = 16;

/// Values one below the other: the name with its value, then what else there is to
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

/// A grid one row below the other, each value with the name of its column.
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

/// A column's heading on several lines, broken behind `_` and at blanks, so that it
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

/// A text broken between words; a word that is too long keeps its line to itself.
pub fn wrapped(out: &mut String, text: &str, width: usize, first: usize, next: usize) {
    let mut line = " ".repeat(first);
    let mut empty = true;
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        if !empty && line.width() + 1 + word.width() > width {
            push_line(out, &line);
            line = " ".repeat(next);
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(word);
        empty = false;
    }
    push_line(out, &line);
}
