//! Ways to write a line that can't be understood: each one slip put right.

use crate::language::library;
use crate::quantity::{definitions, parse_unit};

/// Signs that mean an operator elsewhere, and the one it has here.
const SIGNS: &[(&str, &str)] = &[
    ("÷", "/"),
    ("**", "^"),
    (":=", "="),
    (" x ", " * "),
    ("×", "*"),
    ("π", "pi"),
];
/// Words of politeness before a formula.
const ASIDE: &[&str] = &[
    "what is ",
    "what's ",
    "calculate ",
    "calc ",
    "compute ",
    "print ",
    "show ",
    "let ",
    "set ",
];

/// Returns a line without what is said besides, its signs those of the language.
pub fn plainly(line: &str) -> String {
    let mut line = line.trim_start_matches('=').trim();
    let lower = line.to_lowercase();
    for word in ASIDE {
        if lower.starts_with(word) && lower.len() == line.len() {
            line = line.get(word.len()..).unwrap_or(line);
        }
    }
    let mut plain = line.trim_end_matches(['=', '?', ';', '.', ' ']).to_owned();
    for (sign, ours) in SIGNS {
        plain = plain.replace(sign, ours);
    }
    if let Some(rest) = plain.strip_prefix('√') {
        plain = format!("sqrt({})", rest.trim());
    }
    units_spelled(&plain)
}

/// Returns the units of a line spelled as they are here: `25 millimeters`, `12 MM`.
fn units_spelled(line: &str) -> String {
    let spelled = |word: &str| -> Option<&'static str> {
        let lower = word.to_lowercase();
        let own = definitions().iter().map(|unit| unit.symbol);
        let known = match lower.as_str() {
            "millimeter" | "millimeters" | "millimetre" | "millimetres" => Some("mm"),
            "sfm" | "fpm" => Some("ft/min"),
            "ipm" => Some("in/min"),
            "ipr" => Some("in/rev"),
            _ => None,
        };
        let same = |symbol: &&'static str| symbol.to_lowercase() == lower;
        let unknown = parse_unit(word).is_err();
        known
            .or_else(|| own.into_iter().find(same))
            .filter(|_| unknown)
    };
    let mut text = String::with_capacity(line.len());
    let mut after_number = false;
    let mut rest = line;
    while let Some(first) = rest.chars().next() {
        let word = if first.is_alphabetic() {
            rest.find(|c: char| !c.is_alphanumeric())
                .unwrap_or(rest.len())
        } else {
            first.len_utf8()
        };
        let (piece, after) = rest.split_at(word);
        match spelled(piece).filter(|_| after_number && first.is_alphabetic()) {
            Some(unit) => text += unit,
            None => text += piece,
        }
        after_number = first.is_ascii_digit() || after_number && first == ' ';
        rest = after;
    }
    text
}

/// Returns `(1 + 2) mm` as `(1 + 2) * 1 mm`.
pub fn of_unit(line: &str) -> Option<String> {
    let (formula, unit) = line.rsplit_once(')')?;
    let unit = unit.trim();
    (!unit.is_empty() && parse_unit(unit).is_ok()).then(|| format!("{formula}) * 1 {unit}"))
}

/// Returns `[10, 20] + 3 mm` as `[10, 20] mm + 3 mm`, with the unit that comes next.
pub fn list_of_unit(line: &str) -> Option<String> {
    let (list, rest) = line.split_once(']')?;
    let words = rest.split(|c: char| c.is_whitespace() || "+-*/(),".contains(c));
    let mut words = words.filter(|word| word.starts_with(char::is_alphabetic));
    let unit = words.find(|word| parse_unit(word).is_ok())?;
    Some(format!("{list}] {unit}{rest}"))
}

/// Returns `limits("12 H7")` as `limits(12 mm, "H7")`.
pub fn with_class(line: &str) -> Option<String> {
    let (before, quoted) = line.split_once('"')?;
    let (text, after) = quoted.split_once('"')?;
    let number = text.find(|c: char| !c.is_ascii_digit() && c != '.')?;
    let (number, rest) = text.split_at_checked(number)?;
    let unit = ["mm", "in"]
        .into_iter()
        .find_map(|unit| Some((unit, rest.trim_start().strip_prefix(unit)?)));
    let (unit, class) = unit.unwrap_or(("mm", rest));
    Some(format!(
        "{before}{number} {unit}, \"{}\"{after}",
        class.trim()
    ))
}

/// Returns `bore: 12 mm` and `bore 12 mm` as `bore = 12 mm`.
pub fn defined(line: &str) -> Vec<String> {
    let name_ends = line.find(|c: char| !(c.is_alphanumeric() || c == '_' || c == '-'));
    let (name, rest) = line.split_at(name_ends.unwrap_or(line.len()));
    let rest = rest.trim_start_matches([':', '=', ' ']);
    let called = rest.starts_with('(') || library().get(name).is_some();
    let reckoned = rest.starts_with(['+', '-', '*', '/', '^']);
    if !name.starts_with(char::is_alphabetic) || rest.is_empty() || called || reckoned {
        return Vec::new();
    }
    vec![format!("{} = {rest}", name.replace('-', "_"))]
}

/// Returns `30 deg 15 min` as `30°15'`.
pub fn minutes(line: &str) -> Option<String> {
    let words: Vec<&str> = line.split_whitespace().collect();
    let number = |place: usize| words.get(place).filter(|word| word.parse::<f64>().is_ok());
    let unit =
        |place: usize, known: &[&str]| words.get(place).is_some_and(|word| known.contains(word));
    let (degrees, minutes) = (number(0)?, number(2)?);
    let well = unit(1, &["deg", "degrees", "°"]) && unit(3, &["min", "minutes", "'", "arcmin"]);
    match (well, words.len(), number(4)) {
        (true, 4, _) => Some(format!("{degrees}°{minutes}'")),
        (true, 6, Some(seconds)) => Some(format!("{degrees}°{minutes}'{seconds}\"")),
        _ => None,
    }
}

/// Returns the unit of a number that an argument wants, by its contract.
pub fn wanted_unit(contract: &str) -> Option<&'static str> {
    let kind = contract
        .trim_start_matches("drawn ")
        .split_whitespace()
        .next()?;
    Some(match kind {
        "angle" => "deg",
        "length" => "mm",
        "speed" => "m/min",
        "rotation" => "rpm",
        _ => return None,
    })
}
