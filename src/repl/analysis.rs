//! What is known of the line being typed: one look at it serves completion, hints,
//! colours and the question whether another line is to come.

use super::asked::asked;
use super::commands::{Command, Takes};
use super::session::Session;
use crate::syntax::{Token, TokenKind, lex, lex_after, unfinished};

/// A line with its tokens.
#[derive(Clone, Debug, Default)]
pub struct Analysis {
    /// The text.
    pub text: String,
    /// Its tokens.
    pub tokens: Vec<Token>,
    /// The command of the line editor that it is.
    pub command: Option<&'static Command>,
}

/// A call whose bracket is open at the cursor.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpenCall {
    /// The function's name.
    pub function: String,
    /// Which argument the cursor is in, from 0.
    pub argument: usize,
    /// The name written before the argument at the cursor.
    pub named: Option<String>,
    /// The names of arguments given so far.
    pub given: Vec<String>,
    /// Whether something of the argument is written.
    pub begun: bool,
}

/// What the cursor stands in.
#[derive(Clone, Debug, PartialEq)]
pub enum Spot {
    /// What follows a command.
    After(&'static Command),
    /// A text in quotes.
    Text,
    /// A unit behind a number or `as`.
    Unit,
    /// What follows a point; the path before it.
    Field(String),
    /// The file of a `use`.
    Use,
    /// The first word of a statement.
    Start,
    /// Anything else: a name, a function, a word.
    Name,
    /// Where nothing completes: a remark, prose, a number.
    Nothing,
}

impl Analysis {
    /// Looks at a line where nothing is defined.
    #[must_use]
    pub fn of(text: &str) -> Self {
        Self::with(text, &|_| false)
    }

    /// Looks at a line typed into a session.
    #[must_use]
    pub fn within(session: &Session, text: &str) -> Self {
        Self::with(text, &|word| session.is_own(word))
    }

    fn with(text: &str, is_own: &dyn Fn(&str) -> bool) -> Self {
        let asked = asked(text, is_own);
        let command = asked.and_then(|asked| asked.command);
        let tokens = match (asked, command) {
            (Some(asked), Some(_)) => {
                let start = text.len() - text.trim_start().len();
                lex_after(text, start..start + asked.word.len())
            }
            _ => lex(text),
        };
        Self {
            text: text.to_owned(),
            tokens,
            command,
        }
    }

    /// Returns the text of a token.
    #[must_use]
    pub fn text_of(&self, token: &Token) -> &str {
        self.text.get(token.span.clone()).unwrap_or("")
    }

    /// Returns whether the line asks for another one.
    #[must_use]
    pub fn wants_more(&self) -> bool {
        match self.command {
            None => unfinished(&self.text),
            Some(command) if command.takes == Takes::Statement => {
                let start = self.tokens.first().map_or(0, |word| word.span.end);
                unfinished(self.text.get(start..).unwrap_or(""))
            }
            Some(_) => false,
        }
    }

    /// Returns whether it is a command of the line editor.
    #[must_use]
    pub fn is_command(&self) -> bool {
        self.command.is_some()
    }

    /// Returns the calls whose brackets are open at the cursor; the innermost last.
    #[must_use]
    pub fn open_calls(&self, cursor: usize) -> Vec<OpenCall> {
        let mut open: Vec<Option<OpenCall>> = Vec::new();
        let mut before: Option<&Token> = None;
        for token in self
            .tokens
            .iter()
            .take_while(|token| token.span.start < cursor)
        {
            let text = self.text_of(token);
            if token.kind == TokenKind::Sign {
                match text {
                    "(" => {
                        let call = before.filter(|before| before.kind == TokenKind::Call);
                        open.push(call.map(|call| OpenCall {
                            function: self.text_of(call).to_owned(),
                            argument: 0,
                            named: None,
                            given: Vec::new(),
                            begun: false,
                        }));
                        before = Some(token);
                        continue;
                    }
                    "[" | "{" => {
                        open.push(None);
                    }
                    ")" | "]" | "}" => {
                        open.pop();
                    }
                    "," => {
                        if let Some(Some(call)) = open.last_mut() {
                            call.argument += 1;
                            call.named = None;
                            call.begun = false;
                            before = Some(token);
                            continue;
                        }
                    }
                    _ => {}
                }
            }
            if let Some(Some(call)) = open.last_mut() {
                call.begun = true;
                if token.kind == TokenKind::Argument {
                    call.named = Some(text.to_owned());
                    call.given.push(text.to_owned());
                }
            }
            before = Some(token);
        }
        open.into_iter().flatten().collect()
    }

