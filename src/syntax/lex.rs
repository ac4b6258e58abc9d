//! A line that is being typed, cut into words, numbers, units and texts.
//!
//! The parser wants whole statements; this reads what is there so far, in one pass
//! over the text, and never fails.

mod words;

pub use words::{is_class, word_at};

use std::ops::Range;

use super::STATEMENT_WORDS;
use super::quotes::{is_mark, text_length};
use super::split::begins_with_word;
use words::is_name_start;

/// What a token is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum TokenKind {
    /// A command of the line editor: `undo`.
    Command,
    /// A word of the language: `check`, `if`, `between`.
    Word,
    /// A name.
    Name,
    /// A name with a bracket behind it.
    Call,
    /// What follows a point: `journal` in `shaft.journal`.
    Field,
    /// The name of an argument: `count` in `f(count: 6)`.
    Argument,
    /// A number.
    Number,
    /// A unit, or a way of showing behind `as`.
    Unit,
    /// A tolerance class behind a size: `H7`.
    Class,
    /// Text in quotes.
    Text,
    /// A remark.
    Remark,
    /// Words to be read by a person: a title, an op, a heading.
    Prose,
    /// An operator, a bracket, a comma.
    Sign,
}

/// A piece of a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Token {
    /// What it is.
    pub kind: TokenKind,
    /// Where it stands, in bytes.
    pub span: Range<usize>,
    /// How many brackets are open behind it.
    pub depth: usize,
}

/// Cuts a text into tokens; blanks are left out.
#[must_use]
pub fn lex(text: &str) -> Vec<Token> {
    lex_after(text, 0..0)
}

/// Cuts a text into tokens, the first of which is a command's word.
#[must_use]
pub fn lex_after(text: &str, command: Range<usize>) -> Vec<Token> {
    let at = command.end;
    let kind = TokenKind::Command;
    let first = (at > 0).then_some(Token {
        kind,
        span: command,
        depth: 0,
    });
    let mut lexer = Lexer {
        text,
        at,
        tokens: first.into_iter().collect(),
        statement: Statement::default(),
        depth: 0,
    };
    lexer.run();
    lexer.tokens
}

/// What is known of the statement being read.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Statement {
    /// Whether something of it was read.
    begun: bool,
    /// Whether words such as `between` and `show` are words in it.
    inner: bool,
    /// Whether it is an op: prose with values in braces.
    op: bool,
    /// Whether it is a `use`.
    uses: bool,
    /// In a `draw` statement, whether its words are those of a picture: up to what it
    /// shows, and behind `with`.
    picture: Option<bool>,
}

struct Lexer<'a> {
    text: &'a str,
    at: usize,
    tokens: Vec<Token>,
    statement: Statement,
    depth: usize,
}

