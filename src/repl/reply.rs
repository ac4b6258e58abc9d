//! What a session answers.

use crate::diagnostic::{Diagnostic, Fault, Source, Span, in_words, render};

/// What a diagnostic points into.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Place {
    /// What was typed.
    Typed,
    /// A statement as it would be in the notebook.
    Stored(String),
    /// The notebook: its name and its text.
    Notebook(String, std::sync::Arc<str>),
    /// Nothing: a command that can't be done.
    Nowhere,
}

/// Something that is wrong.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wrong {
    /// What its places count in.
    pub place: Place,
    /// What is wrong.
    pub diagnostic: Diagnostic,
    /// Whether it may come right when a name is defined later.
    pub waits: bool,
}

impl Wrong {
    /// Returns it as it is shown: with its line of what was `typed`, of the notebook, or of
    /// a statement `as_it_would_be`, or in words only.
    #[must_use]
    pub fn shown(&self, typed: Source, as_it_would_be: &str, colour: bool) -> String {
        let source = match &self.place {
            Place::Typed => typed,
            Place::Stored(text) => Source {
                name: as_it_would_be,
                text,
            },
            Place::Notebook(name, text) => Source { name, text },
            Place::Nowhere => return in_words(&self.diagnostic),
        };
        render(source, &self.diagnostic, colour)
    }
}

/// What a session answers to what was typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Reply {
    /// What it says.
    pub text: String,
    /// What is wrong.
    pub wrong: Vec<Wrong>,
    /// Whether the session ends.
    pub leave: bool,
}

impl Reply {
    /// Returns an answer in words.
    #[must_use]
    pub fn said(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            ..Self::default()
        }
    }

    /// Returns a command that can't be done.
    #[must_use]
    pub fn error(message: impl Into<String>) -> Self {
        Self::wrong(Fault::new(message))
    }

    /// Returns a command that can't be done, with advice.
    #[must_use]
    pub fn wrong(fault: Fault) -> Self {
        let mut reply = Self::default();
        reply.blame(Place::Nowhere, Diagnostic::at(fault, Span::default()));
        reply
    }

    /// Adds something that is wrong with what was typed.
    pub fn blame(&mut self, place: Place, diagnostic: Diagnostic) {
        self.wrong.push(Wrong {
            place,
            diagnostic,
            waits: false,
        });
    }

    /// Adds what was said to a later part of what was typed, `offset` bytes on.
    pub fn follow(&mut self, later: Reply, offset: usize) {
        self.text += &later.text;
        self.leave |= later.leave;
        self.wrong.extend(later.wrong.into_iter().map(|mut wrong| {
            if wrong.place == Place::Typed {
                wrong.diagnostic = wrong.diagnostic.shifted(offset);
            }
            wrong
        }));
    }

    /// Returns whether anything is wrong that no later definition can put right.
    #[must_use]
    pub fn has_errors(&self) -> bool {
        self.wrong.iter().any(|wrong| {
            !wrong.waits && wrong.diagnostic.severity == crate::diagnostic::Severity::Error
        })
    }
}
