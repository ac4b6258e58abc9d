//! Where an evaluation finds the values of cells.

use std::sync::Arc;

use crate::language::SlotId;
use crate::language::bounds::STEPS;
use crate::language::code::Source;
use crate::language::{UserFunction, Value};
use crate::quantity::System;

/// Where an evaluation finds the values of cells.
pub trait Cells {
    /// Returns the value of a cell; nothing when it has none.
    fn value(&self, slot: SlotId) -> Option<&Value>;
    /// Returns what the drawing gives a cell: its formula over drawn figures, without
    /// its own readings.
    fn drawn(&self, slot: SlotId) -> Option<&Value>;
    /// Returns what a cell counts as where limits are set on a formula: as drawn, but a
    /// cell without limits that was measured (a roll, a wire) at its reading.
    fn gauged(&self, slot: SlotId) -> Option<&Value> {
        self.drawn(slot)
    }
    /// Returns what a cell is worked to: its value without its own readings.
    fn aimed(&self, slot: SlotId) -> Option<&Value> {
        self.value(slot)
    }
    /// Returns whether limits act on a cell, its own or those of what it follows from.
    fn limited(&self, _slot: SlotId) -> bool {
        false
    }
    /// Returns whether any cell has limits or a reading, so that drawn figures may differ.
    fn has_faces(&self) -> bool {
        false
    }
    /// Returns how far a size stands from its drawn figure, between its deviations `low`
    /// and `high` (all in coherent SI): in the middle unless it is moved.
    fn deviation(&self, source: Source, low: f64, high: f64) -> f64;
    /// Returns a function of the notebook.
    fn function(&self, slot: SlotId) -> Option<&Arc<UserFunction>>;
    /// Returns the system that the notebook asks lengths to be shown in.
    fn lengths(&self) -> Option<System> {
        None
    }
    /// Returns how many steps one evaluation may take now.
    fn steps(&self) -> u64 {
        STEPS
    }
    /// Takes note of the steps that an evaluation took.
    fn took(&self, _steps: u64) {}
}