impl Lexer<'_> {
    fn rest(&self) -> &str {
        self.text.get(self.at..).unwrap_or("")
    }

    fn push(&mut self, kind: TokenKind, length: usize) {
        let span = self.at..self.at + length;
        self.at = span.end;
        if length > 0 {
            let depth = self.depth;
            self.tokens.push(Token { kind, span, depth });
        }
    }

    /// Returns the text of the last token.
    fn last(&self) -> Option<(TokenKind, &str)> {
        let last = self.tokens.last()?;
        Some((last.kind, self.text.get(last.span.clone()).unwrap_or("")))
    }

    /// Returns how long the line is from here on.
    fn line(&self) -> usize {
        let rest = self.rest();
        rest.find('\n').unwrap_or(rest.len())
    }

    fn run(&mut self) {
        while let Some(first) = self.rest().chars().next() {
            match first {
                '\n' => {
                    self.at += 1;
                    if self.depth == 0 {
                        self.statement = Statement::default();
                    }
                }
                c if c.is_whitespace() => self.at += c.len_utf8(),
                _ if !self.statement.begun => self.begin(),
                _ if self.statement.op && self.depth == 0 => self.op_text(),
                _ => self.token(first),
            }
        }
    }

    /// Takes the first word of a statement.
    fn begin(&mut self) {
        self.statement.begun = true;
        let rest = self.rest();
        if rest.starts_with('[') {
            let line = self.line();
            self.push(TokenKind::Prose, line);
            return;
        }
        let words = STATEMENT_WORDS.iter();
        let Some(which) = words.copied().find(|word| begins_with_word(rest, word)) else {
            return;
        };
        self.push(TokenKind::Word, which.len());
        match which {
            "title" => {
                let line = self.line();
                self.push(TokenKind::Prose, line);
            }
            "op" => self.statement.op = true,
            "use" => self.statement.uses = true,
            "draw" => self.statement.picture = Some(true),
            "vary" | "find" => self.statement.inner = true,
            _ => {}
        }
    }

    /// Reads the words of an op, up to its next value.
    fn op_text(&mut self) {
        let rest = self.rest();
        if rest.starts_with('{') {
            self.depth += 1;
            self.push(TokenKind::Sign, 1);
            return;
        }
        let line = self.line();
        let end = self
            .rest()
            .find(['{', '#'])
            .unwrap_or(line)
            .min(line)
            .max(1);
        if self.rest().starts_with('#') {
            self.push(TokenKind::Remark, line);
        } else {
            self.push(TokenKind::Prose, end);
        }
    }

    fn token(&mut self, first: char) {
        let rest = self.rest();
        let next = rest[first.len_utf8()..].chars().next();
        let digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
        match first {
            '#' if !digit(next) => {
                let line = self.line();
                self.push(TokenKind::Remark, line);
            }
            '"' => self.quote(),
            '0'..='9' => self.number(),
            '.' if digit(next) && !self.after_value() => self.number(),
            '°' | '\'' | '′' | '″' | '%' if self.after_value() => {
                self.push(TokenKind::Unit, first.len_utf8());
            }
            c if is_name_start(c) => self.word(),
            '(' | '[' | '{' => {
                self.depth += 1;
                self.picture_words(false);
                self.push(TokenKind::Sign, 1);
            }
            ')' | ']' | '}' => {
                self.depth = self.depth.saturating_sub(1);
                self.push(TokenKind::Sign, 1);
            }
            c => self.push(TokenKind::Sign, c.len_utf8()),
        }
    }

    /// Returns whether the last token ends a number, so that a unit may follow.
    fn after_value(&self) -> bool {
        matches!(self.last(), Some((TokenKind::Number | TokenKind::Unit, _)))
    }

    /// Takes a `"`: an inch mark or seconds directly after a number, else text.
    fn quote(&mut self) {
        if is_mark(self.text.get(..self.at).unwrap_or("")) {
            self.push(TokenKind::Unit, 1);
        } else {
            self.push(TokenKind::Text, text_length(self.rest()));
        }
    }

    fn number(&mut self) {
        let bytes = self.rest().as_bytes();
        let digits = |mut at: usize| {
            while bytes.get(at).is_some_and(u8::is_ascii_digit) {
                at += 1;
            }
            at
        };
        let mut end = digits(0);
        if bytes.get(end) == Some(&b'.') && bytes.get(end + 1).is_some_and(u8::is_ascii_digit) {
            end = digits(end + 1);
        }
        if matches!(bytes.get(end), Some(b'e' | b'E')) {
            let sign = usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
            if bytes.get(end + 1 + sign).is_some_and(u8::is_ascii_digit) {
                end = digits(end + 1 + sign);
            }
        }
        self.push(TokenKind::Number, end);
    }

    fn word(&mut self) {
        let (kind, length) = self.word_kind();
        match self.rest().get(..length) {
            Some("of" | "over") => self.picture_words(false),
            Some("with") => self.picture_words(true),
            _ => {}
        }
        self.push(kind, length);
    }

    fn picture_words(&mut self, begin: bool) {
        if let Some(words) = &mut self.statement.picture {
            *words = begin;
        }
    }
}

#[cfg(test)]
mod tests {
    use pest::Parser;

    use super::words::{INNER_WORDS, RESERVED};
    use super::*;
    use crate::syntax::depth::Prose;
    use crate::syntax::rules::{NotebookParser, Rule};
    use crate::syntax::split;
    use crate::syntax::split::prose;

    #[track_caller]
    fn check(text: &str, expected: &[(TokenKind, &str)]) {
        let found: Vec<(TokenKind, &str)> = lex(text)
            .into_iter()
            .filter(|token| token.kind != TokenKind::Sign)
            .map(|token| (token.kind, &text[token.span]))
            .collect();
        assert_eq!(found, expected, "{text}");
    }

