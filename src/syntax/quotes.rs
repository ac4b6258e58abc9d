//! Telling text in quotes from inch marks and seconds of arc.

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

    /// Whether a text is open after the last byte.
    #[must_use]
    pub const fn is_open(&self) -> bool {
        self.open
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The bytes outside texts.
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
    fn a_backslash_keeps_the_next_sign_from_closing() {
        assert_eq!(outside(r#""a\"b" + (c)"#), " + (c)");
        assert_eq!(outside(r#""\\" + (c)"#), " + (c)");
    }
}
