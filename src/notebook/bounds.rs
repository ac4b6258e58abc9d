//! How much a notebook may hold.

use super::outcome::Failure;
use super::workspace::Workspace;
use crate::diagnostic::{Diagnostic, Span};
use crate::language::Value;

/// The most values in all lists, records and tables of a notebook. Lists share their
/// parts, so that a few lines may name millions of values; whoever prints them goes
/// through them all.
pub const VALUES: usize = 250_000;

/// Returns the slots whose lists, records and tables come on top of what a notebook may
/// hold.
pub fn crowded(workspace: &Workspace) -> Vec<u32> {
    let mut held = 0_usize;
    let mut over = Vec::new();
    for (slot, outcome) in (0_u32..).zip(&workspace.values) {
        let Ok(value @ (Value::List(_) | Value::Record(_) | Value::Table(_))) = outcome else {
            continue;
        };
        held = held.saturating_add(value.bounded().unwrap_or(VALUES));
        if held > VALUES {
            over.push(slot);
        }
    }
    over
}

/// Refuses what comes on top of what a notebook may hold.
pub fn bound_values(workspace: &mut Workspace) {
    for slot in crowded(workspace) {
        workspace.crowded = true;
        let text = workspace.statement_of(slot).unwrap_or_default();
        let wrong = Diagnostic::error(
            format!("the lists and tables of this notebook have more than {VALUES} values in all"),
            Span::new(0, text.len()),
        )
        .advise("keep what is shown to what is needed at the machine");
        if let Some(outcome) = workspace.values.get_mut(slot as usize) {
            *outcome = Err(Box::new(Failure::Wrong(vec![wrong])));
        }
    }
}
