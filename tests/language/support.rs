//! Notebooks from texts, without files.

use std::path::Path;

use proptest::prelude::ProptestConfig;
use setover::internals::diagnostic::{Diagnostic, Severity};
use setover::internals::language::Value;
use setover::internals::notebook::{PageId, Workspace, problems};

pub use crate::texts::Texts;

/// The workspace of one text.
pub fn notebook(text: &str) -> Workspace {
    Workspace::of_text(Path::new("part.job"), text, &Texts(&[]))
}

/// What is wrong with the notebook that was opened; warnings don't count.
pub fn wrong(workspace: &Workspace) -> Vec<Diagnostic> {
    problems(workspace)
        .into_iter()
        .filter(|problem| problem.page == PageId::MAIN)
        .map(|problem| problem.diagnostic)
        .filter(|diagnostic| diagnostic.severity == Severity::Error)
        .collect()
}

/// The value of a name.
pub fn value<'a>(workspace: &'a Workspace, name: &str) -> Option<&'a Value> {
    workspace.value(workspace.find(name)?)
}

/// The value of an expression by itself, or what is wrong with it.
pub fn worked_out(expression: &str) -> Result<Value, Vec<Diagnostic>> {
    let text = format!("{NAME} = {expression}");
    let workspace = notebook(&text);
    let shift = u32::try_from(NAME.len() + " = ".len()).expect("a short name");
    let wrong: Vec<Diagnostic> = wrong(&workspace)
        .into_iter()
        .map(|mut diagnostic| {
            diagnostic.span.start = diagnostic.span.start.saturating_sub(shift);
            diagnostic.span.end = diagnostic.span.end.saturating_sub(shift);
            diagnostic
        })
        .collect();
    match value(&workspace, NAME) {
        Some(value) if wrong.is_empty() => Ok(value.clone()),
        _ => Err(wrong),
    }
}

/// The name of the cell that an expression by itself stands in.
const NAME: &str = "worked_out";

/// Runs something with as much stack as a thread has by default.
pub fn in_two_megabytes<T: Send + 'static>(run: impl FnOnce() -> T + Send + 'static) -> T {
    std::thread::Builder::new()
        .stack_size(2 * 1024 * 1024)
        .spawn(run)
        .expect("a thread")
        .join()
        .expect("no panic")
}

/// So many trials of a property, or `SETOVER_TRIALS` times as many. What fails is
/// kept as a named case, not in a file of seeds.
pub fn trials(cases: u32) -> ProptestConfig {
    let times = std::env::var("SETOVER_TRIALS")
        .ok()
        .and_then(|times| times.parse().ok())
        .unwrap_or(1);
    ProptestConfig {
        failure_persistence: None,
        ..ProptestConfig::with_cases(cases * times)
    }
}
