//! Bounds on a statement: on its text before the parser runs, on its tree while
//! that is built.
//!
//! pest guards its own stack, but the tree builder, the evaluator and the dropping
//! of a tree recurse too; so what nests is bounded here, with a place. The check of
//! the text is the cheap one; the text alone does not always tell a quote from an
//! inch mark, so [`Deeper`] counts again where the tree grows.

use std::cell::Cell;

use super::quotes::{Part, PartTracker};
use crate::diagnostic::{Diagnostic, Span};

/// The deepest nesting of brackets.
pub const NESTING: usize = 64;
/// The most `if` and `find` in one statement, which nest without brackets.
pub const WORDS: usize = 64;
/// The longest statement, in bytes.
pub const LENGTH: usize = 65_536;

/// The deepest nesting of everything that nests: brackets, signs, powers, `if`,
/// `find`, and the fields and indexes of one value.
pub const TREE: usize = 100;

thread_local! {
    static DEPTH: Cell<usize> = const { Cell::new(0) };
}

/// One step (or several) deeper into the tree that is being built; leaves it again
/// when it is dropped.
pub struct Deeper(usize);

impl Deeper {
    /// Goes `steps` deeper.
    ///
    /// # Errors
    /// When that is too deep.
    pub fn enter(steps: usize, span: Span) -> Result<Self, Diagnostic> {
        let depth = DEPTH.get() + steps;
        if depth > TREE {
            let message = format!("this nests more than {TREE} deep");
            return Err(Diagnostic::error(message, span).advise("split it into cells of its own"));
        }
        DEPTH.set(depth);
        Ok(Self(steps))
    }
}

impl Drop for Deeper {
    fn drop(&mut self) {
        DEPTH.set(DEPTH.get().saturating_sub(self.0));
    }
}

/// What of a statement's text is formula.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Prose {
    /// All of it.
    None,
    /// What stands in braces: an op.
    Op,
    /// Nothing: a title.
    All,
}

/// Checks one statement's text.
///
/// # Errors
/// The place where it is too long or nests too deep.
pub fn check(text: &str, prose: Prose) -> Result<(), Diagnostic> {
    if text.len() > LENGTH {
        let message = format!(
            "this statement is {} characters long; the limit is {LENGTH}",
            text.len()
        );
        return Err(
            Diagnostic::error(message, Span::new(0, 1)).advise("split it into cells of its own")
        );
    }
    let too_deep = |message, start, end| {
        Diagnostic::error(message, Span::new(start, end)).advise("split it into cells of its own")
    };
    let mut parts = PartTracker::of(prose);
    let mut open = 0_usize;
    let mut words = 0;
    let mut word_start = None;
    let bytes = text.as_bytes();
    for (i, byte) in text.bytes().enumerate() {
        if parts.part(byte, bytes.get(i + 1).copied()) != Part::Formula {
            word_start = None;
            continue;
        }
        if byte.is_ascii_alphabetic() {
            word_start.get_or_insert(i);
            continue;
        }
        if let Some(start) = word_start.take()
            && matches!(text.get(start..i), Some("if" | "find"))
        {
            words += 1;
            if words > WORDS {
                let message = format!("more than {WORDS} `if` or `find` in one statement");
                return Err(too_deep(message, start, i));
            }
        }
        match byte {
            b'(' | b'[' | b'{' => {
                open += 1;
                if open > NESTING {
                    let message = format!("brackets nest more than {NESTING} deep");
                    return Err(too_deep(message, i, i + 1));
                }
            }
            b')' | b']' | b'}' => open = open.saturating_sub(1),
            _ => {}
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Texts that hid their brackets from a check that took an inch mark, a doubled
    /// backslash or a quoted bracket for something else.
    #[test]
    fn quotes_hide_no_brackets() {
        let deep = "(".repeat(100);
        for text in [
            format!(r#"a = "\\" + {deep}"#),
            format!("a = 2°51'27 \" + {deep}"),
            format!("a = 5 \" + {deep}"),
            format!("op_a = {}", r#"f(")", "#.repeat(100)),
            format!("op Turn to {{{}", r#"f(")", "#.repeat(100)),
        ] {
            let prose = if text.starts_with("op ") {
                Prose::Op
            } else {
                Prose::None
            };
            let wrong = check(&text, prose).unwrap_err();
            assert!(wrong.message.contains("brackets nest"), "{text}");
        }
        assert!(check(&format!("op See {deep}"), Prose::Op).is_ok());
    }

    #[test]
    fn bounds_are_named_with_their_place() {
        let deep = format!("a = {}", "(".repeat(10_000));
        assert_eq!(
            check(&deep, Prose::None).unwrap_err().span,
            Span::new(68, 69)
        );
        assert!(
            check(&"if ".repeat(1000), Prose::None)
                .unwrap_err()
                .message
                .contains("`if`")
        );
        assert!(
            check(&"1+".repeat(100_000), Prose::None)
                .unwrap_err()
                .message
                .contains("limit")
        );
        assert!(check("a = f(\"((((\")", Prose::None).is_ok());
    }
}
