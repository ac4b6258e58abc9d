//! The one place that writes to the terminal.

use std::borrow::Cow;
use std::fmt;
use std::io::{BufWriter, ErrorKind, IsTerminal, Write};
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};

use serde::Serialize;

use super::files::reason;
use super::locale::{ascii_only, plain};
use super::status::WRONG;
use crate::diagnostic::{
    Diagnostic, Fault, SHOWN, Severity, Source, Span, fit, in_words, render, turns, visible,
};
use crate::notebook::{Problem, Workspace, problems};
use crate::sheet::{TerminalStyle, wrapped};

/// Whether something could not be written to standard output.
static FAILED: AtomicBool = AtomicBool::new(false);

/// Writes to standard output. A reader that went away (a closed pipe) is no error; of
/// any other failure the first is told, and [`failed`] gives it.
pub fn print(text: &str) {
    let mut out = std::io::stdout().lock();
    let text = shown(text, out.is_terminal());
    let written = out.write_all(text.as_bytes()).and_then(|()| out.flush());
    drop(out);
    if let Err(why) = written
        && why.kind() != ErrorKind::BrokenPipe
        && !FAILED.swap(true, Ordering::Relaxed)
    {
        let why = reason(&why);
        error(&format!("the result can't be written: {why}\n"));
    }
}

/// Returns whether a result could not be written.
pub fn failed() -> bool {
    FAILED.load(Ordering::Relaxed)
}

/// Writes to standard error.
pub fn error(text: &str) {
    let mut out = std::io::stderr().lock();
    let fitted = out
        .is_terminal()
        .then(|| fit(text, usize::from(look().width)));
    let text = shown(fitted.as_deref().unwrap_or(text), out.is_terminal());
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

/// Returns a text as a reader can take it: on a terminal that can't show every character,
/// in ASCII.
fn shown(text: &str, terminal: bool) -> Cow<'_, str> {
    let colours = terminal && !ESCAPES.load(Ordering::Relaxed);
    let text = harmless(text, terminal, colours);
    if terminal && ascii_only() {
        return Cow::Owned(plain(&text).into_owned());
    }
    text
}

/// Whether a text was read that holds an escape character: nothing is coloured then,
/// for its colours could not be told from ours.
static ESCAPES: AtomicBool = AtomicBool::new(false);

/// Takes note of a text that is to be shown, in whole or in part.
pub fn will_show(text: &str) {
    if text.contains(['\u{1b}', '\u{9b}']) {
        ESCAPES.store(true, Ordering::Relaxed);
    }
}

/// Returns a text with signs in the place of control characters, which a notebook may hold and
/// which would move the cursor of a terminal or hide words; on a terminal, marks that
/// turn the direction of writing too. Colours are let through where `colours` is set.
fn harmless(text: &str, terminal: bool, colours: bool) -> Cow<'_, str> {
    let control = |c: char| c.is_control() && !matches!(c, '\n' | '\t') || terminal && turns(c);
    if !text.contains(control) {
        return Cow::Borrowed(text);
    }
    let mut clean = String::with_capacity(text.len());
    for (place, c) in text.char_indices() {
        let rest = &text[place..];
        let colour = || {
            let digits = rest
                .strip_prefix("\u{1b}[")
                .map(|rest| rest.trim_start_matches(|c: char| c.is_ascii_digit() || c == ';'));
            digits.is_some_and(|rest| rest.starts_with('m'))
        };
        let stays = !control(c) || rest.starts_with("\r\n") || colours && colour();
        clean.push(if stays { c } else { visible(c) });
    }
    Cow::Owned(clean)
}

/// Returns how the terminal wants things laid out.
#[must_use]
pub fn look() -> TerminalStyle {
    let columns = std::env::var("COLUMNS")
        .ok()
        .and_then(|columns| columns.parse::<u16>().ok());
    let size = || terminal_size::terminal_size().map(|(width, _)| width.0);
    let width = columns.or_else(size).unwrap_or(80).clamp(20, 500);
    TerminalStyle {
        width,
        colour: std::io::stdout().is_terminal() && !no_colour() && takes_colours(),
    }
}

