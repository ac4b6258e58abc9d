//! How designations and names that a user types are compared and quoted.

use crate::diagnostic::{Fault, did_you_mean};

/// The longest stretch of the user's text that a message repeats.
const LONGEST_QUOTE: usize = 40;

/// Returns the text in lower case, with single spaces and none at the ends.
pub(crate) fn plain(text: &str) -> String {
    text.to_lowercase()
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
}

/// Returns the text in backquotes, cut short when it is long.
pub(crate) fn quote(text: &str) -> String {
    if text.chars().count() <= LONGEST_QUOTE {
        format!("`{text}`")
    } else {
        let start: String = text.chars().take(LONGEST_QUOTE).collect();
        format!("`{start}…`")
    }
}

/// Returns a fault whose advice names the nearest of the known words, else is `otherwise`.
pub(crate) fn advised<'a>(
    fault: Fault,
    asked: &str,
    known: impl IntoIterator<Item = &'a str>,
    otherwise: impl Into<String>,
) -> Fault {
    let meant = did_you_mean(asked.trim(), known);
    fault.advise(meant.unwrap_or_else(|| otherwise.into()))
}

/// Returns the fault that a `place` of the library has no `kind` called `asked`: it lists
/// what is `known` and names the nearest of that and of what is understood `besides`.
pub(crate) fn unknown<'a>(
    (kind, asked): (&str, &str),
    place: &str,
    known: &[&'a str],
    besides: impl IntoIterator<Item = &'a str>,
    otherwise: &str,
) -> Fault {
    let fault = Fault::new(format!(
        "there is no {kind} {} in {place}; it has {}",
        quote(asked.trim()),
        list(known)
    ));
    let understood = known.iter().copied().chain(besides);
    advised(fault, asked, understood, otherwise)
}

/// Returns the words in their order, each once.
pub(crate) fn each_once<'a>(words: impl IntoIterator<Item = &'a str>) -> Vec<&'a str> {
    let mut found: Vec<&str> = Vec::new();
    for word in words {
        if !found.contains(&word) {
            found.push(word);
        }
    }
    found
}

/// Returns words in backquotes, joined by commas and a last "and".
pub(crate) fn list<S: AsRef<str>>(words: &[S]) -> String {
    let quoted: Vec<String> = words
        .iter()
        .map(|word| format!("`{}`", word.as_ref()))
        .collect();
    match quoted.as_slice() {
        [] => "none".to_owned(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_compared_without_case_and_spacing() {
        assert_eq!(plain("  Mild   STEEL "), "mild steel");
        assert_eq!(quote("MT9"), "`MT9`");
        assert_eq!(quote(&"x".repeat(60)).chars().count(), 43);
        assert_eq!(list(&["a", "b", "c"]), "`a`, `b` and `c`");
    }
}
