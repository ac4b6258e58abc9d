//! What a word finds among the functions.

use crate::diagnostic::{Fault, did_you_mean};
use crate::language::{Function, library};

/// What a word found.
#[derive(Clone, Debug)]
pub enum Found {
    /// The function of that name.
    One(&'static Function),
    /// The functions that speak of it.
    Several(Vec<&'static Function>),
}

/// The function of a name (`tapping drill` is `tapping_drill`), else the functions
/// in whose names and documentation all the words stand.
///
/// # Errors
/// When nothing is found: with the nearest names.
pub fn find(asked: &str) -> Result<Found, Fault> {
    let words: Vec<String> = asked.split_whitespace().map(str::to_lowercase).collect();
    if let Some(function) = library().get(&words.join("_")) {
        return Ok(Found::One(function));
    }
    let speaks = |function: &&Function| {
        let text = format!(
            "{} {} {}",
            function.name.replace('_', " "),
            function.topic,
            function.documentation
        );
        let text = text.to_lowercase();
        !words.is_empty()
            && words
                .iter()
                .all(|word| text.contains(word) || function.name.contains(word))
    };
    let found: Vec<&Function> = library().all().iter().filter(speaks).collect();
    if found.is_empty() {
        let text = asked.trim();
        let advice = did_you_mean(&words.join("_"), library().names());
        let advice =
            advice.unwrap_or_else(|| "`setover functions` lists all functions by topic".to_owned());
        return Err(Fault::new(format!("no function speaks of `{text}`")).advise(advice));
    }
    Ok(Found::Several(found))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn names(words: &str) -> Vec<&'static str> {
        match find(words).unwrap() {
            Found::One(function) => vec![function.name],
            Found::Several(functions) => functions.iter().map(|f| f.name).collect(),
        }
    }

    #[test]
    fn a_name_finds_its_function_and_words_what_speaks_of_them() {
        assert_eq!(names("tapping_drill"), ["tapping_drill"]);
        assert_eq!(names("Tapping Drill"), ["tapping_drill"]);
        let wires = names("wires");
        assert!(wires.contains(&"over_wires") && wires.contains(&"pitch_diameter_from_wires"));
        assert!(names("MORSE").contains(&"taper"));
        assert!(names("taper tailstock").contains(&"set_over"));
    }

    #[test]
    fn what_is_not_found_gets_the_nearest_name() {
        let fault = find("tapping_dril1").unwrap_err();
        assert_eq!(
            fault.advice.as_deref(),
            Some("did you mean `tapping_drill`?")
        );
        for nothing in ["", "   ", "zzzzqq"] {
            let fault = find(nothing).unwrap_err();
            assert!(fault.advice.is_some(), "{nothing}");
        }
    }
}
