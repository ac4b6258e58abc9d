//! Telling text in quotes from inch marks and seconds of arc, and formulas from
//! words.

use super::depth::Prose;

/// Follows a statement byte by byte and knows which bytes stand inside a text.
///
/// A `"` behind a digit (blanks between them don't count) is an inch mark or
/// seconds of arc, for a text never follows a number.
#[derive(Clone, Copy, Debug, Default)]
pub struct Quotes {
    open: bool,
    escaped: bool,
    last: u8,
}

impl Quotes {
    /// Takes the next byte; says whether it belongs to a text, its quotes included.
    pub fn inside(&mut self, byte: u8) -> bool {
        let before = std::mem::replace(&mut self.last, byte);
        if self.open {
            match byte {
                _ if self.escaped => self.escaped = false,
                b'\\' => self.escaped = true,
                b'"' => self.open = false,
                _ => {}
            }
            return true;
        }
        match byte {
            // Blanks; the two bytes of the non-breaking space among them.
            b' ' | b'\t' | b'\n' | b'\r' | 0xc2 | 0xa0 => self.last = before,
            b'"' => self.open = !before.is_ascii_digit(),
            _ => {}
        }
        self.open
    }

    /// Returns whether a text is open after the last byte.
    #[must_use]
    pub const fn is_open(&self) -> bool {
        self.open
    }
}

/// Returns whether a `"` behind a text is an inch mark or seconds of arc.
pub fn is_mark(before: &str) -> bool {
    let before = before.trim_end_matches([' ', '\t', '\n', '\r', '\u{a0}']);
    before.ends_with(|last: char| last.is_ascii_digit())
}

/// Returns how long the text in quotes is that begins a text, its quotes included; one that is
/// not closed ends with its line.
pub fn text_length(text: &str) -> usize {
    let mut quotes = Quotes::default();
    let ends = |(_, byte): &(usize, u8)| *byte == b'\n' || !quotes.inside(*byte) || !quotes.open;
    let end = text.bytes().enumerate().find(ends);
    end.map_or(text.len(), |(at, byte)| at + usize::from(byte != b'\n'))
}

/// What a byte of a statement belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// A formula.
    Formula,
    /// A text in quotes within a formula.
    Text,
    /// Words to be printed: a title, or an op outside its braces.
    Words,
}

/// Follows a statement byte by byte and knows what each byte belongs to.
#[derive(Clone, Copy, Debug)]
pub struct PartTracker {
    prose: Prose,
    quotes: Quotes,
    braces: usize,
    doubled: bool,
}

impl PartTracker {
    /// Returns the parts of a statement of which `prose` is no formula.
    #[must_use]
    pub fn of(prose: Prose) -> Self {
        Self {
            prose,
            quotes: Quotes::default(),
            braces: 0,
            doubled: false,
        }
    }

    /// Takes the next byte, and the one after it, and says what it belongs to.
    pub fn part(&mut self, byte: u8, next: Option<u8>) -> Part {
        if self.prose == Prose::All {
            return Part::Words;
        }
        if self.prose == Prose::Op && self.braces == 0 {
            // Two braces are one that is printed.
            if std::mem::take(&mut self.doubled) || byte != b'{' {
                return Part::Words;
            }
            if next == Some(b'{') {
                self.doubled = true;
                return Part::Words;
            }
            self.quotes = Quotes::default();
        }
        if self.quotes.inside(byte) {
            return Part::Text;
        }
        match byte {
            b'{' => self.braces += 1,
            b'}' => self.braces = self.braces.saturating_sub(1),
            _ => {}
        }
        Part::Formula
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Returns the bytes outside texts.
    fn outside(text: &str) -> String {
        let mut quotes = Quotes::default();
        text.chars()
            .filter(|c| c.is_ascii())
            .filter(|c| !quotes.inside(*c as u8))
            .collect()
    }

    #[test]
    fn inch_marks_and_seconds_are_no_quotes() {
        assert_eq!(outside("3/8\" + f(\"#7\", 2 \")"), "3/8\" + f(, 2 \")");
        assert_eq!(outside("2'27 \" + \"x\""), "2'27 \" + ");
    }

    #[test]
    fn an_op_is_words_but_for_its_braces() {
        let text = r#"op 3/8" {a("}", {b})} {{c}} "d"#;
        let mut parts = PartTracker::of(Prose::Op);
        let formula: String = text
            .bytes()
            .enumerate()
            .filter(|(i, byte)| {
                parts.part(*byte, text.as_bytes().get(i + 1).copied()) == Part::Formula
            })
            .map(|(_, byte)| char::from(byte))
            .collect();
        assert_eq!(formula, "{a(, {b})}");
    }

    #[test]
    fn a_backslash_keeps_the_next_sign_from_closing() {
        assert_eq!(outside(r#""a\"b" + (c)"#), " + (c)");
        assert_eq!(outside(r#""\\" + (c)"#), " + (c)");
    }
}
