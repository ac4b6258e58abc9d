//! The one place that writes to the terminal.

use std::io::{IsTerminal, Write};

use crate::diagnostic::{Diagnostic, Source, render};
use crate::notebook::{Problem, Workspace, problems};
use crate::sheet::Look;

/// Writes to standard output. A reader that went away (a closed pipe) is no error.
pub fn print(text: &str) {
    let mut out = std::io::stdout().lock();
    let _ = out.write_all(text.as_bytes()).and_then(|()| out.flush());
}

/// Writes to standard error.
pub fn error(text: &str) {
    let mut out = std::io::stderr().lock();
    let _ = out.write_all(text.as_bytes()).and_then(|()| out.flush());
}

/// How the terminal wants things laid out.
#[must_use]
pub fn look() -> Look {
    let columns = std::env::var("COLUMNS")
        .ok()
        .and_then(|columns| columns.parse::<u16>().ok());
    let size = || terminal_size::terminal_size().map(|(width, _)| width.0);
    let width = columns.or_else(size).unwrap_or(80).clamp(20, 500);
    Look {
        width,
        colour: std::io::stdout().is_terminal() && !no_colour(),
    }
}

fn no_colour() -> bool {
    std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty())
}

/// Whether errors may be coloured.
#[must_use]
pub fn colour_of_errors() -> bool {
    std::io::stderr().is_terminal() && !no_colour()
}

/// Writes one diagnostic to standard error.
pub fn diagnose(source: Source, diagnostic: &Diagnostic) {
    let colour = colour_of_errors();
    error(&format!("{}\n\n", render(source, diagnostic, colour)));
}

/// Writes one problem of a workspace to standard error.
pub fn problem(workspace: &Workspace, problem: &Problem) {
    let Some(page) = workspace.pages.get(problem.page as usize) else {
        return;
    };
    let source = match &problem.text {
        Some(text) => Source {
            name: "the new value",
            text,
        },
        None => Source {
            name: &page.name,
            text: &page.text,
        },
    };
    diagnose(source, &problem.diagnostic);
}

/// Writes everything that is wrong in a workspace to standard error; gives the
/// number of errors.
pub fn diagnose_all(workspace: &Workspace) -> usize {
    /// More than this many would only hide the first.
    const MOST: usize = 50;
    let found = problems(workspace);
    for problem in found.iter().take(MOST) {
        self::problem(workspace, problem);
    }
    if found.len() > MOST {
        error(&format!("and {} more\n", found.len() - MOST));
    }
    found
        .iter()
        .filter(|problem| problem.diagnostic.severity == crate::diagnostic::Severity::Error)
        .count()
}
