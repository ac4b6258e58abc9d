//! From pest's pairs to operations: operators by their strength.

use pest::iterators::Pair;

use super::build::{Built, ROW, operand, span_of, strange};
use super::depth::Deeper;
use super::operators::{NOT_STRENGTH, SIGN_STRENGTH};
use super::rules::Rule;
use super::{Expression, Kind, Number, Operator};
use crate::diagnostic::{Diagnostic, Span};

/// What stands in an operation.
enum Token {
    Sign(Span, bool),
    Not(Span),
    Operator(Operator),
    Operand(Expression),
}

/// Returns an `operation` or a `sum` pair.
pub fn operation(pair: Pair<Rule>) -> Built<Expression> {
    let span = span_of(&pair);
    let text = pair.as_str();
    let mut items: Vec<Token> = Vec::new();
    let mut signs = 0;
    let mut powers = 0;
    for inner in pair.into_inner() {
        let place = span_of(&inner);
        match inner.as_rule() {
            Rule::operand => {
                signs = 0;
                items.push(Token::Operand(operand(inner)?));
            }
            Rule::sign => {
                signs += 1;
                items.push(Token::Sign(place, inner.as_str() != "+"));
            }
            Rule::w_not => {
                signs += 1;
                items.push(Token::Not(place));
            }
            Rule::operator | Rule::arithmetic => {
                let operator = Operator::of(inner.as_str()).ok_or_else(|| strange(place))?;
                powers = match operator {
                    Operator::Power => powers + 1,
                    _ if operator.strength() < SIGN_STRENGTH => 0,
                    _ => powers,
                };
                items.push(Token::Operator(operator));
            }
            _ => return Err(strange(place)),
        }
        if signs > ROW || powers > ROW {
            return Err(Diagnostic::error(
                format!("more than {ROW} signs or powers in a row"),
                place,
            ));
        }
    }
    one_reading(&items, text, span.start as usize)?;
    let mut items = items.into_iter().peekable();
    climb(&mut items, 0, span)
}

type Tokens = std::iter::Peekable<std::vec::IntoIter<Token>>;

/// Takes what binds at least as strongly as `least`.
fn climb(items: &mut Tokens, least: u8, whole: Span) -> Built<Expression> {
    let mut left = match items.next() {
        Some(Token::Operand(operand)) => operand,
        Some(Token::Sign(place, minus)) => {
            let _deeper = Deeper::enter(1, place)?;
            let value = climb(items, SIGN_STRENGTH, whole)?;
            let span = place.to(value.span);
            if minus {
                negated(value, span)
            } else {
                Expression { span, ..value }
            }
        }
        Some(Token::Not(place)) => {
            let _deeper = Deeper::enter(1, place)?;
            let value = climb(items, NOT_STRENGTH, whole)?;
            let span = place.to(value.span);
            Expression {
                kind: Kind::Not(Box::new(value)),
                span,
            }
        }
        _ => return Err(strange(whole)),
    };
    // The strength of the chain that `left` is, while it may still grow.
    let mut growing = None;
    while let Some(Token::Operator(operator)) = items.peek() {
        let operator = *operator;
        let strength = operator.strength();
        if strength < least {
            break;
        }
        items.next();
        if operator == Operator::Power {
            let _deeper = Deeper::enter(1, whole)?;
            let right = climb(items, SIGN_STRENGTH, whole)?;
            let span = left.span.to(right.span);
            left = Expression {
                kind: Kind::Chain(Box::new(left), vec![(operator, right)]),
                span,
            };
            growing = None;
            continue;
        }
        let right = climb(items, strength + 1, whole)?;
        let span = left.span.to(right.span);
        match &mut left.kind {
            Kind::Chain(_, links) if growing == Some(strength) => {
                links.push((operator, right));
                left.span = span;
            }
            _ => {
                left = Expression {
                    kind: Kind::Chain(Box::new(left), vec![(operator, right)]),
                    span,
                };
                growing = Some(strength);
            }
        }
    }
    Ok(left)
}

/// Returns a value with a minus before it. The limits of a size stand on the value with its
/// sign: `-3 mm (+0.1/0)` goes from -3 to -2.9.
fn negated(value: Expression, span: Span) -> Expression {
    let kind = match value.kind {
        Kind::Size(size, tolerance) => {
            let span = Span {
                end: size.span.end,
                ..span
            };
            let kind = Kind::Negate(size);
            Kind::Size(Box::new(Expression { kind, span }), tolerance)
        }
        kind => Kind::Negate(Box::new(Expression {
            kind,
            span: value.span,
        })),
    };
    Expression { kind, span }
}

/// Refuses a fraction with a unit to the right of `/` or `^`: it reads two ways.
fn one_reading(items: &[Token], text: &str, start: usize) -> Built<()> {
    for (index, pair) in items.windows(2).enumerate() {
        let [Token::Operator(operator), Token::Operand(right)] = pair else {
            continue;
        };
        let Kind::Quantity(Number::Fraction(whole, above, below), unit) = &right.kind else {
            continue;
        };
        let piece = |from: usize, to: usize| text.get(from - start..to - start).unwrap_or("");
        let (from, to) = (right.span.start as usize, right.span.end as usize);
        let written = piece(from, to).trim();
        let hyphen = *whole != 0 && written.contains('-');
        let joined = match operator {
            Operator::Power => true,
            Operator::Over => *whole == 0 || hyphen,
            Operator::Times => hyphen,
            _ => false,
        };
        if !joined {
            continue;
        }
        let before = items.get(..index).unwrap_or(&[]);
        let first = before.iter().rev().find_map(|item| match item {
            Token::Operand(left) => Some(left.span.start as usize),
            _ => None,
        });
        let sign = operator.symbol();
        let left = piece(first.unwrap_or(from), from).trim_end();
        let left = left.trim_end_matches(['/', '^', '*', '·', '×']).trim_end();
        let symbol = &unit.symbol();
        let forms = if hyphen {
            let rest = written.split_once('-').map_or("", |(_, rest)| rest);
            (
                format!("{left} {sign} ({written})"),
                format!("({left} {sign} {whole}) - {rest}"),
            )
        } else if *operator == Operator::Power {
            (
                format!("{left}^{above} / ({below} {symbol})"),
                format!("({left}^{above} / {below}) * 1 {symbol}"),
            )
        } else {
            (
                format!("{left} / ({written})"),
                format!("{left} / {above} / ({below} {symbol})"),
            )
        };
        let message = format!("`{written}` after `{sign}` can be read in two ways");
        return Err(Diagnostic::error(message, right.span)
            .advise(format!("write `{}` or `{}`", forms.0, forms.1)));
    }
    Ok(())
}
