//! Cutting a notebook's text into statements.

use super::STATEMENT_WORDS;
use super::depth::Prose;
use super::quotes::{Part, PartTracker};
use crate::diagnostic::Span;

/// One statement's text, before it is parsed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StatementText {
    /// The statement, without the remark behind it.
    pub span: Span,
    /// The remark behind it, without its `#`.
    pub note: Option<Span>,
    /// The `##` lines directly above it.
    pub documentation: Option<Span>,
    /// The rows of a table that follow it (`span` covers them too), each
    /// without its remark.
    pub rows: Vec<Span>,
    /// The remarks inside it, which the parser does not see.
    pub remarks: Vec<Span>,
    /// The line (from 1) it begins on.
    pub line: u32,
    /// Whether a bracket is open at its end.
    pub open: bool,
}

/// Words at the end of a line after which a statement goes on.
const OPEN_WORDS: &[&str] = &["where", "and", "or", "not", "then", "else"];

/// Words at the end of a line after which a table by a rule goes on.
const ROWS_WORDS: &[&str] = &["with", "starting", "unless"];

/// Cuts a text into statements.
///
/// A statement goes on to the next line while a bracket is open or when the line
/// ends in an operator, a comma, `where`, `and`, `or`, `not`, `then` or `else`. An
/// open bracket does not swallow the rest of the notebook: a line that plainly
/// begins another statement ends it.
#[must_use]
pub fn split(text: &str) -> Vec<StatementText> {
    let mut splitter = Splitter {
        text,
        pieces: Vec::new(),
        documentation: None,
    };
    let mut offset = text.len() - text.strip_prefix('\u{feff}').unwrap_or(text).len();
    let mut line = 1_u32;
    while offset < text.len() {
        let (next, lines) = splitter.statement(offset, line);
        line = line.saturating_add(lines);
        offset = next;
    }
    splitter.pieces
}

struct Splitter<'a> {
    text: &'a str,
    pieces: Vec<StatementText>,
    documentation: Option<Span>,
}

/// What is known of one line of a statement.
struct ScannedLine {
    /// End of the content: the start of its remark or of its line end.
    content_end: usize,
    /// The remark, without its `#`.
    note: Option<Span>,
    /// Start of the next line.
    next: usize,
}

