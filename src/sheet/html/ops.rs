//! Ops as cards: what to do, then its settings large.

use maud::{Markup, html as markup};

use super::parts::{PageRow, clean, minus, remark, state};
use crate::sheet::model::Row;

/// The longest setting; a longer text is read in the sentence only.
const LONGEST: usize = 28;
/// The longest setting that stands on one line of a phone.
const SHORT: usize = 14;
/// The most words that stand before a setting.
const WORDS: usize = 4;
/// Words that tell nothing of a setting by themselves.
const LINKS: &[&str] = &[
    "a", "about", "and", "at", "by", "from", "in", "is", "of", "or", "over", "the", "to", "with",
];

/// A value that is set or watched at the machine.
struct Setting {
    /// What it is: the words before it in the op, or what its unit tells.
    what: String,
    /// The value.
    value: String,
    /// Its limits and what is aimed at, or the value in the other system of units.
    other: String,
}

/// Returns the values of an op with the words that name them.
fn settings(row: &Row) -> Vec<Setting> {
    let mut settings = Vec::new();
    let mut before = String::new();
    // Whether the words before a value have named the one before it.
    let mut named_ahead = false;
    for (place, part) in row.parts.iter().enumerate() {
        if !part.value {
            before.push_str(&part.text);
            continue;
        }
        let text = part.text.trim();
        // A reading is told in the sentence; what is set is the size.
        let (size, _) = text.split_once("; measured ").unwrap_or((text, ""));
        let both = size
            .strip_suffix(')')
            .and_then(|text| text.rsplit_once(" ("));
        let (value, other) = both.unwrap_or((size, ""));
        let behind = row.parts.get(place + 1).filter(|next| !next.value);
        let behind = behind.map_or("", |next| next.text.as_str());
        let what = named(&before, value, behind, named_ahead);
        named_ahead = !what.is_empty() && behind.trim_start().starts_with(&what);
        let (value, other) = (minus(value), minus(other));
        // Long texts, such as a list of wheels or advice, are read in the sentence.
        if value.chars().count() <= LONGEST && value.chars().any(|c| c.is_ascii_digit()) {
            settings.push(Setting { what, value, other });
        }
        before.clear();
    }
    settings
}

/// What ends a clause.
const STOPS: [char; 6] = ['.', ';', ':', ',', '(', ')'];

/// Returns what a setting is called: speed and feed by their units, all else by the last
/// words before it and, where those tell nothing or name another, by the first behind
/// it, else by the clause before.
fn named(before: &str, value: &str, behind: &str, taken: bool) -> String {
    let unit = value.rsplit(' ').next().unwrap_or("");
    if unit == "rpm" {
        return "speed".to_owned();
    }
    if unit.ends_with("/min") && !unit.starts_with("m/") && !unit.starts_with("ft/")
        || unit.ends_with("/rev")
    {
        return "feed".to_owned();
    }
    let all_words = last_words(before.rsplit(STOPS).next().unwrap_or(""));
    let all_links = |words: &[&str]| words.iter().all(|word| LINKS.contains(word));
    // What comes behind `and` is named anew.
    let anew = all_words.last().is_some_and(|word| *word == "and");
    let words = if taken || anew && !all_links(&all_words) {
        &[][..]
    } else {
        &all_words
    };
    if !all_links(words) {
        return words.join(" ");
    }
    let clause = behind.split(STOPS).next().unwrap_or("");
    let mut behind: Vec<&str> = clause.split_whitespace().take(WORDS).collect();
    let link = |word: &&&str| !words.is_empty() && LINKS.contains(word) || **word == "and";
    while behind.last().filter(link).is_some() {
        behind.pop();
    }
    match (words.is_empty(), all_links(&behind)) {
        (true, false) => behind.join(" "),
        (true, true) if !all_words.is_empty() => all_words.join(" "),
        (true, true) => {
            let clauses = before.rsplit(STOPS).map(last_words);
            let words = clauses.into_iter().find(|words| !words.is_empty());
            words.unwrap_or_default().join(" ")
        }
        (false, true) => words.join(" "),
        (false, false) => format!("{} … {}", words.join(" "), behind.join(" ")),
    }
}

/// Returns the last words of a clause.
fn last_words(clause: &str) -> Vec<&str> {
    let words: Vec<&str> = clause.split_whitespace().collect();
    let from = words.len().saturating_sub(WORDS);
    words.into_iter().skip(from).collect()
}

/// Returns ops, numbered, each a card with a box to tick.
pub fn ops(rows: &[PageRow]) -> Markup {
    markup! {
        ul.ops {
            @for placed in rows { (card(placed)) }
        }
    }
}

fn card(PageRow { id, row }: &PageRow) -> Markup {
    let settings = settings(row);
    markup! {
        li.op id=(id) data-op=(clean(&row.formula)) {
            label {
                input type="checkbox" aria-label={"op " (clean(&row.name)) " done"};
                span.number { (clean(&row.name)) }
            }
            div.do {
                p.words {
                    @if row.parts.is_empty() {
                        (clean(&row.text))
                        @if row.text.is_empty() { (state(row.state, &row.status)) }
                    }
                    @for part in &row.parts {
                        @if part.value { b.long[part.text.chars().count() > LONGEST] { (clean(&minus(&part.text))) } } @else { (clean(&part.text)) }
                    }
                    " " (remark(&row.note))
                }
                @if !settings.is_empty() {
                    ul.settings {
                        @for setting in &settings {
                            li {
                                @if !setting.what.is_empty() { span.what { (clean(&setting.what)) } " " }
                                @if setting.value.chars().count() > SHORT { b.long { (clean(&setting.value)) } } @else { b { (clean(&setting.value)) } }
                                @if !setting.other.is_empty() { " " span.other { (clean(&setting.other)) } }
                            }
                        }
                    }
                }
                @if !row.cautions.is_empty() {
                    ul.caution {
                        @for caution in &row.cautions { li { (clean(caution)) } }
                    }
                }
            }
        }
    }
}
