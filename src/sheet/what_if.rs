//! The rows of what-if tables.

use std::collections::BTreeMap;
use std::sync::Arc;

use serde_json::Value as Json;

use super::build::Builder;
use super::model::{Grid, Row, joined};
use super::record_rows::data_of;
use crate::language::{SlotId, Table, Value};
use crate::notebook::{VaryRow, VaryTable, vary};

/// The most values of a second varied cell that stand side by side.
const ACROSS: usize = 8;
/// The most failing checks that a row names.
const NAMED: usize = 5;

/// Returns the names of the first of so many failing checks.
fn mark(count: usize, name: impl Fn(usize) -> Option<String>) -> String {
    if count == 0 {
        return String::new();
    }
    let named: Vec<String> = (0..count.min(NAMED)).filter_map(name).collect();
    let more = match count.saturating_sub(NAMED) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    format!("fails {}{more}", named.join(" and "))
}

/// Returns the values of a row: of what varies, then of what is shown.
pub(super) fn values_of(row: &VaryRow) -> impl Iterator<Item = Value> {
    let shown = row.shown.iter().map(|shown| match shown {
        Ok(value) => value.clone(),
        Err(why) => Value::from(format!("no value: {why}")),
    });
    row.varied.iter().cloned().chain(shown)
}

impl Builder<'_> {
    /// Puts a what-if table into its row.
    pub(super) fn vary(&self, row: &mut Row, slot: SlotId) {
        let Ok(table) = vary(self.workspace, slot) else {
            row.is_wrong();
            return;
        };
        let names = table
            .varied
            .iter()
            .map(|slot| self.workspace.name_of(*slot));
        let columns: Vec<Arc<str>> = names
            .chain(table.shown.iter().cloned())
            .map(Arc::from)
            .collect();
        let mut rows = Vec::new();
        let mut marks = Vec::new();
        for line in &table.rows {
            rows.push(values_of(line).collect());
            marks.push(mark(line.failing.len(), |place| {
                line.failing.get(place).map(|check| self.check_text(*check))
            }));
        }
        let made = Table {
            columns,
            rows,
            choices: false,
        };
        row.data = self.data(|| data_of(&self.writer, &Value::from(made.clone())));
        if let Some(Json::Array(lines)) = row.data.as_mut().map(|data| &mut data.value) {
            for (line, mark) in lines.iter_mut().zip(&marks) {
                if let Json::Object(fields) = line {
                    let mark = if mark.is_empty() {
                        Json::Null
                    } else {
                        Json::from(mark.as_str())
                    };
                    fields.insert("fails".to_owned(), mark);
                }
            }
        }
        if !table.aside.is_empty() {
            let names = table.aside.iter().map(|slot| self.workspace.name_of(*slot));
            let aside = format!(
                "readings set aside: {}",
                names.collect::<Vec<_>>().join(", ")
            );
            row.note = joined(&[&row.note, &aside]);
        }
        let grid = self.crosswise(&table);
        row.grid = Some(grid.unwrap_or_else(|| Grid {
            marks,
            ..self.grid(&made)
        }));
    }

    /// With two varied cells and one thing shown: the values of the first go down, those
    /// of the second across. Nothing where that does not fit or a value is missing.
    fn crosswise(&self, table: &VaryTable) -> Option<Grid> {
        let (&[down, across], &[_, width], [_]) = (
            table.varied.as_slice(),
            table.counts.as_slice(),
            table.shown.as_slice(),
        ) else {
            return None;
        };
        if !(2..=ACROSS).contains(&width) || table.rows.len() <= width {
            return None;
        }
        let across = self.workspace.name_of(across);
        let along = |row: &VaryRow| {
            let value = row.varied.get(1);
            value.map_or(String::new(), |value| self.writer.value(value).line())
        };
        let headings = table.rows.iter().take(width).map(along);
        let mut columns = vec![self.workspace.name_of(down)];
        columns.extend(headings.map(|value| format!("{across}\n{value}")));
        let mut rows = Vec::new();
        let mut marks = Vec::new();
        for line in table.rows.chunks(width) {
            let mut written = vec![self.writer.value(line.first()?.varied.first()?)];
            for row in line {
                written.push(self.writer.value(row.shown.first()?.as_ref().ok()?));
            }
            rows.push(written);
            let mut failing: BTreeMap<SlotId, Vec<String>> = BTreeMap::new();
            for row in line {
                for check in &row.failing {
                    failing.entry(*check).or_default().push(along(row));
                }
            }
            let failing: Vec<(SlotId, Vec<String>)> = failing.into_iter().collect();
            marks.push(mark(failing.len(), |place| {
                let (check, places) = failing.get(place)?;
                let check = self.check_text(*check);
                Some(match places.len() == width {
                    true => check,
                    false => format!("{check} at {}", places.join(", ")),
                })
            }));
        }
        Some(Grid {
            columns,
            rows,
            marks,
            ..Grid::default()
        })
    }

    /// Returns the condition of a check as it is written.
    fn check_text(&self, slot: SlotId) -> String {
        self.workspace
            .name_of(slot)
            .trim_start_matches("check")
            .trim()
            .to_owned()
    }
}
