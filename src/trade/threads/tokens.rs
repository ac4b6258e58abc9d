//! The words and signs of a thread designation.

use crate::diagnostic::Fault;

/// The longest designation that is looked at, in characters.
pub(super) const LONGEST: usize = 60;

/// The most digits of one number.
const MOST_DIGITS: usize = 12;

/// A word or a sign of a designation.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Token {
    /// A number without a fraction line; whether it is written without a point.
    Number(f64, bool),
    /// A vulgar fraction below or above one: `1/4`.
    Fraction(f64),
    /// Letters, in capitals, and as they were written.
    Word(String, String),
    /// `x`, `×` or `*`.
    Times,
    /// `-`, or a dash.
    Dash,
    /// `#`.
    Hash,
    /// `/` that is part of no fraction.
    Slash,
    /// `(` or `)`.
    Bracket,
}

impl Token {
    /// Returns whether this is a given word.
    pub(super) fn is(&self, word: &str) -> bool {
        matches!(self, Token::Word(capitals, _) if capitals == word)
    }

    /// Returns the token as it is written.
    pub(super) fn written(&self) -> String {
        match self {
            Token::Number(value, _) | Token::Fraction(value) => value.to_string(),
            Token::Word(_, written) => written.clone(),
            Token::Times => "x".to_owned(),
            Token::Dash => "-".to_owned(),
            Token::Hash => "#".to_owned(),
            Token::Slash => "/".to_owned(),
            Token::Bracket => String::new(),
        }
    }
}

/// Fractions that have a sign of their own.
fn vulgar(c: char) -> Option<f64> {
    Some(match c {
        '¼' => 0.25,
        '½' => 0.5,
        '¾' => 0.75,
        '⅛' => 0.125,
        '⅜' => 0.375,
        '⅝' => 0.625,
        '⅞' => 0.875,
        _ => return None,
    })
}

/// Splits a designation into its words and signs. Spaces, quotation marks, inch
/// signs, the point after an abbreviation and the words `in`, `mm` and `tpi` say
/// nothing and are dropped.
///
/// # Errors
/// A fault when the text is too long or holds a sign or number that no
/// designation has.
pub(super) fn tokens(text: &str) -> Result<Vec<Token>, Fault> {
    if text.chars().nth(LONGEST).is_some() {
        return Err(Fault::new(format!(
            "a thread designation has at most {LONGEST} characters"
        )));
    }
    let mut found = Vec::new();
    let mut rest = text.chars().peekable();
    while let Some(c) = rest.next() {
        let token = match c {
            '0'..='9' | '.' | ',' => {
                let mut digits = String::from(c);
                while let Some(next) =
                    rest.next_if(|next| next.is_ascii_digit() || matches!(next, '.' | ','))
                {
                    digits.push(next);
                }
                if digits == "." {
                    continue; // the point of `No.` or `Whit.`
                }
                let over = {
                    let mut ahead = rest.clone();
                    ahead.next() == Some('/') && ahead.next().is_some_and(|c| c.is_ascii_digit())
                };
                if over {
                    rest.next();
                    let mut bottom = String::new();
                    while let Some(next) = rest.next_if(char::is_ascii_digit) {
                        bottom.push(next);
                    }
                    fraction(&digits, &bottom)?
                } else {
                    number(&digits)?
                }
            }
            '/' => Token::Slash,
            '×' | '*' => Token::Times,
            '-' | '–' | '—' | '‐' | '‑' | '−' => Token::Dash,
            '#' => Token::Hash,
            '(' | ')' => Token::Bracket,
            '"' | '″' | '”' | '“' | '\'' => continue,
            _ if c.is_whitespace() => continue,
            _ if vulgar(c).is_some() => Token::Fraction(vulgar(c).unwrap_or_default()),
            _ if c.is_ascii_alphabetic() => {
                let mut word = String::from(c);
                while let Some(next) = rest.next_if(char::is_ascii_alphabetic) {
                    word.push(next);
                }
                match word.to_ascii_uppercase() {
                    capitals if capitals == "X" => Token::Times,
                    capitals if ["IN", "INCH", "MM", "TPI"].contains(&capitals.as_str()) => {
                        continue;
                    }
                    capitals => Token::Word(capitals, word),
                }
            }
            _ => {
                return Err(Fault::new(format!(
                    "`{}` has no place in a thread designation",
                    c.escape_debug()
                )));
            }
        };
        found.push(token);
    }
    Ok(found)
}

fn number(digits: &str) -> Result<Token, Fault> {
    let plain = digits.replace(',', ".");
    match plain.parse::<f64>() {
        Ok(value) if digits.len() <= MOST_DIGITS => Ok(Token::Number(value, !plain.contains('.'))),
        _ => Err(Fault::new(format!(
            "`{digits}` is not a number of a thread designation"
        ))),
    }
}

fn fraction(top: &str, bottom: &str) -> Result<Token, Fault> {
    let whole = |digits: &str| -> Option<u32> {
        (digits.len() <= 4).then(|| digits.parse().ok()).flatten()
    };
    match (whole(top), whole(bottom)) {
        (Some(top), Some(bottom)) if top > 0 && bottom > 0 => {
            Ok(Token::Fraction(f64::from(top) / f64::from(bottom)))
        }
        _ => Err(Fault::new(format!(
            "`{top}/{bottom}` is not a fraction of an inch"
        ))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn word(text: &str) -> Token {
        Token::Word(text.to_ascii_uppercase(), text.to_owned())
    }

    #[test]
    fn spaces_case_and_inch_signs_do_not_matter() {
        use Token::{Dash, Fraction, Hash, Number, Times};
        let check = |text: &str, expected: &[Token]| {
            assert_eq!(tokens(text).unwrap(), expected, "{text}");
        };
        check(
            "M8x1",
            &[word("M"), Number(8.0, true), Times, Number(1.0, true)],
        );
        check(
            "M 8 × 1,0",
            &[word("M"), Number(8.0, true), Times, Number(1.0, false)],
        );
        check(
            "1/4\"-20 tpi UNC",
            &[Fraction(0.25), Dash, Number(20.0, true), word("UNC")],
        );
        check("¼ Whit.", &[Fraction(0.25), word("Whit")]);
        check(
            "#10–32",
            &[Hash, Number(10.0, true), Dash, Number(32.0, true)],
        );
        check("1-1/8 in", &[Number(1.0, true), Dash, Fraction(0.125)]);
        check(
            "6H/6g",
            &[
                Number(6.0, true),
                word("H"),
                Token::Slash,
                Number(6.0, true),
                word("g"),
            ],
        );
    }

    #[test]
    fn what_no_designation_holds_is_refused() {
        for bad in [
            "M8°",
            "M8x1.2.3",
            "1/0 BSW",
            "0/4 BSW",
            "1.5/4 BSW",
            "12345/4",
            "M1234567890123",
            "M8\u{0}",
            "М8",
        ] {
            assert!(tokens(bad).is_err(), "{bad}");
        }
        assert!(tokens(&"M".repeat(1_000_000)).is_err());
    }
}
