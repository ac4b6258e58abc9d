//! Working out what an expression comes to.

mod access;
mod by_value;
mod call;
mod cells;
mod chain;
mod compound;
mod size;

pub use access::styled;
pub use by_value::paired;
pub use cells::Cells;
pub use chain::doubtful;
pub use size::with_tolerance;

use std::cell::{Cell, RefCell};

use super::bounds::{DEPTH, STEPS};
use super::code::{Node, ResolvedExpr};
use super::{EvalError, Value};
use crate::diagnostic::{Diagnostic, Fault, Span};
use crate::quantity::Quantity;

/// Evaluates expressions against cells, within bounds of steps and depth.
pub struct Evaluator<'a> {
    cells: &'a dyn Cells,
    allowed: u64,
    steps: Cell<u64>,
    calls: Cell<u32>,
    depth: Cell<u32>,
    figures: Cell<Figures>,
    carries: Cell<bool>,
    in_library: Cell<bool>,
    decisions: Cell<u64>,
    warnings: RefCell<Vec<Diagnostic>>,
}

impl Drop for Evaluator<'_> {
    fn drop(&mut self) {
        self.cells
            .took(self.allowed.saturating_sub(self.steps.get()));
    }
}

type Evaluated = Result<Value, EvalError>;

/// Which figures an evaluation works with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Figures {
    /// Readings, else aims.
    InUse,
    /// The figures of the drawing.
    Drawn,
    /// The figures of the drawing, with gauges that were measured at their readings.
    Gauged,
}

impl<'a> Evaluator<'a> {
    /// Returns an evaluator over these cells, with steps for one statement.
    #[must_use]
    pub fn new(cells: &'a dyn Cells) -> Self {
        Self::with_steps(cells, cells.steps())
    }

    /// Returns an evaluator with so many steps.
    #[must_use]
    pub fn with_steps(cells: &'a dyn Cells, steps: u64) -> Self {
        let steps = steps.min(STEPS);
        Self {
            cells,
            allowed: steps,
            steps: Cell::new(steps),
            calls: Cell::new(0),
            depth: Cell::new(0),
            figures: Cell::new(Figures::InUse),
            carries: Cell::new(true),
            in_library: Cell::new(false),
            decisions: Cell::new(0),
            warnings: RefCell::default(),
        }
    }

    /// Returns an evaluator for what the drawing says: drawn figures throughout, but
    /// gauges (cells without limits) that were measured at their readings.
    #[must_use]
    pub fn of_drawing(cells: &'a dyn Cells) -> Self {
        let evaluator = Self::new(cells);
        evaluator.figures.set(Figures::Gauged);
        evaluator
    }

    /// Returns a mark of all that was decided so far: which way each choice, comparison
    /// and rounding went. Two evaluations that decided alike have the same.
    #[must_use]
    pub fn decisions(&self) -> u64 {
        self.decisions.get()
    }

    /// Takes note of a decision.
    pub(super) fn decided(&self, which: u64) {
        // FNV-1a, a public-domain hash.
        let mark = (self.decisions.get() ^ which).wrapping_mul(0x0100_0000_01b3);
        self.decisions.set(mark.wrapping_add(1));
    }

    /// Returns what the user should look at though there is a value.
    #[must_use]
    pub fn warnings(&self) -> Vec<Diagnostic> {
        self.warnings.take()
    }

    /// Returns the steps that are left.
    #[must_use]
    pub fn steps_left(&self) -> u64 {
        self.steps.get()
    }

    /// Returns the value of an expression without locals.
    ///
    /// # Errors
    /// What is wrong and where, or which cell is missing.
    pub fn evaluate(&self, node: &Node) -> Evaluated {
        self.with_locals(node, &mut Vec::new())
    }

    /// Returns what an expression without locals comes to over drawn figures, as an argument
    /// that wants those gets it.
    ///
    /// # Errors
    /// What is wrong and where, or which cell is missing.
    pub fn evaluate_drawn(&self, node: &Node) -> Evaluated {
        self.in_figures(Figures::Drawn, || self.evaluate(node))
    }

    /// Returns the value of an expression over these locals.
    ///
    /// # Errors
    /// What is wrong and where, or which cell is missing.
    pub fn with_locals(&self, node: &Node, locals: &mut Vec<Value>) -> Evaluated {
        self.node(node, locals, 0)
    }

