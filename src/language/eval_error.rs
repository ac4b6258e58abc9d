//! Why an expression has no value.

use crate::diagnostic::{Diagnostic, Fault, Span};
use crate::language::SlotId;

/// Why an expression has no value.
#[derive(Clone, Debug, PartialEq)]
pub enum EvalError {
    /// Something is wrong at a place of the statement.
    Wrong(Box<Diagnostic>),
    /// A cell that is needed (by its slot) has no value.
    Missing(SlotId),
    /// The reading of a cell (by its slot) is asked for, and there is none yet.
    Unmeasured(SlotId),
}

impl EvalError {
    /// Returns a fault put at its place.
    pub fn at(fault: Fault, span: Span) -> Self {
        Self::Wrong(Box::new(Diagnostic::at(fault, span)))
    }
}

impl From<Diagnostic> for EvalError {
    fn from(diagnostic: Diagnostic) -> Self {
        Self::Wrong(Box::new(diagnostic))
    }
}
