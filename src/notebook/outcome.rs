//! What evaluating a slot came to.

use std::sync::Arc;

use crate::diagnostic::Diagnostic;
use crate::language::{SlotId, Value};

/// Why a slot has no value.
#[derive(Clone, Debug, PartialEq)]
pub enum Failure {
    /// Something is wrong with the statement; places count from its first byte.
    Wrong(Vec<Diagnostic>),
    /// Another slot, which it needs, has no value.
    Because(SlotId),
    /// It waits for the reading of a slot.
    Unmeasured(SlotId),
    /// Nothing defines the name.
    Undefined,
}

/// A slot's value, or why it has none, shared by all copies.
pub type Outcome = Result<Value, Arc<Failure>>;

/// What a slot has besides its value: kept for what has limits or a reading, and for
/// all that follows from it.
#[derive(Clone, Debug, PartialEq)]
pub struct Faces {
    /// What the drawing gives: drawn figures throughout, no readings of sizes.
    pub drawn: Outcome,
    /// The value without its own readings, where it has one.
    pub aimed: Option<Outcome>,
    /// Whether limits act on it, its own or those of what it follows from.
    pub limited: bool,
    /// Whether a choice, a comparison or a rounding goes another way at the drawn
    /// figures.
    pub decides_otherwise: bool,
}
