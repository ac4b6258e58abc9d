//! From pest's pairs to a `draw` statement.

use pest::iterators::Pair;

use super::build::{Built, argument, expression, name_of, range, span_of, within};
use super::rules::Rule;
use super::{Draw, Name, Range};
use crate::diagnostic::Span;

/// Returns the parts of a `draw` statement; `span` is the whole of it.
///
/// # Errors
/// What can't be read.
pub fn draw<'i>(parts: impl Iterator<Item = Pair<'i, Rule>>, span: Span) -> Built<Draw> {
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
                let subjects = within(part, Rule::expression).map(expression);
                draw.subjects = subjects.collect::<Built<_>>()?;
            }
            Rule::draw_in => {
                let arguments = part.into_inner().map(argument);
                draw.arguments = arguments.collect::<Built<_>>()?;
            }
            Rule::draw_over => {
                for pair in part.into_inner() {
                    match pair.as_rule() {
                        Rule::path => {
                            draw.over = pair.into_inner().map(|name| name_of(&name)).collect();
                        }
                        _ => {
                            if let Range::Steps(steps) = range(pair)? {
                                draw.steps = Some(steps);
                            }
                        }
                    }
                }
            }
            Rule::draw_with => {
                let options = within(part, Rule::picture);
                draw.options = options.map(|words_pair| words(&words_pair)).collect();
            }
            _ => {}
        }
    }
    Ok(draw)
}

/// Returns the words of a picture's name, one blank between them.
fn words(pair: &Pair<Rule>) -> Name {
    let words: Vec<&str> = pair.as_str().split_whitespace().collect();
    Name {
        text: words.join(" ").into(),
        span: span_of(pair),
    }
}
