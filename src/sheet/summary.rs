//! What to look at, at the end of a sheet: checks that fail or may fail, readings
//! outside, values that are missing, each with its line.

use super::model::{Row, RowKind, RowState, Sheet};
use super::narrow::words_text;
use super::terminal_style::TerminalStyle;
use crate::diagnostic::{one_line, push_line};

/// The most that are listed.
const MOST: usize = 20;

/// Returns what to look at, in the order of the notebook.
pub(super) fn to_look_at(sheet: &Sheet) -> Vec<[String; 3]> {
    let rows = sheet.rows().filter(|row| {
        row.last_reading || row.kind != RowKind::Measured || row.state != RowState::Outside
    });
    rows.filter_map(|row| {
        let word = word(row)?;
        let called = row.called();
        let called = match row.kind {
            RowKind::Op => format!("op {called}"),
            RowKind::Draw => format!("draw {called}"),
            _ => called.to_owned(),
        };
        let line = format!("line {}", row.line);
        Some([word.to_owned(), line, one_line(&called)])
    })
    .collect()
}

/// Returns the word for a row that must be looked at.
pub(super) fn word(row: &Row) -> Option<&'static str> {
    match row.state {
        RowState::Fails => Some("fails"),
        RowState::MayFail => Some("may fail"),
        RowState::NotKnown => Some("not known"),
        RowState::Outside => Some("outside"),
        RowState::Impossible => Some("not possible"),
        RowState::Wrong => Some("wrong"),
        RowState::Waiting => Some("no value"),
        _ => None,
    }
}

/// Writes what to look at.
pub(super) fn write(out: &mut String, found: &[[String; 3]], look: TerminalStyle) {
    if found.is_empty() {
        return;
    }
    out.push('\n');
    push_line(out, &look.bold("To look at"));
    let rows = found.iter().take(MOST).cloned();
    out.push_str(&words_text(rows, look));
    if found.len() > MOST {
        push_line(out, &format!("  and {} more", found.len() - MOST));
    }
}