    #[test]
    fn tokens_are_what_the_grammar_says() {
        use TokenKind::{
            Argument, Call, Class, Field, Name, Number, Prose, Remark, Text, Unit, Word,
        };
        check(
            "bore = shaft.journal H7 # runs",
            &[
                (Name, "bore"),
                (Name, "shaft"),
                (Field, "journal"),
                (Class, "H7"),
                (Remark, "# runs"),
            ],
        );
        check(
            "f(0.1 mm/rev * x, count: 6) as N*mm",
            &[
                (Call, "f"),
                (Number, "0.1"),
                (Unit, "mm/rev"),
                (Name, "x"),
                (Argument, "count"),
                (Number, "6"),
                (Word, "as"),
                (Unit, "N*mm"),
            ],
        );
        check(
            "drill(\"#7\") + 3/8\" + 2°51'27\"",
            &[
                (Call, "drill"),
                (Text, "\"#7\""),
                (Number, "3"),
                (Number, "8"),
                (Unit, "\""),
                (Number, "2"),
                (Unit, "°"),
                (Number, "51"),
                (Unit, "'"),
                (Number, "27"),
                (Unit, "\""),
            ],
        );
        check(
            "check a > 1",
            &[(Word, "check"), (Name, "a"), (Number, "1")],
        );
        check("check = 1", &[(Name, "check"), (Number, "1")]);
        check(".5 mm", &[(Number, ".5"), (Unit, "mm")]);
        check("[Rotary table]", &[(Prose, "[Rotary table]")]);
        check(
            "op Turn to {flank as dms}, lock.",
            &[
                (Word, "op"),
                (Prose, "Turn to "),
                (Name, "flank"),
                (Word, "as"),
                (Unit, "dms"),
                (Prose, ", lock."),
            ],
        );
        check("25 mmm", &[(Number, "25"), (Name, "mmm")]);
        check("12 mm/n", &[(Number, "12"), (Unit, "mm"), (Name, "n")]);
    }

    #[test]
    fn words_of_the_grammar_are_words_here() {
        let grammar = include_str!("../../grammar/notebook.pest");
        let words = grammar.lines().filter_map(|line| {
            let (_, rest) = line.strip_prefix("w_")?.split_once("@{ \"")?;
            rest.split('"').next()
        });
        let lists = [STATEMENT_WORDS, INNER_WORDS, RESERVED, &["rows"]];
        let mut count = 0;
        for word in words {
            count += 1;
            assert!(lists.iter().any(|list| list.contains(&word)), "{word}");
        }
        assert!(count > 30, "{count}");
    }

    /// Every number, text, unit, class, name and word that the parser sees in the
    /// project's notebooks is a token of that kind here, to the byte.
    #[test]
    fn tokens_are_those_of_the_parser() {
        let notebooks = [
            include_str!("../../notebooks/azimuth-screw.job"),
            include_str!("../../notebooks/clutch-lever.job"),
            include_str!("../../notebooks/counterweight.job"),
            include_str!("../../notebooks/cutter-arbor.job"),
            include_str!("../../notebooks/declination-shaft.job"),
            include_str!("../../notebooks/saddle-dovetail.job"),
            include_str!("../../notebooks/setting-circle.job"),
            include_str!("../../notebooks/workshop.job"),
            include_str!("../../notebooks/worm-shaft.job"),
            include_str!("../../notebooks/worm-wheel.job"),
            "t = vary cutter over 8 mm, 10 mm show offset as fraction",
            "t = vary a from 1 to 2 by 1 and b over 3, 4 show c",
        ];
        let mut count = 0;
        for text in notebooks {
            for piece in split(text) {
                let own = &text[piece.span.start as usize..piece.span.end as usize];
                let plain =
                    prose(own) == Prose::None && piece.rows.is_empty() && piece.remarks.is_empty();
                if !plain {
                    continue;
                }
                let tokens = lex(own);
                let pairs = NotebookParser::parse(Rule::statement, own).unwrap();
                for pair in pairs.flatten() {
                    let span = pair.as_span().start()..pair.as_span().end();
                    let rule = pair.as_rule();
                    let found = tokens.iter().find(|token| token.span == span);
                    let found = found.map(|token| token.kind);
                    let expected: &[TokenKind] = match rule {
                        Rule::number => &[TokenKind::Number],
                        Rule::text => &[TokenKind::Text],
                        Rule::unit => &[TokenKind::Unit],
                        Rule::class => &[TokenKind::Class],
                        Rule::name => &[
                            TokenKind::Name,
                            TokenKind::Call,
                            TokenKind::Field,
                            TokenKind::Argument,
                        ],
                        _ if format!("{rule:?}").starts_with("w_") => &[TokenKind::Word],
                        _ => continue,
                    };
                    count += 1;
                    assert!(
                        found.is_some_and(|kind| expected.contains(&kind)),
                        "{rule:?} `{}` is {found:?} in {own}",
                        pair.as_str()
                    );
                }
            }
        }
        assert!(count > 1_000, "{count}");
    }

    #[test]
    fn any_text_is_read_to_its_end() {
        for text in [
            "\"",
            "\"\\",
            "°",
            "op {",
            "op # {\n{",
            "1e",
            "1.",
            "µ",
            ".",
            "[",
            "a.\"b",
            "2 °",
            "op é{é",
        ] {
            let tokens = lex(text);
            assert!(
                tokens
                    .iter()
                    .all(|token| text.get(token.span.clone()).is_some()),
                "{text}"
            );
        }
    }
}
