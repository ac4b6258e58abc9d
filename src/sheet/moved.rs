//! What moved, as a table: name, was, now, change.

use comfy_table::{Cell, CellAlignment, ContentArrangement, Row as TableRow, Table, presets};
use serde::Serialize;

use super::terminal::Look;
use super::written::Writer;
use crate::language::Value;
use crate::notebook::{Failure, Moved, Outcome, Settings, Verdict, same_value};
use crate::quantity::{Quantity, count};

/// A row of the table of what moved.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MovedRow {
    /// The name.
    pub name: String,
    /// What it was.
    pub was: String,
    /// What it is now.
    pub now: String,
    /// By how much it moved, or what became of it.
    pub change: String,
    /// The number it was, in coherent SI and not rounded.
    pub was_si: Option<f64>,
    /// The number it is now, in coherent SI and not rounded.
    pub now_si: Option<f64>,
}

/// What moved, written as a notebook's settings ask. Of a table, a list or a record
/// each value that moved has a row.
#[must_use]
pub fn moved_rows(moved: &[Moved], settings: &Settings) -> Vec<MovedRow> {
    let writer = Writer::new(settings).exact();
    let mut rows = Vec::new();
    for moved in moved {
        let name = moved.name.split_whitespace().collect::<Vec<_>>().join(" ");
        let before = rows.len();
        if let (Some(Ok(was)), Some(Ok(now)), false) = (&moved.was, &moved.now, moved.op) {
            values_within(&writer, &name, was, now, &mut rows);
        }
        if rows.len() == before {
            rows.push(row(&writer, name, moved));
        }
    }
    rows
}

/// The values within two values of the same form that are not the same.
fn values_within(writer: &Writer, name: &str, was: &Value, now: &Value, rows: &mut Vec<MovedRow>) {
    let mut part = |place: String, was: &Value, now: &Value| {
        if same_value(was, now) {
            return;
        }
        let before = rows.len();
        values_within(writer, &place, was, now, rows);
        if rows.len() == before {
            rows.push(MovedRow {
                name: place,
                was: writer.value(was).line(),
                now: writer.value(now).line(),
                change: difference(writer, was, now),
                was_si: si(was),
                now_si: si(now),
            });
        }
    };
    match (was, now) {
        (Value::List(was), Value::List(now)) if was.len() == now.len() => {
            for (index, (was, now)) in was.iter().zip(now.iter()).enumerate() {
                part(format!("{name}[{}]", index + 1), was, now);
            }
        }
        (Value::Record(was), Value::Record(now))
            if was
                .fields
                .iter()
                .map(|(name, _)| name)
                .eq(now.fields.iter().map(|(name, _)| name)) =>
        {
            for ((field, was), (_, now)) in was.fields.iter().zip(&now.fields) {
                part(format!("{name}.{field}"), was, now);
            }
        }
        (Value::Table(was), Value::Table(now))
            if was.columns == now.columns && was.rows.len() == now.rows.len() =>
        {
            for (index, (old, new)) in was.rows.iter().zip(&now.rows).enumerate() {
                for ((column, old), new) in was.columns.iter().zip(old).zip(new) {
                    part(format!("{name}[{}].{column}", index + 1), old, new);
                }
            }
        }
        _ => {}
    }
}

fn row(writer: &Writer, name: String, moved: &Moved) -> MovedRow {
    let like = moved.now.as_ref().and_then(|now| now.as_ref().ok());
    let like = like.and_then(|value| value.quantity().ok());
    if let (Some(limits), Some(like)) = (moved.limits, like) {
        let [was, now] = limits.map(|(low, high)| {
            let unit = writer.unit(like);
            let [low, high] = [low, high].map(|si| writer.in_unit(Quantity { si, ..like }, unit));
            format!("{} to {}", low.number, high.line())
        });
        return MovedRow {
            name,
            was,
            now,
            change: "limits".to_owned(),
            was_si: Some(like.si),
            now_si: Some(like.si),
        };
    }
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
    let number = |outcome: &Option<Outcome>| si(outcome.as_ref()?.as_ref().ok()?);
    MovedRow {
        name,
        was: text(writer, moved.verdicts[0], moved.was.as_ref()),
        now: text(writer, moved.verdicts[1], moved.now.as_ref()),
        change,
        was_si: number(&moved.was),
        now_si: number(&moved.now),
    }
}

fn si(value: &Value) -> Option<f64> {
    value.quantity().ok().map(|quantity| quantity.si)
}

fn text(writer: &Writer, verdict: Option<Verdict>, outcome: Option<&Outcome>) -> String {
    if let Some(verdict) = verdict {
        return verdict.to_string();
    }
    match outcome {
        None => String::new(),
        Some(Ok(Value::Table(table))) => count(table.rows.len(), "row"),
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
        return "measures something else".to_owned();
    }
    if was.order(now).is_ok_and(std::cmp::Ordering::is_eq) {
        return if was.unit == now.unit {
            String::new()
        } else {
            "in another unit".to_owned()
        };
    }
    let si = now.si - was.si;
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
        return "  nothing moved\n".to_owned();
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
