//! The last answer, and how a statement that uses it is written down.

use crate::language::Value;
use crate::syntax::{Token, TokenKind, lex};

/// The name of the last answer.
pub const ANSWER: &str = "answer";
/// The longest expression that stands for an answer; a longer one is written as its
/// value.
const LONGEST: usize = 400;

/// The last answer.
#[derive(Clone, Debug)]
pub struct Answer {
    /// Its value.
    pub value: Value,
    /// The expression it came from, without the name of an answer in it.
    pub expression: String,
}

/// Returns whether a statement uses the last answer.
#[must_use]
pub fn uses_answer(statement: &str) -> bool {
    !places(statement).is_empty()
}

/// Returns where a statement names the last answer; not where it defines it.
fn places(statement: &str) -> Vec<std::ops::Range<usize>> {
    let tokens = lex(statement);
    let named = |token: &Token| {
        token.kind == TokenKind::Name && statement.get(token.span.clone()) == Some(ANSWER)
    };
    let defines = tokens.first().is_some_and(|first| {
        let rest = statement.get(first.span.end..).unwrap_or("").trim_start();
        named(first) && rest.starts_with('=')
    });
    let mut found: Vec<_> = tokens
        .iter()
        .filter(|token| named(token))
        .map(|token| token.span.clone())
        .collect();
    if defines {
        found.remove(0);
    }
    found
}

impl Answer {
    /// Returns a statement with the answer's expression, or its value, in the place of its
    /// name. `still` says whether the expression still gives the value.
    #[must_use]
    pub fn put_into(&self, statement: &str, still: bool) -> String {
        let mut written = self.expression.clone();
        let long = written.len() > LONGEST || written.matches(['(', '[']).count() > 24;
        if (long || !still)
            && let Value::Quantity(quantity) = &self.value
        {
            let unit = quantity.shown_unit(crate::quantity::System::Metric);
            let symbol = unit.symbol();
            written = format!("{} {symbol}", quantity.in_unit(unit))
                .trim()
                .to_owned();
        }
        let mut text = statement.to_owned();
        for place in places(statement).into_iter().rev() {
            let alone = text.get(..place.start).is_some_and(|before| {
                let before = before.trim_end();
                let after = text.get(place.end..).unwrap_or("").trim_start();
                let defines = before.ends_with('=')
                    && !before.trim_end_matches('=').ends_with(['<', '>', '!']);
                (before.is_empty() || defines) && after.is_empty()
                    || before.ends_with('{') && after.starts_with('}')
            });
            let new = if alone {
                written.clone()
            } else {
                format!("({written})")
            };
            text.replace_range(place, &new);
        }
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Quantity, parse_unit};

    fn answer(expression: &str) -> Answer {
        let value = Quantity::new(2.5, parse_unit("mm").unwrap());
        Answer {
            value: value.into(),
            expression: expression.to_owned(),
        }
    }

    #[test]
    fn the_expression_stands_for_the_answer() {
        let answer = answer("boss / 2");
        for (typed, written) in [
            ("wall = answer", "wall = boss / 2"),
            ("wall = 2 * answer", "wall = 2 * (boss / 2)"),
            ("op Move to {answer}.", "op Move to {boss / 2}."),
            ("check answer > 1 mm", "check (boss / 2) > 1 mm"),
            (
                "a = f(\"answer\", answer.answer)",
                "a = f(\"answer\", (boss / 2).answer)",
            ),
            ("answer = 2 mm", "answer = 2 mm"),
        ] {
            assert_eq!(answer.put_into(typed, true), written);
        }
        assert_eq!(answer.put_into("wall = answer", false), "wall = 2.5 mm");
        assert!(!uses_answer("answers = 2 # answer"));
    }
}
