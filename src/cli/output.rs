//! The one place that writes to the terminal.

use std::borrow::Cow;
use std::io::{IsTerminal, Write};

use super::locale::{ascii_only, plain};
use crate::diagnostic::{Diagnostic, Source, in_words, render};
use crate::notebook::{Problem, Workspace, problems};
use crate::sheet::{Look, wrapped};

/// Writes to standard output. A reader that went away (a closed pipe) is no error.
pub fn print(text: &str) {
    let mut out = std::io::stdout().lock();
    let text = shown(text, out.is_terminal());
    let _ = out.write_all(text.as_bytes()).and_then(|()| out.flush());
}

/// Writes to standard error.
pub fn error(text: &str) {
    let mut out = std::io::stderr().lock();
    let text = shown(text, out.is_terminal());
    let _ = out.write_all(text.as_bytes()).and_then(|()| out.flush());
}

/// Writes a caution to standard error, as wide as the terminal.
pub fn caution(text: &str) {
    let mut lines = String::new();
    wrapped(
        &mut lines,
        &format!("caution: {text}"),
        usize::from(look().width),
        0,
        2,
    );
    error(&lines);
}

/// A text as a reader can take it: on a terminal that can't show every character,
/// in ASCII.
fn shown(text: &str, terminal: bool) -> Cow<'_, str> {
    let text = harmless(text, terminal);
    if terminal && ascii_only() {
        return Cow::Owned(plain(&text).into_owned());
    }
    text
}

/// A text without control characters, which a notebook may hold and which would
/// move the cursor of a terminal or worse; on a terminal, colours are let through.
fn harmless(text: &str, colours: bool) -> Cow<'_, str> {
    let control = |c: char| c.is_control() && !matches!(c, '\n' | '\t' | '\r');
    if !text.contains(control) {
        return Cow::Borrowed(text);
    }
    let mut clean = String::with_capacity(text.len());
    for (place, c) in text.char_indices() {
        let colour = || {
            let digits = text[place..]
                .strip_prefix("\u{1b}[")
                .map(|rest| rest.trim_start_matches(|c: char| c.is_ascii_digit() || c == ';'));
            digits.is_some_and(|rest| rest.starts_with('m'))
        };
        clean.push(if control(c) && !(colours && colour()) {
            '\u{fffd}'
        } else {
            c
        });
    }
    Cow::Owned(clean)
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

/// Writes a diagnostic that has no place to standard error.
pub fn wrong(diagnostic: &Diagnostic) {
    error(&(in_words(diagnostic) + "\n"));
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn control_characters_are_replaced() {
        assert_eq!(harmless("a\tb\r\n", false), "a\tb\r\n");
        assert_eq!(harmless("\u{1b}[31ma\u{7}", false), "\u{fffd}[31ma\u{fffd}");
        assert_eq!(
            harmless("\u{1b}[1;31ma\u{1b}[2J", true),
            "\u{1b}[1;31ma\u{fffd}[2J"
        );
        assert_eq!(harmless("\u{1b}", true), "\u{fffd}");
    }
}
