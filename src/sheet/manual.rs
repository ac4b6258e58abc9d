//! The documents as they are read at a terminal, topic by topic. All of them are
//! inside the program: an installed one has no source tree beside it.

mod layout;

use super::TerminalStyle;
use super::narrow::heading;
use super::reference::same;
use crate::diagnostic::{Fault, nearest};

/// The documents: what each is called, and its text.
const DOCUMENTS: &[(&str, &str)] = &[
    ("The language", include_str!("../../library/LANGUAGE.md")),
    ("Drawing", include_str!("../../library/DRAWING.md")),
    ("The tutorial", include_str!("../../notebooks/TUTORIAL.md")),
    (
        "From a drawing in inches",
        include_str!("../../library/INCHES.md"),
    ),
    (
        "Which function for which job",
        include_str!("../../library/JOBS.md"),
    ),
];

/// A topic: its heading, how deep it stands and its text.
#[derive(Clone, Debug)]
struct Topic {
    document: &'static str,
    heading: String,
    depth: usize,
    text: &'static str,
}

/// Returns the topic that some words ask for, laid out for a terminal; `ask` is what
/// is typed before a topic (`help`).
///
/// # Errors
/// When there is none: with the nearest.
pub fn manual_topic(words: &str, ask: &str, look: TerminalStyle) -> Result<String, Fault> {
    let topics = topics();
    let wanted = words.trim().to_lowercase();
    let Some(topic) = find(&topics, &wanted) else {
        let jobs = jobs(&wanted);
        if !jobs.is_empty() {
            let mut out = String::new();
            layout::markdown(&mut out, &jobs, look);
            return Ok(out);
        }
        let known: Vec<String> = topics
            .iter()
            .flat_map(|topic| words_of(&topic.heading))
            .collect();
        let near = nearest(&wanted, known.iter().map(String::as_str));
        let advice = match near.first() {
            Some(near) => format!("did you mean `{ask} {near}`?"),
            None => format!("`{ask}` lists the topics"),
        };
        let message = format!("there is no topic `{}`", words.trim());
        return Err(Fault::new(message).advise(advice));
    };
    let mut out = String::new();
    heading(&mut out, &topic.heading, layout::set(look));
    layout::markdown(&mut out, topic.text, look);
    let more: Vec<&str> = topics
        .iter()
        .filter(|other| speaks_of(other, &wanted) && !covers(topic, other))
        .map(|other| other.heading.as_str())
        .collect();
    if !more.is_empty() {
        let more = more
            .iter()
            .map(|heading| format!("`{ask} {}`", asked_by(heading)));
        let more: Vec<String> = more.collect();
        out.push('\n');
        layout::paragraph(&mut out, &format!("See also {}", more.join(", ")), look);
    }
    Ok(out)
}

/// Returns the list of topics, document by document.
#[must_use]
pub fn manual_list(look: TerminalStyle) -> String {
    let mut out = String::new();
    for (document, _) in DOCUMENTS {
        out.push_str(&format!("{}\n", look.bold(document)));
        let topics = topics();
        let own = topics
            .iter()
            .filter(|topic| topic.document == *document && topic.depth > 1);
        let headings: Vec<&str> = own.map(|topic| topic.heading.as_str()).collect();
        layout::list(&mut out, &headings, look);
        out.push('\n');
    }
    out
}

/// Returns the topics of all documents; a document's title stands for what comes before its
/// first heading.
fn topics() -> Vec<Topic> {
    DOCUMENTS
        .iter()
        .flat_map(|(name, text)| cut(name, text))
        .collect()
}

/// Returns the rows of the index by jobs that speak of all the wanted words but the small
/// ones.
fn jobs(wanted: &str) -> String {
    let mut wanted = words_of(wanted);
    wanted.retain(|word| word.len() > 2);
    let speaks = |row: &&str| {
        let task = row.split('|').nth(1).unwrap_or("");
        let words = words_of(task);
        row.starts_with("| ")
            && !wanted.is_empty()
            && wanted
                .iter()
                .all(|word| words.iter().any(|known| same(known, word)))
    };
    let text = DOCUMENTS.last().map_or("", |(_, text)| text);
    text.lines()
        .filter(speaks)
        .map(|row| format!("{row}\n"))
        .collect()
}

