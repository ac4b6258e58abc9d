//! Building numbers, units and tolerances.

use pest::iterators::Pair;

use super::build::{Built, span_of, strange};
use super::rules::Rule;
use super::{Number, Tolerance};
use crate::diagnostic::{Diagnostic, Span};
use crate::quantity::{Unit, parse_unit};

pub fn unit(text: &str, span: Span) -> Built<Unit> {
    let unit = parse_unit(text).map_err(|fault| {
        let mut diagnostic = Diagnostic::at(fault, span);
        if diagnostic.message.contains("is not a unit") {
            diagnostic.advice = unit_advice(text, diagnostic.advice.take());
        }
        diagnostic
    })?;
    if unit == Unit::NONE {
        let message = format!("nothing is left of the unit `{text}`");
        return Err(Diagnostic::error(message, span).advise("leave it out"));
    }
    Ok(unit)
}

/// What may have been meant by what is no unit; `near` names the units near it.
fn unit_advice(text: &str, near: Option<String>) -> Option<String> {
    if text.contains(['*', '/', '·']) {
        let spread = text.replace(['*', '·'], " * ").replace('/', " / ");
        let near = near.map_or(String::new(), |near| format!("{near} "));
        return Some(format!("{near}for arithmetic leave spaces: `{spread}`"));
    }
    let letters = text.trim_end_matches(|c: char| c.is_ascii_digit());
    if (1..=2).contains(&letters.len()) && letters.len() < text.len() && text.len() <= 4 {
        return Some(format!(
            "a class follows the unit of its size, such as `12 mm {text}`"
        ));
    }
    near.or_else(|| Some("a unit follows its number; to multiply write `*`".to_owned()))
}

/// The number and unit of a `literal` pair.
pub fn literal_parts(pair: Pair<Rule>) -> Built<(Number, Unit)> {
    let span = span_of(&pair);
    let mut number = None;
    let mut shown = Unit::NONE;
    for inner in pair.into_inner() {
        let place = span_of(&inner);
        match inner.as_rule() {
            Rule::number => number = Some(Number::Decimal(decimal(&inner)?)),
            Rule::unit => shown = unit(inner.as_str(), place)?,
            Rule::inch_fraction => {
                let (fraction, unit) = inch_fraction(inner)?;
                (number, shown) = (Some(fraction), unit);
            }
            Rule::degrees => {
                let whole = number.map_or(0.0, Number::value);
                number = Some(degrees(inner, whole)?);
                shown = unit("deg", place)?;
            }
            _ => return Err(strange(place)),
        }
    }
    number
        .map(|number| (number, shown))
        .ok_or_else(|| strange(span))
}

fn decimal(pair: &Pair<Rule>) -> Built<f64> {
    match pair.as_str().parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(value),
        _ => Err(Diagnostic::error("this number is too large", span_of(pair))),
    }
}

fn inch_fraction(pair: Pair<Rule>) -> Built<(Number, Unit)> {
    let span = span_of(&pair);
    let mut wholes = Vec::new();
    let mut shown = Unit::NONE;
    for inner in pair.into_inner() {
        let place = span_of(&inner);
        match inner.as_rule() {
            Rule::whole => wholes.push(
                inner
                    .as_str()
                    .parse::<u32>()
                    .map_err(|_| Diagnostic::error("this number is too large", place))?,
            ),
            _ => shown = unit(inner.as_str(), place)?,
        }
    }
    let number = match wholes.as_slice() {
        [_, 0] | [_, _, 0] => return Err(Diagnostic::error("a fraction can't have 0 below", span)),
        [above, below] => Number::Fraction(0, *above, *below),
        [whole, above, below] => Number::Fraction(*whole, *above, *below),
        _ => return Err(strange(span)),
    };
    Ok((number, shown))
}

/// The degrees sign with the minutes and seconds behind it.
fn degrees(pair: Pair<Rule>, whole: f64) -> Built<Number> {
    let span = span_of(&pair);
    let mut parts = (whole, None, None);
    for inner in pair.into_inner() {
        let minutes = inner.as_rule() == Rule::minutes;
        let Some(number) = inner.into_inner().next() else {
            return Err(strange(span));
        };
        let value = decimal(&number)?;
        if value >= 60.0 {
            let message = format!("{value} minutes or seconds: 60 make the next whole");
            return Err(Diagnostic::error(message, span_of(&number)));
        }
        let part = if minutes { &mut parts.1 } else { &mut parts.2 };
        *part = Some(value);
    }
    Ok(match parts {
        (degrees, None, None) => Number::Decimal(degrees),
        (degrees, minutes, seconds) => {
            Number::Degrees(degrees, minutes.unwrap_or(0.0), seconds.unwrap_or(0.0))
        }
    })
}

pub fn tolerance(pair: Pair<Rule>) -> Built<Tolerance> {
    let span = span_of(&pair);
    for inner in pair.into_inner() {
        match inner.as_rule() {
            Rule::plus_minus => {}
            Rule::class => return Ok(Tolerance::Class(inner.as_str().into())),
            Rule::deviation => {
                let (number, unit) = deviation(inner)?;
                return Ok(Tolerance::PlusMinus(number, unit));
            }
            Rule::deviations => {
                let signed: Vec<(f64, Option<Unit>)> =
                    inner.into_inner().map(signed).collect::<Built<_>>()?;
                let [a, b] = signed.as_slice() else {
                    return Err(strange(span));
                };
                return Ok(Tolerance::Deviations(*a, *b));
            }
            _ => return Err(strange(span)),
        }
    }
    Err(strange(span))
}

fn signed(pair: Pair<Rule>) -> Built<(f64, Option<Unit>)> {
    let span = span_of(&pair);
    let mut sign = 1.0;
    for inner in pair.into_inner() {
        match inner.as_rule() {
            Rule::plus => {}
            Rule::minus => sign = -1.0,
            _ => {
                let (number, unit) = deviation(inner)?;
                return Ok((sign * number.value(), unit));
            }
        }
    }
    Err(strange(span))
}

fn deviation(pair: Pair<Rule>) -> Built<(Number, Option<Unit>)> {
    let (number, unit) = literal_parts(pair)?;
    Ok((number, (unit != Unit::NONE).then_some(unit)))
}
