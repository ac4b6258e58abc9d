//! A thread designation, taken apart: series, size, pitch, lead, class.

use crate::diagnostic::Fault;
use crate::trade::threads::series::Series;
use crate::trade::threads::tokens::{Token, tokens};
use crate::trade::words::quote;

/// The size as it is written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Size {
    /// `#10`, `No. 10`.
    Numbered(u32),
    /// A whole number that may be a numbered size, inches, millimetres or a BA
    /// number.
    Whole(u32),
    /// A decimal number.
    Measured(f64),
    /// A fraction of an inch, with whole inches before it or not.
    Fraction(f64),
}

/// A designation, taken apart.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct ParsedDesignation {
    /// The series named, if one is.
    pub(super) series: Option<Series>,
    /// The size.
    pub(super) size: Size,
    /// Pitch in millimetres, or threads per inch, as the series has it.
    pub(super) rate: Option<f64>,
    /// Lead in millimetres, or in inches, where it differs from the pitch.
    pub(super) lead: Option<f64>,
    /// The tolerance class: `6g`, `2A`.
    pub(super) class: Option<String>,
    /// Whether `LH` is written.
    pub(super) left_hand: bool,
}

/// Takes a designation apart.
///
/// # Errors
/// A fault when it holds no size, or words that no designation has.
pub(super) fn take_apart(text: &str) -> Result<ParsedDesignation, Fault> {
    let mut tokens = tokens(text)?;
    if tokens.is_empty() {
        return Err(Fault::new("the thread designation is empty"));
    }
    let before = tokens.len();
    tokens.retain(|token| !token.is("LH"));
    let left_hand = tokens.len() < before;
    let found = tokens.iter().enumerate().find_map(|(index, token)| {
        let Token::Word(word, _) = token else {
            return None;
        };
        Series::named(word, index == 0).map(|series| (index, series))
    });
    let series = found.map(|(_, series)| series);
    let mut named_rate = None;
    if let Some((index, series)) = found {
        tokens.remove(index);
        // `ME40 1/4`, `1/4 Brass26`: the count stands by the name of the series.
        if matches!(series, Series::Me | Series::Brass)
            && let [.., Token::Number(count, true)] = tokens.get(..=index).unwrap_or_default()
            && matches!(*count as u32, 26 | 32 | 40)
        {
            named_rate = Some(*count);
            tokens.remove(index);
        }
        // A dash that stood beside the name: `UNC-2A`, `ME - 1/4`.
        if tokens.get(index) == Some(&Token::Dash) && !series.is_metric() {
            tokens.remove(index);
        }
        if let Some(Token::Dash) = index.checked_sub(1).and_then(|i| tokens.get(i)) {
            tokens.remove(index - 1);
        }
        tokens.retain(|token| !["SHARP", "AMERICAN", "FORM"].iter().any(|w| token.is(w)));
    }
    let metric = matches!(series, Some(Series::Metric | Series::Trapezoidal));
    let (size, rest) = size(&tokens)?;
    let (rate, rest) = rate(rest, metric || series == Some(Series::Pipe));
    let (mut rate, mut lead) = (rate.or(named_rate), None);
    let (second, rest) = second_pitch(rest, metric);
    match second {
        // Tr 20x8(P4): the first number is the lead.
        Some(Second::Pitch(pitch)) => {
            lead = rate;
            rate = Some(pitch);
        }
        // Acme 1/2-0.1P-0.2L: both in inches.
        Some(Second::PitchIsInches(along)) => {
            rate = rate.map(|pitch| if pitch > 0.0 { 1.0 / pitch } else { 0.0 });
            lead = along;
        }
        None => {}
    }
    Ok(ParsedDesignation {
        series,
        size,
        rate,
        lead,
        class: class(rest, text)?,
        left_hand,
    })
}

