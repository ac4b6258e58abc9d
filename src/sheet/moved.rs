//! What moved, as a table: name, was, now, change.

use comfy_table::{Cell, CellAlignment, ContentArrangement, Row as TableRow, Table, presets};
use serde::Serialize;

use super::terminal::Look;
use super::written::Writer;
use crate::language::Value;
use crate::notebook::{Failure, Moved, Outcome, Settings};
use crate::quantity::Quantity;

/// A row of the table of what moved.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct MovedRow {
    /// The name.
    pub name: String,
    /// What it was.
    pub was: String,
    /// What it is now.
    pub now: String,
    /// By how much it moved, or what became of it.
    pub change: String,
}

/// What moved, written as a notebook's settings ask.
#[must_use]
pub fn moved_rows(moved: &[Moved], settings: &Settings) -> Vec<MovedRow> {
    let writer = Writer::new(settings).exact();
    moved.iter().map(|moved| row(&writer, moved)).collect()
}

fn row(writer: &Writer, moved: &Moved) -> MovedRow {
    let change = match (&moved.was, &moved.now) {
        (None, _) => "new".to_owned(),
        (_, None) => "gone".to_owned(),
        (Some(Ok(was)), Some(Ok(now))) => difference(writer, was, now),
        (Some(Err(_)), Some(Ok(_))) => "has a value again".to_owned(),
        (Some(Ok(_)), Some(Err(_))) => "lost its value".to_owned(),
        _ => String::new(),
    };
    let change = if moved.reworded && change.is_empty() {
        "reworded".to_owned()
    } else {
        change
    };
    let name = moved.name.split_whitespace().collect::<Vec<_>>().join(" ");
    MovedRow {
        name,
        was: text(writer, moved.check, moved.was.as_ref()),
        now: text(writer, moved.check, moved.now.as_ref()),
        change,
    }
}

fn text(writer: &Writer, check: bool, outcome: Option<&Outcome>) -> String {
    match outcome {
        None => String::new(),
        Some(Ok(Value::Truth(holds))) if check => if *holds { "holds" } else { "fails" }.to_owned(),
        Some(Ok(value)) => writer.value(value).line(),
        Some(Err(failure)) => match &**failure {
            Failure::Wrong(_) => "wrong".to_owned(),
            Failure::Because(_) | Failure::Undefined => "no value".to_owned(),
        },
    }
}

/// By how much a value moved.
fn difference(writer: &Writer, was: &Value, now: &Value) -> String {
    let (Ok(was), Ok(now)) = (was.quantity(), now.quantity()) else {
        return String::new();
    };
    if !was.dimension.agrees(now.dimension) {
        return String::new();
    }
    let si = now.si - was.si;
    if si == 0.0 {
        return String::new();
    }
    let shown = writer.unit(now);
    let change = if shown.from_another_zero() {
        writer.quantity(Quantity::si(si, now.dimension))
    } else {
        writer.in_unit(Quantity { si, ..now }, shown)
    };
    let sign = if si > 0.0 { "+" } else { "" };
    format!("{sign}{}", change.line())
}

/// The table of what moved, for a terminal. What reads the same as before, as a
/// table of as many rows does, is left out.
#[must_use]
pub fn moved_text(rows: &[MovedRow], look: Look) -> String {
    let seen = |row: &&MovedRow| row.was != row.now || !row.change.is_empty();
    let rows: Vec<&MovedRow> = rows.iter().filter(seen).collect();
    if rows.is_empty() {
        return " nothing moved\n".to_owned();
    }
    let mut table = Table::new();
    table
        .load_style(presets::NOTHING)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(look.width.max(20))
        .set_header(["name", "was", "now", "change"]);
    for row in rows {
        let right = |text: &str| Cell::new(text).set_alignment(CellAlignment::Right);
        table.add_row(TableRow::from(vec![
            Cell::new(&row.name),
            right(&row.was),
            right(&row.now),
            right(&row.change),
        ]));
    }
    table.lines().fold(String::new(), |text, line| {
        text + " " + line.trim_end() + "\n"
    })
}
