//! Which rows of its tables of choices a notebook takes.

use std::collections::HashMap;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::Arc;

use super::needed::WORKING;
use crate::language::{Node, Record, ResolvedExpr, SlotId, Table, Value};
use crate::notebook::{Page, Workspace};

/// The choices of a notebook and what takes them, looked up once for a whole sheet.
pub(super) struct Choices {
    /// Where each slot of the notebook stands in it first.
    order: HashMap<SlotId, usize>,
    /// The places that formulas take by their numbers, by the slot of the table.
    picked: HashMap<SlotId, Vec<usize>>,
    /// The slots of records, by [`key`].
    records: HashMap<u64, Vec<SlotId>>,
    /// The slots of tables of choices that are shown, by the [`key`] of each row, in the
    /// order of the notebook.
    tables: HashMap<u64, Vec<SlotId>>,
}

impl Choices {
    /// Returns the choices of the notebook that was opened.
    pub(super) fn of(workspace: &Workspace, page: &Page) -> Self {
        let mut choices = Self {
            order: HashMap::new(),
            picked: HashMap::new(),
            records: HashMap::new(),
            tables: HashMap::new(),
        };
        let slots = page.items.iter().filter_map(|item| item.slot);
        for (place, slot) in slots.enumerate() {
            if choices.order.contains_key(&slot) {
                continue;
            }
            choices.order.insert(slot, place);
            match workspace.value(slot) {
                Some(Value::Record(record)) => {
                    let names = record.fields.iter().map(|(name, _)| name);
                    let key = key(names, record.fields.iter().map(|(_, value)| value));
                    choices.records.entry(key).or_default().push(slot);
                }
                Some(Value::Table(table)) if table.choices => {
                    let name = workspace.name_of(slot);
                    if !name.is_empty() && !name.starts_with(WORKING) {
                        for row in &table.rows {
                            let tables = choices.tables.entry(key(table.columns.iter(), row));
                            let tables = tables.or_default();
                            if tables.last() != Some(&slot) {
                                tables.push(slot);
                            }
                        }
                    }
                }
                _ => {}
            }
            if let Some(filled) = workspace.slot(slot) {
                filled.content.walk(&mut |node| {
                    node.walk(&mut |node| {
                        if let Some((of, place)) = picked(node) {
                            choices.picked.entry(of).or_default().push(place);
                        }
                    });
                });
            }
        }
        choices
    }

    /// Returns the places of the rows that the notebook takes from a table of choices; the
    /// first where it takes none.
    pub(super) fn taken(&self, workspace: &Workspace, slot: SlotId, table: &Table) -> Vec<usize> {
        let mut taken = self.picked.get(&slot).cloned().unwrap_or_default();
        for row in &table.rows {
            let records = self.records.get(&key(table.columns.iter(), row));
            for other in records.into_iter().flatten() {
                if let Some(Value::Record(record)) = workspace.value(*other) {
                    taken.extend(place_of(table, record));
                }
            }
        }
        taken.sort_unstable();
        taken.dedup();
        taken.retain(|place| *place < table.rows.len());
        if taken.is_empty() {
            taken.push(0);
        }
        taken
    }

    /// Returns the choice that a record is, where the sheet shows it above: `row 1 of trains`.
    pub(super) fn choice(
        &self,
        workspace: &Workspace,
        slot: SlotId,
        record: &Record,
    ) -> Option<String> {
        let names = record.fields.iter().map(|(name, _)| name);
        let key = key(names, record.fields.iter().map(|(_, value)| value));
        let own = self.order.get(&slot).copied().unwrap_or(usize::MAX);
        let above = |other: &&SlotId| self.order.get(other).is_some_and(|place| *place < own);
        let tables = self.tables.get(&key)?.iter();
        tables.take_while(above).find_map(|other| {
            let Some(Value::Table(table)) = workspace.value(*other) else {
                return None;
            };
            let place = place_of(table, record)?;
            let name = workspace.name_of(*other);
            Some(match table.rows.len() {
                1 => format!("as in {name}"),
                _ => format!("row {} of {name}", place + 1),
            })
        })
    }
}

/// Returns a number that rows and records of the same columns and values have in common.
fn key<'a>(
    names: impl Iterator<Item = &'a Arc<str>>,
    values: impl IntoIterator<Item = &'a Value>,
) -> u64 {
    let mut hasher = DefaultHasher::new();
    names.for_each(|name| name.hash(&mut hasher));
    for value in values {
        match value {
            // 0 and -0 are equal.
            Value::Quantity(quantity) => (quantity.si + 0.0).to_bits().hash(&mut hasher),
            Value::Text(text) => text.hash(&mut hasher),
            Value::Truth(truth) => truth.hash(&mut hasher),
            _ => {}
        }
    }
    hasher.finish()
}

/// Returns the place of a record among the rows of a table.
fn place_of(table: &Table, record: &Record) -> Option<usize> {
    let names = record.fields.iter().map(|(name, _)| name);
    if !names.eq(table.columns.iter()) {
        return None;
    }
    let rows = table.rows.iter();
    rows.map(|row| row.iter().eq(record.fields.iter().map(|(_, value)| value)))
        .position(|same| same)
}

/// Returns the table that an expression takes a row from by its number, with the place of the row.
fn picked(node: &Node) -> Option<(SlotId, usize)> {
    let ResolvedExpr::Index(parts) = &node.code else {
        return None;
    };
    match (&parts[0].code, &parts[1].code) {
        (ResolvedExpr::Cell(of), ResolvedExpr::Constant(Value::Quantity(place)))
            if place.si >= 1.0 && place.si <= 1e6 =>
        {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 1 to 10^6
            let place = place.si as usize;
            Some((*of, place - 1))
        }
        _ => None,
    }
}
