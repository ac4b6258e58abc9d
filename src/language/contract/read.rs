//! Reading a contract as documentation writes it.

use std::cmp::Ordering;

use super::{Contract, KindWord};
use crate::diagnostic::Fault;
use crate::quantity::{Dimension, Quantity, parse_unit};

/// Returns the dimension of a word in documentation; nothing where it names none.
fn measure(word: &str) -> Option<Dimension> {
    match word {
        "number" => Some(Dimension::NONE),
        "coordinate" | "limit" => Some(Dimension::LENGTH),
        "rise" => Some(Dimension::TEMPERATURE),
        "temperature" => None,
        word => Dimension::named(word),
    }
}

impl Contract {
    /// Reads a contract: kinds joined by `or`, then bounds joined by `and`.
    ///
    /// # Errors
    /// When a kind, a unit or a bound can't be read.
    pub fn read(text: &str) -> Result<Self, Fault> {
        let (several, rest) = match text.strip_prefix("several ") {
            Some(rest) => (true, rest),
            None => (false, text),
        };
        let (drawn, rest) = match rest.strip_prefix("drawn ") {
            Some(rest) => (true, rest),
            None => (false, rest),
        };
        let split = bound_start(rest);
        let (kinds, bounds) = rest.split_at(split);
        let mut read: Vec<KindWord> = Vec::new();
        for word in split_or(kinds) {
            match (kind(word)?, read.last_mut()) {
                (KindWord::OneOf(more), Some(KindWord::OneOf(texts))) => texts.extend(more),
                (kind, _) => read.push(kind),
            }
        }
        let bounds = bounds
            .split(" and ")
            .map(str::trim)
            .filter(|b| !b.is_empty())
            .map(bound)
            .collect::<Result<_, _>>()?;
        Ok(Self {
            kinds: read,
            bounds,
            several,
            drawn,
            text: text.trim().to_owned(),
        })
    }
}

/// Returns the characters outside quotes with their places.
pub fn unquoted(text: &str) -> impl Iterator<Item = (usize, char)> {
    let mut quoted = false;
    text.char_indices().filter(move |(_, c)| {
        quoted ^= *c == '"';
        !quoted
    })
}

/// Returns where the bounds begin: at the first comparison outside quotes.
fn bound_start(text: &str) -> usize {
    let found = unquoted(text).find(|(_, c)| matches!(c, '<' | '>'));
    found.map_or(text.len(), |(index, _)| index)
}

/// Splits at ` or ` outside quotes.
fn split_or(text: &str) -> Vec<&str> {
    const OR: &str = " or ";
    let joints = unquoted(text).filter(|(index, _)| text[*index..].starts_with(OR));
    let mut parts = Vec::new();
    let mut start = 0;
    for (index, _) in joints {
        parts.push(text[start..index].trim());
        start = index + OR.len();
    }
    parts.push(text[start..].trim());
    parts
}

fn kind(word: &str) -> Result<KindWord, Fault> {
    if let Some(dimension) = measure(word) {
        return Ok(KindWord::Measure(dimension, word.to_owned()));
    }
    if let Some(text) = word
        .strip_prefix('"')
        .and_then(|word| word.strip_suffix('"'))
    {
        return Ok(KindWord::OneOf(vec![text.to_owned()]));
    }
    if let Some(of) = word.strip_prefix("list of ") {
        return Ok(KindWord::List(Box::new(kind(of)?)));
    }
    Ok(match word {
        "quantity" => KindWord::Quantity,
        "whole" => KindWord::Whole,
        "temperature" => KindWord::Temperature,
        "text" => KindWord::Text,
        "truth" => KindWord::Truth,
        "list" => KindWord::List(Box::new(KindWord::Any)),
        "table" => KindWord::Table,
        "record" => KindWord::Record,
        "limits" => KindWord::Limits,
        "none" => KindWord::None,
        "any" => KindWord::Any,
        unit => KindWord::Measure(parse_unit(unit)?.dimension(), unit.to_owned()),
    })
}

fn bound(text: &str) -> Result<(Ordering, bool, Quantity), Fault> {
    let unreadable = || Fault::new(format!("the bound `{text}` can't be read"));
    let (order, rest) = match text.chars().next() {
        Some('>') => (Ordering::Greater, &text[1..]),
        Some('<') => (Ordering::Less, &text[1..]),
        _ => return Err(unreadable()),
    };
    let (or_equal, rest) = match rest.strip_prefix('=') {
        Some(rest) => (true, rest),
        None => (false, rest),
    };
    let rest = rest.trim();
    let (number, unit) = rest.split_once(' ').unwrap_or((rest, ""));
    let number: f64 = number.parse().map_err(|_| unreadable())?;
    let quantity = if unit.is_empty() {
        Quantity::number(number)
    } else {
        Quantity::of(number, unit.trim())?
    };
    Ok((order, or_equal, quantity))
}