    /// Returns the cells that it evaluates against.
    pub(super) fn cells(&self) -> &'a dyn Cells {
        self.cells
    }

    /// Takes steps for work that is not the evaluator's; they may run out.
    pub(super) fn take(&self, steps: usize) {
        self.steps
            .set(self.steps.get().saturating_sub(steps as u64));
    }

    /// Takes steps for work that is not one of a few operations: going through a list.
    ///
    /// # Errors
    /// When the steps run out.
    pub fn charge(&self, steps: usize, span: Span) -> Result<(), EvalError> {
        match self.steps.get().checked_sub(steps as u64) {
            Some(left) => {
                self.steps.set(left);
                Ok(())
            }
            None => {
                self.steps.set(0);
                let message = if self.allowed < STEPS {
                    "all that the notebook works out takes too many steps; they run out here"
                        .to_owned()
                } else {
                    format!("this takes more than {STEPS} steps to work out")
                };
                let advice = "does a function call itself, or a list grow, without end?";
                Err(EvalError::at(Fault::new(message).advise(advice), span))
            }
        }
    }

    /// `base` is where the locals of the running function begin.
    pub(super) fn node(&self, node: &Node, locals: &mut Vec<Value>, base: usize) -> Evaluated {
        self.charge(1, node.span)?;
        match &node.code {
            ResolvedExpr::Constant(value) => Ok(value.clone()),
            ResolvedExpr::Cell(slot) => {
                let found = match self.figures.get() {
                    Figures::InUse => self.cells.value(*slot),
                    Figures::Drawn => self.cells.drawn(*slot),
                    Figures::Gauged => self.cells.gauged(*slot),
                };
                let found = found.cloned().ok_or(EvalError::Missing(*slot))?;
                // A gauge counts at its reading, which is no size with a drawn figure here.
                Ok(match self.figures.get() {
                    Figures::Gauged => found.plain(),
                    _ => found,
                })
            }
            ResolvedExpr::Local(place) => {
                let value = locals.get(base + usize::from(*place));
                let value = match self.figures.get() {
                    Figures::InUse => value.cloned(),
                    _ => value.map(Value::drawn),
                };
                value.ok_or_else(|| {
                    EvalError::at(Fault::new("this name has no value here"), node.span)
                })
            }
            _ => {
                let depth = self.depth.get();
                if depth >= DEPTH {
                    return Err(too_deep(node.span));
                }
                self.depth.set(depth + 1);
                let result = self.compound(node, locals, base);
                self.depth.set(depth);
                result
            }
        }
    }

    /// Returns an expression with others in it. Each kind has a function of its own: what
    /// nests deep should take little stack.
    fn compound(&self, node: &Node, locals: &mut Vec<Value>, base: usize) -> Evaluated {
        let span = node.span;
        match &node.code {
            ResolvedExpr::Constant(_) | ResolvedExpr::Cell(_) | ResolvedExpr::Local(_) => {
                self.node(node, locals, base)
            }
            ResolvedExpr::Negate(value) => self.negated(value, span, locals, base),
            ResolvedExpr::Not(value) => self.not(value, span, locals, base),
            ResolvedExpr::Chain(first, rest) => self.chain(first, rest, span, locals, base),
            ResolvedExpr::If(parts) => self.chosen(parts, locals, base),
            ResolvedExpr::Call(call) => self.call(call, span, locals, base),
            ResolvedExpr::Record(fields) => self.record(fields, span, locals, base),
            ResolvedExpr::List(items, unit) => self.list(items, *unit, span, locals, base),
            ResolvedExpr::Field(value, name) => self.field(value, name, span, locals, base),
            ResolvedExpr::Index(parts) => self.picked(parts, span, locals, base),
            ResolvedExpr::As(value, unit) => self.shown_in(value, *unit, span, locals, base),
            ResolvedExpr::Styled(value, style) => self.styled(value, *style, span, locals, base),
            ResolvedExpr::Size(size) => self.size(size, locals, base),
            ResolvedExpr::Find(find) => self.find(find, span, locals, base),
            ResolvedExpr::Rows(rows) => self.rows(rows, span, locals, base),
            ResolvedExpr::Where(bound, first, value) => {
                self.bound(bound, *first, value, locals, base)
            }
        }
    }

    /// Returns a list, a record or a table that is not too large.
    ///
    /// # Errors
    /// When it holds too many values, or all that is worked out takes too many steps.
    pub fn bounded(&self, value: Value, span: Span) -> Evaluated {
        let size = value
            .bounded()
            .map_err(|fault| EvalError::at(fault, span))?;
        self.charge(size, span)?;
        Ok(value)
    }

    pub(super) fn quantity(
        &self,
        node: &Node,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Result<Quantity, EvalError> {
        let value = self.node(node, locals, base)?;
        value
            .quantity()
            .map_err(|fault| EvalError::at(fault, node.span))
    }

    pub(super) fn truth(
        &self,
        node: &Node,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Result<bool, EvalError> {
        let value = self.node(node, locals, base)?;
        value
            .truth()
            .map_err(|fault| EvalError::at(fault, node.span))
    }
}

fn too_deep(span: Span) -> EvalError {
    let fault = Fault::new("this nests too deep to be worked out");
    EvalError::at(
        fault.advise("do functions call themselves without end?"),
        span,
    )
}

/// Returns how many values going through a value once meets.
fn width(value: &Value) -> usize {
    match value {
        Value::List(items) => items.len(),
        Value::Table(table) => table.rows.len(),
        _ => 0,
    }
}
