//! Sections to start from: commented pieces of a notebook, one for a job.

use crate::diagnostic::{Fault, did_you_mean};
use crate::syntax::{StatementKind, parse_statement, split};

/// The files of library/sections, built into the program.
macro_rules! sections {
    ($($name:literal),* $(,)?) => {
        &[$(($name, include_str!(concat!("../../library/sections/", $name, ".job")))),*]
    };
}

const SECTIONS: &[(&str, &str)] = sections![
    "stock",
    "speeds",
    "taper",
    "thread",
    "fit",
    "press",
    "tapped",
    "circle",
    "lever",
    "dividing",
    "key",
    "gears",
    "dovetail",
    "sine",
    "spring",
    "inspection",
    "workshop",
];

/// Returns the sections: the word that asks for each, and what it is for.
pub fn sections() -> impl Iterator<Item = (&'static str, &'static str)> {
    SECTIONS.iter().map(|(word, text)| {
        let first = text.lines().next().unwrap_or("");
        (*word, first.trim_start_matches('#').trim())
    })
}

/// A section as it is added to a notebook.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewSection {
    /// Its heading.
    pub heading: String,
    /// Its text.
    pub text: String,
}

/// Returns the section of a word. Where one of its names is taken, all its names and
/// its heading get a number.
///
/// # Errors
/// When there is no such section: with the nearest.
pub fn section(word: &str, is_taken: &dyn Fn(&str) -> bool) -> Result<NewSection, Fault> {
    let word = word.trim().to_lowercase();
    let Some((_, text)) = SECTIONS.iter().find(|(known, _)| *known == word) else {
        let names = SECTIONS.iter().map(|(known, _)| *known);
        let advice = did_you_mean(&word, names).unwrap_or_else(|| {
            let names: Vec<&str> = SECTIONS.iter().map(|(known, _)| *known).collect();
            format!("there are {}", names.join(", "))
        });
        return Err(Fault::new(format!("there is no section `{word}`")).advise(advice));
    };
    let (_, body) = text.split_once('\n').unwrap_or(("", text));
    let names = names_of(body);
    let numbered = |name: &str, number: usize| match number {
        1 => name.to_owned(),
        number => format!("{name}_{number}"),
    };
    let number = (1..1_000).find(|number| {
        let taken = |name: &&str| is_taken(&numbered(name, *number));
        !names.iter().any(|name| taken(&name.as_str()))
    });
    let number = number.unwrap_or(1);
    let mut text = String::with_capacity(body.len());
    let mut rest = body;
    while !rest.is_empty() {
        let is_part = |c: char| c.is_alphanumeric() || c == '_';
        let end = rest.find(|c| !is_part(c)).unwrap_or(rest.len());
        let (word, after) = rest.split_at(end);
        if names.iter().any(|name| name == word) {
            text += &numbered(word, number);
        } else {
            text += word;
        }
        let end = after.find(is_part).unwrap_or(after.len());
        let (signs, after) = after.split_at(end);
        text += signs;
        rest = after;
    }
    let heading = body.lines().next().unwrap_or("").trim_matches(['[', ']']);
    let numbered_heading = match number {
        1 => heading.to_owned(),
        number => format!("{heading} {number}"),
    };
    let text = text.replacen(&format!("[{heading}]"), &format!("[{numbered_heading}]"), 1);
    Ok(NewSection {
        heading: numbered_heading,
        text,
    })
}

/// Returns a notebook's text with a section at its end.
#[must_use]
pub fn with_section(text: &str, section: &NewSection) -> String {
    let end = if text.contains("\r\n") { "\r\n" } else { "\n" };
    let gap = match text {
        "" => "",
        text if text.ends_with('\n') => end,
        _ => "\n\n",
    };
    format!("{text}{gap}{}", section.text.replace('\n', end))
}

/// Returns the names that a section defines.
fn names_of(text: &str) -> Vec<String> {
    let pieces = split(text);
    let statements = pieces.iter().filter_map(|piece| {
        let own = text.get(piece.span.start as usize..piece.span.end as usize)?;
        parse_statement(own).ok()
    });
    statements
        .filter_map(|statement| match statement {
            StatementKind::Cell(name, _) | StatementKind::Table(name, ..) => {
                Some(name.text.to_string())
            }
            _ => None,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_second_section_gets_names_of_its_own() {
        let first = section("taper", &|_| false).unwrap();
        assert_eq!(first.heading, "Taper");
        assert!(first.text.contains("taper_big   = 18 mm"), "{}", first.text);
        let second = section("Taper", &|name| name == "taper_big").unwrap();
        assert_eq!(second.heading, "Taper 2");
        assert!(second.text.contains("[Taper 2]\n"), "{}", second.text);
        assert!(second.text.contains("check taper_big_2 > taper_small_2"));
        let wrong = section("tapr", &|_| false).unwrap_err();
        assert_eq!(wrong.advice.as_deref(), Some("did you mean `taper`?"));
    }

    #[test]
    fn a_section_goes_to_the_end_and_changes_nothing_before_it() {
        let stock = section("stock", &|_| false).unwrap();
        for text in ["", "a = 1", "a = 1\n", "a = 1\r\n"] {
            let added = with_section(text, &stock);
            assert!(
                added.starts_with(text) && added.contains("[Stock]"),
                "{text:?}"
            );
        }
        assert!(with_section("a = 1\r\n", &stock).contains("\r\n\r\n[Stock]\r\n"));
    }

    #[test]
    fn the_names_of_different_sections_differ() {
        let mut seen = foldhash::HashMap::default();
        for (word, text) in SECTIONS {
            for name in names_of(text) {
                assert_eq!(seen.insert(name.clone(), word), None, "{name} in {word}");
            }
        }
        assert!(SECTIONS.len() >= 14 && seen.len() > 100);
    }
}