impl Splitter<'_> {
    /// Takes one statement (or one line without any) that starts at `offset`;
    /// gives the start of the next line and the number of lines taken.
    fn statement(&mut self, offset: usize, line: u32) -> (usize, u32) {
        let prose = prose(self.line_at(offset));
        let mut depth = 0_i64;
        let mut first = self.scan(offset, prose, &mut depth);
        let content = trimmed(self.text, offset, first.content_end);
        if content.start == content.end {
            self.documentation_line(offset, &first);
            return (first.next, 1);
        }
        let mut lines = 1;
        let mut piece = StatementText {
            span: content,
            note: None,
            documentation: self.documentation.take(),
            rows: Vec::new(),
            remarks: Vec::new(),
            line,
            open: false,
        };
        if prose == Prose::None {
            while first.next < self.text.len() && (depth > 0 || self.goes_on(piece.span)) {
                let below = self.line_at(first.next);
                if depth > 0 && begins_statement(below) || below.trim().is_empty() && depth == 0 {
                    break;
                }
                // One without words is a remark too.
                if self.text[first.content_end..].starts_with('#') {
                    piece.remarks.push(Span::new(first.content_end, first.next));
                }
                let from = first.next;
                first = self.scan(from, Prose::None, &mut depth);
                // A line of its own remark only adds nothing.
                if !self.text[from..first.content_end].trim().is_empty() {
                    piece.span = trimmed(self.text, piece.span.start as usize, first.content_end);
                }
                lines += 1;
            }
            if begins_with_word(
                &self.text[piece.span.start as usize..piece.span.end as usize],
                "table",
            ) {
                lines += self.rows(&mut piece, &mut first);
            }
        }
        piece.note = first.note;
        piece.open = depth > 0;
        self.pieces.push(piece);
        (first.next, lines)
    }

    /// Takes the `|` rows below a `table` statement, with blank lines and remarks
    /// between them; gives the number of lines taken.
    fn rows(&self, piece: &mut StatementText, last: &mut ScannedLine) -> u32 {
        let mut lines = 0;
        let mut seen = 0;
        let mut next = last.next;
        while next < self.text.len() {
            let line = self.line_at(next);
            let content = line.trim_start();
            seen += 1;
            if !content.starts_with('|') {
                let skipped = content.trim().is_empty()
                    || content.starts_with('#') && !content.starts_with("##");
                if !skipped {
                    break;
                }
                next = self.end_of_line(next);
                continue;
            }
            let mut depth = 0;
            let row = self.scan(next, Prose::None, &mut depth);
            let span = trimmed(self.text, next, row.content_end);
            piece.span = piece.span.to(span);
            piece.rows.push(span);
            next = row.next;
            last.next = row.next;
            lines = seen;
        }
        lines
    }

    /// Remembers a `##` line for the statement below; any other line without a
    /// statement forgets them.
    fn documentation_line(&mut self, offset: usize, line: &ScannedLine) {
        let text = &self.text[offset..line.next];
        if !text.trim_start().starts_with("##") {
            self.documentation = None;
            return;
        }
        let span = trimmed(self.text, offset, line.next);
        self.documentation = Some(self.documentation.map_or(span, |above| above.to(span)));
    }

    /// Returns whether the statement's text so far asks for another line.
    fn goes_on(&self, span: Span) -> bool {
        wants_more(&self.text[span.start as usize..span.end as usize])
    }

    fn end_of_line(&self, offset: usize) -> usize {
        self.text[offset..]
            .find('\n')
            .map_or(self.text.len(), |newline| offset + newline + 1)
    }

    fn line_at(&self, offset: usize) -> &str {
        self.text[offset..self.end_of_line(offset)].trim_end_matches(['\n', '\r'])
    }

    /// Scans one line: finds its remark and counts its brackets.
    ///
    /// A `#` directly followed by a digit or inside quotes starts no remark. In a title
    /// and in the words of an op quotes and brackets mean nothing.
    fn scan(&self, offset: usize, prose: Prose, depth: &mut i64) -> ScannedLine {
        let next = self.end_of_line(offset);
        let line = self.line_at(offset);
        let bytes = line.as_bytes();
        let mut parts = PartTracker::of(prose);
        let mut content_end = offset + line.len();
        let mut note = None;
        for (i, byte) in bytes.iter().enumerate() {
            let part = parts.part(*byte, bytes.get(i + 1).copied());
            match byte {
                _ if part == Part::Text => {}
                b'#' if !bytes.get(i + 1).is_some_and(u8::is_ascii_digit) => {
                    content_end = offset + i;
                    note = Some(trimmed(self.text, offset + i + 1, offset + line.len()));
                    break;
                }
                b'(' | b'[' | b'{' if prose == Prose::None => *depth += 1,
                b')' | b']' | b'}' if prose == Prose::None => *depth -= 1,
                _ => {}
            }
        }
        ScannedLine {
            content_end,
            note: note.filter(|note| note.start < note.end),
            next,
        }
    }
}

/// Returns the span from `start` to `end` without blanks at either end.
fn trimmed(text: &str, start: usize, end: usize) -> Span {
    let piece = &text[start..end];
    let left = piece.len() - piece.trim_start().len();
    Span::new(
        start + left,
        (start + piece.trim_end().len()).max(start + left),
    )
}

/// Returns whether a text ends in an operator, a comma or a word that something follows.
pub(super) fn wants_more(text: &str) -> bool {
    let Some(last) = text.chars().last() else {
        return false;
    };
    if matches!(
        last,
        '+' | '-'
            | '−'
            | '*'
            | '·'
            | '×'
            | '/'
            | '^'
            | '='
            | '<'
            | '>'
            | '≤'
            | '≥'
            | '≠'
            | '±'
            | ','
    ) {
        return true;
    }
    let of_rows = if text.contains("rows for ") {
        ROWS_WORDS
    } else {
        &[]
    };
    OPEN_WORDS.iter().chain(of_rows).any(|word| {
        text.strip_suffix(word).is_some_and(|before| {
            before
                .chars()
                .last()
                .is_none_or(|c| !(c.is_alphanumeric() || c == '_' || c == '.'))
        })
    })
}

/// Returns whether a statement is text to its end: a title or an op.
pub fn prose(line: &str) -> Prose {
    let line = line.trim_start();
    if begins_with_word(line, "title") {
        Prose::All
    } else if begins_with_word(line, "op") {
        Prose::Op
    } else {
        Prose::None
    }
}

