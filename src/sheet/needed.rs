//! What a sheet says: what is needed at the machine. Working, empty fields, choices that
//! were not taken and digits beyond their use are kept off it and shown on request.

use super::build::Builder;
use super::choices::Choices;
use super::formatted_value::{FormattedValue, said_fields};
use super::model::{Grid, Row, RowKind, Sheet};
use super::summary;
use crate::language::{Node, Record, ResolvedExpr, SlotId, Table, Value};
use crate::notebook::{Definition, OpPartCode};
use crate::quantity::{Dimension, Quantity, count, ratio};
use crate::syntax::Operator;

/// The sign in front of a name or a heading that keeps its rows off the sheet.
pub(super) const WORKING: char = '_';

impl Row {
    /// Returns the row with all that it keeps back.
    #[must_use]
    pub fn in_full(mut self) -> Self {
        self.hidden = false;
        if let Some(rest) = self.rest.take() {
            self.grid = rest.grid.or(self.grid);
            if let Some((written, limits)) = rest.exact {
                (self.written, self.limits) = (written, limits);
                self.text = self.written.line();
            }
        }
        self
    }
}

impl Sheet {
    /// Returns the sheet with its working, all fields, all choices and all digits.
    #[must_use]
    pub fn in_full(mut self) -> Self {
        for section in &mut self.sections {
            let rows = std::mem::take(&mut section.rows);
            section.rows = rows.into_iter().map(Row::in_full).collect();
        }
        self
    }

    /// Returns how much is kept off the sheet, in words; nothing where all is on it.
    #[must_use]
    pub fn kept_off(&self) -> Option<String> {
        let hidden = self.rows().filter(|row| row.hidden).count();
        (hidden > 0).then(|| format!("{} of working kept off", count(hidden, "row")))
    }
}

/// Returns a heading as it is printed, and whether its section is working.
pub(super) fn heading(text: &str) -> (&str, bool) {
    match text.strip_prefix(WORKING) {
        Some(rest) if !rest.trim().is_empty() => (rest.trim(), true),
        _ => (text, false),
    }
}

/// Returns whether a row is kept off the sheet: it is marked as working, and there is nothing
/// to look at. An op is never working.
pub(super) fn is_kept_off(row: &Row, working_section: bool) -> bool {
    let named = matches!(
        row.kind,
        RowKind::Cell | RowKind::Table | RowKind::Find | RowKind::Measured | RowKind::Vary
    );
    let marked = working_section || named && row.name.starts_with(WORKING);
    marked && row.kind != RowKind::Op && summary::word(row).is_none()
}

/// Returns whether a formula is a quotient.
fn is_quotient(node: &Node) -> bool {
    match &node.code {
        ResolvedExpr::Chain(_, rest) => rest.iter().any(|(sign, _)| *sign == Operator::Over),
        ResolvedExpr::Where(_, _, body) => is_quotient(body),
        _ => false,
    }
}

/// Returns whether a quantity is a plain number.
fn is_plain(quantity: Quantity) -> bool {
    quantity.dimension == Dimension::NONE && quantity.unit.symbol().is_empty()
}

/// Returns a value in an op that is a ratio, as it is printed.
pub(super) fn ratio_in_op(part: &OpPartCode, value: &Value) -> Option<String> {
    match (part, value) {
        (OpPartCode::Value(node), Value::Quantity(quantity))
            if is_quotient(node) && is_plain(*quantity) =>
        {
            Some(ratio(quantity.si))
        }
        _ => None,
    }
}

impl Builder<'_> {
    /// Shortens a ratio to the digits that it needs.
    pub(super) fn shorten_ratio(&self, row: &mut Row, slot: SlotId, value: &Value) {
        let content = self.workspace.slot(slot).map(|slot| &slot.content);
        let (Some(Definition::Cell(node) | Definition::Bare(node)), Value::Quantity(quantity)) =
            (content, value)
        else {
            return;
        };
        let exact = row.written.clone();
        let short = ratio(quantity.si);
        if !is_quotient(node) || !is_plain(*quantity) || short == exact.number {
            return;
        }
        let limits = row.limits.clone();
        let range = self.travel.of_slot(slot);
        let range = range.and_then(|limits| self.range_text(*quantity, limits, Some(&short)));
        if let Some((_, text)) = range {
            row.limits = text;
        }
        row.written.number = short;
        row.rest_mut().exact = Some((exact, limits));
    }

    /// Puts a table into its row: of choices those that are taken, else all.
    pub(super) fn table(&self, row: &mut Row, slot: SlotId, table: &Table) {
        let all = self.grid(table);
        let taken = if table.choices && table.rows.len() > 1 {
            self.choices().taken(self.workspace, slot, table)
        } else {
            Vec::new()
        };
        if taken.is_empty() || taken.len() == table.rows.len() {
            row.grid = Some(all);
            return;
        }
        let places: Vec<String> = taken.iter().map(|place| (place + 1).to_string()).collect();
        let of = table.rows.len();
        let left_out = match places.as_slice() {
            [one] if one == "1" => format!("the first of {of}"),
            [one] => format!("row {one} of {of}"),
            [firsts @ .., last] => format!("rows {} and {last} of {of}", firsts.join(", ")),
            [] => String::new(),
        };
        let rows = taken.iter().filter_map(|place| all.rows.get(*place));
        row.grid = Some(Grid {
            columns: all.columns.clone(),
            rows: rows.cloned().collect(),
            left_out,
            ..Grid::default()
        });
        row.rest_mut().grid = Some(all);
    }

    /// Puts a record into its row: its fields that have something to say, or the choice
    /// that it is.
    pub(super) fn record(&self, row: &mut Row, slot: SlotId, record: &Record) {
        let all = self.fields(record.fields.iter().map(|(name, value)| (&**name, value)));
        if let Some(choice) = self.choices().choice(self.workspace, slot, record) {
            row.written = FormattedValue::text(choice);
            row.rest_mut().grid = Some(all);
            return;
        }
        let said = self.fields(said_fields(record));
        if said.rows.is_empty() || said.rows.len() == all.rows.len() {
            row.grid = Some(all);
            return;
        }
        row.grid = Some(said);
        row.rest_mut().grid = Some(all);
    }

    fn choices(&self) -> &Choices {
        self.choices
            .get_or_init(|| Choices::of(self.workspace, self.page))
    }
}
