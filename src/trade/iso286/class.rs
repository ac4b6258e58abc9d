//! Reading a tolerance class: letters for the place of the tolerance, a number
//! for its width.

use crate::diagnostic::{Fault, did_you_mean};
use crate::trade::words::quote;
use serde::Serialize;

/// The letters of shafts in the order of the standard; holes have the same in
/// capitals.
pub(super) const LETTERS: [&str; 28] = [
    "a", "b", "c", "cd", "d", "e", "ef", "f", "fg", "g", "h", "j", "js", "k", "m", "n", "p", "r",
    "s", "t", "u", "v", "x", "y", "z", "za", "zb", "zc",
];

/// What a tolerance class stands on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Feature {
    /// An inside size; its class has capital letters.
    Hole,
    /// An outside size; its class has small letters.
    Shaft,
}

impl Feature {
    /// Returns the word for it: hole or shaft.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Feature::Hole => "hole",
            Feature::Shaft => "shaft",
        }
    }
}

/// A tolerance class, such as H7 or js6.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Class {
    /// Hole or shaft.
    pub feature: Feature,
    /// The letters, in lower case for holes too.
    pub(super) letter: &'static str,
    /// The tolerance grade: -1 is IT01, 0 is IT0, n is ITn.
    pub(super) grade: i8,
}

impl Class {
    /// Returns the class as a drawing writes it.
    #[must_use]
    pub fn name(self) -> String {
        format!("{}{}", self.letters(), grade_name(self.grade))
    }

    /// Returns the letters as a drawing writes them.
    pub(super) fn letters(self) -> String {
        match self.feature {
            Feature::Hole => self.letter.to_uppercase(),
            Feature::Shaft => self.letter.to_owned(),
        }
    }
}

/// Returns how a grade is written: 01, 0, 1 … 18.
pub(super) fn grade_name(grade: i8) -> String {
    if grade < 0 {
        "01".to_owned()
    } else {
        grade.to_string()
    }
}

/// Returns the grade that some digits stand for.
pub(super) fn grade(digits: &str) -> Option<i8> {
    match digits {
        "01" => Some(-1),
        "0" => Some(0),
        _ if digits.starts_with('0') || digits.len() > 2 => None,
        _ if digits.bytes().all(|byte| byte.is_ascii_digit()) => {
            digits.parse().ok().filter(|grade| (1..=18).contains(grade))
        }
        _ => None,
    }
}

/// Returns whether a text is written as a tolerance class of ISO 286-1: letters a to zc or
/// A to ZC and a grade 01 to 18.
///
/// It looks no table up: `J12` is written as a class, though the standard
/// defines none.
#[must_use]
pub fn is_class(text: &str) -> bool {
    read(text).is_some()
}

fn read(text: &str) -> Option<Class> {
    let split = text.find(|c: char| c.is_ascii_digit())?;
    let (letters, digits) = text.split_at(split);
    let grade = grade(digits)?;
    let feature = if letters.bytes().all(|byte| byte.is_ascii_lowercase()) {
        Feature::Shaft
    } else if letters.bytes().all(|byte| byte.is_ascii_uppercase()) {
        Feature::Hole
    } else {
        return None;
    };
    let letter = LETTERS
        .into_iter()
        .find(|letter| letter.eq_ignore_ascii_case(letters))?;
    Some(Class {
        feature,
        letter,
        grade,
    })
}

/// Reads a tolerance class such as `H7`, `js6` or `ZA8`.
///
/// # Errors
/// A fault that says what is wrong with the letters or with the grade.
///
/// Source: ISO 286-1:2010, section 4.2, designation of the tolerance class.
pub fn parse(text: &str) -> Result<Class, Fault> {
    let text = text.trim();
    read(text).ok_or_else(|| why_not(text))
}

