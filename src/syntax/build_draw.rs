//! From pest's pairs to a `draw` statement.

use pest::iterators::Pair;

use super::build::{argument, expression, name_of, span_of, strange};
use super::build_operation::operation;
use super::rules::Rule;
use super::{Draw, Expression, Name};
use crate::diagnostic::{Diagnostic, Span};

/// Returns the parts of a `draw` statement; `span` is the whole of it.
///
/// # Errors
/// What can't be read.
pub fn draw<'i>(
    parts: impl Iterator<Item = Pair<'i, Rule>>,
    span: Span,
) -> Result<Draw, Diagnostic> {
    let mut draw = Draw {
        picture: Name {
            text: "".into(),
            span,
        },
        subjects: Vec::new(),
        arguments: Vec::new(),
        over: Vec::new(),
        steps: None,
        options: Vec::new(),
    };
    for part in parts {
        match part.as_rule() {
            Rule::picture => draw.picture = words(&part),
            Rule::draw_of => {
                for pair in part.into_inner() {
                    if pair.as_rule() == Rule::expression {
                        draw.subjects.push(expression(pair)?);
                    }
                }
            }
            Rule::draw_in => {
                for pair in part.into_inner() {
                    draw.arguments.push(argument(pair)?);
                }
            }
            Rule::draw_over => {
                for pair in part.into_inner() {
                    match pair.as_rule() {
                        Rule::path => {
                            draw.over = pair.into_inner().map(|name| name_of(&name)).collect();
                        }
                        Rule::vary_steps => draw.steps = Some(Box::new(steps(pair)?)),
                        _ => {}
                    }
                }
            }
            Rule::draw_with => {
                for pair in part.into_inner() {
                    if pair.as_rule() == Rule::picture {
                        draw.options.push(words(&pair));
                    }
                }
            }
            _ => {}
        }
    }
    Ok(draw)
}

/// `from a to b by c`
fn steps(pair: Pair<Rule>) -> Result<[Expression; 3], Diagnostic> {
    let span = span_of(&pair);
    let sums = pair
        .into_inner()
        .filter(|pair| pair.as_rule() == Rule::sum)
        .map(operation);
    let sums: Vec<Expression> = sums.collect::<Result<_, _>>()?;
    sums.try_into().map_err(|_| strange(span))
}

/// Returns the words of a picture's name, one blank between them.
fn words(pair: &Pair<Rule>) -> Name {
    let words: Vec<&str> = pair.as_str().split_whitespace().collect();
    Name {
        text: words.join(" ").into(),
        span: span_of(pair),
    }
}
