//! The kinds of statements: their words, and what each says something about.

use super::{Name, StatementKind};

/// The words that begin a statement.
pub const STATEMENT_WORDS: &[&str] = &[
    "title", "lengths", "angles", "readout", "use", "measured", "aim", "check", "op", "table",
    "vary", "find", "draw",
];

/// What kind of statement an item is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ItemKind {
    /// A heading; it has no slot.
    Section,
    /// A setting or a `use`; it has no slot.
    Setting,
    /// A statement that can't be read.
    Unreadable,
    /// `name = …`
    Cell,
    /// `name(…) = …`
    Function,
    /// `measured name = …`; its slot is that of the name.
    Measured,
    /// `aim name = …`; its slot is that of the name.
    Aim,
    /// `check …`
    Check,
    /// `op …`
    Op,
    /// `table …`
    Table,
    /// `vary …`
    Vary,
    /// `find …`
    Find,
    /// `draw …`
    Draw,
    /// A formula by itself.
    Bare,
}

impl ItemKind {
    /// Returns whether the statement says something about a name that another one defines: a
    /// reading, an aim.
    #[must_use]
    pub const fn is_beside(self) -> bool {
        matches!(self, Self::Measured | Self::Aim)
    }

    /// Returns what a statement of this kind says: what stands behind its `=` or its word,
    /// or in its brackets; all of it where it has none of them.
    #[must_use]
    pub fn body(self, text: &str) -> &str {
        let behind = |word: &str| text.strip_prefix(word).map_or(text, str::trim);
        match self {
            Self::Cell => text.split_once('=').map_or(text, |(_, said)| said.trim()),
            // A named one: `tried = vary …`.
            Self::Vary => match text.split_once('=') {
                Some((name, said)) if !name.trim().contains(char::is_whitespace) => said.trim(),
                _ => text,
            },
            Self::Section => text.trim_matches(['[', ']']).trim(),
            Self::Check => behind("check"),
            Self::Op => behind("op"),
            Self::Draw => behind("draw"),
            _ => text,
        }
    }
}

/// What a statement says something about.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Role<'a> {
    /// A section begins.
    Section(&'a str),
    /// A setting of the notebook, which has one of each word.
    Setting(&'static str),
    /// Another notebook, by the name it has in this one.
    Use(&'a Name),
    /// A name, which it defines: a cell, a table, a solved cell.
    Defines(&'a Name),
    /// A function, which it defines.
    Function(&'a Name),
    /// A name that another statement defines: a reading, an aim.
    Beside(&'a Name),
    /// Nothing but itself.
    Alone,
}

impl StatementKind {
    /// Returns the kind of the statement and what it says something about.
    fn kind_and_role(&self) -> (ItemKind, Role<'_>) {
        match self {
            Self::Title(_) => (ItemKind::Setting, Role::Setting("title")),
            Self::Lengths(_) => (ItemKind::Setting, Role::Setting("lengths")),
            Self::Angles(_) => (ItemKind::Setting, Role::Setting("angles")),
            Self::Readout(_) => (ItemKind::Setting, Role::Setting("readout")),
            Self::Use { alias, .. } => (ItemKind::Setting, Role::Use(alias)),
            Self::Section(heading) => (ItemKind::Section, Role::Section(heading.trim())),
            Self::Cell(name, _) => (ItemKind::Cell, Role::Defines(name)),
            Self::Function(name, ..) => (ItemKind::Function, Role::Function(name)),
            Self::Measured(name, _) => (ItemKind::Measured, Role::Beside(name)),
            Self::Aim(name, _) => (ItemKind::Aim, Role::Beside(name)),
            Self::Check(_) => (ItemKind::Check, Role::Alone),
            Self::Op(_) | Self::OpEach(_) => (ItemKind::Op, Role::Alone),
            Self::Table(name, ..) => (ItemKind::Table, Role::Defines(name)),
            Self::Vary(None, ..) => (ItemKind::Vary, Role::Alone),
            Self::Vary(Some(name), ..) => (ItemKind::Vary, Role::Defines(name)),
            Self::Find(find) => (ItemKind::Find, Role::Defines(&find.name)),
            Self::Draw(_) => (ItemKind::Draw, Role::Alone),
            Self::Bare(_) => (ItemKind::Bare, Role::Alone),
        }
    }

    /// Returns what kind of statement it is.
    #[must_use]
    pub fn kind(&self) -> ItemKind {
        self.kind_and_role().0
    }

    /// Returns what it says something about.
    #[must_use]
    pub fn role(&self) -> Role<'_> {
        self.kind_and_role().1
    }
}
