//! Diagnostics as a person reads them: file, line, column, the line with the
//! place marked, what is wrong, what to write instead.

use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};

use super::{Diagnostic, Severity, Span};

/// The longest piece of a line that is shown, in bytes.
const SHOWN: usize = 160;

/// A named text that diagnostics point into.
#[derive(Clone, Copy, Debug)]
pub struct Source<'a> {
    /// The file's name as the user gave it, or words such as "the expression".
    pub name: &'a str,
    /// The whole text.
    pub text: &'a str,
}

impl Source<'_> {
    /// Line and column (both from 1, the column in characters) of a byte offset.
    #[must_use]
    pub fn line_and_column(&self, offset: usize) -> (usize, usize) {
        let offset = floor(self.text, offset);
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
    /// The lines of a text.
    #[must_use]
    pub fn of(text: &'a str) -> Self {
        let starts = std::iter::once(0)
            .chain(text.match_indices('\n').map(|(newline, _)| newline + 1))
            .collect();
        Self { text, starts }
    }

    /// Line and column (both from 1, the column in characters) of a byte offset.
    #[must_use]
    pub fn line_and_column(&self, offset: usize) -> (usize, usize) {
        let offset = floor(self.text, offset);
        let line = self.starts.partition_point(|start| *start <= offset);
        let start = self.starts.get(line.wrapping_sub(1)).copied().unwrap_or(0);
        (line, self.text[start..offset].chars().count() + 1)
    }
}

/// The nearest character boundary at or below `offset`.
fn floor(text: &str, offset: usize) -> usize {
    let mut offset = offset.min(text.len());
    while !text.is_char_boundary(offset) {
        offset -= 1;
    }
    offset
}

/// The nearest character boundary at or above `offset`.
fn ceil(text: &str, offset: usize) -> usize {
    let mut offset = offset.min(text.len());
    while !text.is_char_boundary(offset) {
        offset += 1;
    }
    offset
}

/// The piece of the line around `span` that is shown, and the span within it.
fn piece(text: &str, span: Span) -> (usize, &str, std::ops::Range<usize>) {
    let start = floor(text, span.start as usize);
    let end = ceil(text, span.end as usize).max(start);
    let line_start = text[..start].rfind('\n').map_or(0, |newline| newline + 1);
    let line_end = text[start..]
        .find('\n')
        .map_or(text.len(), |newline| start + newline);
    let line_end = line_end - usize::from(text[line_start..line_end].ends_with('\r'));
    let line_end = line_end.max(start);
    let end = end.min(line_end);
    let from = if start - line_start > SHOWN / 2 {
        ceil(text, start - SHOWN / 2)
    } else {
        line_start
    };
    let to = if line_end - start > SHOWN {
        floor(text, start + SHOWN)
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

/// Writes one diagnostic as text, with colour where `colour` is set.
///
/// Only the marked line is given to the renderer, cut to a readable piece, so a
/// line of ten megabytes costs no more than a short one.
#[must_use]
pub fn render(source: Source<'_>, diagnostic: &Diagnostic, colour: bool) -> String {
    let (line, column) = source.line_and_column(diagnostic.span.start as usize);
    let (from, shown, range) = piece(source.text, diagnostic.span);
    let (_, first_column) = source.line_and_column(from);
    // Control characters (a NUL, an escape) would reach the terminal as they are.
    let clear = clean(shown);
    let before: usize = shown[..range.start]
        .chars()
        .map(|c| visible(c).len_utf8())
        .sum();
    let marked: usize = shown[range.clone()]
        .chars()
        .map(|c| visible(c).len_utf8())
        .sum();
    let level = match diagnostic.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
    };
    let name = if first_column > 1 {
        format!("{} (line {line}, column {column})", source.name)
    } else {
        source.name.to_owned()
    };
    let mut annotation = AnnotationKind::Primary.span(before..before + marked);
    if !diagnostic.label.is_empty() {
        annotation = annotation.label(clean(&diagnostic.label));
    }
    let snippet = Snippet::source(clear)
        .line_start(line)
        .path(name)
        .annotation(annotation);
    let mut group = level
        .primary_title(clean(&diagnostic.message))
        .element(snippet);
    for call in &diagnostic.trail {
        group = group.element(Level::NOTE.message(clean(call)));
    }
    if let Some(advice) = &diagnostic.advice {
        group = group.element(Level::HELP.message(clean(advice)));
    }
    let renderer = if colour {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    renderer.render(&[group])
}

/// A text as it may be shown in a terminal; line ends stay.
fn clean(text: &str) -> String {
    let seen = |c: char| if c == '\n' { c } else { visible(c) };
    text.chars().map(seen).collect()
}

/// A character as it may be shown in a terminal.
fn visible(c: char) -> char {
    if c.is_control() && c != '\t' {
        '\u{fffd}'
    } else {
        c
    }
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
error: unknown name `brdth`
 --> part.job:2:5
  |
2 | b = brdth ± 2°
  |     ^^^^^ not defined
  |
  = help: did you mean `breadth`?",
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
