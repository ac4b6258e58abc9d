//! rustyline's four questions about a line, all answered from one look at it.

use std::borrow::Cow;
use std::cell::RefCell;
use std::rc::Rc;

use rustyline::completion::{Completer, Pair};
use rustyline::highlight::{CmdKind, Highlighter};
use rustyline::hint::{Hint, Hinter};
use rustyline::validate::{ValidationContext, ValidationResult, Validator};
use rustyline::{Context, Helper};
use unicode_width::UnicodeWidthStr;

use super::analysis::Analysis;
use super::complete::complete;
use super::highlight::highlight;
use super::hint::hint;
use super::session::Session;
use crate::diagnostic::visible;

/// What rustyline asks about a line.
pub struct Bench {
    /// The session.
    pub session: Rc<RefCell<Session>>,
    /// Whether colours may be used.
    pub colour: bool,
    /// How wide the terminal is.
    pub width: usize,
    /// Whether the line answers a question and is no statement.
    pub asking: bool,
    last: RefCell<Rc<Analysis>>,
}

impl Bench {
    /// Returns a helper for a session.
    pub fn new(session: Rc<RefCell<Session>>, colour: bool, width: usize) -> Self {
        Self {
            session,
            colour,
            width,
            asking: false,
            last: RefCell::default(),
        }
    }

    /// Returns the look at a line; the last one is kept.
    fn look(&self, line: &str) -> Rc<Analysis> {
        let mut last = self.last.borrow_mut();
        if last.text != line {
            *last = Rc::new(Analysis::within(&self.session.borrow(), line));
        }
        last.clone()
    }
}

/// A hint that is shown and can't be taken over.
pub struct ShownHint(String);

impl Hint for ShownHint {
    fn display(&self) -> &str {
        &self.0
    }

    fn completion(&self) -> Option<&str> {
        None
    }
}

impl Helper for Bench {}

impl Completer for Bench {
    type Candidate = Pair;

    fn complete(
        &self,
        line: &str,
        pos: usize,
        _: &Context<'_>,
    ) -> rustyline::Result<(usize, Vec<Pair>)> {
        if self.asking {
            return Ok((pos, Vec::new()));
        }
        let (start, found) = complete(&self.session.borrow(), &self.look(line), pos);
        let pairs = found.into_iter().map(|one| Pair {
            display: one.display,
            replacement: one.replacement,
        });
        Ok((start, pairs.collect()))
    }
}

impl Hinter for Bench {
    type Hint = ShownHint;

    fn hint(&self, line: &str, pos: usize, _: &Context<'_>) -> Option<ShownHint> {
        if self.asking {
            return None;
        }
        let session = self.session.borrow();
        let last = line.rsplit('\n').next().unwrap_or(line);
        let prompt = if last.len() == line.len() {
            session.prompt().width()
        } else {
            0
        };
        let room = self.width.saturating_sub(prompt + last.width() + 1);
        hint(&session, &self.look(line), pos, room).map(ShownHint)
    }
}

impl Highlighter for Bench {
    fn highlight<'l>(&self, line: &'l str, _: usize) -> Cow<'l, str> {
        if self.asking {
            return Cow::Borrowed(line);
        }
        Cow::Owned(highlight(
            &self.session.borrow(),
            &self.look(line),
            self.colour,
        ))
    }

    fn highlight_prompt<'b, 's: 'b, 'p: 'b>(&'s self, prompt: &'p str, _: bool) -> Cow<'b, str> {
        Cow::Owned(format!("\u{1b}[1m{prompt}\u{1b}[0m"))
    }

    fn highlight_hint<'h>(&self, hint: &'h str) -> Cow<'h, str> {
        // Grey with colour, faint without.
        let code = if self.colour { "90" } else { "2" };
        let hint: String = hint.chars().map(visible).collect();
        Cow::Owned(format!("\u{1b}[{code}m{hint}\u{1b}[0m"))
    }

    fn highlight_char(&self, _: &str, _: usize, kind: CmdKind) -> bool {
        !matches!(kind, CmdKind::MoveCursor)
    }
}

impl Validator for Bench {
    fn validate(&self, context: &mut ValidationContext) -> rustyline::Result<ValidationResult> {
        let wants_more = !self.asking && self.look(context.input()).wants_more();
        // Never `Invalid`: what is wrong is said when the line is entered.
        Ok(if wants_more {
            ValidationResult::Incomplete
        } else {
            ValidationResult::Valid(None)
        })
    }
}