/// Returns the size at the head of the tokens, and the tokens behind it.
fn size(tokens: &[Token]) -> Result<(Size, &[Token]), Fault> {
    // Digits are few, so that a whole number fits.
    let whole = |value: f64| value as u32;
    Ok(match tokens {
        [Token::Hash, Token::Number(n, true), rest @ ..] => (Size::Numbered(whole(*n)), rest),
        [no, Token::Number(n, true), rest @ ..] if no.is("NO") => (Size::Numbered(whole(*n)), rest),
        [Token::Number(n, true), Token::Fraction(f), rest @ ..]
        | [
            Token::Number(n, true),
            Token::Dash,
            Token::Fraction(f),
            rest @ ..,
        ] if *f < 1.0 => (Size::Fraction(n + f), rest),
        [Token::Number(n, true), rest @ ..] => (Size::Whole(whole(*n)), rest),
        [Token::Number(n, false), rest @ ..] => (Size::Measured(*n), rest),
        [Token::Fraction(n), rest @ ..] => (Size::Fraction(*n), rest),
        _ => return Err(Fault::new("the designation begins with no size")),
    })
}

/// Reads the pitch or threads per inch behind the size. After a metric or a pipe size only
/// `x` leads to it, since a dash leads to the class.
fn rate(tokens: &[Token], only_times: bool) -> (Option<f64>, &[Token]) {
    let (number, rest) = match tokens {
        [Token::Times, Token::Number(n, _), rest @ ..] => (*n, rest),
        [Token::Dash, Token::Number(n, _), rest @ ..] | [Token::Number(n, _), rest @ ..]
            if !only_times && !starts_class(tokens) =>
        {
            (*n, rest)
        }
        _ => return (None, tokens),
    };
    (Some(number), rest)
}

/// Returns whether tokens are those of a class: `2A`, `- 6H`.
fn starts_class(tokens: &[Token]) -> bool {
    let tokens = match tokens {
        [Token::Dash, rest @ ..] => rest,
        _ => tokens,
    };
    matches!(tokens, [Token::Number(_, true), Token::Word(letter, _), ..]
        if letter.len() == 1 && letter != "P")
}

enum Second {
    Pitch(f64),
    PitchIsInches(Option<f64>),
}

/// Returns the pitch of a thread of several starts.
fn second_pitch(tokens: &[Token], metric: bool) -> (Option<Second>, &[Token]) {
    match tokens {
        [
            Token::Bracket,
            p,
            Token::Number(n, _),
            Token::Bracket,
            rest @ ..,
        ]
        | [p, Token::Number(n, _), rest @ ..]
            if metric && p.is("P") =>
        {
            (Some(Second::Pitch(*n)), rest)
        }
        [p, Token::Dash, Token::Number(lead, _), l, rest @ ..]
            if !metric && p.is("P") && l.is("L") =>
        {
            (Some(Second::PitchIsInches(Some(*lead))), rest)
        }
        [p, rest @ ..] if !metric && p.is("P") => (Some(Second::PitchIsInches(None)), rest),
        _ => (None, tokens),
    }
}

/// Returns the tolerance class at the end of the designation `text`.
fn class(tokens: &[Token], text: &str) -> Result<Option<String>, Fault> {
    let tokens = match tokens {
        [Token::Dash, rest @ ..] => rest,
        _ => tokens,
    };
    let written: String = tokens.iter().map(Token::written).collect();
    if is_class(tokens) {
        return Ok((!written.is_empty()).then_some(written));
    }
    Err(Fault::new(format!(
        "`{written}` in {} is not a pitch, a series or a tolerance class",
        quote(text.trim())
    )))
}

