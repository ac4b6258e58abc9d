//! Diagnostics as a colleague would write them in the margin: the place in words,
//! the line with the spot marked below it, what is wrong, what to write instead.

use unicode_width::UnicodeWidthChar;

use super::{Diagnostic, Severity, Span};

/// The longest piece of a line that is shown, in bytes.
const SHOWN: usize = 160;
/// How many blanks stand for a tab.
const TAB: usize = 4;

/// A named text that diagnostics point into.
#[derive(Clone, Copy, Debug)]
pub struct Source<'a> {
    /// The file's name as the user gave it, or words such as "the expression".
    pub name: &'a str,
    /// The whole text.
    pub text: &'a str,
}

impl Source<'_> {
    /// Returns the line and the column (both from 1, the column in characters) of a byte offset.
    #[must_use]
    pub fn line_and_column(&self, offset: usize) -> (usize, usize) {
        let offset = self.text.floor_char_boundary(offset);
        let before = &self.text[..offset];
        let start = before.rfind('\n').map_or(0, |newline| newline + 1);
        let line = before.bytes().filter(|byte| *byte == b'\n').count() + 1;
        (line, self.text[start..offset].chars().count() + 1)
    }
}

/// Where the lines of a text begin, for many look-ups in one text.
#[derive(Clone, Debug)]
pub struct Lines<'a> {
    text: &'a str,
    starts: Vec<usize>,
}

impl<'a> Lines<'a> {
    /// Returns the lines of a text.
    #[must_use]
    pub fn of(text: &'a str) -> Self {
        let starts = std::iter::once(0)
            .chain(text.match_indices('\n').map(|(newline, _)| newline + 1))
            .collect();
        Self { text, starts }
    }

    /// Returns the line and the column (both from 1, the column in characters) of a byte offset.
    #[must_use]
    pub fn line_and_column(&self, offset: usize) -> (usize, usize) {
        let offset = self.text.floor_char_boundary(offset);
        let line = self.starts.partition_point(|start| *start <= offset);
        let start = self.starts.get(line.wrapping_sub(1)).copied().unwrap_or(0);
        (line, self.text[start..offset].chars().count() + 1)
    }

    /// Returns a diagnostic as [`render`] writes it, without colour.
    #[must_use]
    pub fn render(&self, name: &str, diagnostic: &Diagnostic) -> String {
        let (line, _) = self.line_and_column(diagnostic.span.start as usize);
        let text = self.text;
        written(Source { name, text }, line, diagnostic, false)
    }
}

/// Returns the piece of the line around `span` that is shown, and the span within it.
fn piece(text: &str, span: Span) -> (usize, &str, std::ops::Range<usize>) {
    let start = text.floor_char_boundary(span.start as usize);
    let end = text.ceil_char_boundary(span.end as usize).max(start);
    let line_start = text[..start].rfind('\n').map_or(0, |newline| newline + 1);
    let line_end = text[start..]
        .find('\n')
        .map_or(text.len(), |newline| start + newline);
    let line_end = line_end - usize::from(text[line_start..line_end].ends_with('\r'));
    let line_end = line_end.max(start);
    let end = end.min(line_end);
    let from = if start - line_start > SHOWN / 2 {
        text.ceil_char_boundary(start - SHOWN / 2)
    } else {
        line_start
    };
    let to = if line_end - start > SHOWN {
        text.floor_char_boundary(start + SHOWN)
    } else {
        line_end
    };
    let shown = &text[from..to.max(from)];
    (
        from,
        shown,
        (start - from).min(shown.len())..(end.min(to.max(from)).max(start) - from).min(shown.len()),
    )
}

/// Returns one diagnostic as text, with colour where `colour` is set:
///
/// ```text
/// lever.job, line 2
///     b = brdth + 2 mm
///         ~~~~~ not defined
///   unknown name `brdth`
///   did you mean `breadth`?
/// ```
///
/// A text of a single line has its name only. Of a long line a readable piece is
/// shown, so a line of ten megabytes costs no more than a short one.
#[must_use]
pub fn render(source: Source<'_>, diagnostic: &Diagnostic, colour: bool) -> String {
    let (line, _) = source.line_and_column(diagnostic.span.start as usize);
    written(source, line, diagnostic, colour)
}

fn written(source: Source<'_>, line: usize, diagnostic: &Diagnostic, colour: bool) -> String {
    let (from, shown, range) = piece(source.text, diagnostic.span);
    let before = spread(&shown[..range.start]);
    let marked = spread(&shown[range.clone()]);
    let after = spread(&shown[range.end..]);
    let cut = if source.text[..from].ends_with('\n') || from == 0 {
        ""
    } else {
        "… "
    };
    let more = source
        .text
        .get(from + shown.len()..)
        .is_some_and(|rest| !rest.is_empty() && !rest.starts_with(['\n', '\r']));
    let (strong, mark, plain) = match (colour, diagnostic.severity) {
        (false, _) => ("", "", ""),
        (true, Severity::Error) => ("\u{1b}[1m", "\u{1b}[31;1m", "\u{1b}[0m"),
        (true, Severity::Warning) => ("\u{1b}[1m", "\u{1b}[33;1m", "\u{1b}[0m"),
    };
    let mut text = clean(source.name);
    if source.text.contains('\n') {
        text += &format!(", line {line}");
    }
    if diagnostic.severity == Severity::Warning {
        text += " (a warning)";
    }
    let whole = format!(
        "{cut}{before}{marked}{after}{}",
        if more { " …" } else { "" }
    );
    text += &format!("\n    {}\n", whole.trim_end());
    let blanks = " ".repeat(4 + width(cut) + width(&before));
    let waves = "~".repeat(width(&marked).max(1));
    let label = if diagnostic.label.is_empty() {
        String::new()
    } else {
        format!(" {}", clean(&diagnostic.label))
    };
    text += &format!("{blanks}{mark}{waves}{label}{plain}\n");
    text += &format!("  {strong}{}{plain}", indented(&diagnostic.message));
    for words in diagnostic.trail.iter().chain(&diagnostic.advice) {
        text += &format!("\n  {}", indented(words));
    }
    text
}

