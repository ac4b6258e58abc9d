//! What an op says: its text in pieces, and a line for each row of a table.

use super::build::Builder;
use super::formatted_value::{FormattedValue, said_fields};
use super::model::{OpPart, Row};
use super::needed::ratio_in_op;
use super::record_rows::data_of;
use crate::language::{SlotId, Value};
use crate::notebook::{Definition, OpPartCode};

impl Builder<'_> {
    pub(super) fn is_for_each(&self, slot: SlotId) -> bool {
        let content = self.workspace.slot(slot).map(|slot| &slot.content);
        matches!(content, Some(Definition::OpEach(_)))
    }

    /// Returns the lines of an op for each row: `7.1`, `7.2`, …
    pub(super) fn op_rows(&self, row: Row, slot: SlotId) -> Vec<Row> {
        let content = self.workspace.slot(slot).map(|slot| &slot.content);
        let (Some(Definition::OpEach(each)), Some(Value::List(steps))) =
            (content, self.workspace.value(slot))
        else {
            return vec![row];
        };
        if steps.is_empty() {
            let text = "no rows".to_owned();
            return vec![Row { text, ..row }];
        }
        // Each line has its own; all of them are large.
        let row = Row {
            data: None,
            written: FormattedValue::default(),
            parts: Vec::new(),
            text: String::new(),
            ..row
        };
        let line = |(number, step): (usize, &Value)| {
            let mut line = row.clone();
            line.name = format!("{}.{number}", row.name);
            line.data = self.data(|| data_of(&self.writer, step));
            line.written = self.writer.value(step);
            line.parts = match step {
                Value::List(values) if !each.parts.is_empty() => self.op_parts(slot, values),
                step => self.card_parts(step),
            };
            let text: String = line.parts.iter().map(|part| part.text.as_str()).collect();
            text.trim().clone_into(&mut line.text);
            // What goes for all lines is said once.
            if number > 1 {
                line.note.clear();
                line.cautions.clear();
            }
            line
        };
        (1..).zip(steps.iter()).map(line).collect()
    }

    /// Returns a row of a table as a line of a card: its names and its values.
    pub(super) fn card_parts(&self, step: &Value) -> Vec<OpPart> {
        let piece = |text: String, value| OpPart { text, value };
        let Value::Record(record) = step else {
            return vec![piece(self.writer.sentence(step), true)];
        };
        let mut parts = Vec::new();
        for (name, value) in said_fields(record) {
            let comma = if parts.is_empty() { "" } else { ", " };
            parts.push(piece(format!("{comma}{name} "), false));
            parts.push(piece(self.writer.sentence(value), true));
        }
        parts
    }

    pub(super) fn op_parts(&self, slot: SlotId, values: &[Value]) -> Vec<OpPart> {
        let parts = match self.workspace.slot(slot).map(|slot| &slot.content) {
            Some(Definition::Op(parts)) => parts,
            Some(Definition::OpEach(each)) => &each.parts,
            _ => return Vec::new(),
        };
        let mut values = values.iter();
        let mut pieces = Vec::new();
        for part in parts {
            let text = match part {
                OpPartCode::Text(words) => Some(words.clone()),
                OpPartCode::Value(_) => values.next().map(|value| {
                    ratio_in_op(part, value).unwrap_or_else(|| self.writer.sentence(value))
                }),
            };
            pieces.extend(text.map(|text| OpPart {
                text,
                value: matches!(part, OpPartCode::Value(_)),
            }));
        }
        pieces
    }
}
