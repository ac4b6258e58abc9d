//! A sheet as text for a terminal.

use std::collections::HashSet;

use comfy_table::{Cell, Row as TableRow, Table};
use unicode_width::UnicodeWidthStr;

use super::fields;
use super::formatted_value::FormattedValue;
use super::model::{Row, RowKind, RowState, Sheet, joined};
use super::narrow;
use super::terminal_grid::{aligned, lined_up, shorter, write_grid};
use super::terminal_style::{TerminalStyle, breakable, plain_table, push_table};
use crate::diagnostic::push_line;

/// Writes a sheet for a terminal.
#[must_use]
pub fn terminal(sheet: &Sheet, look: TerminalStyle) -> String {
    let mut out = String::new();
    if let Some(title) = sheet.title.as_ref().filter(|title| !title.is_empty()) {
        push_line(&mut out, &look.bold(title));
    }
    push_line(&mut out, &sheet.file);
    for section in &sheet.sections {
        let rows: Vec<&Row> = section.rows.iter().filter(|row| !row.hidden).collect();
        if rows.is_empty() {
            continue;
        }
        out.push('\n');
        if !section.heading.is_empty() {
            push_line(&mut out, &look.bold(&section.heading));
        }
        write_section(&mut out, &rows, look);
    }
    if let Some(kept_off) = sheet.kept_off() {
        out.push('\n');
        let text = format!("{kept_off}: `--all` shows it, in a session `sheet all`");
        narrow::wrapped(&mut out, &text, usize::from(look.width), 2, 4);
    }
    write_other_cautions(&mut out, sheet, look);
    super::summary::write(&mut out, &sheet.to_look_at, look);
    out
}

/// Writes the cautions that belong to no op, at the end: those of an op are before it.
fn write_other_cautions(out: &mut String, sheet: &Sheet, look: TerminalStyle) {
    let at_ops: HashSet<&str> = sheet
        .rows()
        .flat_map(|row| row.cautions.iter().map(String::as_str))
        .collect();
    let mut table = plain_table(look);
    for caution in &sheet.cautions {
        if !at_ops.contains(caution.caution.as_str()) {
            table.add_row([caution.function.as_str(), caution.caution.as_str()]);
        }
    }
    if table.row_count() > 0 {
        out.push('\n');
        push_line(out, &look.bold("Cautions"));
        push_table(out, &table);
    }
}

/// Writes the rows of one section, without its heading.
pub(super) fn section_text(rows: &[Row], look: TerminalStyle) -> String {
    let mut out = String::new();
    write_section(&mut out, &rows.iter().collect::<Vec<_>>(), look);
    out
}

/// Writes the values of a section as one table, then its grids, checks and ops.
fn write_section(out: &mut String, rows: &[&Row], look: TerminalStyle) {
    let values: Vec<&Row> = rows
        .iter()
        .copied()
        .filter(|row| {
            row.grid.is_none()
                && !matches!(
                    row.kind,
                    RowKind::Check | RowKind::Op | RowKind::Vary | RowKind::Draw
                )
        })
        .collect();
    write_values(out, &values, look);
    for row in rows.iter().filter(|row| row.grid.is_some()) {
        if let Some(grid) = &row.grid {
            let note = joined(&[&grid.left_out, &row.note]);
            if fields::are_fields(grid) && fields::write(out, row.called(), grid, &note, look) {
                continue;
            }
            let width = usize::from(look.width);
            narrow::wrapped(out, &noted(row.called(), &note), width, 2, 4);
            write_grid(out, grid, look);
        }
    }
    write_checks(out, rows, look);
    write_ops(out, rows, look);
    write_pictures(out, rows, look);
}

/// Writes pictures: in characters where they have such a form, else their figures.
fn write_pictures(out: &mut String, rows: &[&Row], look: TerminalStyle) {
    let width = usize::from(look.width);
    for row in rows.iter().filter(|row| row.kind == RowKind::Draw) {
        match &row.picture {
            Some(picture) => {
                narrow::wrapped(out, &noted(&row.name, &row.note), width, 2, 4);
                let plain = picture.plain(width.saturating_sub(3));
                for line in in_one_style(&plain).lines() {
                    if line.width() + 3 > width {
                        narrow::wrapped(out, line, width, 3, 5);
                    } else {
                        push_line(out, &format!("   {line}"));
                    }
                }
            }
            None => push_line(out, &format!("  picture of {}: {}", row.name, row.status)),
        }
    }
}

/// Returns a picture's words in the style of the rows: one minus, angles in `deg`.
fn in_one_style(text: &str) -> String {
    let text = text.replace('\u{2212}', "-");
    let mut parts = text.split('°');
    let mut out = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let minutes = part.starts_with(|c: char| c.is_ascii_digit());
        let after_number = out.ends_with(|c: char| c.is_ascii_digit());
        out.push_str(if after_number && !minutes {
            " deg"
        } else {
            "°"
        });
        out.push_str(part);
    }
    out
}

