//! Calls of functions: their arguments, checked, and their bodies.

use std::cell::Cell;
use std::sync::Arc;

use super::by_value::{nth, times};
use super::{Evaluated, Evaluator, Figures, width};
use crate::diagnostic::{Diagnostic, Fault, Span};
use crate::language::bounds::CALLS;
use crate::language::code::{Call, Callee, Node};
use crate::language::function::Body;
use crate::language::{EvalError, Record, Size, Table, UserFunction, Value, kept};
use crate::quantity::{Quantity, System, for_system, system_of};

/// What a call takes besides the steps of its arguments and its body.
const CALL: usize = 4;

impl Evaluator<'_> {
    pub(super) fn call(
        &self,
        call: &Call,
        span: Span,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Evaluated {
        let (function, name): (&UserFunction, &str) = match &call.callee {
            Callee::Library(function) => {
                let ready = function
                    .ready()
                    .map_err(|fault| EvalError::at(fault.clone(), call.name_span))?;
                (ready, function.name)
            }
            Callee::Notebook(slot, name) => match self.cells.function(*slot) {
                Some(function) => (function, name),
                None => return Err(EvalError::Missing(*slot)),
            },
        };
        self.charge(CALL, span)?;
        if self.calls.get() >= CALLS {
            let fault = Fault::new(format!("functions call one another more than {CALLS} deep"));
            return Err(EvalError::at(
                fault.advise(format!("does `{name}` call itself without end?")),
                span,
            ));
        }
        let frame = locals.len();
        let given_system = Cell::new(System::Metric);
        let result = self
            .gather(function, name, call, locals, base)
            .and_then(|given| {
                given_system.set(system_given(&given));
                match times(function, &given)? {
                    None => self.called(function, (name, span), call, given, locals),
                    // Lists where single values are wanted: value by value.
                    Some(count) => {
                        let mut made = Vec::with_capacity(count);
                        for index in 0..count {
                            locals.truncate(frame);
                            let given = nth(function, &given, index);
                            made.push(self.called(function, (name, span), call, given, locals)?);
                        }
                        self.bounded(made.into(), span)
                    }
                }
            });
        locals.truncate(frame);
        self.mind_limits(name, call, span, &result, locals, base);
        match &call.callee {
            Callee::Library(library) if !self.in_library.get() && library.sets_units() => {
                let result = result?;
                Ok(match self.cells.lengths() {
                    Some(system) => in_system(result, system, false),
                    None => in_system(result, given_system.get(), true),
                })
            }
            _ => result,
        }
    }

    /// Returns one call with its arguments worked out.
    fn called(
        &self,
        function: &UserFunction,
        (name, span): (&str, Span),
        call: &Call,
        given: Vec<(Option<Value>, Span)>,
        locals: &mut Vec<Value>,
    ) -> Evaluated {
        let frame = locals.len();
        let spans: Vec<Span> = given.iter().map(|(_, span)| *span).collect();
        let calls = self.calls.replace(self.calls.get() + 1);
        let carries = self.carries.replace(function.carries_drawn);
        let library = matches!(call.callee, Callee::Library(_));
        let within = self.in_library.replace(library);
        let result = self
            .enter(function, name, call, given, locals, frame)
            .and_then(|()| self.body(function, name, span, &spans, locals, frame));
        self.calls.set(calls);
        self.carries.set(carries);
        self.in_library.set(within);
        result
    }

    /// Returns the values of the arguments, one a parameter, nothing for what is left out.
    fn gather(
        &self,
        function: &UserFunction,
        name: &str,
        call: &Call,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Result<Vec<(Option<Value>, Span)>, EvalError> {
        let several = function.several();
        let mut given = Vec::with_capacity(function.parameters.len());
        for (place, nodes) in function.arrange(name, call)?.into_iter().enumerate() {
            let span = match nodes.as_slice() {
                [] => call.name_span,
                [first, .., last] => first.span.to(last.span),
                [one] => one.span,
            };
            let values = nodes.into_iter();
            let values = values.map(|node| self.argument(function, place, node, locals, base));
            let mut values = values.collect::<Result<Vec<Value>, EvalError>>()?;
            let list = several == Some(place) && !matches!(values.as_slice(), [Value::List(_)]);
            let value = match values.as_slice() {
                [] => None,
                _ if list => Some(values.into()),
                _ => values.pop(),
            };
            given.push((value, span));
        }
        Ok(given)
    }

    /// Returns the value of one argument: of the drawing where the contract wants that, else the
    /// one in use, with what the drawing gives beside it where the function asks for it.
    fn argument(
        &self,
        function: &UserFunction,
        place: usize,
        node: &Node,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Evaluated {
        let contract = function.contracts.get(place);
        if contract.is_some_and(|contract| contract.drawn) {
            return self.in_figures(Figures::Drawn, || self.node(node, locals, base));
        }
        if function.carries_drawn {
            return self.carried(node, locals, base);
        }
        self.node(node, locals, base)
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
    ) -> Result<(), EvalError> {
        for (place, (value, span)) in given.into_iter().enumerate() {
            let parameter = function.parameters.get(place).map_or("", |name| name);
            let value = match (value, function.defaults.get(place).and_then(Option::as_ref)) {
                (Some(value), _) => value,
                (None, Some(default)) => self
                    .node(default, locals, frame)
                    .map_err(|error| outside(error, name, call.name_span))?,
                (None, None) => {
                    let message = format!("`{name}` needs its argument `{parameter}`");
                    let advice = function.spelled_out(name);
                    return Err(EvalError::at(
                        Fault::new(message).advise(advice),
                        call.name_span,
                    ));
                }
            };
            // What takes a list goes through it a few times.
            self.charge(3 * width(&value), span)?;
            let faces = match (&value, &function.body) {
                (Value::Size(size), Body::Language(_)) => Some(size.clone()),
                _ => None,
            };
            let quantity = match &value {
                Value::Quantity(quantity) => Some(*quantity),
                _ => None,
            };
            let value = match function.contracts.get(place) {
                Some(contract) => contract.check(parameter, value).map_err(|fault| {
                    let mut wrong =
                        Diagnostic::at(fault, span).label(format!("argument of `{name}`"));
                    // Of another kind altogether, not beyond a bound.
                    let other = quantity.is_none_or(|value| contract.shape(value).is_none());
                    if other && wrong.advice.is_none() {
                        wrong.advice = Some(function.spelled_out(name));
                    }
                    EvalError::Wrong(Box::new(wrong))
                })?,
                None => value,
            };
            locals.push(match (faces, value) {
                (Some(faces), Value::Quantity(value)) => Value::Size(Arc::new(Size {
                    value,
                    ..(*faces).clone()
                })),
                (_, value) => value,
            });
        }
        for (condition, message) in &function.requires {
            let holds = self.truth(condition, locals, frame);
            if !holds.map_err(|error| outside(error, name, call.name_span))? {
                return Err(EvalError::at(
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
                .map_err(|error| outside(error, name, span))?
                .plain(),
            Body::Native(code) | Body::LookUp(code) => {
                let values = locals.drain(frame..).collect();
                let came = match &function.body {
                    Body::LookUp(_) => kept::call(*code, values, &function.gives, self.steps.get()),
                    _ => kept::make(*code, values, &function.gives, self.steps.get()).0,
                };
                self.charge(usize::try_from(came.steps).unwrap_or(usize::MAX), span)?;
                let result = came.value.map_err(|fault| {
                    let place = fault.argument.and_then(|place| given.get(place)).copied();
                    EvalError::at(fault, place.unwrap_or(span))
                })?;
                self.settled(name, &result);
                for message in came.warnings {
                    self.warnings
                        .borrow_mut()
                        .push(Diagnostic::warning(message, span));
                }
                if let Value::Quantity(quantity) = &result
                    && !quantity.si.is_finite()
                {
                    return Err(EvalError::at(
                        Fault::new(format!("`{name}` has no value here")),
                        span,
                    ));
                }
                result
            }
        };
        let result = function.gives.standing(result);
        match (function.shown_in, result) {
            (Some(unit), Value::Quantity(quantity)) => quantity
                .shown_in(unit)
                .map(Value::Quantity)
                .map_err(|fault| EvalError::at(fault, span)),
            (_, result) => Ok(result),
        }
    }
}

/// Returns the system of the lengths among some arguments, where all are of one; else metric.
fn system_given(given: &[(Option<Value>, Span)]) -> System {
    let quantities = given.iter().filter_map(|(value, _)| match value {
        Some(Value::Quantity(quantity)) => Some(*quantity),
        Some(Value::Size(size)) => Some(size.value),
        _ => None,
    });
    let mut systems = quantities.filter_map(|quantity| system_of(quantity.unit));
    match systems.next() {
        Some(first) if systems.all(|system| system == first) => first,
        _ => System::Metric,
    }
}

/// Returns what a function gives, in the units of a system: a contract's unit is that of its
/// formula, the notebook says what is shown. Where it does not, the units are `named`.
fn in_system(value: Value, system: System, named: bool) -> Value {
    let list = |items: &[Value]| -> Vec<Value> {
        let items = items.iter().cloned();
        items.map(|value| in_system(value, system, named)).collect()
    };
    let quantity = |quantity: Quantity| {
        let unit = for_system(quantity.unit, quantity.dimension, system);
        let shown = Quantity { unit, ..quantity };
        // The unit itself where it had one and no notebook says what is shown.
        let unit = if named && unit != quantity.unit {
            shown.shown_unit(system)
        } else {
            unit
        };
        Quantity { unit, ..quantity }
    };
    match value {
        Value::Quantity(value) => quantity(value).into(),
        Value::List(items) => list(&items).into(),
        Value::Record(record) => {
            let fields = record.fields.iter();
            let fields =
                fields.map(|(name, v)| (name.clone(), in_system(v.clone(), system, named)));
            Record {
                fields: fields.collect(),
                scalar_value: record.scalar_value.map(quantity),
                said_as: record.said_as.clone(),
            }
            .into()
        }
        Value::Table(table) => Table {
            columns: table.columns.clone(),
            rows: table.rows.iter().map(|row| list(row)).collect(),
            choices: table.choices,
        }
        .into(),
        other => other,
    }
}

impl Evaluator<'_> {
    /// Warns where the drill that is nearest to a size lies outside the size's limits.
    fn mind_limits(
        &self,
        name: &str,
        call: &Call,
        span: Span,
        result: &Evaluated,
        locals: &mut Vec<Value>,
        base: usize,
    ) {
        let (Ok(Value::Record(drill)), "nearest_drill") = (result, name) else {
            return;
        };
        let Some((_, node)) = call
            .arguments
            .first()
            .filter(|(_, node)| node.code.is_path())
        else {
            return;
        };
        let Ok(Value::Size(size)) =
            self.in_figures(Figures::InUse, || self.node(node, locals, base))
        else {
            return;
        };
        let (Some(limits), Some(diameter)) = (&size.limits, drill.scalar_value) else {
            return;
        };
        let slack = crate::quantity::slack(size.value);
        if diameter.si < limits.low - slack || diameter.si > limits.high + slack {
            let message = format!(
                "the nearest drill, {diameter}, lies outside the limits of this size, {} to {}",
                size.like(limits.low),
                size.like(limits.high)
            );
            let warning = Diagnostic::warning(message, span);
            self.warnings
                .borrow_mut()
                .push(warning.advise("drill smaller, then bore or ream to size"));
        }
    }
}

/// The native functions that round a number.
const ROUNDING: &[&str] = &["round", "round_up", "round_down", "whole"];

impl Evaluator<'_> {
    /// Takes note of what a native function decided: the texts and truths of its result,
    /// how many rows it has, and the number where it rounds.
    fn settled(&self, name: &str, result: &Value) {
        match result {
            Value::Text(text) => {
                for byte in text.bytes() {
                    self.decided(u64::from(byte));
                }
            }
            Value::Truth(truth) => self.decided(u64::from(*truth)),
            Value::Quantity(value) if ROUNDING.contains(&name) => self.decided(value.si.to_bits()),
            Value::Record(record) => {
                for (_, value) in &record.fields {
                    self.settled("", value);
                }
            }
            Value::Table(table) => self.decided(table.rows.len() as u64),
            _ => {}
        }
    }
}

/// Returns what went wrong inside a function, put at the call.
fn outside(error: EvalError, name: &str, span: Span) -> EvalError {
    match error {
        EvalError::Wrong(mut wrong) => {
            wrong.span = span;
            wrong.label = String::new();
            if wrong.trail.len() < 8 {
                wrong.trail.push(format!("in the function `{name}`"));
            }
            EvalError::Wrong(wrong)
        }
        missing => missing,
    }
}
