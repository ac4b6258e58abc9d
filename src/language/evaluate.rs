//! Working out what an expression comes to.

mod access;
mod by_value;
mod call;
mod cells;
mod chain;
mod size;

pub use access::styled;
pub use by_value::paired;
pub use cells::Cells;
pub use chain::doubtful;
pub use size::with_tolerance;

use std::cell::{Cell, RefCell};
use std::sync::Arc;

use access::{field, pick, shown_in, with_unit};
use by_value::each;

use super::bounds::{DEPTH, STEPS};
use super::code::{Node, ResolvedExpr};
use super::{EvalError, Face, Record, Value};
use crate::diagnostic::{Diagnostic, Fault, Span};
use crate::quantity::{Quantity, Style, Unit};

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

    fn negated(&self, value: &Node, span: Span, locals: &mut Vec<Value>, base: usize) -> Evaluated {
        match self.node(value, locals, base)? {
            list @ Value::List(_) => {
                self.charge(list.size(), span)?;
                let one = &mut |value: &Value| value.quantity()?.negated().map(Value::Quantity);
                self.by_value(each(&list, one), span)
            }
            single => single
                .quantity()
                .map_err(|fault| EvalError::at(fault, value.span))?
                .negated()
                .map(Value::Quantity)
                .map_err(|fault| EvalError::at(fault, span)),
        }
    }

    fn not(&self, value: &Node, span: Span, locals: &mut Vec<Value>, base: usize) -> Evaluated {
        let truth = self.node(value, locals, base)?;
        if let Value::List(_) = truth {
            self.charge(truth.size(), span)?;
        }
        let one = &mut |value: &Value| value.truth().map(|truth| Value::Truth(!truth));
        each(&truth, one).map_err(|fault| EvalError::at(fault, value.span))
    }

    fn chosen(&self, parts: &[Node; 3], locals: &mut Vec<Value>, base: usize) -> Evaluated {
        let [condition, yes, no] = parts;
        let holds = self.truth(condition, locals, base)?;
        self.decided(u64::from(holds));
        let chosen = if holds { yes } else { no };
        self.node(chosen, locals, base).map(Value::plain)
    }

    fn field(
        &self,
        value: &Node,
        name: &str,
        span: Span,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Evaluated {
        if let Some(face) = Face::named(name) {
            return self.face(value, face, span, locals, base);
        }
        let value = self.node(value, locals, base)?;
        self.charge(width(&value), span)?;
        if let Value::Record(record) = &value
            && record.get(name).is_none()
        {
            // The nearest names are looked for.
            self.charge(record.fields.len() / 2, span)?;
        }
        field(&value, name).map_err(|fault| EvalError::at(fault, span))
    }

    fn picked(
        &self,
        parts: &[Node; 2],
        span: Span,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Evaluated {
        let [value, index] = parts;
        let list = self.node(value, locals, base)?;
        let place = self.quantity(index, locals, base)?;
        if let Value::Table(table) = &list {
            self.charge(table.columns.len(), span)?;
        }
        pick(&list, place).map_err(|fault| EvalError::at(fault, index.span))
    }

    fn shown_in(
        &self,
        value: &Node,
        unit: Unit,
        span: Span,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Evaluated {
        let value = self.node(value, locals, base)?;
        self.charge(value.size(), span)?;
        shown_in(&value, unit).map_err(|fault| EvalError::at(fault, span))
    }

    fn styled(
        &self,
        value: &Node,
        style: Style,
        span: Span,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Evaluated {
        let styled = styled(self.quantity(value, locals, base)?, style);
        styled
            .map(Value::Quantity)
            .map_err(|fault| EvalError::at(fault, span))
    }

    /// Returns a value with names bound first.
    fn bound(
        &self,
        bound: &[Node],
        first: u16,
        value: &Node,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Evaluated {
        let place = base + usize::from(first);
        locals.truncate(place);
        for name in bound {
            let value = self.carried(name, locals, base)?;
            locals.push(value);
        }
        let result = self.node(value, locals, base);
        locals.truncate(place);
        result
    }

    /// Returns a value with what the drawing gives beside it, for a name that carries both.
    fn carried(&self, node: &Node, locals: &mut Vec<Value>, base: usize) -> Evaluated {
        let value = self.node(node, locals, base)?;
        let computed = !node.code.is_path() && !matches!(node.code, ResolvedExpr::Constant(_));
        let wanted = self.carries.get() && self.cells.has_faces();
        if !computed || !wanted || self.figures.get() != Figures::InUse {
            return Ok(value);
        }
        let decisions = self.decisions.get();
        let drawn = self.in_figures(Figures::Drawn, || self.node(node, locals, base));
        self.decisions.set(decisions);
        Ok(match drawn {
            Ok(drawn) => value.with_drawn(&drawn),
            Err(_) => value,
        })
    }

    fn record(
        &self,
        fields: &[(Arc<str>, Node)],
        span: Span,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Evaluated {
        let mut made = Record::default();
        for (name, value) in fields {
            made.fields
                .push((name.clone(), self.node(value, locals, base)?));
        }
        self.bounded(made.into(), span)
    }

    fn list(
        &self,
        items: &[Node],
        unit: Option<Unit>,
        span: Span,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Evaluated {
        let mut made = Vec::with_capacity(items.len());
        for item in items {
            let value = self.node(item, locals, base)?;
            made.push(match unit {
                Some(unit) => {
                    with_unit(&value, unit).map_err(|fault| EvalError::at(fault, item.span))?
                }
                None => value,
            });
        }
        self.bounded(made.into(), span)
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