    /// Names that the line itself defines: parameters, names of a `where` clause, the
    /// unknown of a `find`, columns of a table.
    #[must_use]
    pub fn locals(&self) -> Vec<&str> {
        let mut found = Vec::new();
        let signs = |index: usize| {
            self.tokens
                .get(index)
                .map_or("", |token| self.text_of(token))
        };
        let defines = self
            .tokens
            .first()
            .is_some_and(|first| first.kind == TokenKind::Call)
            && self.tokens.iter().enumerate().any(|(index, token)| {
                self.text_of(token) == "=" && index > 0 && signs(index - 1) == ")"
            });
        let mut in_parameters = defines;
        for (index, token) in self.tokens.iter().enumerate() {
            let text = self.text_of(token);
            let name = matches!(token.kind, TokenKind::Name | TokenKind::Argument);
            let before = index.checked_sub(1).map_or("", signs);
            let equals = signs(index + 1) == "=";
            if in_parameters && text == "=" {
                in_parameters = false;
            }
            let heads_column = before == "|"
                && self
                    .tokens
                    .first()
                    .is_some_and(|first| self.text_of(first) == "table");
            if name
                && (in_parameters && matches!(before, "(" | ",")
                    || equals && index > 0 && matches!(before, "where" | ",")
                    || before == "find"
                    || heads_column)
            {
                found.push(text);
            }
        }
        found
    }

    /// Returns what the cursor stands in, and where the word there begins.
    #[must_use]
    pub fn spot(&self, cursor: usize) -> (usize, Spot) {
        let at = self
            .tokens
            .iter()
            .position(|token| token.span.start < cursor && cursor <= token.span.end);
        let under = at.and_then(|at| self.tokens.get(at));
        let wordy = under.filter(|token| {
            let unit = token.kind == TokenKind::Unit;
            let lettered = self.text_of(token).starts_with(char::is_alphabetic);
            let no_word = matches!(token.kind, TokenKind::Sign | TokenKind::Number);
            !no_word && (!unit || lettered)
        });
        let start = wordy.map_or(cursor, |token| token.span.start);
        let before = self.tokens.iter().rfind(|token| token.span.end <= start);
        if let (Some(command), Some(first)) = (self.command, self.tokens.first())
            && command.takes != Takes::Statement
        {
            return if cursor <= first.span.end {
                (first.span.start.min(cursor), Spot::Start)
            } else {
                (
                    self.word_start(cursor, first.span.end),
                    Spot::After(command),
                )
            };
        }
        if let Some(token) = wordy {
            match token.kind {
                TokenKind::Text => {
                    let text = self.text_of(token);
                    let closed = text.len() > 1 && text.ends_with('"') && cursor == token.span.end;
                    let spot = if closed { Spot::Nothing } else { Spot::Text };
                    return (token.span.start + 1, spot);
                }
                TokenKind::Remark | TokenKind::Prose => return (cursor, Spot::Nothing),
                _ => {}
            }
        }
        let on_number = under.is_some_and(|token| token.kind == TokenKind::Number);
        let goes_on = before.filter(|before| {
            let between = self.text.get(before.span.end..start).unwrap_or("");
            before.depth > 0 || !between.contains('\n')
        });
        let before = match (goes_on, before) {
            (None, _) if !on_number => return (start, Spot::Start),
            (_, None) => return (start, Spot::Unit),
            (_, Some(before)) => before,
        };
        let spot = match (before.kind, self.text_of(before)) {
            _ if on_number => Spot::Unit,
            (TokenKind::Number, _) | (TokenKind::Word, "as") => Spot::Unit,
            (TokenKind::Word, "use") => Spot::Use,
            (TokenKind::Sign, ".") if before.span.end == start => match self.path_before(before) {
                Some(path) => Spot::Field(path),
                None => Spot::Nothing,
            },
            _ => Spot::Name,
        };
        (start, spot)
    }

