//! Making a function of its definition and documentation.

use std::sync::Arc;

use super::function::Body;
use super::library::{DRAWN, library};
use super::shape::Shape;
use super::{
    Callee, Contract, Face, FunctionDoc, Lowering, Node, ResolvedExpr, Scope, UserFunction,
    is_arithmetic, native,
};
use crate::diagnostic::{Diagnostic, Fault, Span};
use crate::language::SlotId;
use crate::quantity::{Style, Unit, parse_unit};
use crate::syntax::{Kind, StatementKind, parse_expression};

/// Makes a function of its parsed definition.
///
/// # Errors
/// What is wrong with the definition.
pub fn compile(
    statement: &StatementKind,
    doc: Option<&FunctionDoc>,
    scope: &mut dyn Scope,
    slot: SlotId,
) -> Result<UserFunction, Vec<Diagnostic>> {
    let StatementKind::Function(name, parameters, formula) = statement else {
        return Err(vec![Diagnostic::error(
            "this defines no function",
            Span::default(),
        )]);
    };
    let mut lowering = Lowering::new(scope, slot, false);
    let mut names: Vec<Arc<str>> = Vec::new();
    let mut defaults = Vec::new();
    for parameter in parameters {
        defaults.push(
            parameter
                .default
                .as_ref()
                .map(|default| lowering.expression(default)),
        );
        lowering.not_constant(&parameter.name);
        if names.contains(&parameter.name.text) {
            let message = format!("two parameters are called `{}`", parameter.name.text);
            lowering.report(Diagnostic::error(message, parameter.name.span));
        }
        lowering.bind(parameter.name.text.clone());
        names.push(parameter.name.text.clone());
    }
    let mut requires = Vec::new();
    let mut shown_in = None;
    let mut gives = Arc::default();
    let mut contracts = Vec::new();
    if let Some(doc) = doc {
        for (condition, message) in &doc.requires {
            match parse_expression(condition) {
                Ok(condition) => {
                    requires.push((lowering.expression(&condition.expression), message.clone()))
                }
                Err(wrong) => lowering.report(Diagnostic {
                    span: name.span,
                    ..wrong
                }),
            }
        }
        match Shape::of(doc, &|name| Some(library().get(name)?)) {
            Ok(shape) => gives = Arc::new(shape),
            Err(fault) => lowering.report(Diagnostic::at(fault, name.span)),
        }
        match shown_unit(&doc.gives) {
            Ok(unit) => shown_in = unit,
            Err(fault) => lowering.report(Diagnostic::at(fault, name.span)),
        }
        for parameter in &names {
            let documented = doc
                .parameters
                .iter()
                .find(|documented| documented.name == *parameter);
            contracts.push(
                documented.map_or_else(Contract::any, |documented| documented.contract.clone()),
            );
        }
    }
    let native_body = matches!(&formula.expression.kind, Kind::Name(word) if &**word == "native");
    let body = match native(&name.text).filter(|_| native_body) {
        Some(code) if is_arithmetic(&name.text) => Body::Native(code),
        Some(code) => Body::LookUp(code),
        None => Body::Language(lowering.formula(formula)),
    };
    let (wants_drawn, calls_others) = match &body {
        Body::Language(node) => (asks_for_drawn(node), calls_notebook(node)),
        Body::Native(_) | Body::LookUp(_) => (false, false),
    };
    let wrong = lowering.finish();
    if wrong.is_empty() {
        Ok(UserFunction {
            parameters: names,
            defaults,
            contracts,
            requires,
            shown_in,
            gives,
            body,
            wants_drawn,
            carries_drawn: wants_drawn || calls_others,
        })
    } else {
        Err(wrong)
    }
}

/// Returns whether an expression asks for drawn figures: a face, a size with a tolerance, or a
/// function of the library that does.
fn asks_for_drawn(node: &Node) -> bool {
    let mut asks = false;
    node.walk(&mut |node| {
        asks |= match &node.code {
            ResolvedExpr::Field(_, name) => Face::named(name).is_some(),
            ResolvedExpr::Size(_) => true,
            ResolvedExpr::Call(call) => match &call.callee {
                Callee::Library(function) => DRAWN.contains(function.name),
                Callee::Notebook(..) => false,
            },
            _ => false,
        };
    });
    asks
}

/// Returns whether an expression calls a function of the notebook.
fn calls_notebook(node: &Node) -> bool {
    let mut calls = false;
    node.walk(&mut |node| {
        if let ResolvedExpr::Call(call) = &node.code {
            calls |= matches!(call.callee, Callee::Notebook(..));
        }
    });
    calls
}

/// Returns the unit after `in` of a `gives:` line.
fn shown_unit(gives: &str) -> Result<Option<Unit>, Fault> {
    match gives.split_once(" in ") {
        Some((kind, unit)) => {
            let unit = parse_unit(unit.trim())?;
            Ok(Some(if kind.trim() == "coordinate" {
                unit.styled(Style::Coordinate)
            } else {
                unit
            }))
        }
        None => Ok(None),
    }
}
