//! A sheet as text for a terminal.

use std::collections::HashSet;

use comfy_table::{Cell, CellAlignment, Row as TableRow, Table};
use unicode_width::UnicodeWidthStr;

use super::fields;
use super::formatted_value::FormattedValue;
use super::model::{Row, RowKind, RowState, Section, Sheet};
use super::narrow;
use super::terminal_grid::{lined_up, write_grid};
use super::terminal_style::{TerminalStyle, breakable, plain_table, push_table};
use crate::diagnostic::push_line;

/// Writes a sheet for a terminal.
#[must_use]
pub fn terminal(sheet: &Sheet, look: TerminalStyle) -> String {
    let mut out = String::new();
    let title = sheet.title.as_deref().unwrap_or("");
    if title.is_empty() {
        push_line(&mut out, &sheet.file);
    } else {
        push_line(&mut out, &look.bold(title));
        push_line(&mut out, &sheet.file);
    }
    let mut op = 0;
    for section in sheet
        .sections
        .iter()
        .filter(|section| section.rows.iter().any(|row| !row.hidden))
    {
        out.push('\n');
        if !section.heading.is_empty() {
            push_line(&mut out, &look.bold(&section.heading));
        }
        let rows: Vec<&Row> = section.rows.iter().filter(|row| !row.hidden).collect();
        write_section(&mut out, &rows, look, &mut op);
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
pub(super) fn section_text(section: &Section, look: TerminalStyle) -> String {
    let mut out = String::new();
    let rows: Vec<&Row> = section.rows.iter().collect();
    write_section(&mut out, &rows, look, &mut 0);
    out
}

/// Writes the values of a section as one table, then its grids, checks and ops.
fn write_section(out: &mut String, rows: &[&Row], look: TerminalStyle, op: &mut usize) {
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
            let heading = if row.name.is_empty() {
                row.formula.as_str()
            } else {
                row.name.as_str()
            };
            let said = [grid.left_out.as_str(), row.note.as_str()];
            let note = joined(&said);
            if fields::are_fields(grid) && fields::write(out, heading, grid, &note, look) {
                continue;
            }
            let note = if note.is_empty() {
                String::new()
            } else {
                format!("  ({note})")
            };
            let width = usize::from(look.width);
            narrow::wrapped(out, &format!("{heading}{note}"), width, 2, 4);
            write_grid(out, grid, look);
        }
    }
    write_checks(out, rows, look);
    write_ops(out, rows, look, op);
    write_pictures(out, rows, look);
}

/// Pictures: in characters where they have such a form, else their figures.
fn write_pictures(out: &mut String, rows: &[&Row], look: TerminalStyle) {
    let width = usize::from(look.width);
    for row in rows.iter().filter(|row| row.kind == RowKind::Draw) {
        let note = if row.note.is_empty() {
            String::new()
        } else {
            format!("  ({})", row.note)
        };
        let plain = row
            .picture
            .as_ref()
            .map(|picture| picture.plain(width.saturating_sub(3)));
        match plain {
            Some(plain) => {
                narrow::wrapped(out, &format!("{}{note}", row.name), width, 2, 4);
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
    let lines = match (apart, together) {
        (Some(apart), Some(together)) if together.len() < apart.len() => Some(together),
        (Some(apart), _) => Some(apart),
        (None, together) => together,
    };
    match lines {
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
            Cell::new(&number).set_alignment(CellAlignment::Right),
        ];
        cells.push(Cell::new(if text { "" } else { &row.written.unit }));
        if both {
            cells.push(Cell::new(other).set_alignment(CellAlignment::Right));
            cells.push(Cell::new(
                row.other.as_ref().map_or("", |other| &other.unit),
            ));
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

fn joined(parts: &[&str]) -> String {
    parts
        .iter()
        .filter(|part| !part.is_empty())
        .copied()
        .collect::<Vec<_>>()
        .join("; ")
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
fn write_ops(out: &mut String, rows: &[&Row], look: TerminalStyle, op: &mut usize) {
    let mut table = plain_table(look);
    for caution in rows.iter().flat_map(|row| &row.cautions) {
        let width = usize::from(look.width);
        narrow::wrapped(out, &format!("caution: {caution}"), width, 2, 4);
    }
    for row in rows.iter().filter(|row| row.kind == RowKind::Op) {
        *op += 1;
        let text = if row.text.is_empty() {
            row.status.as_str()
        } else {
            row.text.as_str()
        };
        let text = if row.note.is_empty() {
            text.to_owned()
        } else {
            format!("{text}  ({})", row.note)
        };
        table.add_row([
            Cell::new(&row.name).set_alignment(CellAlignment::Right),
            Cell::new(breakable(&text)),
        ]);
    }
    push_table(out, &table);
}