    /// Returns where the word that ends at the cursor begins, not before `from`.
    fn word_start(&self, cursor: usize, from: usize) -> usize {
        let before = self.text.get(from..cursor).unwrap_or("");
        let blank = before
            .rfind([' ', ','])
            .map_or(from, |blank| from + blank + 1);
        blank.min(cursor)
    }

    /// Returns the path that a point follows: `shaft` in `shaft.`.
    fn path_before(&self, point: &Token) -> Option<String> {
        let mut end = self.tokens.iter().position(|token| token == point)?;
        let last = end;
        while end > 0 {
            let token = self.tokens.get(end - 1)?;
            let follows = self.tokens.get(end)?.span.start == token.span.end;
            let part = matches!(token.kind, TokenKind::Name | TokenKind::Field)
                || self.text_of(token) == ".";
            if !follows || !part {
                break;
            }
            end -= 1;
        }
        // A call before the point: its whole text.
        if end == last && self.text_of(self.tokens.get(end.checked_sub(1)?)?) == ")" {
            let mut depth = 0_usize;
            for index in (0..last).rev() {
                match self.text_of(self.tokens.get(index)?) {
                    ")" => depth += 1,
                    "(" => depth = depth.saturating_sub(1),
                    _ => {}
                }
                if depth == 0 {
                    end = index;
                    break;
                }
            }
            let named = end
                .checked_sub(1)
                .and_then(|before| self.tokens.get(before))
                .is_some_and(|token| token.kind == TokenKind::Call);
            end -= usize::from(named);
        }
        let from = self.tokens.get(end)?.span.start;
        (end < last).then(|| {
            self.text
                .get(from..point.span.start)
                .unwrap_or("")
                .to_owned()
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn spot(text: &str) -> (usize, Spot) {
        Analysis::of(text).spot(text.len())
    }

    #[test]
    fn the_cursor_knows_where_it_is() {
        assert_eq!(spot(""), (0, Spot::Start));
        assert_eq!(spot("bo"), (0, Spot::Start));
        assert_eq!(spot("a = bo"), (4, Spot::Name));
        assert_eq!(spot("a = 12 m"), (7, Spot::Unit));
        assert_eq!(spot("a = 12"), (6, Spot::Unit));
        assert_eq!(spot("12"), (2, Spot::Unit));
        assert_eq!(spot("a as "), (5, Spot::Unit));
        assert_eq!(spot("use work"), (4, Spot::Use));
        assert_eq!(spot("a = shaft.jo"), (10, Spot::Field("shaft".to_owned())));
        assert_eq!(
            spot("a = thread(\"M8\").p"),
            (17, Spot::Field("thread(\"M8\")".to_owned()))
        );
        assert_eq!(spot("thread(\"M8"), (8, Spot::Text));
        assert_eq!(spot("und"), (0, Spot::Start));
        let (start, after) = spot("depends bo");
        assert_eq!(start, 8);
        assert!(matches!(after, Spot::After(command) if command.name() == "depends"));
        assert_eq!(spot("try a = bo"), (8, Spot::Name));
        assert_eq!(spot("a = 1 # re"), (10, Spot::Nothing));
        assert_eq!(spot("a = (1,\n b"), (9, Spot::Name));
        assert_eq!(spot("a = 1\nb"), (6, Spot::Start));
    }

    #[test]
    fn open_calls_count_their_arguments() {
        let calls = |text: &str| Analysis::of(text).open_calls(text.len());
        let open = calls("a = f(1, g(x: 2, [1, 2], ");
        assert_eq!(open.len(), 2);
        assert_eq!((open[0].function.as_str(), open[0].argument), ("f", 1));
        assert_eq!((open[1].function.as_str(), open[1].argument), ("g", 2));
        assert_eq!(open[1].given, ["x"]);
        assert!(!open[1].begun);
        assert!(calls("a = f(1) + (2").is_empty());
    }

    #[test]
    fn names_of_the_line_itself_are_known() {
        assert_eq!(Analysis::of("f(a, b: 2) = a + b").locals(), ["a", "b"]);
        assert_eq!(
            Analysis::of("x = a where a = 2, b = 3").locals(),
            ["a", "b"]
        );
        assert_eq!(Analysis::of("find skim between 1 and 2").locals(), ["skim"]);
        assert_eq!(Analysis::of("f(a, b)").locals(), [""; 0]);
    }
}