fn write_values(out: &mut String, rows: &[&Row], look: TerminalStyle) {
    if rows.is_empty() {
        return;
    }
    // Limits in a column of their own, or in one with the remarks where that takes fewer
    // lines.
    let limits = rows.iter().any(|row| !row.limits.is_empty());
    let apart = limits.then(|| values_lines(rows, look, true)).flatten();
    let together = values_lines(rows, look, false);
    match shorter(apart, together) {
        Some(lines) => lines.iter().for_each(|line| push_line(out, line)),
        None => narrow::write_values(out, rows, remark, usize::from(look.width)),
    }
}

/// Returns the lines of values as one table; nothing where its columns leave no room.
fn values_lines(rows: &[&Row], look: TerminalStyle, limits_apart: bool) -> Option<Vec<String>> {
    let numbers = lined_up(rows.iter().map(|row| &row.written));
    let none = FormattedValue::default();
    let others = lined_up(rows.iter().map(|row| row.other.as_ref().unwrap_or(&none)));
    let both = rows.iter().any(|row| row.other.is_some());
    let limits = rows.iter().any(|row| !row.limits.is_empty());
    let mut table = plain_table(look);
    for ((row, number), other) in rows.iter().zip(numbers).zip(others) {
        let text = row.written.number.is_empty();
        let mut cells = vec![
            Cell::new(breakable(&row.name)),
            aligned(&number, true),
            Cell::new(if text { "" } else { &row.written.unit }),
        ];
        if both {
            let unit = row.other.as_ref().map_or("", |other| &other.unit);
            cells.extend([aligned(&other, true), Cell::new(unit)]);
        }
        // The limits of a list come behind its values, in the same wide column.
        let mut said = match text {
            true => vec![row.written.unit.as_str(), &row.limits],
            false => Vec::new(),
        };
        match limits_apart && limits {
            true => cells.push(Cell::new(if text { "" } else { &row.limits })),
            false if text => {}
            false => said.push(&row.limits),
        }
        let remark = remark(row);
        said.push(&remark);
        cells.push(Cell::new(breakable(&joined(&said))));
        table.add_row(TableRow::from(cells));
    }
    let whole = keep_whole(&mut table);
    whole.then(|| table.lines().map(|line| format!(" {line}")).collect())
}

/// Returns the remark of a row, with its state where that says something.
fn remark(row: &Row) -> String {
    let state = if row.status == "computed" || row.state == RowState::NotMeasured {
        ""
    } else {
        row.status.as_str()
    };
    joined(&[state, &row.note])
}

/// Returns a text with its remark in brackets, where it has one.
fn noted(text: &str, note: &str) -> String {
    match note {
        "" => text.to_owned(),
        note => format!("{text}  ({note})"),
    }
}

/// Lets only the last column of a table wrap; false where the others leave it no
/// room.
fn keep_whole(table: &mut Table) -> bool {
    let last = table.column_count().saturating_sub(1);
    let width = usize::from(table.width().unwrap_or(80));
    let widths = table.column_max_content_widths();
    let fixed: usize = widths
        .iter()
        .take(last)
        .map(|width| usize::from(*width) + 2)
        .sum();
    let wanted = widths.last().map_or(0, |width| usize::from(*width));
    if fixed + wanted.min(narrow::ROOM_FOR_REMARKS) + 2 > width {
        return false;
    }
    for column in table.column_iter_mut().take(last) {
        column.set_constraint(comfy_table::ColumnConstraint::ContentWidth);
    }
    true
}

fn write_checks(out: &mut String, rows: &[&Row], look: TerminalStyle) {
    let mut table = plain_table(look);
    let mut states: Vec<(&str, RowState)> = Vec::new();
    for row in rows.iter().filter(|row| row.kind == RowKind::Check) {
        let (word, more) = row.status.split_once(": ").unwrap_or((&row.status, ""));
        let said = joined(&[more, &row.note]);
        table.add_row([word, &breakable(&row.name), &breakable(&said)]);
        if !states.iter().any(|(known, _)| *known == word) {
            states.push((word, row.state));
        }
    }
    for line in table.lines() {
        // The state's word stands first on its line, so it can be coloured there.
        let line = format!(" {line}");
        let first = line.trim_start().split("  ").next().unwrap_or("");
        match states.iter().find(|(word, _)| *word == first) {
            Some((word, state)) => {
                push_line(out, &line.replacen(word, &look.state(*state, word), 1));
            }
            None => push_line(out, &line),
        }
    }
}

/// Writes the ops of a section, before them what to mind at them.
fn write_ops(out: &mut String, rows: &[&Row], look: TerminalStyle) {
    let mut table = plain_table(look);
    for caution in rows.iter().flat_map(|row| &row.cautions) {
        let width = usize::from(look.width);
        narrow::wrapped(out, &format!("caution: {caution}"), width, 2, 4);
    }
    for row in rows.iter().filter(|row| row.kind == RowKind::Op) {
        let text = if row.text.is_empty() {
            row.status.as_str()
        } else {
            row.text.as_str()
        };
        let text = noted(text, &row.note);
        table.add_row([aligned(&row.name, true), Cell::new(breakable(&text))]);
    }
    push_table(out, &table);
}
