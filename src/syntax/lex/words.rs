//! What kind of token a word is, by itself and by what stands before and behind it.

use super::{Lexer, TokenKind};
use crate::quantity::parse_unit;

/// Words of expressions and of the statements that have words inside.
pub(super) const INNER_WORDS: &[&str] = &[
    "between", "so", "that", "over", "from", "to", "by", "show", "of", "with", "for", "starting",
    "unless",
];
/// Words that are no names anywhere.
pub(super) const RESERVED: &[&str] = &["and", "or", "not", "if", "then", "else", "as", "where"];

impl Lexer<'_> {
    pub(super) fn word_kind(&self) -> (TokenKind, usize) {
        let rest = self.rest();
        let length = word_at(rest);
        let word = rest.get(..length).unwrap_or("");
        let after = rest.get(length..).unwrap_or("");
        let (last_kind, last) = self.last().unwrap_or((TokenKind::Sign, ""));
        let adjacent = self
            .tokens
            .last()
            .is_some_and(|token| token.span.end == self.at);
        if RESERVED.contains(&word) {
            return (TokenKind::Word, length);
        }
        if matches!(last_kind, TokenKind::Number)
            || last_kind == TokenKind::Word && last == "as"
            || last == "]"
            || last_kind == TokenKind::Unit && last.starts_with(['°', '\'', '′'])
        {
            if let Some(unit) = unit_at(rest) {
                return (TokenKind::Unit, unit);
            }
            if last_kind == TokenKind::Word && matches!(word, "dms" | "fraction" | "inch" | "mm") {
                return (TokenKind::Unit, length);
            }
        }
        if self.statement.picture == Some(true) {
            return (TokenKind::Word, length);
        }
        if self.statement.uses {
            let file = rest
                .find(|c: char| !(c.is_alphanumeric() || c == '-' || c == '_'))
                .unwrap_or(rest.len());
            return (TokenKind::Name, file.max(length));
        }
        if last == "." && adjacent {
            let called = after.trim_start().starts_with('(');
            let kind = if called {
                TokenKind::Call
            } else {
                TokenKind::Field
            };
            return (kind, length);
        }
        let operand = matches!(
            last_kind,
            TokenKind::Unit | TokenKind::Name | TokenKind::Field | TokenKind::Number
        ) || last == ")";
        if operand && is_class(word) {
            return (TokenKind::Class, length);
        }
        let behind_word = last_kind == TokenKind::Word && matches!(last, "op" | "rows" | "so");
        if (self.statement.inner || operand || behind_word) && INNER_WORDS.contains(&word) {
            return (TokenKind::Word, length);
        }
        let begins_more = matches!(word, "find" | "rows" | "vary") && !self.tokens.is_empty();
        if begins_more
            && after.trim_start().starts_with(is_name_start)
            && after.starts_with(char::is_whitespace)
        {
            return (TokenKind::Word, length);
        }
        match after.trim_start().chars().next() {
            Some('(') => (TokenKind::Call, length),
            Some(':') if self.depth > 0 => (TokenKind::Argument, length),
            _ => (TokenKind::Name, length),
        }
    }
}

/// Returns whether a name may begin with a character.
pub(super) fn is_name_start(c: char) -> bool {
    c.is_alphabetic() || c == '_' || c == 'µ'
}

/// Returns how long the name at the start of a text is.
pub fn word_at(text: &str) -> usize {
    if !text.starts_with(is_name_start) {
        return 0;
    }
    text.find(|c: char| !(c.is_alphanumeric() || c == '_'))
        .unwrap_or(text.len())
}

/// Returns how long the unit at the start of a text is.
fn unit_at(text: &str) -> Option<usize> {
    let part =
        |c: char| c.is_alphanumeric() || matches!(c, '*' | '·' | '/' | '^' | '-' | '²' | '³');
    let mut end = text.find(|c| !part(c)).unwrap_or(text.len()).min(64);
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    while end > 0 {
        let unit = &text[..end];
        let stops = text[end..]
            .chars()
            .next()
            .is_none_or(|c| !(c.is_alphanumeric() || c == '_'));
        if stops && parse_unit(unit).is_ok() {
            return Some(end);
        }
        end = unit.char_indices().next_back().map_or(0, |(last, _)| last);
    }
    None
}

/// Returns whether a word is written as a tolerance class: `H7`, `js6`.
pub fn is_class(word: &str) -> bool {
    let letters = word.bytes().take_while(u8::is_ascii_alphabetic).count();
    let digits = word.len() - letters;
    (1..=2).contains(&letters)
        && (1..=2).contains(&digits)
        && word.bytes().skip(letters).all(|b| b.is_ascii_digit())
}
