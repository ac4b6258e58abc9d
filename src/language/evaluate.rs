//! Working out what an expression comes to.

use std::cell::{Cell, RefCell};
use std::cmp::Ordering;
use std::sync::Arc;

use super::arguments::Arguments;
use super::code::{Call, Callee, Code, Node, SizeCode, Source};
use super::function::Body;
use super::{Record, Trouble, UserFunction, Value, find};
use crate::diagnostic::{Diagnostic, Fault, Span, did_you_mean};
use crate::quantity::{Dimension, Quantity, Style, Unit, parse_unit};
use crate::syntax::{Number, Operator, Tolerance};

/// The most steps that one evaluation may take.
pub const STEPS: u64 = 2_000_000;
/// The deepest that functions may call one another.
pub const CALLS: u32 = 64;
/// The deepest that expressions may stand within one another while they are worked
/// out, the bodies of called functions included.
pub const DEPTH: u32 = 500;
/// The longest list or table, counting the lists within it, and the longest text in
/// characters.
pub const ITEMS: usize = 100_000;

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

/// Evaluates expressions against cells, within bounds of steps and depth.
pub struct Evaluator<'a> {
    cells: &'a dyn Cells,
    allowed: u64,
    steps: Cell<u64>,
    calls: Cell<u32>,
    depth: Cell<u32>,
    drawing: Cell<bool>,
    warnings: RefCell<Vec<Diagnostic>>,
}

impl Drop for Evaluator<'_> {
    fn drop(&mut self) {
        self.cells
            .took(self.allowed.saturating_sub(self.steps.get()));
    }
}

type Evaluated = Result<Value, Trouble>;

impl<'a> Evaluator<'a> {
    /// An evaluator over these cells, with steps for one statement.
    #[must_use]
    pub fn new(cells: &'a dyn Cells) -> Self {
        Self::with_steps(cells, cells.steps())
    }

    /// An evaluator with so many steps.
    #[must_use]
    pub fn with_steps(cells: &'a dyn Cells, steps: u64) -> Self {
        let steps = steps.min(STEPS);
        Self {
            cells,
            allowed: steps,
            steps: Cell::new(steps),
            calls: Cell::new(0),
            depth: Cell::new(0),
            drawing: Cell::new(false),
            warnings: RefCell::default(),
        }
    }

    /// An evaluator for what the drawing says: measured values don't count.
    #[must_use]
    pub fn of_drawing(cells: &'a dyn Cells) -> Self {
        let evaluator = Self::new(cells);
        evaluator.drawing.set(true);
        evaluator
    }

    /// What the user should look at though there is a value.
    #[must_use]
    pub fn warnings(&self) -> Vec<Diagnostic> {
        self.warnings.take()
    }

    /// The steps that are left.
    #[must_use]
    pub fn steps_left(&self) -> u64 {
        self.steps.get()
    }

    /// The value of an expression without locals.
    ///
    /// # Errors
    /// What is wrong and where, or which cell is missing.
    pub fn evaluate(&self, node: &Node) -> Evaluated {
        self.with_locals(node, &mut Vec::new())
    }

    /// The value of an expression over these locals.
    ///
    /// # Errors
    /// What is wrong and where, or which cell is missing.
    pub fn with_locals(&self, node: &Node, locals: &mut Vec<Value>) -> Evaluated {
        self.node(node, locals, 0)
    }

