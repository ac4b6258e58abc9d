//! Expressions with others in them, but calls, chains and sizes.

use std::sync::Arc;

use super::access::{field, pick, shown_in, styled, with_unit};
use super::by_value::each;
use super::{Evaluated, Evaluator, Figures, width};
use crate::diagnostic::Span;
use crate::language::code::{Node, ResolvedExpr};
use crate::language::{EvalError, Face, Record, Value};
use crate::quantity::{Style, Unit};

impl Evaluator<'_> {
    pub(super) fn negated(
        &self,
        value: &Node,
        span: Span,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Evaluated {
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

    pub(super) fn not(
        &self,
        value: &Node,
        span: Span,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Evaluated {
        let truth = self.node(value, locals, base)?;
        if let Value::List(_) = truth {
            self.charge(truth.size(), span)?;
        }
        let one = &mut |value: &Value| value.truth().map(|truth| Value::Truth(!truth));
        each(&truth, one).map_err(|fault| EvalError::at(fault, value.span))
    }

    pub(super) fn chosen(
        &self,
        parts: &[Node; 3],
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Evaluated {
        let [condition, yes, no] = parts;
        let holds = self.truth(condition, locals, base)?;
        self.decided(u64::from(holds));
        let chosen = if holds { yes } else { no };
        self.node(chosen, locals, base).map(Value::plain)
    }

    pub(super) fn field(
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

    pub(super) fn picked(
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

    pub(super) fn shown_in(
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

    pub(super) fn styled(
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
    pub(super) fn bound(
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
    pub(super) fn carried(&self, node: &Node, locals: &mut Vec<Value>, base: usize) -> Evaluated {
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

    pub(super) fn record(
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

    pub(super) fn list(
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
}