/// Returns whether `line` begins with a statement word that is used as one: not before
/// `=` or `(`.
pub(super) fn begins_with_word(line: &str, word: &str) -> bool {
    let Some(rest) = line.strip_prefix(word) else {
        return false;
    };
    let after = rest.trim_start();
    let spaced = rest.len() > after.len() || rest.is_empty();
    spaced && (!after.starts_with('=') || after.starts_with("=="))
}

/// Returns whether a line inside an open bracket plainly begins another statement.
fn begins_statement(line: &str) -> bool {
    let indented = line.starts_with([' ', '\t']);
    let content = line.trim();
    if content.starts_with('[') && content.ends_with(']') && !indented {
        return true;
    }
    if STATEMENT_WORDS
        .iter()
        .any(|word| begins_with_word(content, word))
        && !indented
    {
        return true;
    }
    let name_end = content
        .find(|c: char| !(c.is_alphanumeric() || c == '_'))
        .unwrap_or(content.len());
    let (name, rest) = content.split_at(name_end);
    let rest = rest.trim_start();
    !name.is_empty()
        && !name.starts_with(|c: char| c.is_ascii_digit())
        && rest.starts_with('=')
        && !rest.starts_with("==")
        && !indented
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(text: &str) -> Vec<&str> {
        split(text)
            .iter()
            .map(|p| &text[p.span.start as usize..p.span.end as usize])
            .collect()
    }

    #[test]
    fn a_remark_is_no_part_of_what_stands_open_above_it() {
        let pieces = split("[Stock # weight]\n##1\na = 1\n");
        let text = "[Stock # weight]\n##1\na = 1\n";
        let first = pieces[0].span;
        assert_eq!(&text[first.start as usize..first.end as usize], "[Stock");
        assert!(pieces[0].open);
        // Nor is one without words a part of what goes on below it.
        let statement = &crate::syntax::parse_document("a = [1, #\n2]").statements[0];
        assert!(statement.parsed.is_ok(), "{:?}", statement.parsed);
    }

    #[test]
    fn remarks_and_quotes_are_told_apart() {
        let text = "a = 3/8\" # half\nb = drill(\"#7\") # seven\nc = drill(#7)\n\n# alone\nop say \"ok # not\n";
        assert_eq!(
            texts(text),
            [
                "a = 3/8\"",
                "b = drill(\"#7\")",
                "c = drill(#7)",
                "op say \"ok"
            ]
        );
        let piece = &split(text)[1];
        let note = piece.note.unwrap();
        assert_eq!(&text[note.start as usize..note.end as usize], "seven");
        assert_eq!(piece.line, 2);
    }

    #[test]
    fn statements_go_on_while_something_is_open() {
        let text = "a = f(1,\n  2)\nb = 1 +\n 2\nc = x where\n y = 1,\n z = 2\nd = 3\n";
        assert_eq!(
            texts(text),
            [
                "a = f(1,\n  2)",
                "b = 1 +\n 2",
                "c = x where\n y = 1,\n z = 2",
                "d = 3"
            ]
        );
    }

    #[test]
    fn an_open_bracket_swallows_no_other_statement() {
        assert_eq!(texts("a = f(1\nb = 2\n"), ["a = f(1", "b = 2"]);
        assert_eq!(
            texts("a = (1\n[Holes]\nb = 2\n"),
            ["a = (1", "[Holes]", "b = 2"]
        );
    }

    #[test]
    fn rows_belong_to_their_table() {
        let text = "table t\n| a | b |\n\n| 1 | 2 | # first\nc = 3\r\n";
        let pieces = split(text);
        assert_eq!(pieces.len(), 2);
        assert_eq!(pieces[0].rows.len(), 2);
        assert_eq!(pieces[1].line, 5);
        assert_eq!(texts("table = 3\n"), ["table = 3"]);
    }

    #[test]
    fn documentation_stands_directly_above() {
        let text = "## What it is.\n## source: book\nf(x) = x\n\n## lost\n\nb = 1\n";
        let pieces = split(text);
        assert!(pieces[0].documentation.is_some());
        assert!(pieces[1].documentation.is_none());
    }

    #[test]
    fn a_million_empty_lines_are_nothing() {
        assert!(split(&"\n".repeat(1_000_000)).is_empty());
    }
}
