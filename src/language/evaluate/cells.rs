//! Where an evaluation finds the values of cells.

use std::sync::Arc;

use super::STEPS;
use crate::language::code::{SizeCode, Source};
use crate::language::{UserFunction, Value};

/// Where an evaluation finds the values of cells.
pub trait Cells {
    /// The value of a cell; nothing when it has none.
    fn value(&self, slot: u32) -> Option<&Value>;
    /// The value that the drawing gives a cell: without measured values and with
    /// every size at its drawing size.
    fn drawing(&self, slot: u32) -> Option<&Value>;
    /// How far a size is to stand from its drawing size, between its deviations
    /// `low` and `high` (all in coherent SI).
    fn deviation(&self, source: Source, low: f64, high: f64) -> f64;
    /// A function of the notebook.
    fn function(&self, slot: u32) -> Option<&Arc<UserFunction>>;
    /// The toleranced size that a cell is; nothing for a cell that is worked out or was
    /// measured.
    fn size(&self, _slot: u32) -> Option<&SizeCode> {
        None
    }
    /// How many steps one evaluation may take now.
    fn steps(&self) -> u64 {
        STEPS
    }
    /// Takes note of the steps that an evaluation took.
    fn took(&self, _steps: u64) {}
}

/// No cells at all: for the library and for `calc`.
pub struct NoCells;

impl Cells for NoCells {
    fn value(&self, _: u32) -> Option<&Value> {
        None
    }
    fn drawing(&self, _: u32) -> Option<&Value> {
        None
    }
    fn deviation(&self, _: Source, _: f64, _: f64) -> f64 {
        0.0
    }
    fn function(&self, _: u32) -> Option<&Arc<UserFunction>> {
        None
    }
}