fn why_not(text: &str) -> Fault {
    let shown = quote(text);
    if text.is_empty() {
        return Fault::new("the tolerance class is empty").advise("write one such as `H7` or `g6`");
    }
    if text.contains('/') {
        return Fault::new(format!("{shown} is a fit, not one tolerance class"))
            .advise("give the hole's class or the shaft's: `H7` or `g6`");
    }
    let split = text
        .find(|c: char| c.is_ascii_digit())
        .unwrap_or(text.len());
    let (letters, digits) = text.split_at(split);
    if letters.eq_ignore_ascii_case("it") && grade(digits).is_some() {
        return Fault::new(format!("{shown} is a tolerance grade, not a tolerance class"))
            .advise(format!(
                "put a letter before the grade: `H{digits}` for a hole, `h{digits}` for a shaft, `js{digits}` for half to each side"
            ));
    }
    let lower = letters.to_lowercase();
    let known = LETTERS.contains(&lower.as_str());
    if known && lower != letters && letters.to_uppercase() != letters {
        return Fault::new(format!("{shown} mixes capitals and small letters")).advise(format!(
            "holes have capitals, shafts small letters: `{}{digits}` or `{lower}{digits}`",
            letters.to_uppercase()
        ));
    }
    if !known {
        return unknown_letters(&shown, letters, digits);
    }
    if digits.is_empty() {
        return Fault::new(format!("{shown} has no tolerance grade after its letters"))
            .advise(format!("write a grade from 01 to 18, as in `{letters}7`"));
    }
    Fault::new(format!(
        "{shown} has no tolerance grade {}; the grades are 01, 0 and 1 to 18",
        quote(digits)
    ))
    .advise(format!("write one such as `{letters}7`"))
}

fn unknown_letters(shown: &str, letters: &str, digits: &str) -> Fault {
    if letters.is_empty() {
        return Fault::new(format!("{shown} has no letters before the grade")).advise(
            "write capitals for a hole, as in `H7`, small letters for a shaft, as in `g6`",
        );
    }
    let lower = letters.to_lowercase();
    let fault = if matches!(lower.as_str(), "i" | "l" | "o" | "q" | "w") {
        Fault::new(format!(
            "there is no tolerance class {shown}: the standard leaves out the letters i, l, o, q and w"
        ))
    } else {
        Fault::new(format!(
            "there is no tolerance class {shown}: the letters run from a to zc for shafts, from A to ZC for holes"
        ))
    };
    let hole = letters.chars().any(char::is_uppercase);
    let known: Vec<String> = LETTERS
        .iter()
        .map(|letter| {
            if hole {
                letter.to_uppercase()
            } else {
                (*letter).to_owned()
            }
        })
        .map(|letter| format!("{letter}{digits}"))
        .collect();
    match did_you_mean(
        &format!("{letters}{digits}"),
        known.iter().map(String::as_str),
    ) {
        Some(meant) => fault.advise(meant),
        None => fault.advise("write one such as `H7` for a hole or `g6` for a shaft"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_letter_and_grade_is_read_back() {
        let mut read_back = 0;
        for letter in LETTERS {
            for grade in -1..=18 {
                for letters in [letter.to_owned(), letter.to_uppercase()] {
                    let text = format!("{letters}{}", grade_name(grade));
                    assert!(is_class(&text), "{text}");
                    let class = parse(&text).unwrap();
                    assert_eq!(class.name(), text);
                    let hole = class.feature == Feature::Hole;
                    assert_eq!(hole, letters != letter);
                    read_back += 1;
                }
            }
        }
        assert_eq!(read_back, 28 * 20 * 2);
    }

    #[test]
    fn what_is_no_class_says_why() {
        for (text, says) in [
            ("", "empty"),
            ("H", "has no tolerance grade"),
            ("7", "no letters"),
            ("H19", "the grades are 01, 0 and 1 to 18"),
            ("H07", "the grades are"),
            ("H7.5", "the grades are"),
            ("H7/g6", "is a fit"),
            ("Js6", "`JS6` or `js6`"),
            ("IT7", "tolerance grade, not"),
            ("Q7", "leaves out"),
            ("w6", "leaves out"),
            ("zd7", "a to zc"),
            ("h7²", "the grades are"),
            ("ж7", "a to zc"),
        ] {
            assert!(!is_class(text), "{text}");
            let fault = parse(text).unwrap_err();
            let said = fault.to_string();
            assert!(said.contains(says), "{text}: {said}");
        }
        assert!(parse(&"x".repeat(100_000)).is_err());
    }
}
