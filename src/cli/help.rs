//! `setover help`: the language reference, topic by topic.

use super::{WELL, WRONG, output};
use crate::diagnostic::{Diagnostic, Span, nearest};

/// The language reference.
const REFERENCE: &str = include_str!("../../library/LANGUAGE.md");

/// A topic of the reference: its heading, how deep it stands and its text.
struct Topic<'a> {
    heading: &'a str,
    depth: usize,
    text: &'a str,
}

/// Prints the topics, or one of them.
pub fn help(words: &[String]) -> u8 {
    let topics = topics(REFERENCE);
    let wanted = words.join(" ").to_lowercase();
    if wanted.is_empty() {
        output::print(&list(&topics));
        return WELL;
    }
    if let Some(topic) = find(&topics, &wanted) {
        output::print(&format!(
            "{}\n\n{}\n",
            topic.heading.replace('`', ""),
            topic.text.trim()
        ));
        return WELL;
    }
    if crate::language::library().get(&wanted).is_some() {
        output::print(&format!(
            "`{wanted}` is a function: `setover functions {wanted}` describes it\n"
        ));
        return WELL;
    }
    let known: Vec<String> = topics
        .iter()
        .flat_map(|topic| words_of(topic.heading))
        .collect();
    let near = nearest(&wanted, known.iter().map(String::as_str));
    let advice = match near.first() {
        Some(near) => format!("did you mean `{near}`?"),
        None => "`setover help` lists the topics, `setover functions` the library".to_owned(),
    };
    let message = format!("there is no topic `{wanted}`");
    output::wrong(&Diagnostic::error(message, Span::default()).advise(advice));
    WRONG
}

/// Cuts the reference at its headings; what stands in a fenced block is no heading.
fn topics(text: &str) -> Vec<Topic<'_>> {
    let mut starts: Vec<(usize, usize)> = Vec::new();
    let mut offset = 0;
    let mut fenced = false;
    for line in text.split_inclusive('\n') {
        if line.starts_with("```") {
            fenced = !fenced;
        }
        let depth = line.bytes().take_while(|byte| *byte == b'#').count();
        if !fenced && depth >= 2 && line.as_bytes().get(depth) == Some(&b' ') {
            starts.push((offset, depth));
        }
        offset += line.len();
    }
    let mut found = Vec::new();
    for (index, (start, depth)) in starts.iter().enumerate() {
        // A topic goes on to the next heading that is not below it.
        let end = starts[index + 1..]
            .iter()
            .find(|(_, next)| next <= depth)
            .map_or(text.len(), |(end, _)| *end);
        let part = text.get(*start..end).unwrap_or("");
        let (heading, body) = part.split_once('\n').unwrap_or((part, ""));
        found.push(Topic {
            heading: heading.trim_start_matches('#').trim(),
            depth: *depth,
            text: body,
        });
    }
    found
}

/// The words of a heading by which it may be asked for.
fn words_of(heading: &str) -> Vec<String> {
    let words = heading.split(|c: char| !(c.is_alphanumeric() || c == '_'));
    words
        .filter(|word| word.len() > 1)
        .map(str::to_lowercase)
        .collect()
}

/// The topic whose heading is, begins with or has the wanted words.
fn find<'a>(topics: &'a [Topic<'a>], wanted: &str) -> Option<&'a Topic<'a>> {
    let heading = |topic: &Topic| topic.heading.replace('`', "").to_lowercase();
    let first = |test: &dyn Fn(&Topic) -> bool| topics.iter().find(|topic| test(topic));
    first(&|topic| heading(topic) == wanted)
        .or_else(|| first(&|topic| heading(topic).starts_with(wanted)))
        .or_else(|| {
            first(&|topic| {
                wanted
                    .split(' ')
                    .all(|word| words_of(topic.heading).iter().any(|known| known == word))
            })
        })
}

fn list(topics: &[Topic]) -> String {
    let mut text = String::from("Topics of the language; `setover help WORD` prints one:\n\n");
    for topic in topics {
        text.push_str(&"  ".repeat(topic.depth - 1));
        text.push_str(&topic.heading.replace('`', ""));
        text.push('\n');
    }
    text.push_str(
        "\n`setover functions` lists the functions of the trade; `setover --help` the commands.\n",
    );
    text
}
