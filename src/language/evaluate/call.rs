//! Calls of functions: their arguments, checked, and their bodies.

use super::by_value::{nth, times};
use super::{CALLS, Evaluated, Evaluator, width};
use crate::diagnostic::{Diagnostic, Fault, Span};
use crate::language::code::{Call, Callee, Code, Node};
use crate::language::function::Body;
use crate::language::{Record, Trouble, UserFunction, Value, kept};
use crate::quantity::Quantity;

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
            .and_then(|given| match times(function, &given)? {
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
            });
        locals.truncate(frame);
        result
    }

    /// One call with its arguments worked out.
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
        let result = self
            .enter(function, name, call, given, locals, frame)
            .and_then(|()| self.body(function, name, span, &spans, locals, frame));
        self.calls.set(calls);
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
            Body::Native(code) | Body::LookUp(code) => {
                let values = locals.drain(frame..).collect();
                let (result, warnings) = match &function.body {
                    Body::LookUp(_) => kept::call(*code, values),
                    _ => kept::make(*code, values).0,
                };
                let result = result.map_err(|fault| {
                    let place = fault.argument.and_then(|place| given.get(place)).copied();
                    Trouble::at(fault, place.unwrap_or(span))
                })?;
                for message in warnings {
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
