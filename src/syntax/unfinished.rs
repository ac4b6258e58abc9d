//! Whether a text that is being typed asks for another line.

use super::depth::Prose;
use super::split;
use super::split::{begins_with_word, prose, wants_more};

/// Returns whether the last statement of a text asks for another line: a bracket is open,
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
    let (start, end) = (piece.span.start as usize, piece.span.end as usize);
    let statement = text.get(start..end).unwrap_or("");
    prose(statement) == Prose::None
        && (piece.open || begins_with_word(statement, "table") || wants_more(statement))
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
