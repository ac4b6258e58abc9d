//! What moved, as a table: name, was, now, change.

use std::sync::Arc;

use comfy_table::{Cell, ColumnConstraint, Row as TableRow, Width};
use serde::Serialize;

use super::formatted_value::Writer;
use super::terminal_grid::aligned;
use super::terminal_style::{TerminalStyle, plain_table, push_table};
use crate::diagnostic::{clipped, one_line};
use crate::language::{Record, Size, Value};
use crate::notebook::{Failure, Moved, Outcome, Settings, Verdict, Workspace, same_value, too_far};
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
    /// What a result could come out as.
    pub was_limits: Option<String>,
    /// What it may come out as now.
    pub now_limits: Option<String>,
    /// The number it was, in coherent SI and not rounded.
    pub was_si: Option<f64>,
    /// The number it is now, in coherent SI and not rounded.
    pub now_si: Option<f64>,
}

/// Returns what moved, written as the notebook as it is now asks. Of a table, a list or a
/// record each value that moved has a row.
#[must_use]
pub fn moved_rows(moved: &[Moved], now: &Workspace) -> Vec<MovedRow> {
    let standard = Settings::default();
    let writer = Writer::new(now.main().map_or(&standard, |page| &page.settings));
    let mut rows = Vec::new();
    for moved in moved {
        let name = one_line(&moved.name);
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

/// Adds the values within two values of the same form that are not the same.
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
                was_limits: None,
                now_limits: None,
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
        (Value::Record(was), Value::Record(now)) if names(was).eq(names(now)) => {
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
    let change = match (&moved.was, &moved.now) {
        (None, _) => "new".to_owned(),
        (_, None) => "gone".to_owned(),
        (Some(Ok(Value::Size(was))), Some(Ok(Value::Size(now)))) => {
            size_difference(writer, [was, now], moved.limits)
        }
        (Some(Ok(was)), Some(Ok(now))) => difference(writer, was, now),
        (Some(Err(_)), Some(Ok(_))) => "has a value again".to_owned(),
        (Some(Ok(_)), Some(Err(_))) => "lost its value".to_owned(),
        _ => String::new(),
    };
    let outcomes = [&moved.was, &moved.now].map(Option::as_ref);
    let [was_limits, now_limits] =
        [0, 1].map(|place| range(writer, outcomes[place], moved.limits[place]));
    let [was, now] = [0, 1].map(|place| text(writer, moved.verdicts[place], outcomes[place]));
    let change = match change.is_empty() {
        true if was_limits != now_limits => "limits".to_owned(),
        true if moved.reworded => "rewritten".to_owned(),
        _ => change,
    };
    let number = |outcome: &Option<Outcome>| si(outcome.as_ref()?.as_ref().ok()?);
    MovedRow {
        name,
        was,
        now,
        change,
        was_limits,
        now_limits,
        was_si: number(&moved.was),
        now_si: number(&moved.now),
    }
}

fn names(record: &Record) -> impl Iterator<Item = &Arc<str>> {
    record.fields.iter().map(|(name, _)| name)
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
        Some(Ok(Value::Size(size))) => size_text(writer, size),
        Some(Ok(value)) => writer.value(value).line(),
        Some(Err(failure)) => match &**failure {
            Failure::Wrong(_) => "wrong".to_owned(),
            Failure::Unmeasured(_) => "not measured yet".to_owned(),
            Failure::Because(_) | Failure::Undefined => "no value".to_owned(),
        },
    }
}

/// Returns what a result may come out as.
fn range(writer: &Writer, outcome: Option<&Outcome>, limits: Option<(f64, f64)>) -> Option<String> {
    let (low, high) = limits?;
    match outcome? {
        Ok(Value::Quantity(quantity)) => Some(writer.possible(*quantity, low, high)),
        Ok(Value::Size(size)) if size.limits.is_none() => {
            Some(writer.possible(size.like(size.aim), low, high))
        }
        _ => None,
    }
}

/// Returns a size as drawn, with its reading.
fn size_text(writer: &Writer, size: &Size) -> String {
    let drawn = writer.size(size);
    match size.reading {
        None => drawn.line(),
        Some(reading) => {
            let reading = writer.quantity(size.like(reading));
            format!("{}; measured {}", drawn.line(), reading.line())
        }
    }
}

/// Returns whether a reading lies inside the limits of its size, or for a result inside what it
/// may come out as.
fn inside(size: &Size, possible: Option<(f64, f64)>) -> Option<bool> {
    let own = size.limits.as_ref().map(|limits| (limits.low, limits.high));
    let (low, high) = own.or(possible)?;
    Some(too_far(size.reading?, low, high).is_none())
}

/// Returns by how much a value moved.
fn difference(writer: &Writer, was: &Value, now: &Value) -> String {
    if let (Value::Size(was), Value::Size(now)) = (was, now) {
        return size_difference(writer, [was, now], [None, None]);
    }
    let (Ok(was), Ok(now)) = (was.quantity(), now.quantity()) else {
        return String::new();
    };
    number_difference(writer, was, now)
}

/// Returns what changed of a size: its drawn figure, else its aim, its reading or its limits; and
/// whether its reading now lies on the other side of its limits, or of what a result may
/// come out as.
fn size_difference(
    writer: &Writer,
    [was, now]: [&Size; 2],
    possible: [Option<(f64, f64)>; 2],
) -> String {
    let aim = |size: &Size| size.like(size.aim);
    let drawn = match (&was.limits, &now.limits) {
        (None, None) => number_difference(writer, aim(was), aim(now)),
        _ => number_difference(writer, was.drawn, now.drawn),
    };
    let mut said: Vec<String> = Vec::new();
    if !drawn.is_empty() {
        said.push(drawn);
        if now.reading.is_some() && was.reading == now.reading {
            said.push("the reading counts".to_owned());
        }
    }
    match (was.reading, now.reading) {
        (Some(old), Some(new)) if said.is_empty() => {
            let change = number_difference(writer, was.like(old), now.like(new));
            said.extend((!change.is_empty()).then_some(change));
        }
        (None, Some(_)) => said.push("measured".to_owned()),
        (Some(_), None) => said.push("reading gone".to_owned()),
        _ => {}
    }
    let result = now.limits.is_none();
    let inside = (inside(was, possible[0]), inside(now, possible[1]));
    let turned = match (inside, result) {
        ((Some(true) | None, Some(false)), true) => {
            Some("its reading lies outside what its sizes allow")
        }
        ((Some(true) | None, Some(false)), false) => Some("its reading lies outside"),
        ((Some(false), Some(true)), true) => Some("its reading is possible again"),
        ((Some(false), Some(true)), false) => Some("its reading lies inside again"),
        _ => None,
    };
    said.extend(turned.map(str::to_owned));
    if said.is_empty() && was.aim_set | now.aim_set {
        let change = number_difference(writer, aim(was), aim(now));
        said.extend((!change.is_empty()).then(|| format!("aim {change}")));
    }
    if said.is_empty() {
        let same = was.limits == now.limits && possible[0] == possible[1];
        let counts = same && now.reading.is_some();
        said.push(
            if counts {
                "the reading counts"
            } else {
                "limits"
            }
            .to_owned(),
        );
    }
    said.join("; ")
}

/// Returns by how much a number moved, with its sign.
fn number_difference(writer: &Writer, was: Quantity, now: Quantity) -> String {
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

/// Returns the table of what moved, for a terminal. What reads the same as before, as a
/// table of as many rows does, is left out.
#[must_use]
pub fn moved_text(rows: &[MovedRow], look: TerminalStyle) -> String {
    let seen = |row: &&MovedRow| {
        row.was != row.now || !row.change.is_empty() || row.was_limits != row.now_limits
    };
    let rows: Vec<&MovedRow> = rows.iter().filter(seen).collect();
    if rows.is_empty() {
        return "  nothing changed\n".to_owned();
    }
    let mut table = plain_table(look);
    table.set_header(["name", "was", "now", "change"]);
    for row in &rows {
        let right = |text: &str| aligned(text, true);
        let both = [(&row.was, &row.was_limits), (&row.now, &row.now_limits)];
        let [was, now] = both.map(|(text, limits)| {
            // What a result may come out as stands below it.
            let limits = limits.iter().map(String::as_str);
            let lines = std::iter::once(text.as_str()).chain(limits);
            let text = lines.collect::<Vec<_>>().join("\n");
            clipped(text.replace("; measured", "\nmeasured"))
        });
        table.add_row(TableRow::from(vec![
            Cell::new(clipped(row.name.clone())),
            right(&was),
            right(&now),
            right(&row.change.replace("; ", "\n")),
        ]));
    }
    // A name breaks at blanks only.
    let words = rows.iter().flat_map(|row| row.name.split(' '));
    let longest = words.map(str::len).max().unwrap_or(0).min(40);
    if let Some(column) = table.column_mut(0) {
        let width = u16::try_from(longest + 2).unwrap_or(u16::MAX);
        column.set_constraint(ColumnConstraint::LowerBoundary(Width::Fixed(width)));
    }
    let mut text = String::new();
    push_table(&mut text, &table);
    text
}