    /// Takes steps for work that is not one of a few operations: going through a list.
    fn charge(&self, steps: usize, span: Span) -> Result<(), Trouble> {
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
                Err(Trouble::at(Fault::new(message).advise(advice), span))
            }
        }
    }

    /// `base` is where the locals of the running function begin.
    pub(super) fn node(&self, node: &Node, locals: &mut Vec<Value>, base: usize) -> Evaluated {
        self.charge(1, node.span)?;
        match &node.code {
            Code::Constant(value) => Ok(value.clone()),
            Code::Cell(slot) => {
                let found = if self.drawing.get() {
                    self.cells.drawing(*slot)
                } else {
                    self.cells.value(*slot)
                };
                found.cloned().ok_or(Trouble::Missing(*slot))
            }
            Code::Local(place) => {
                let value = locals.get(base + usize::from(*place));
                value.cloned().ok_or_else(|| {
                    Trouble::at(Fault::new("this name has no value here"), node.span)
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

    /// An expression with others in it. Each kind has a function of its own: what
    /// nests deep should take little stack.
    fn compound(&self, node: &Node, locals: &mut Vec<Value>, base: usize) -> Evaluated {
        let span = node.span;
        match &node.code {
            Code::Constant(_) | Code::Cell(_) | Code::Local(_) => self.node(node, locals, base),
            Code::Negate(value) => self.negated(value, span, locals, base),
            Code::Not(value) => Ok(Value::Truth(!self.truth(value, locals, base)?)),
            Code::Chain(first, rest) => self.chain(first, rest, span, locals, base),
            Code::If(parts) => self.chosen(parts, locals, base),
            Code::Call(call) => self.call(call, span, locals, base),
            Code::Record(fields) => self.record(fields, span, locals, base),
            Code::List(items, unit) => self.list(items, *unit, span, locals, base),
            Code::Field(value, name) => self.field(value, name, span, locals, base),
            Code::Index(parts) => self.picked(parts, span, locals, base),
            Code::As(value, unit) => self.shown_in(value, *unit, span, locals, base),
            Code::Styled(value, style) => self.styled(value, *style, span, locals, base),
            Code::Size(size) => self.size(size, locals, base).map(Value::Quantity),
            Code::Find(find) => find::evaluate(self, find, span, locals, base),
            Code::Where(bound, first, value) => self.bound(bound, *first, value, locals, base),
        }
    }

    fn negated(&self, value: &Node, span: Span, locals: &mut Vec<Value>, base: usize) -> Evaluated {
        let negated = self.quantity(value, locals, base)?.negated();
        negated
            .map(Value::Quantity)
            .map_err(|fault| Trouble::at(fault, span))
    }

    fn chosen(&self, parts: &[Node; 3], locals: &mut Vec<Value>, base: usize) -> Evaluated {
        let [condition, yes, no] = parts;
        let chosen = if self.truth(condition, locals, base)? {
            yes
        } else {
            no
        };
        self.node(chosen, locals, base)
    }

    fn field(
        &self,
        value: &Node,
        name: &str,
        span: Span,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Evaluated {
        let value = self.node(value, locals, base)?;
        self.charge(width(&value), span)?;
        field(&value, name).map_err(|fault| Trouble::at(fault, span))
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
        pick(&list, place).map_err(|fault| Trouble::at(fault, index.span))
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
        shown_in(&value, unit).map_err(|fault| Trouble::at(fault, span))
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
            .map_err(|fault| Trouble::at(fault, span))
    }

    /// A value with names bound first.
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
            let value = self.node(name, locals, base)?;
            locals.push(value);
        }
        let result = self.node(value, locals, base);
        locals.truncate(place);
        result
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
                    with_unit(&value, unit).map_err(|fault| Trouble::at(fault, item.span))?
                }
                None => value,
            });
        }
        self.bounded(made.into(), span)
    }

    /// A list, a record or a table that is not too large.
    ///
    /// # Errors
    /// When it holds too many values, or all that is worked out takes too many steps.
    pub fn bounded(&self, value: Value, span: Span) -> Evaluated {
        let size = value.bounded().map_err(|fault| Trouble::at(fault, span))?;
        self.charge(size, span)?;
        Ok(value)
    }

    pub(super) fn quantity(
        &self,
        node: &Node,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Result<Quantity, Trouble> {
        let value = self.node(node, locals, base)?;
        value
            .quantity()
            .map_err(|fault| Trouble::at(fault, node.span))
    }

    fn truth(&self, node: &Node, locals: &mut Vec<Value>, base: usize) -> Result<bool, Trouble> {
        let value = self.node(node, locals, base)?;
        value.truth().map_err(|fault| Trouble::at(fault, node.span))
    }

    fn chain(
        &self,
        first: &Node,
        rest: &[(Operator, Node)],
        span: Span,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Evaluated {
        match rest.first().map(|(operator, _)| *operator) {
            Some(Operator::And) => self.until(false, first, rest, locals, base),
            Some(Operator::Or) => self.until(true, first, rest, locals, base),
            Some(operator) if operator.compares() => self.compared(first, rest, span, locals, base),
            _ => self.arithmetic(first, rest, locals, base),
        }
    }

    /// `and` (which is over at the first that is false) and `or` (at the first that is
    /// true).
    fn until(
        &self,
        stop: bool,
        first: &Node,
        rest: &[(Operator, Node)],
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Evaluated {
        let mut truth = self.truth(first, locals, base)?;
        for (_, node) in rest {
            if truth == stop {
                break;
            }
            truth = self.truth(node, locals, base)?;
        }
        Ok(Value::Truth(truth))
    }

    fn compared(
        &self,
        first: &Node,
        rest: &[(Operator, Node)],
        span: Span,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Evaluated {
        let mut left = self.node(first, locals, base)?;
        for (operator, node) in rest {
            let right = self.node(node, locals, base)?;
            self.charge(left.size().min(right.size()) / 2, span)?;
            if !holds(&left, *operator, &right).map_err(|fault| Trouble::at(fault, span))? {
                return Ok(Value::Truth(false));
            }
            left = right;
        }
        Ok(Value::Truth(true))
    }

    fn arithmetic(
        &self,
        first: &Node,
        rest: &[(Operator, Node)],
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Evaluated {
        let value = self.node(first, locals, base)?;
        if matches!(value, Value::Text(_)) {
            return self.chain_of_other(value, first.span, rest, locals, base);
        }
        let mut left = value
            .quantity()
            .map_err(|fault| Trouble::at(fault, first.span))?;
        for (operator, node) in rest {
            let right = self.quantity(node, locals, base)?;
            let joined = arithmetic(left, *operator, right);
            left = joined.map_err(|fault| Trouble::at(fault, first.span.to(node.span)))?;
        }
        Ok(Value::Quantity(left))
    }

    /// Arithmetic that begins with text: texts join.
    fn chain_of_other(
        &self,
        first: Value,
        place: Span,
        rest: &[(Operator, Node)],
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Evaluated {
        let mut joined = match &first {
            Value::Text(text) if rest.iter().all(|(operator, _)| *operator == Operator::Plus) => {
                text.to_string()
            }
            _ => {
                let message = format!("{} stands where a number is wanted", first.described());
                return Err(Trouble::at(Fault::new(message), place));
            }
        };
        for (_, node) in rest {
            match self.node(node, locals, base)? {
                Value::Text(text) => {
                    self.charge(text.len() / 16, node.span)?;
                    if joined.len() + text.len() > ITEMS {
                        let message = format!("this text grows longer than {ITEMS} characters");
                        return Err(Trouble::at(Fault::new(message), place.to(node.span)));
                    }
                    joined.push_str(&text);
                }
                other => {
                    let message = format!("{} can't be added to text", other.described());
                    return Err(Trouble::at(Fault::new(message), node.span));
                }
            }
        }
        Ok(joined.into())
    }

    /// The drawing size of a size and its two deviations, lower first, in coherent
    /// SI.
    ///
    /// # Errors
    /// When the tolerance does not fit the size.
    pub fn size_limits(
        &self,
        size: &SizeCode,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Result<(Quantity, f64, f64), Trouble> {
        // The class of a name (`shaft.journal H7`) belongs to its drawing size,
        // whatever was measured.
        let before = self.drawing.replace(true);
        let nominal = self.quantity(&size.size, locals, base);
        self.drawing.set(before);
        let nominal = nominal?;
        let (low, high) =
            deviations(nominal, &size.tolerance).map_err(|fault| Trouble::at(fault, size.span))?;
        Ok((nominal, low, high))
    }

    fn size(
        &self,
        size: &SizeCode,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Result<Quantity, Trouble> {
        let (nominal, low, high) = self.size_limits(size, locals, base)?;
        if self.drawing.get() {
            return Ok(nominal);
        }
        Ok(Quantity {
            si: nominal.si + self.cells.deviation(size.source, low, high),
            ..nominal
        })
    }

    fn call(&self, call: &Call, span: Span, locals: &mut Vec<Value>, base: usize) -> Evaluated {
        let (function, name): (&UserFunction, &str) = match &call.callee {
            Callee::Library(function) => {
                let ready = function
                    .ready()
                    .map_err(|fault| Trouble::at(fault.clone(), call.name_span))?;
                (ready, function.name)
            }
            Callee::Notebook(slot, name) => match self.cells.function(*slot) {
                Some(function) => (function, name),
                None => return Err(Trouble::Missing(*slot)),
            },
        };
        if self.calls.get() >= CALLS {
            let fault = Fault::new(format!("functions call one another more than {CALLS} deep"));
            return Err(Trouble::at(
                fault.advise(format!("does `{name}` call itself without end?")),
                span,
            ));
        }
        let frame = locals.len();
        let result = self
            .gather(function, name, call, locals, base)
            .and_then(|given| {
                let spans: Vec<Span> = given.iter().map(|(_, span)| *span).collect();
                let calls = self.calls.replace(self.calls.get() + 1);
                let result = self
                    .enter(function, name, call, given, locals, frame)
                    .and_then(|()| self.body(function, name, span, &spans, locals, frame));
                self.calls.set(calls);
                result
            });
        locals.truncate(frame);
        result
    }

    /// The values of the arguments, one a parameter, nothing for what is left out.
    fn gather(
        &self,
        function: &UserFunction,
        name: &str,
        call: &Call,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Result<Vec<(Option<Value>, Span)>, Trouble> {
        let mut given: Vec<(Option<Value>, Span)> =
            vec![(None, call.name_span); function.parameters.len()];
        let several = function
            .contracts
            .last()
            .is_some_and(|contract| contract.several);
        let last = function.parameters.len().saturating_sub(1);
        let mut many: Vec<Value> = Vec::new();
        let mut next = 0;
        for (argument, node) in &call.arguments {
            let place = match argument {
                None => {
                    next += 1;
                    if several {
                        (next - 1).min(last)
                    } else {
                        next - 1
                    }
                }
                Some(argument) => function
                    .parameters
                    .iter()
                    .position(|parameter| parameter == argument)
                    .ok_or_else(|| Trouble::at(function.no_parameter(name, argument), node.span))?,
            };
            let Some(slot) = given.get_mut(place) else {
                return Err(Trouble::at(function.too_many(name), node.span));
            };
            if several && place == last {
                slot.1 = if many.is_empty() {
                    node.span
                } else {
                    slot.1.to(node.span)
                };
                many.push(self.node(node, locals, base)?);
                continue;
            }
            if slot.0.is_some() {
                let parameter = function.parameters.get(place).map_or("", |name| name);
                let fault = Fault::new(format!("`{parameter}` of `{name}` is given twice"));
                return Err(Trouble::at(fault, node.span));
            }
            let limited = function
                .contracts
                .get(place)
                .filter(|contract| contract.wants_limits());
            let limited = match limited {
                Some(_) => self.limits_of(node, locals, base)?,
                None => None,
            };
            let value = match limited {
                Some(limits) => limits,
                None => self.node(node, locals, base)?,
            };
            *slot = (Some(value), node.span);
        }
        if let (Some(first), Some(slot)) = (many.first(), given.get_mut(last)) {
            let list = many.len() == 1 && matches!(first, Value::List(_));
            slot.0 = Some(if list { first.clone() } else { many.into() });
        }
        Ok(given)
    }

    /// A toleranced size, or a cell that is one and was not measured, as a record of its
    /// limits that stands for its value.
    fn limits_of(
        &self,
        node: &Node,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Result<Option<Value>, Trouble> {
        let (nominal, low, high) = match &node.code {
            Code::Size(size) => self.size_limits(size, locals, base)?,
            Code::Cell(slot) => match self.cells.size(*slot) {
                Some(size) => self.size_limits(size, &mut Vec::new(), 0)?,
                None => return Ok(None),
            },
            _ => return Ok(None),
        };
        let value = self.quantity(node, locals, base)?;
        let end = |off: f64| Quantity {
            si: nominal.si + off,
            ..nominal
        };
        let record = Record::new([("min", end(low)), ("max", end(high))]);
        Ok(Some(record.standing_for(value).into()))
    }

    /// Pushes the arguments, checked, as the locals of the function.
    fn enter(
        &self,
        function: &UserFunction,
        name: &str,
        call: &Call,
        given: Vec<(Option<Value>, Span)>,
        locals: &mut Vec<Value>,
        frame: usize,
    ) -> Result<(), Trouble> {
        for (place, (value, span)) in given.into_iter().enumerate() {
            let parameter = function.parameters.get(place).map_or("", |name| name);
            let value = match (value, function.defaults.get(place).and_then(Option::as_ref)) {
                (Some(value), _) => value,
                (None, Some(default)) => self
                    .node(default, locals, frame)
                    .map_err(|trouble| outside(trouble, name, call.name_span))?,
                (None, None) => {
                    let message = format!("`{name}` needs its argument `{parameter}`");
                    let advice = format!("write {name}({})", function.signature());
                    return Err(Trouble::at(
                        Fault::new(message).advise(advice),
                        call.name_span,
                    ));
                }
            };
            self.charge(width(&value), span)?;
            let value = match function.contracts.get(place) {
                Some(contract) => contract.check(parameter, value).map_err(|fault| {
                    let diagnostic =
                        Diagnostic::at(fault, span).label(format!("argument of `{name}`"));
                    Trouble::Wrong(Box::new(diagnostic))
                })?,
                None => value,
            };
            locals.push(value);
        }
        for (condition, message) in &function.requires {
            let holds = self.truth(condition, locals, frame);
            if !holds.map_err(|trouble| outside(trouble, name, call.name_span))? {
                return Err(Trouble::at(
                    Fault::new(format!("`{name}`: {message}")),
                    call.name_span,
                ));
            }
        }
        Ok(())
    }

    fn body(
        &self,
        function: &UserFunction,
        name: &str,
        span: Span,
        given: &[Span],
        locals: &mut Vec<Value>,
        frame: usize,
    ) -> Evaluated {
        let result = match &function.body {
            Body::Language(body) => self
                .node(body, locals, frame)
                .map_err(|trouble| outside(trouble, name, span))?,
            Body::Native(code) => {
                let arguments = Arguments {
                    values: locals.drain(frame..).collect(),
                    ..Arguments::default()
                };
                let result = code(&arguments).map_err(|fault| {
                    let place = fault.argument.and_then(|place| given.get(place)).copied();
                    Trouble::at(fault, place.unwrap_or(span))
                })?;
                for message in arguments.warnings.into_inner() {
                    self.warnings
                        .borrow_mut()
                        .push(Diagnostic::warning(message, span));
                }
                if let Value::Quantity(quantity) = &result
                    && !quantity.si.is_finite()
                {
                    return Err(Trouble::at(
                        Fault::new(format!("`{name}` has no value here")),
                        span,
                    ));
                }
                result
            }
        };
        match (function.shown_in, result) {
            (Some(unit), Value::Quantity(quantity)) => quantity
                .shown_in(unit)
                .map(Value::Quantity)
                .map_err(|fault| Trouble::at(fault, span)),
            (_, result) => Ok(result),
        }
    }
}

fn too_deep(span: Span) -> Trouble {
    let fault = Fault::new("this nests too deep to be worked out");
    Trouble::at(
        fault.advise("do functions call themselves without end?"),
        span,
    )
}

/// How many values going through a value once meets.
fn width(value: &Value) -> usize {
    match value {
        Value::List(items) => items.len(),
        Value::Table(table) => table.rows.len(),
        _ => 0,
    }
}

/// What went wrong inside a function, put at the call.
fn outside(trouble: Trouble, name: &str, span: Span) -> Trouble {
    match trouble {
        Trouble::Wrong(mut wrong) => {
            wrong.span = span;
            wrong.label = String::new();
            if wrong.trail.len() < 8 {
                wrong.trail.push(format!("in the function `{name}`"));
            }
            Trouble::Wrong(wrong)
        }
        missing => missing,
    }
}

fn arithmetic(left: Quantity, operator: Operator, right: Quantity) -> Result<Quantity, Fault> {
    let result = match operator {
        Operator::Plus => left.plus(right),
        Operator::Minus => left.minus(right),
        Operator::Times => left.times(right),
        Operator::Over => left.over(right),
        _ => left.power(right),
    }?;
    if result.si.is_finite() {
        Ok(result)
    } else {
        Err(Fault::new("the result is too large a number"))
    }
}

/// Whether a comparison holds.
fn holds(left: &Value, operator: Operator, right: &Value) -> Result<bool, Fault> {
    match operator {
        Operator::Equal => left.equals(right),
        Operator::Unequal => left.equals(right).map(|equal| !equal),
        _ => {
            let order = left.quantity()?.order(right.quantity()?)?;
            Ok(match operator {
                Operator::Less => order == Ordering::Less,
                Operator::AtMost => order != Ordering::Greater,
                Operator::More => order == Ordering::Greater,
                _ => order != Ordering::Less,
            })
        }
    }
}

/// A plain number with the unit of its list.
fn with_unit(value: &Value, unit: Unit) -> Result<Value, Fault> {
    let value = value.quantity()?;
    if value.dimension != Dimension::NONE {
        let symbol = &unit.get().symbol;
        return Err(Fault::new(format!(
            "{value} has a unit already, and the list gives it {symbol}"
        )));
    }
    Ok(Quantity::new(value.si, unit).into())
}

/// A value shown in a unit: a quantity, or each of a list.
fn shown_in(value: &Value, unit: Unit) -> Result<Value, Fault> {
    match value {
        Value::List(items) => {
            let shown: Result<Vec<Value>, Fault> =
                items.iter().map(|item| shown_in(item, unit)).collect();
            shown.map(Value::from)
        }
        other => other.quantity()?.shown_in(unit).map(Value::Quantity),
    }
}

/// A value written in a style of its own: `as dms`, `as fraction 1/64`.
///
/// # Errors
/// When the style does not suit what the value measures.
pub fn styled(value: Quantity, style: Style) -> Result<Quantity, Fault> {
    let unit = match style {
        Style::DegreesMinutesSeconds => parse_unit("deg")?,
        Style::Fraction(_) if value.dimension.agrees(Dimension::LENGTH) => parse_unit("in")?,
        _ => value.unit,
    };
    let unit = value.shown_in(unit)?.unit;
    Ok(Quantity {
        unit: unit.styled(style),
        ..value
    })
}

fn field(value: &Value, name: &str) -> Result<Value, Fault> {
    let missing = |what: &str, known: Vec<&str>| {
        let advice = did_you_mean(name, known.iter().copied());
        Fault::new(format!("{what} has no `{name}`"))
            .advise(advice.unwrap_or_else(|| format!("it has {}", known.join(", "))))
    };
    match value {
        Value::Record(record) => record.get(name).cloned().ok_or_else(|| {
            missing(
                "this record",
                record.fields.iter().map(|(name, _)| &**name).collect(),
            )
        }),
        Value::Table(table) => match table.column(name) {
            Some(column) => Ok(table.values(column).into()),
            None => Err(missing(
                "this table",
                table.columns.iter().map(|name| &**name).collect(),
            )),
        },
        other => Err(Fault::new(format!("{} has no `{name}`", other.described()))
            .advise("only a record, a table or a notebook in use has names after a point")),
    }
}

fn pick(value: &Value, place: Quantity) -> Result<Value, Fault> {
    let (length, what) = match value {
        Value::List(items) => (items.len(), "list"),
        Value::Table(table) => (table.rows.len(), "table"),
        other => {
            return Err(Fault::new(format!(
                "{} has no places to pick from",
                other.described()
            )));
        }
    };
    let whole = place.si.round();
    #[allow(clippy::cast_precision_loss)] // lists are shorter than 2^52
    let outside = place.dimension != Dimension::NONE
        || (place.si - whole).abs() > 1e-9
        || whole < 1.0
        || whole > length as f64;
    if outside {
        let message = format!("there is no place {place} in a {what} of {length}");
        return Err(Fault::new(message).advise("places count from 1"));
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // between 1 and the length
    let index = whole as usize - 1;
    let picked = match value {
        Value::List(items) => items.get(index).cloned(),
        Value::Table(table) => table.row(index).map(Value::from),
        _ => None,
    };
    picked.ok_or_else(|| Fault::new("there is no such place"))
}

/// The lower and the upper deviation of a tolerance on a size, in coherent SI.
fn deviations(nominal: Quantity, tolerance: &Tolerance) -> Result<(f64, f64), Fault> {
    let one = |number: f64, unit: Option<Unit>| -> Result<f64, Fault> {
        let unit = match unit {
            Some(unit) => unit,
            None => Unit::of(
                nominal
                    .shown_unit(crate::quantity::System::Metric)
                    .get()
                    .parts
                    .clone(),
                crate::quantity::Style::Decimal,
            ),
        };
        let parts = unit.get();
        if !nominal.dimension.agrees(parts.dimension) {
            let message = format!("a tolerance in {} does not fit {nominal}", parts.symbol);
            return Err(Fault::new(message));
        }
        Ok(number * parts.factor)
    };
    match tolerance {
        Tolerance::PlusMinus(number, unit) => {
            let half = one(Number::value(*number), *unit)?;
            Ok((-half, half))
        }
        Tolerance::Deviations((a, unit_a), (b, unit_b)) => {
            let (a, b) = (one(*a, *unit_a)?, one(*b, *unit_b)?);
            Ok((a.min(b), a.max(b)))
        }
        Tolerance::Class(class) => super::natives::class_deviations(nominal, class),
    }
}
