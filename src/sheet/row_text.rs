//! Some rows of a sheet by themselves, as the line editor shows them.

use super::build::Builder;
use super::model::{Row, Sheet};
use super::terminal::section_text;
use super::terminal_style::TerminalStyle;
use crate::language::SlotId;
use crate::notebook::{ToleranceAnalysis, Workspace};
use crate::syntax::ItemKind;

impl Sheet {
    /// Returns the rows of some statements (by their place in the notebook that was opened),
    /// in that order; settings, headings and functions have none.
    #[must_use]
    pub fn rows_of(workspace: &Workspace, items: &[u32]) -> Vec<Row> {
        let Some(page) = workspace.main() else {
            return Vec::new();
        };
        let chosen = items
            .iter()
            .filter_map(|index| page.items.get(*index as usize).map(|item| (*index, item)))
            .filter(|(_, item)| {
                !matches!(
                    item.kind,
                    ItemKind::Section | ItemKind::Setting | ItemKind::Function
                )
            });
        let chosen: Vec<_> = chosen
            .filter_map(|(index, item)| Some((index, item, item.slot?)))
            .collect();
        let slots: Vec<SlotId> = chosen.iter().map(|(_, _, slot)| *slot).collect();
        let travel = ToleranceAnalysis::of_slots(workspace, &slots);
        let mut builder = Builder::new(workspace, page, travel);
        chosen
            .into_iter()
            .flat_map(|(index, item, slot)| builder.rows(index, item, slot))
            .collect()
    }
}

/// Returns rows as text for a terminal, laid out as in a section of a sheet but without
/// the cautions of their ops.
#[must_use]
pub fn rows_text(mut rows: Vec<Row>, look: TerminalStyle) -> String {
    for row in &mut rows {
        row.cautions.clear();
    }
    section_text(&rows, look)
}
