//! How much a notebook may hold.

use std::sync::Arc;

use super::outcome::{Failure, Outcome};
use super::workspace::Workspace;
use crate::diagnostic::{Diagnostic, Span};
use crate::language::{SlotId, Value};

/// The most values in all lists, records, tables and long texts of a notebook. Lists share their
/// parts, so that a few lines may name millions of values; whoever prints them goes
/// through them all.
pub const VALUES: usize = 120_000;

/// What the lists, records, tables and long texts come to so far, in values.
#[derive(Debug, Default)]
pub struct Held {
    values: usize,
    /// Whether something was refused.
    pub over: bool,
}

impl Held {
    /// Takes what a slot comes to in place of what it held before; refuses it where that
    /// is more than a notebook may hold.
    pub fn take(
        &mut self,
        workspace: &Workspace,
        slot: SlotId,
        before: &Outcome,
        now: &mut Outcome,
    ) {
        self.values = self.values.saturating_sub(weight(before));
        let more = if self.refuses(now) {
            VALUES
        } else {
            weight(now)
        };
        if more == 0 {
            return;
        }
        if self.values.saturating_add(more) <= VALUES {
            self.values += more;
            return;
        }
        self.over = true;
        *now = self.refused(workspace, slot);
    }

    /// Returns whether it refuses what a slot comes to without counting: once it is full,
    /// all that is large.
    pub fn refuses(&self, now: &Outcome) -> bool {
        self.over && matches!(now, Ok(Value::List(_) | Value::Record(_) | Value::Table(_)))
    }

    /// Returns what a slot comes to that is refused.
    pub fn refused(&self, workspace: &Workspace, slot: SlotId) -> Outcome {
        let text = workspace.statement_of(slot).unwrap_or_default();
        let wrong = Diagnostic::error(
            format!(
                "the lists, tables and texts of this notebook have more than {VALUES} values in all"
            ),
            Span::new(0, text.len()),
        )
        .advise("keep what is shown to what is needed at the machine");
        Err(Arc::new(Failure::Wrong(vec![wrong])))
    }
}

/// Returns what an outcome counts among the values of a notebook; a short text and a number count
/// nothing.
fn weight(outcome: &Outcome) -> usize {
    match outcome {
        Ok(value @ (Value::List(_) | Value::Record(_) | Value::Table(_))) => {
            value.bounded().unwrap_or(VALUES)
        }
        Ok(text @ Value::Text(_)) => text.size() - 1,
        _ => 0,
    }
}

/// Returns whether the lists, records, tables and texts of a notebook are more than it may
/// hold.
pub fn is_crowded(workspace: &Workspace) -> bool {
    let mut held = 0_usize;
    workspace.values.iter().any(|outcome| {
        held = held.saturating_add(weight(outcome));
        held > VALUES
    })
}
