//! Whether a text that is being typed asks for another line.

use super::depth::Prose;
use super::split::{begins_with_word, line_depth, prose, wants_more};
use super::{StatementText, split};

/// Whether the last statement of a text asks for another line: a bracket is open,
/// the line ends in an operator or a comma, rows of a table may follow, or lines
/// of documentation wait for what they document. An empty line ends the waiting.
///
/// # Example
/// ```
/// use setover::internals::syntax::unfinished;
/// assert!(unfinished("wall = (boss -"));
/// assert!(unfinished("table holes\n| hole | x |"));
/// assert!(!unfinished("wall = (boss -\n"));
/// assert!(!unfinished("wall = boss / 2"));
/// ```
#[must_use]
pub fn unfinished(text: &str) -> bool {
    let last_line = text.rsplit('\n').next().unwrap_or(text);
    if last_line.trim().is_empty() {
        return false;
    }
    if last_line.trim_start().starts_with("##") {
        return true;
    }
    let pieces = split(text);
    let Some(piece) = pieces.last() else {
        return false;
    };
    let statement = text.get(piece.span.start as usize..).unwrap_or("");
    if !matches!(prose(statement), Prose::None) {
        return false;
    }
    if begins_with_word(statement, "table") {
        return true;
    }
    depth(text, piece) > 0
        || wants_more(
            text.get(piece.span.start as usize..piece.span.end as usize)
                .unwrap_or(""),
        )
}

/// How many brackets of a statement are open at its end.
fn depth(text: &str, piece: &StatementText) -> i64 {
    let mut depth = 0;
    let mut offset = piece.span.start as usize;
    while offset < text.len() {
        offset = line_depth(text, offset, &mut depth);
    }
    depth
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_open_asks_for_more() {
        for text in [
            "a = f(1,",
            "a = [1, 2",
            "a = 1 +",
            "a = x where",
            "table holes",
            "table holes\n| hole | x |\n| 1 | 2 |",
            "## what it does",
            "b = 2\na = (1",
        ] {
            assert!(unfinished(text), "{text}");
        }
    }

    #[test]
    fn what_is_closed_or_given_up_does_not() {
        for text in [
            "",
            "a = f(1)",
            "op say (this",
            "a = \"(\"",
            "a = (1\n",
            "a = 1 # (",
            "table = 3",
            "a = (1\nb = 2",
        ] {
            assert!(!unfinished(text), "{text}");
        }
    }
}
