//! Building numbers, units and tolerances.

use pest::iterators::Pair;

use super::build::{Built, content, span_of, strange};
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
    Ok(unit)
}

/// Series of threads, which stand behind a number in a designation only.
const THREADS: &[&str] = &[
    "UNC", "UNF", "UNEF", "UNS", "BSW", "BSF", "BSP", "BA", "Acme",
];

/// Returns what may have been meant by what is no unit; `near` names the units near it.
fn unit_advice(text: &str, near: Option<String>) -> Option<String> {
    if text == "tpi" {
        return Some("so many threads per inch are a pitch: for 8 write `1 in / 8`".to_owned());
    }
    if THREADS.contains(&text) {
        return Some("put the thread in quotes, such as `\"1/4-20 UNC\"`".to_owned());
    }
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

/// Returns the number and unit of a `literal` pair.
pub fn literal_parts(pair: Pair<Rule>) -> Built<(Number, Unit)> {
    let span = span_of(&pair);
    parts(pair.into_inner(), span)
}

fn parts<'i>(pairs: impl Iterator<Item = Pair<'i, Rule>>, span: Span) -> Built<(Number, Unit)> {
    let mut number = None;
    let mut shown = Unit::NONE;
    for inner in pairs {
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
                number = Some(degrees(inner.into_inner(), whole)?);
                shown = unit("deg", place)?;
            }
            Rule::feet => {
                let feet = number.map_or(0.0, Number::value);
                let (inches, unit) = feet_and_inches(inner, feet)?;
                (number, shown) = (Some(Number::Decimal(inches)), unit);
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

/// Returns the inches of `4 ft 3 in`, behind so many feet.
fn feet_and_inches(pair: Pair<Rule>, feet: f64) -> Built<(f64, Unit)> {
    let span = span_of(&pair);
    let (number, shown) = literal_parts(content(pair)?)?;
    if shown.symbol() != "in" {
        let message = format!("feet are followed by inches, not by {}", shown.symbol());
        return Err(Diagnostic::error(message, span).advise("write `4 ft 3 in`"));
    }
    Ok((feet * 12.0 + number.value(), shown))
}

fn inch_fraction(pair: Pair<Rule>) -> Built<(Number, Unit)> {
    let span = span_of(&pair);
    let mut inner = pair.into_inner();
    let (Some(number), Some(symbol)) = (inner.next(), inner.next()) else {
        return Err(strange(span));
    };
    let shown = unit(symbol.as_str(), span_of(&symbol))?;
    if shown == Unit::NONE {
        let message = format!("`{}` leaves no unit", symbol.as_str());
        let wrong = Diagnostic::error(message, span_of(&symbol));
        return Err(wrong.advise(format!(
            "write `({})` for the plain number",
            number.as_str()
        )));
    }
    Ok((fraction(number)?, shown))
}

/// Reads `1 3/8`
fn fraction(pair: Pair<Rule>) -> Built<Number> {
    let span = span_of(&pair);
    let large = |place| Diagnostic::error("this number is too large", place);
    let wholes: Vec<u32> = pair
        .into_inner()
        .map(|whole| {
            let place = span_of(&whole);
            whole.as_str().parse().map_err(|_| large(place))
        })
        .collect::<Built<_>>()?;
    match wholes.as_slice() {
        [_, 0] | [_, _, 0] => Err(Diagnostic::error("a fraction can't have 0 below", span)),
        [above, below] => Ok(Number::Fraction(0, *above, *below)),
        [whole, above, below] => Ok(Number::Fraction(*whole, *above, *below)),
        _ => Err(strange(span)),
    }
}

/// Minutes and seconds of arc behind so many degrees.
fn degrees<'i>(pairs: impl Iterator<Item = Pair<'i, Rule>>, whole: f64) -> Built<Number> {
    let mut parts = (whole, None, None);
    for part in pairs {
        let minutes = part.as_rule() == Rule::minutes;
        let number = content(part)?;
        let value = decimal(&number)?;
        if value >= 60.0 {
            let message = format!("{value} minutes or seconds: 60 make the next whole");
            return Err(Diagnostic::error(message, span_of(&number)));
        }
        let place = if minutes { &mut parts.1 } else { &mut parts.2 };
        *place = Some(value);
    }
    Ok(match parts {
        (degrees, None, None) => Number::Decimal(degrees),
        (degrees, minutes, seconds) => {
            Number::Degrees(degrees, minutes.unwrap_or(0.0), seconds.unwrap_or(0.0))
        }
    })
}

/// Returns a tolerance. Behind an angle in degrees a lone `"` means seconds of arc.
pub fn tolerance(pair: Pair<Rule>, behind_angle: bool) -> Built<Tolerance> {
    let span = span_of(&pair);
    for inner in pair.into_inner() {
        match inner.as_rule() {
            Rule::plus_minus => {}
            Rule::class => return Ok(Tolerance::Class(inner.as_str().into())),
            Rule::deviation => {
                let (number, unit) = deviation(inner, behind_angle)?;
                return Ok(Tolerance::PlusMinus(number, unit));
            }
            Rule::deviations => {
                let signed: Vec<(f64, Option<Unit>)> = inner
                    .into_inner()
                    .map(|pair| signed(pair, behind_angle))
                    .collect::<Built<_>>()?;
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

/// Returns one of two deviations: `+0.02`, `-1/64 in` or `0`.
fn signed(pair: Pair<Rule>, behind_angle: bool) -> Built<(f64, Option<Unit>)> {
    let span = span_of(&pair);
    if pair.as_rule() == Rule::zero {
        let shown = pair.into_inner().next();
        let shown = shown.map(|shown| unit(shown.as_str(), span_of(&shown)));
        return Ok((0.0, shown.transpose()?));
    }
    let short = pair.as_rule() == Rule::short;
    let mut inner = pair.clone().into_inner();
    let sign = match inner.next().map(|pair| pair.as_rule()) {
        Some(Rule::plus) => 1.0,
        Some(Rule::minus) => -1.0,
        _ => return Err(strange(span)),
    };
    let (number, unit) = if short {
        deviation_of(inner, span, behind_angle)?
    } else {
        deviation(inner.next().ok_or_else(|| strange(span))?, behind_angle)?
    };
    Ok((sign * number.value(), unit))
}

fn deviation(pair: Pair<Rule>, behind_angle: bool) -> Built<(Number, Option<Unit>)> {
    let span = span_of(&pair);
    deviation_of(pair.into_inner(), span, behind_angle)
}

fn deviation_of<'i>(
    pairs: impl Iterator<Item = Pair<'i, Rule>>,
    span: Span,
    behind_angle: bool,
) -> Built<(Number, Option<Unit>)> {
    let mut pairs = pairs.peekable();
    let arc = || unit("deg", span).map(Some);
    match pairs.peek().map(Pair::as_rule) {
        Some(Rule::fraction) => {
            let pair = pairs.next().ok_or_else(|| strange(span))?;
            return Ok((fraction(pair)?, None));
        }
        Some(Rule::minutes) => return Ok((degrees(pairs, 0.0)?, arc()?)),
        _ => {}
    }
    let pairs: Vec<Pair<Rule>> = pairs.collect();
    if let [number, sign] = pairs.as_slice()
        && behind_angle
        && sign.as_str() == "\""
    {
        return Ok((Number::Degrees(0.0, 0.0, decimal(number)?), arc()?));
    }
    let (number, unit) = parts(pairs.into_iter(), span)?;
    Ok((number, (unit != Unit::NONE).then_some(unit)))
}