/// Has a Windows console take colours, on both streams; gives whether it does. The line
/// editor sets it its own way at each prompt, so it is asked each time.
fn takes_colours() -> bool {
    #[cfg(windows)]
    return anstyle_query::windows::enable_ansi_colors().unwrap_or(false);
    #[cfg(not(windows))]
    true
}

fn no_colour() -> bool {
    std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty())
        || ESCAPES.load(Ordering::Relaxed)
}

/// Returns whether errors may be coloured.
#[must_use]
pub fn colour_of_errors() -> bool {
    std::io::stderr().is_terminal() && !no_colour() && takes_colours()
}

/// Writes one diagnostic to standard error.
pub fn diagnose(source: Source, diagnostic: &Diagnostic) {
    let colour = colour_of_errors();
    error(&format!("{}\n\n", render(source, diagnostic, colour)));
}

/// Writes a fault that has no place to standard error; gives the exit status.
pub fn wrong(fault: Fault) -> u8 {
    let diagnostic = Diagnostic::at(fault, Span::default());
    error(&(in_words(&diagnostic) + "\n"));
    WRONG
}

/// Says that a file can't be read or written, `done`, and why; gives the exit status.
pub fn cannot_be(done: &str, file: &Path, why: &impl fmt::Display) -> u8 {
    error(&format!("{} can't be {done}: {why}\n", file.display()));
    WRONG
}

/// How many bytes of a large value are there at once before they are written.
const PIECE: usize = 65_536;

/// Writes a value as JSON to standard output, piece by piece.
pub fn json(value: &impl Serialize) {
    let mut out = BufWriter::with_capacity(PIECE, Printed);
    let _ = serde_json::to_writer_pretty(&mut out, value);
    let _ = out.write_all(b"\n").and_then(|()| out.flush());
}

/// Prints whatever is written to it. What comes at once is whole text.
struct Printed;

impl Write for Printed {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        print(&String::from_utf8_lossy(bytes));
        Ok(bytes.len())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

/// Writes one problem of a workspace to standard error.
fn problem(workspace: &Workspace, problem: &Problem) {
    let Some(page) = workspace.page(problem.page) else {
        return;
    };
    let source = match &problem.text {
        // A notebook in another folder is not quoted.
        Some(text) if text.is_empty() => Source {
            name: &page.name,
            text,
        },
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
    diagnose_each(workspace, &problems(workspace))
}

/// Writes problems of a workspace to standard error, the first of many; gives the number
/// of errors among all.
pub fn diagnose_each(workspace: &Workspace, found: &[Problem]) -> usize {
    for one in found.iter().take(SHOWN) {
        problem(workspace, one);
    }
    if found.len() > SHOWN {
        error(&format!("and {} more\n", found.len() - SHOWN));
    }
    found
        .iter()
        .filter(|problem| problem.diagnostic.severity == Severity::Error)
        .count()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn control_characters_are_replaced() {
        let pipe = |text| harmless(text, false, false).into_owned();
        assert_eq!(pipe("a\tb\r\n"), "a\tb\r\n");
        assert_eq!(pipe("\u{1b}[31ma\u{7}"), "\u{241b}[31ma\u{2407}");
        assert_eq!(pipe("fails\rholds"), "fails\u{240d}holds");
        assert_eq!(pipe("\u{202e}a"), "\u{202e}a");
        let terminal = |text, colours| harmless(text, true, colours).into_owned();
        assert_eq!(
            terminal("\u{1b}[1;31ma\u{1b}[2J", true),
            "\u{1b}[1;31ma\u{241b}[2J"
        );
        assert_eq!(terminal("\u{1b}[8ma", false), "\u{241b}[8ma");
        assert_eq!(terminal("\u{202e}sdloh", true), "\u{fffd}sdloh");
        assert_eq!(terminal("\u{1b}", true), "\u{241b}");
    }
}
