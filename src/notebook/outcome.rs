//! What evaluating a slot came to.

use crate::diagnostic::Diagnostic;
use crate::language::Value;

/// Why a slot has no value.
#[derive(Clone, Debug, PartialEq)]
pub enum Failure {
    /// Something is wrong with the statement; places count from its first byte.
    Wrong(Vec<Diagnostic>),
    /// Another slot, which it needs, has no value.
    Because(u32),
    /// It waits for the reading of a slot.
    Unmeasured(u32),
    /// Nothing defines the name.
    Undefined,
}

/// A slot's value, or why it has none.
pub type Outcome = Result<Value, Box<Failure>>;
