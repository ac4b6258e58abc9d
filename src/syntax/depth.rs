//! Bounds on a statement, checked before the parser runs.
//!
//! pest guards its own stack, but the tree builder, the evaluator and the dropping
//! of a tree recurse too; so what nests is bounded here, with a place.

use crate::diagnostic::{Diagnostic, Span};

/// The deepest nesting of brackets.
pub const NESTING: usize = 64;
/// The most `if` and `find` in one statement, which nest without brackets.
pub const WORDS: usize = 64;
/// The longest statement, in bytes.
pub const LENGTH: usize = 65_536;

/// Checks one statement's text.
///
/// # Errors
/// The place where it is too long or nests too deep.
pub fn check(text: &str, prose: bool) -> Result<(), Diagnostic> {
    if text.len() > LENGTH {
        let message = format!(
            "this statement is {} characters long; the limit is {LENGTH}",
            text.len()
        );
        return Err(
            Diagnostic::error(message, Span::new(0, 1)).advise("split it into cells of its own")
        );
    }
    let mut open: Vec<usize> = Vec::new();
    let mut in_text = false;
    let mut words = 0;
    let mut word_start = None;
    let bytes = text.as_bytes();
    for (i, byte) in bytes.iter().enumerate() {
        if byte.is_ascii_alphabetic() {
            word_start.get_or_insert(i);
            continue;
        }
        if let Some(start) = word_start.take()
            && !in_text
            && matches!(&bytes[start..i], b"if" | b"find")
        {
            words += 1;
            if words > WORDS {
                let message = format!("more than {WORDS} `if` or `find` in one statement");
                return Err(Diagnostic::error(message, Span::new(start, i))
                    .advise("split it into cells of its own"));
            }
        }
        match byte {
            b'"' if in_text => in_text = i > 0 && bytes[i - 1] == b'\\',
            b'"' if !prose => in_text = !(i > 0 && bytes[i - 1].is_ascii_digit()),
            b'(' | b'[' | b'{' if !in_text => {
                open.push(i);
                if open.len() > NESTING {
                    let message = format!("brackets nest more than {NESTING} deep");
                    return Err(Diagnostic::error(message, Span::new(i, i + 1))
                        .advise("split it into cells of its own"));
                }
            }
            b')' | b']' | b'}' if !in_text => {
                open.pop();
            }
            _ => {}
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bounds_are_named_with_their_place() {
        let deep = format!("a = {}", "(".repeat(10_000));
        assert_eq!(check(&deep, false).unwrap_err().span, Span::new(68, 69));
        assert!(
            check(&"if ".repeat(1000), false)
                .unwrap_err()
                .message
                .contains("`if`")
        );
        assert!(
            check(&"1+".repeat(100_000), false)
                .unwrap_err()
                .message
                .contains("limit")
        );
        assert!(check("a = f(\"((((\")", false).is_ok());
    }
}