/// Returns whether tokens are grades with their letters, as `6g`, `5g6g`, `6H/6g` and `2A`,
/// or the single letter of a pipe thread.
fn is_class(tokens: &[Token]) -> bool {
    let letter = |token: &Token| matches!(token, Token::Word(capital, _) if capital.len() == 1 && capital.as_str() <= "H");
    match tokens {
        [] => true,
        [single] => letter(single),
        [Token::Number(grade, true), position, rest @ ..]
            if (1.0..=9.0).contains(grade) && letter(position) =>
        {
            match rest {
                [Token::Slash, rest @ ..] => !rest.is_empty() && is_class(rest),
                _ => is_class(rest),
            }
        }
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, series: Series, size: Size, rate: Option<f64>) -> ParsedDesignation {
        let asked = take_apart(text).unwrap();
        assert_eq!(
            (asked.series, asked.size, asked.rate),
            (Some(series), size, rate),
            "{text}"
        );
        asked
    }

    #[test]
    fn each_series_is_read_as_drawings_write_it() {
        use Size::{Fraction, Measured, Numbered, Whole};
        check("M8", Series::Metric, Whole(8), None);
        check("m8 X 1.0", Series::Metric, Whole(8), Some(1.0));
        check("M1.6", Series::Metric, Measured(1.6), None);
        check("1/4-20 UNC", Series::Unc, Fraction(0.25), Some(20.0));
        check("1-1/8-12 UNF", Series::Unf, Fraction(1.125), Some(12.0));
        check("1 1/8 - 12 unf", Series::Unf, Fraction(1.125), Some(12.0));
        check("#10-32 UNF", Series::Unf, Numbered(10), Some(32.0));
        check("No. 10-32 UNF", Series::Unf, Numbered(10), Some(32.0));
        check("10-32 UNF", Series::Unf, Whole(10), Some(32.0));
        check("UNC 1/4-20", Series::Unc, Fraction(0.25), Some(20.0));
        check("1/4 BSF", Series::Bsf, Fraction(0.25), None);
        check("2BA", Series::Ba, Whole(2), None);
        check("BA 2", Series::Ba, Whole(2), None);
        check("ME 1/4x40", Series::Me, Fraction(0.25), Some(40.0));
        check("1/4 x 40 ME", Series::Me, Fraction(0.25), Some(40.0));
        check("1/4 ME40", Series::Me, Fraction(0.25), Some(40.0));
        check("ME40 1/4", Series::Me, Fraction(0.25), Some(40.0));
        check("1/4-26 Brass", Series::Brass, Fraction(0.25), Some(26.0));
        check("G1/4", Series::Pipe, Fraction(0.25), None);
        check("G 1 1/4", Series::Pipe, Fraction(1.25), None);
        check("1/4 BSP", Series::Pipe, Fraction(0.25), None);
        check("Acme 1/2-10", Series::Acme, Fraction(0.5), Some(10.0));
        check("1/4-20 sharp V", Series::SharpV, Fraction(0.25), Some(20.0));
        check(
            "1/4-20 American National",
            Series::American,
            Fraction(0.25),
            Some(20.0),
        );
    }

    #[test]
    fn leads_classes_and_hand_are_read() {
        let asked = check(
            "Tr 20x8(P4)",
            Series::Trapezoidal,
            Size::Whole(20),
            Some(4.0),
        );
        assert_eq!(asked.lead, Some(8.0));
        let asked = check(
            "Tr20×8P4 LH-7e",
            Series::Trapezoidal,
            Size::Whole(20),
            Some(4.0),
        );
        assert_eq!(
            (asked.lead, asked.left_hand, asked.class.as_deref()),
            (Some(8.0), true, Some("7e"))
        );
        let asked = check(
            "0.5-0.1P-0.2L Acme-2G",
            Series::Acme,
            Size::Measured(0.5),
            Some(10.0),
        );
        assert_eq!(
            (asked.lead, asked.class.as_deref()),
            (Some(0.2), Some("2G"))
        );
        let class = |text: &str| take_apart(text).unwrap().class;
        assert_eq!(class("M8x1-6H").as_deref(), Some("6H"));
        assert_eq!(class("M8-5g6g").as_deref(), Some("5g6g"));
        assert_eq!(class("M8x1 6H/6g").as_deref(), Some("6H/6g"));
        assert_eq!(class("1/4-20 UNC-2A").as_deref(), Some("2A"));
        assert_eq!(class("1/4 UNC 2B").as_deref(), Some("2B"));
        assert_eq!(class("G 1/4 A").as_deref(), Some("A"));
        assert_eq!(class("M8"), None);
    }
}
