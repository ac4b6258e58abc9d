//! What an expression comes to in a notebook of its own.

use std::path::Path;

use setover::internals::diagnostic::Severity;
use setover::internals::language::{STEPS, Value};
use setover::internals::notebook::{Workspace, problems};
use setover::internals::quantity::Quantity;

use crate::texts::Texts;

/// What is wrong, each with its advice, and the values of some cells of a notebook.
pub fn notebook(text: &str, names: &[&str]) -> Result<Vec<Value>, Vec<String>> {
    let workspace = Workspace::of_text(Path::new("test.job"), text, &Texts(&[]));
    let wrong: Vec<String> = problems(&workspace)
        .iter()
        .filter(|problem| problem.diagnostic.severity == Severity::Error)
        .map(|problem| {
            let advice = problem.diagnostic.advice.as_deref().unwrap_or("");
            format!("{} [{advice}]", problem.diagnostic.message)
        })
        .collect();
    if !wrong.is_empty() {
        return Err(wrong);
    }
    let values = names.iter().map(|name| {
        let slot = workspace.find(name).expect("the cell is there");
        workspace
            .value(slot)
            .cloned()
            .expect("a cell without an error has a value")
    });
    Ok(values.collect())
}

/// The value of an expression.
pub fn value(expression: &str) -> Result<Value, String> {
    notebook(&format!("found = {expression}"), &["found"])
        .map(|mut values| values.remove(0))
        .map_err(|wrong| wrong.join("; "))
}

/// What a function of the library gives for these values.
#[allow(dead_code)] // used by some of the tests that share this file
pub fn called(function: &str, arguments: &[Value]) -> Result<Value, String> {
    let names: Vec<String> = (0..arguments.len())
        .map(|place| format!("a{place}"))
        .collect();
    let locals: Vec<(&str, Value)> = names
        .iter()
        .map(String::as_str)
        .zip(arguments.iter().cloned())
        .collect();
    let workspace = Workspace::of_text(Path::new("test.job"), "", &Texts(&[]));
    let call = format!("{function}({})", names.join(", "));
    let found = workspace.evaluate(&call, &locals, STEPS);
    found.map_err(|wrong| wrong.into_iter().map(|wrong| wrong.message).collect())
}

/// The quantity that an expression comes to.
#[track_caller]
pub fn quantity(expression: &str) -> Quantity {
    let value = value(expression).unwrap_or_else(|wrong| panic!("{expression}: {wrong}"));
    value
        .quantity()
        .unwrap_or_else(|wrong| panic!("{expression}: {}", wrong.message))
}