/// Cuts a document at its headings; what stands in a fenced block is no heading.
fn cut(document: &'static str, text: &'static str) -> Vec<Topic> {
    let mut starts: Vec<(usize, usize)> = Vec::new();
    let mut offset = 0;
    let mut fenced = false;
    for line in text.split_inclusive('\n') {
        if line.starts_with("```") {
            fenced = !fenced;
        }
        let depth = line.bytes().take_while(|byte| *byte == b'#').count();
        if !fenced && depth >= 1 && line.as_bytes().get(depth) == Some(&b' ') {
            starts.push((offset, depth));
        }
        offset += line.len();
    }
    let mut found = Vec::new();
    for (index, (start, depth)) in starts.iter().enumerate() {
        // A topic goes on to the next heading that is not below it, a title to the
        // first heading.
        let end = starts
            .iter()
            .skip(index + 1)
            .find(|(_, next)| *depth == 1 || next <= depth)
            .map_or(text.len(), |(end, _)| *end);
        let part = text.get(*start..end).unwrap_or("");
        let (heading, body) = part.split_once('\n').unwrap_or((part, ""));
        found.push(Topic {
            document,
            heading: heading.trim_start_matches('#').trim().replace('`', ""),
            depth: *depth,
            text: body,
        });
    }
    found
}

/// Returns the words of a heading by which it may be asked for.
fn words_of(heading: &str) -> Vec<String> {
    let words = heading.split(|c: char| !(c.is_alphanumeric() || c == '_'));
    words
        .filter(|word| word.len() > 1)
        .map(str::to_lowercase)
        .collect()
}

/// Returns whether all the wanted words stand in a topic's heading.
fn speaks_of(topic: &Topic, wanted: &str) -> bool {
    let words = words_of(&topic.heading);
    let mut wanted = wanted.split_whitespace();
    wanted.all(|word| words.iter().any(|known| same(known, word)))
}

/// Returns whether another topic is this one or stands in it.
fn covers(topic: &Topic, other: &Topic) -> bool {
    let start = topic.text.as_ptr() as usize;
    let inside = start..start + topic.text.len().max(1);
    inside.contains(&(other.text.as_ptr() as usize))
}

/// Returns the words that ask for a heading: what stands before its signs.
fn asked_by(heading: &str) -> String {
    let end = heading
        .find(|c: char| !(c.is_alphanumeric() || c == ' ' || c == '_'))
        .unwrap_or(heading.len());
    let words = heading.get(..end).unwrap_or("").trim();
    let words = words.split(" of ").next().unwrap_or(words);
    let words = if words.is_empty() { heading } else { words };
    words.to_lowercase()
}

/// Returns the topic whose heading is, begins with or has the wanted words.
fn find<'a>(topics: &'a [Topic], wanted: &str) -> Option<&'a Topic> {
    if wanted.is_empty() {
        return None;
    }
    let heading = |topic: &Topic| topic.heading.to_lowercase();
    let first = |test: &dyn Fn(&Topic) -> bool| topics.iter().find(|topic| test(topic));
    first(&|topic| heading(topic) == wanted)
        .or_else(|| first(&|topic| topic.depth == 1 && heading(topic).starts_with(wanted)))
        .or_else(|| first(&|topic| heading(topic).starts_with(wanted)))
        .or_else(|| first(&|topic| speaks_of(topic, wanted)))
}

#[cfg(test)]
mod tests {
    use super::*;

    const LOOK: TerminalStyle = TerminalStyle {
        width: 72,
        colour: false,
    };

    #[track_caller]
    fn check(words: &str, expected: &str) {
        let text = manual_topic(words, "help", LOOK).unwrap();
        assert!(text.contains(expected), "{words}:\n{text}");
    }

    #[test]
    fn every_document_is_inside() {
        check("units", "`lbf`");
        check("draw", "draw lever");
        check("lever", "big_bore");
        check("holes", "draw holes of");
        check("graph", "draw graph of");
        check("the lever", "lever.job");
        check("inches", "25.4 mm");
        check("cut a left-hand thread", "idler");
        check("turn a taper between centres", "set_over(");
        let list = manual_list(LOOK);
        assert!(list.contains("Sizes with limits") && list.contains("draw fit(hole, shaft)"));
        let wrong = manual_topic("untis", "help", LOOK).unwrap_err();
        assert_eq!(wrong.advice.as_deref(), Some("did you mean `help units`?"));
        assert!(manual_topic("", "help", LOOK).is_err());
    }

    /// No line is wider than the terminal but one that can't be broken, and no mark of
    /// the documents' own notation is left.
    #[test]
    fn every_topic_is_laid_out() {
        for width in [40, 72, 120] {
            let look = TerminalStyle { width, ..LOOK };
            for topic in topics() {
                let mut text = String::new();
                layout::markdown(&mut text, topic.text, look);
                for line in text.lines() {
                    let code = line.starts_with("    ");
                    assert!(
                        code || line.chars().count() <= usize::from(width)
                            || !line.trim().contains(' '),
                        "{width}: {line}"
                    );
                    assert!(!line.starts_with("```") && !line.contains("|---"), "{line}");
                }
            }
        }
    }
}
