//! An error with its place, label and advice.
//!
//! Inner rooms know no places: they return a [`Fault`] (what is wrong, what to
//! write instead, which argument is to blame). Whoever knows the text turns it
//! into a [`Diagnostic`] by adding a [`Span`].
//!
//! # Example
//! ```
//! use setover::internals::diagnostic::{Diagnostic, Source, Span, render};
//!
//! let text = "wall = (boss - brdth) / 2";
//! let wrong = Diagnostic::unknown_name("brdth", Span::new(15, 20));
//! let shown = render(Source { name: "lever.job", text }, &wrong.advise("did you mean `breadth`?"), false);
//! assert!(shown.starts_with("lever.job\n    wall = (boss - brdth) / 2\n"));
//! ```

mod fit;
mod nearest;
mod render;

pub use fit::{fit, one_line, push_line, wrapped};
pub use nearest::{did_you_mean, nearest};
pub use render::{Lines, Source, in_words, render, turns, visible};

/// So many things that are wrong are shown to a person at a time: more would only hide the
/// first.
pub const SHOWN: usize = 50;

use std::fmt;
use std::sync::Arc;

/// A stretch of text, as byte offsets into the text it belongs to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Span {
    /// Offset of the first byte.
    pub start: u32,
    /// Offset just past the last byte.
    pub end: u32,
}

impl Span {
    /// Returns a span from byte `start` up to, not including, byte `end`.
    #[must_use]
    pub fn new(start: usize, end: usize) -> Self {
        let clamp = |offset: usize| u32::try_from(offset).unwrap_or(u32::MAX);
        Self {
            start: clamp(start),
            end: clamp(end.max(start)),
        }
    }

    /// Returns the smallest span that covers both.
    #[must_use]
    pub fn to(self, other: Span) -> Self {
        Self {
            start: self.start.min(other.start),
            end: self.end.max(other.end),
        }
    }

    /// Returns what stands there in a text; nothing where it lies outside.
    #[must_use]
    pub fn of(self, text: &str) -> &str {
        text.get(self.start as usize..self.end as usize)
            .unwrap_or("")
    }

    /// Returns the same span moved on by `offset` bytes: from a statement's own text to
    /// its file.
    #[must_use]
    pub fn shifted(self, offset: usize) -> Self {
        Self::new(self.start as usize + offset, self.end as usize + offset)
    }
}

/// What is wrong, without a place: the error type of the rooms that know no text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// What is wrong, in the user's words: lower case, no full stop.
    pub message: String,
    /// What to write instead.
    pub advice: Option<String>,
    /// The argument (from 0) that is to blame, where one is.
    pub argument: Option<usize>,
}

impl Fault {
    /// Returns a fault with a message only.
    pub fn new(message: impl Into<String>) -> Self {
        Self {
            message: clipped(message.into()),
            advice: None,
            argument: None,
        }
    }

    /// Returns the same fault with what to write instead.
    #[must_use]
    pub fn advise(mut self, advice: impl Into<String>) -> Self {
        self.advice = Some(clipped(advice.into()));
        self
    }

    /// Returns the same fault blamed on argument `index`, counted from 0.
    #[must_use]
    pub fn in_argument(mut self, index: usize) -> Self {
        self.argument = Some(index);
        self
    }
}

/// The longest message or advice, in bytes.
const LONGEST: usize = 2_000;

/// Returns a text that is not too long to be read: a name, or a list of names, may be.
#[must_use]
pub fn clipped(mut text: String) -> String {
    if text.len() > LONGEST {
        text.truncate(text.floor_char_boundary(LONGEST));
        text.push('…');
    }
    text
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)?;
        if let Some(advice) = &self.advice {
            write!(f, "; {advice}")?;
        }
        Ok(())
    }
}

impl std::error::Error for Fault {}

/// How grave a diagnostic is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Severity {
    /// The statement has no result.
    Error,
    /// The statement has a result, but the user should look.
    Warning,
}

/// An error or a warning at a place in a text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Diagnostic {
    /// How grave it is.
    pub severity: Severity,
    /// What is wrong, in the user's words: lower case, no full stop.
    pub message: String,
    /// Words to stand at the marked place; may be empty.
    pub label: String,
    /// What to write instead.
    pub advice: Option<String>,
    /// The place, within the text that the holder of this diagnostic names.
    pub span: Span,
    /// The calls that led here, innermost first.
    pub trail: Vec<String>,
    /// The name that nothing defines, where that is what is wrong.
    pub unknown: Option<Arc<String>>,
}

impl Diagnostic {
    /// Returns an error at a place.
    pub fn error(message: impl Into<String>, span: Span) -> Self {
        Self {
            severity: Severity::Error,
            message: clipped(message.into()),
            label: String::new(),
            advice: None,
            span,
            trail: Vec::new(),
            unknown: None,
        }
    }

    /// Returns a name that nothing defines.
    pub fn unknown_name(name: &str, span: Span) -> Self {
        Self {
            unknown: Some(Arc::new(name.to_owned())),
            ..Self::error(format!("unknown name `{name}`"), span)
        }
    }

    /// Returns a warning at a place.
    pub fn warning(message: impl Into<String>, span: Span) -> Self {
        Self {
            severity: Severity::Warning,
            ..Self::error(message, span)
        }
    }

    /// Returns a fault of an inner room, put at its place.
    #[must_use]
    pub fn at(fault: Fault, span: Span) -> Self {
        Self {
            advice: fault.advice,
            ..Self::error(fault.message, span)
        }
    }

    /// Returns the same diagnostic with words at the marked place.
    #[must_use]
    pub fn label(mut self, label: impl Into<String>) -> Self {
        self.label = label.into();
        self
    }

    /// Returns the same diagnostic with what to write instead.
    #[must_use]
    pub fn advise(mut self, advice: impl Into<String>) -> Self {
        self.advice = Some(clipped(advice.into()));
        self
    }

    /// Returns the same diagnostic, its place moved on by `offset` bytes.
    #[must_use]
    pub fn shifted(mut self, offset: usize) -> Self {
        self.span = self.span.shifted(offset);
        self
    }
}
