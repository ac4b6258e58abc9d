//! What a word finds among the functions.

use crate::diagnostic::{Fault, did_you_mean};
use crate::language::{Function, library, library_topics};

/// What a word found.
#[derive(Clone, Debug)]
pub enum Found {
    /// The function of that name.
    One(&'static Function),
    /// The functions of a topic, or those that speak of the words.
    Several(Vec<&'static Function>),
}

/// Returns the function of a name (`tapping drill` is `tapping_drill`), else the
/// functions of a topic, else those that speak of all the words.
///
/// Words are looked for whole (`pin` does not find `spindle`), one or several of a
/// thing alike; where names, topics and descriptions speak of them, what stands
/// elsewhere in the documentation is left out.
///
/// # Errors
/// When nothing is found: with the nearest names.
pub fn find(asked: &str) -> Result<Found, Fault> {
    let words = words_of(asked);
    let all = || library().all().iter();
    if let Some(function) = library().get(&words.join("_")) {
        return Ok(Found::One(function));
    }
    let topics = library_topics();
    let topic = topics.iter().find(|(topic, _)| {
        let topic = words_of(topic);
        let same = |(one, word): (&String, &String)| same(one, word);
        topic.len() == words.len() && topic.iter().zip(&words).all(same)
    });
    if let Some((topic, _)) = topic.filter(|_| !words.is_empty()) {
        let of_topic = all().filter(|function| function.topic == *topic);
        return Ok(Found::Several(of_topic.collect()));
    }
    let speaks = |text: &str| {
        let known = words_of(text);
        !words.is_empty()
            && words
                .iter()
                .all(|word| known.iter().any(|one| same(one, word)))
    };
    let names = |function: &&Function| {
        let doc = function.doc();
        let about = doc.map_or("", |doc| doc.description.as_str());
        speaks(&format!("{} {} {about}", function.name, function.topic))
    };
    let mut found: Vec<&Function> = all().filter(names).collect();
    if found.is_empty() {
        let anywhere =
            |function: &&Function| speaks(&format!("{} {}", function.name, function.documentation));
        found = all().filter(anywhere).collect();
    }
    if found.is_empty() {
        let text = asked.trim();
        let advice = did_you_mean(&words.join("_"), library().names());
        let advice = advice.unwrap_or_else(|| "`setover functions` lists the topics".to_owned());
        return Err(Fault::new(format!("no function has to do with `{text}`")).advise(advice));
    }
    Ok(Found::Several(found))
}

/// Returns the words of a text in small letters.
fn words_of(text: &str) -> Vec<String> {
    let words = text.split(|c: char| !c.is_alphanumeric());
    let words = words.filter(|word| !word.is_empty());
    words.map(str::to_lowercase).collect()
}

/// Returns whether two words are one, be it of one thing or of several.
pub fn same(a: &str, b: &str) -> bool {
    fn one(word: &str) -> &str {
        let short = word
            .strip_suffix("es")
            .filter(|stem| stem.ends_with("ss") || stem.ends_with('x') || stem.ends_with("ch"));
        short
            .or_else(|| {
                word.strip_suffix('s')
                    .filter(|stem| stem.len() > 2 && !stem.ends_with('s'))
            })
            .unwrap_or(word)
    }
    one(a) == one(b)
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
        assert!(names("tailstock").contains(&"set_over"));
    }

    #[test]
    fn words_are_found_whole_and_a_topic_by_its_name() {
        let pins = names("pin");
        assert!(pins.contains(&"pin_shear"), "{pins:?}");
        assert!(
            !pins.iter().any(|name| name.contains("spindle")),
            "{pins:?}"
        );
        let gears = names("gears");
        assert!(
            gears.contains(&"spur_gear") && !gears.contains(&"thread"),
            "{gears:?}"
        );
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
