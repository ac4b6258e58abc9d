//! Text of the documents laid out for a terminal: paragraphs broken between words,
//! tables as tables, examples as they stand.

use crate::sheet::TerminalStyle;
use crate::sheet::narrow::{code_line, heading, wrapped};
use crate::sheet::terminal_style::{plain_table, push_table};

/// The widest that text is set: longer lines are hard to read.
const WIDEST: u16 = 100;

/// Writes text with headings, lists, tables and examples.
pub fn markdown(out: &mut String, text: &str, look: TerminalStyle) {
    let mut lines = text.lines().peekable();
    let mut words = String::new();
    while let Some(line) = lines.next() {
        let begins = line.starts_with("```")
            || line.starts_with('|')
            || line.starts_with("- ")
            || line.starts_with('#')
            || line.trim().is_empty();
        if !begins {
            words.push_str(line.trim());
            words.push(' ');
            continue;
        }
        flush(out, &mut words, look);
        if line.starts_with("```") {
            for code in lines.by_ref().take_while(|line| !line.starts_with("```")) {
                code_line(out, &format!("    {code}"), usize::from(look.width));
            }
        } else if line.starts_with('|') {
            let mut rows = vec![line];
            while let Some(row) = lines.next_if(|line| line.starts_with('|')) {
                rows.push(row);
            }
            table(out, &rows, look);
        } else if line.starts_with('#') {
            let text = plain(line.trim_start_matches('#').trim());
            heading(out, &text, set(look));
        } else if line.trim().is_empty() {
            if !out.ends_with("\n\n") {
                out.push('\n');
            }
        } else {
            words.push_str(line);
            words.push(' ');
        }
    }
    flush(out, &mut words, look);
    let end = out.trim_end().len();
    out.truncate(end);
    out.push('\n');
}

/// Writes words broken to the terminal's width.
pub fn paragraph(out: &mut String, words: &str, look: TerminalStyle) {
    let hang = if words.starts_with("- ") { 2 } else { 0 };
    wrapped(out, &plain(words), usize::from(set(look).width), 0, hang);
}

/// Writes short texts one after the other, indented.
pub fn list(out: &mut String, texts: &[&str], look: TerminalStyle) {
    for text in texts {
        wrapped(out, &plain(text), usize::from(set(look).width), 2, 4);
    }
}

/// Returns the look at which text is set.
pub fn set(look: TerminalStyle) -> TerminalStyle {
    TerminalStyle {
        width: look.width.min(WIDEST),
        ..look
    }
}

fn flush(out: &mut String, words: &mut String, look: TerminalStyle) {
    if !words.is_empty() {
        paragraph(out, words, look);
        words.clear();
    }
}

/// Writes a table of the documents: its heading is marked off by a row of dashes.
fn table(out: &mut String, rows: &[&str], look: TerminalStyle) {
    let mut table = plain_table(set(look));
    for row in rows.iter().filter(|row| !row.starts_with("|---")) {
        table.add_row(cells(row));
    }
    push_table(out, &table);
}

/// Returns the cells of a row; a bar behind a backslash is none.
fn cells(row: &str) -> Vec<String> {
    let inside = row.trim().trim_start_matches('|');
    let inside = inside.strip_suffix('|').unwrap_or(inside);
    let hidden = inside.replace("\\|", "\u{1}");
    let cells = hidden.split('|').map(str::trim);
    cells
        .map(|cell| plain(&cell.replace('\u{1}', "|")))
        .collect()
}

/// Returns words without the marks of the documents' notation; backticks stay, since they
/// quote what is typed.
fn plain(words: &str) -> String {
    let mut text = words.replace("**", "");
    while let Some(start) = text.find('[') {
        let Some(middle) = text.get(start..).and_then(|rest| rest.find("](")) else {
            break;
        };
        let Some(end) = text.get(start + middle..).and_then(|rest| rest.find(')')) else {
            break;
        };
        let name = text.get(start + 1..start + middle).unwrap_or("").to_owned();
        text.replace_range(start..=start + middle + end, &name);
    }
    text
}
