//! What the rows of a sheet say about their values.

use super::build::Builder;
use super::model::{Grid, OpPart, Row, RowKind};
use super::record_rows::json_of;
use super::written::Written;
use crate::language::{Record, Table, Value};
use crate::notebook::{CheckLimits, Content, Course, OpPartCode, Verdict};
use crate::quantity::{Quantity, count};

/// How far outside its limits a reading counts as on them, in metres: rounding.
const SLACK: f64 = 1e-12;

impl Builder<'_> {
    /// Puts a value into its row.
    pub(super) fn value(&self, row: &mut Row, slot: u32, value: &Value) {
        (row.value, row.unit, row.si) = json_of(&self.writer, value);
        row.written = self.writer.value(value);
        match (row.kind, value) {
            (RowKind::Check, Value::Truth(holds)) => row.status = self.check_status(slot, *holds),
            (RowKind::Vary, _) => self.vary(row, slot),
            (RowKind::Draw, Value::Record(record)) => self.picture(row, slot, record),
            (_, Value::Table(table)) => row.grid = Some(self.grid(table)),
            (_, Value::Quantity(quantity)) => self.limits(row, slot, *quantity),
            (_, Value::Record(record)) => match record.stands_for {
                Some(lead) => row.other = self.writer.other(lead),
                None => row.grid = Some(self.fields(record)),
            },
            _ => {}
        }
        row.text = match (row.kind, value) {
            (RowKind::Check, _) => row.status.clone(),
            (RowKind::Op, Value::List(steps)) if self.is_for_each(slot) => {
                count(steps.len(), "line")
            }
            (RowKind::Op, Value::List(values)) => {
                row.parts = self.op_parts(slot, values);
                let text: String = row.parts.iter().map(|part| part.text.as_str()).collect();
                text.trim().to_owned()
            }
            (RowKind::Vary, _) => count(row.grid.as_ref().map_or(0, |grid| grid.rows.len()), "row"),
            _ => row.written.line(),
        };
    }

    /// The limits of a row, and what a reading says about them.
    fn limits(&self, row: &mut Row, slot: u32, value: Quantity) {
        let measured = self
            .workspace
            .slot(slot)
            .is_some_and(|slot| !slot.measured.is_empty());
        let limits = self.travel.of_slot(slot);
        // What has limits or was measured is not rounded to the readout.
        let writer = if measured || limits.is_some() {
            self.writer.exact()
        } else {
            self.writer
        };
        row.written = writer.quantity(value);
        row.other = writer.other(value);
        let unit = writer.unit(value);
        if let Some(limits) = limits {
            match limits.course {
                Course::Steady | Course::Steps if limits.low < limits.high => {
                    let of = |si: f64| Quantity { si, ..value };
                    row.low = Some(of(limits.low).in_unit(unit));
                    row.high = Some(of(limits.high).in_unit(unit));
                    let ends =
                        [limits.low, limits.high].map(|si| writer.in_unit(of(si), unit).number);
                    row.limits = ends.join(" to ");
                    if limits.course == Course::Steps {
                        row.limits += " in steps";
                    }
                }
                Course::Steady | Course::Steps => {}
                Course::Turns => row.limits = "turns between the limits".to_owned(),
                Course::Untold => row.limits = "limits take too many steps".to_owned(),
                Course::Breaks => row.limits = "no value at some limits".to_owned(),
            }
        }
        if !measured {
            return;
        }
        let drawn = self
            .workspace
            .drawing
            .get(&slot)
            .and_then(|drawn| drawn.as_ref().ok());
        let drawn = drawn.and_then(|drawn| drawn.quantity().ok());
        let drawing = drawn.map_or(String::new(), |drawn| {
            format!("drawing {}", writer.in_unit(drawn, unit).line())
        });
        row.status = match row.kind {
            RowKind::Measured => self.reading_status(slot, value, &drawing),
            _ => format!("measured; {drawing}"),
        };
    }

    /// Whether a reading lies inside its limits, and the spread of several.
    fn reading_status(&self, slot: u32, value: Quantity, drawing: &str) -> String {
        let writer = self.writer.exact();
        let show = |si: f64| {
            writer
                .in_unit(Quantity { si, ..value }, writer.unit(value))
                .line()
        };
        let limits = self
            .travel
            .drawn
            .get(&slot)
            .filter(|limits| limits.course == Course::Steady);
        let mut status = match limits {
            Some(limits) if value.si < limits.low - SLACK => {
                format!("outside, {} too small", show(limits.low - value.si))
            }
            Some(limits) if value.si > limits.high + SLACK => {
                format!("outside, {} too large", show(value.si - limits.high))
            }
            Some(_) => "inside".to_owned(),
            None => "measured".to_owned(),
        };
        if !drawing.is_empty() {
            status = format!("{status}; {drawing}");
        }
        if let Some(readings) = self.readings.get(&slot)
            && readings.count > 1
            && readings.latest == value.si
        {
            status = format!(
                "{status}; {} readings, spread {}",
                readings.count,
                show(readings.most - readings.least)
            );
        }
        status
    }

    /// What a check comes to, at the drawing sizes and at the limits.
    fn check_status(&self, slot: u32, holds: bool) -> String {
        let at_limits = self.travel.checks.get(&slot);
        let verdict = at_limits.map_or(Verdict::of(holds), CheckLimits::verdict);
        if verdict == Verdict::Holds {
            return "holds".to_owned();
        }
        let limits_decide = |check: &&CheckLimits| check.told && !check.sizes_allowed;
        let check = at_limits.filter(|check| holds || limits_decide(check));
        let Some(check) = check else {
            return match self.workspace.margin(slot) {
                Some(margin) if margin.si < 0.0 => {
                    let missing = Quantity {
                        si: -margin.si,
                        ..margin
                    };
                    format!(
                        "fails: misses by {}",
                        self.writer.exact().quantity(missing).line()
                    )
                }
                _ => "fails".to_owned(),
            };
        };
        let only = match verdict {
            Verdict::Fails => "fails",
            _ => "holds at the drawing size only",
        };
        if !check.told {
            return format!("{only}: its limits take too many steps");
        }
        let Some((limits, margin)) = check.worst() else {
            return only.to_owned();
        };
        let missing = self.writer.exact().quantity(Quantity {
            si: limits.low.abs(),
            ..*margin
        });
        let driver = limits
            .shares
            .first()
            .map(|share| self.workspace.name_of(share.source.slot));
        let driver = driver.map_or(String::new(), |name| format!(", driven most by {name}"));
        let (middle, half) = limits.root_sum_square();
        let root = if middle - half >= 0.0 {
            "holds"
        } else {
            "misses too"
        };
        format!(
            "{only}: misses by {} at the limits{driver}; root-sum-square {root}",
            missing.line()
        )
    }

    fn is_for_each(&self, slot: u32) -> bool {
        let content = self.workspace.slot(slot).map(|slot| &slot.content);
        matches!(content, Some(Content::OpEach(_)))
    }

    /// The lines of an op for each row: `7.1`, `7.2`, …
    pub(super) fn op_rows(&self, row: Row, slot: u32) -> Vec<Row> {
        let content = self.workspace.slot(slot).map(|slot| &slot.content);
        let (Some(Content::OpEach(each)), Some(Value::List(steps))) =
            (content, self.workspace.value(slot))
        else {
            return vec![row];
        };
        if steps.is_empty() {
            let text = "no rows".to_owned();
            return vec![Row { text, ..row }];
        }
        let line = |(number, step): (usize, &Value)| {
            let mut line = row.clone();
            line.name = format!("{}.{number}", row.name);
            (line.value, line.unit, line.si) = json_of(&self.writer, step);
            line.written = self.writer.value(step);
            line.parts = match step {
                Value::List(values) if !each.parts.is_empty() => self.op_parts(slot, values),
                step => self.card_parts(step),
            };
            let text: String = line.parts.iter().map(|part| part.text.as_str()).collect();
            text.trim().clone_into(&mut line.text);
            if number > 1 {
                line.note.clear();
            }
            line
        };
        (1..).zip(steps.iter()).map(line).collect()
    }

    /// A row of a table as a line of a card: its names and its values.
    fn card_parts(&self, step: &Value) -> Vec<OpPart> {
        let piece = |text: String, value| OpPart { text, value };
        let Value::Record(record) = step else {
            return vec![piece(self.writer.sentence(step), true)];
        };
        let mut parts = Vec::new();
        for (name, value) in &record.fields {
            if *value == Value::None {
                continue;
            }
            let comma = if parts.is_empty() { "" } else { ", " };
            parts.push(piece(format!("{comma}{name} "), false));
            parts.push(piece(self.writer.sentence(value), true));
        }
        parts
    }

    fn op_parts(&self, slot: u32, values: &[Value]) -> Vec<OpPart> {
        let parts = match self.workspace.slot(slot).map(|slot| &slot.content) {
            Some(Content::Op(parts)) => parts,
            Some(Content::OpEach(each)) => &each.parts,
            _ => return Vec::new(),
        };
        let mut values = values.iter();
        let mut pieces = Vec::new();
        for part in parts {
            let text = match part {
                OpPartCode::Text(words) => Some(words.clone()),
                OpPartCode::Value(_) => values.next().map(|value| self.writer.sentence(value)),
            };
            pieces.extend(text.map(|text| OpPart {
                text,
                value: matches!(part, OpPartCode::Value(_)),
            }));
        }
        pieces
    }

    pub(super) fn grid(&self, table: &Table) -> Grid {
        let write = |row: &Vec<Value>| row.iter().map(|value| self.writer.value(value)).collect();
        let rows = table.rows.iter().map(write).collect();
        Grid {
            columns: table.columns.iter().map(ToString::to_string).collect(),
            rows,
            marks: Vec::new(),
        }
    }

    /// A record as a grid of its fields.
    fn fields(&self, record: &Record) -> Grid {
        let fields = record.fields.iter();
        let rows =
            fields.map(|(name, value)| vec![Written::text(&**name), self.writer.value(value)]);
        Grid {
            columns: Vec::new(),
            rows: rows.collect(),
            marks: Vec::new(),
        }
    }
}
