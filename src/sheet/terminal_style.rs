//! How text looks on a terminal: its width, its colours, tables without lines.

use std::borrow::Cow;

use comfy_table::{ContentArrangement, Table, presets};

use super::model::{Mark, RowState};
use crate::diagnostic::push_line;

/// How a sheet is laid out.
#[derive(Clone, Copy, Debug)]
pub struct TerminalStyle {
    /// The width of the terminal in columns.
    pub width: u16,
    /// Whether headings and states may be coloured.
    pub colour: bool,
}

impl TerminalStyle {
    /// Returns text that stands out.
    #[must_use]
    pub fn bold(self, text: &str) -> String {
        if self.colour {
            format!("\u{1b}[1m{text}\u{1b}[0m")
        } else {
            text.to_owned()
        }
    }

    /// Returns the word for a state, coloured.
    pub(super) fn state(self, state: RowState, word: &str) -> String {
        let code = match state.mark() {
            Mark::None | Mark::Well => 32,
            Mark::Edge => 33,
            Mark::Ill => 31,
        };
        if self.colour {
            format!("\u{1b}[{code}m{word}\u{1b}[0m")
        } else {
            word.to_owned()
        }
    }
}

/// The longest word that is left to the layout of a table, in characters.
const LONGEST_WORD: usize = 400;

/// Returns a text whose words are no longer than a page is wide: what lays tables out takes
/// the square of a word's length to break it.
pub(super) fn breakable(text: &str) -> Cow<'_, str> {
    let long = |word: &str| word.len() > LONGEST_WORD;
    if !text.split(char::is_whitespace).any(long) {
        return Cow::Borrowed(text);
    }
    let mut broken = String::with_capacity(text.len() + text.len() / LONGEST_WORD + 1);
    let mut run = 0;
    for c in text.chars() {
        run = if c.is_whitespace() { 0 } else { run + 1 };
        if run > LONGEST_WORD {
            broken.push('\n');
            run = 1;
        }
        broken.push(c);
    }
    Cow::Owned(broken)
}

pub(super) fn plain_table(look: TerminalStyle) -> Table {
    let mut table = Table::new();
    table
        .load_style(presets::NOTHING)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(look.width.max(20));
    table
}

pub(super) fn push_table(out: &mut String, table: &Table) {
    for line in table.lines() {
        push_line(out, &format!(" {line}"));
    }
}
