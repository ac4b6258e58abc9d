//! What the texts are that a function takes.

use crate::language::{KindWord, ParameterDoc};
use crate::trade::{change_gears, cutting_speeds, dividing, materials, tapers, threads};

/// Returns the texts that a parameter may be: those of its contract, the names of
/// the tables it is looked up in, and those its documentation names.
#[must_use]
pub fn known_texts(function: &str, parameter: &ParameterDoc) -> Vec<String> {
    let name = &*parameter.name;
    let mut found: Vec<String> = Vec::new();
    let mut takes_text = false;
    for kind in &parameter.contract.kinds {
        match kind {
            KindWord::OneOf(texts) => found.extend(texts.iter().cloned()),
            KindWord::Text => takes_text = true,
            _ => {}
        }
    }
    if !takes_text {
        return found;
    }
    let known = if name.ends_with("designation") && function.contains("taper") {
        tapers::designations()
    } else if name.ends_with("designation") {
        threads::designations()
    } else if name.ends_with("material") {
        materials::materials()
    } else if matches!(name, "operation" | "tool") {
        cutting_speeds::words(name)
    } else if function == "plate_set" || name == "plates" {
        dividing::plate_set_names()
    } else if function == "gear_set" || name == "gears" {
        change_gears::gear_set_names()
    } else {
        Vec::new()
    };
    found.extend(known.into_iter().map(str::to_owned));
    // The texts that the documentation names.
    for (index, text) in parameter.meaning.split('"').enumerate() {
        if index % 2 == 1 && !found.iter().any(|known| known == text) {
            found.push(text.to_owned());
        }
    }
    found
}