/// Returns a diagnostic that has no place, as text: what is wrong, and below it what
/// to write instead.
#[must_use]
pub fn in_words(diagnostic: &Diagnostic) -> String {
    let mut text = clean(&diagnostic.message);
    if diagnostic.severity == Severity::Warning {
        text += " (a warning)";
    }
    for words in diagnostic.trail.iter().chain(&diagnostic.advice) {
        text += &format!("\n  {}", indented(words));
    }
    text
}

/// Returns how many columns of a terminal a text takes.
fn width(text: &str) -> usize {
    text.chars().map(|c| c.width().unwrap_or(0)).sum()
}

/// Returns a piece of a line as it is shown: tabs as blanks, control characters visible.
fn spread(text: &str) -> String {
    clean(text).replace('\t', &" ".repeat(TAB))
}

/// Returns words of several lines, the later ones in line with the first.
fn indented(words: &str) -> String {
    clean(words).replace('\n', "\n  ")
}

/// Returns a text as it may be shown in a terminal; line ends stay.
fn clean(text: &str) -> String {
    let seen = |c: char| if c == '\n' { c } else { visible(c) };
    text.chars().map(seen).collect()
}

/// Returns a character as it may be shown in a terminal: a sign in the place of a
/// control character, which could move the cursor or hide words, and of a mark that
/// turns the direction of writing.
#[must_use]
pub fn visible(c: char) -> char {
    match c {
        '\t' => c,
        '\0'..='\u{1f}' => char::from_u32(0x2400 + u32::from(c)).unwrap_or('\u{fffd}'),
        '\u{7f}' => '\u{2421}',
        _ if turns(c) || c.is_control() => '\u{fffd}',
        _ => c,
    }
}

/// Returns whether a character turns the direction of writing, or breaks a line in
/// some terminals (Unicode Standard Annex 9, section 2; U+2028 and U+2029).
#[must_use]
pub const fn turns(c: char) -> bool {
    matches!(c, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, span: std::ops::Range<usize>, expected: &str) {
        let diagnostic = Diagnostic::error("unknown name `brdth`", Span::new(span.start, span.end))
            .label("not defined")
            .advise("did you mean `breadth`?");
        let shown = render(
            Source {
                name: "part.job",
                text,
            },
            &diagnostic,
            false,
        );
        assert_eq!(
            shown,
            expected.trim_start_matches('\n').trim_end(),
            "\n{shown}"
        );
    }

    #[test]
    fn the_line_is_shown_with_the_place_marked() {
        check(
            "a = 1 mm\nb = brdth ± 2°\nc = 3\n",
            13..18,
            "
part.job, line 2
    b = brdth ± 2°
        ~~~~~ not defined
  unknown name `brdth`
  did you mean `breadth`?",
        );
        // Tabs and characters two columns wide keep the mark below its place.
        check(
            "\tb = \"螺\" + brdth",
            13..18,
            "
part.job
        b = \"螺\" + brdth
                   ~~~~~ not defined
  unknown name `brdth`
  did you mean `breadth`?",
        );
        // A place at the end of the line, and one that goes on over its end.
        check(
            "b =\r\nc = 1",
            3..9,
            "
part.job, line 1
    b =
       ~ not defined
  unknown name `brdth`
  did you mean `breadth`?",
        );
    }

    #[test]
    fn lines_looked_up_are_lines_counted() {
        let text = "a\n\n±b = 1\r\n°\n";
        let lines = Lines::of(text);
        for offset in 0..=text.len() + 2 {
            assert_eq!(
                lines.line_and_column(offset),
                Source { name: "x", text }.line_and_column(offset),
                "{offset}"
            );
        }
    }

    #[test]
    fn spans_past_the_end_or_inside_a_sign_are_clamped() {
        let diagnostic = Diagnostic::error("wrong", Span::new(1, 9_999));
        for text in ["", "±", "µ\u{0}°\r\n", "\t±±±"] {
            for start in 0..6 {
                let diagnostic = Diagnostic {
                    span: Span::new(start, start + 1),
                    ..diagnostic.clone()
                };
                assert!(render(Source { name: "x", text }, &diagnostic, false).contains("wrong"));
            }
            assert!(render(Source { name: "x", text }, &diagnostic, false).contains("wrong"));
        }
    }

    #[test]
    fn a_line_of_ten_megabytes_is_cut() {
        let text = "9".repeat(10_000_000);
        let diagnostic = Diagnostic::error("too long", Span::new(5_000_000, 5_000_001));
        assert!(
            render(
                Source {
                    name: "x",
                    text: &text
                },
                &diagnostic,
                false
            )
            .len()
                < 1_000
        );
    }

    #[test]
    fn control_characters_in_a_message_are_not_shown() {
        let text = "c1 = 20 \u{9a}";
        let diagnostic = Diagnostic::error("`\u{9a}` is nothing", Span::new(8, 10))
            .label("here\u{1b}[2J")
            .advise("take \u{7f} out");
        let source = Source {
            name: "part.job",
            text,
        };
        let shown = render(source, &diagnostic, false);
        assert!(
            !shown.contains(|c: char| c.is_control() && c != '\n'),
            "{shown:?}"
        );
    }
}
