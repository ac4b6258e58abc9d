//! The reference for a terminal.

use unicode_width::UnicodeWidthStr;

use super::{Argument, Entry};
use crate::diagnostic::push_line;
use crate::notebook::sections;
use crate::sheet::TerminalStyle;
use crate::sheet::narrow::{self, UNBROKEN, code_line, words_text, wrapped};

/// Returns a function in full.
#[must_use]
pub fn entry_text(entry: &Entry, look: TerminalStyle) -> String {
    let mut out = String::new();
    narrow::heading(&mut out, &entry.signature, look);
    push_line(&mut out, &entry.topic);
    out.push('\n');
    paragraph(&mut out, look, &entry.description);
    let arguments = entry.arguments.iter();
    section(&mut out, look, "Arguments", arguments.map(argument_row));
    for argument in entry.arguments.iter().filter(|one| one.texts.len() > 3) {
        let names = some(&argument.texts);
        paragraph(&mut out, look, &format!("{}: {names}", argument.name));
    }
    let requires = entry.requires.iter();
    let requires =
        requires.map(|(condition, otherwise)| [condition.clone(), format!("else: {otherwise}")]);
    section(&mut out, look, "Must hold", requires);
    section(&mut out, look, "Gives", said(entry.gives_text()));
    let what = if entry.gives.starts_with("table") {
        "Columns, with the first row of the example"
    } else {
        "Fields, with their values in the example"
    };
    let fields = entry.fields.iter().map(|field| {
        let name = format!(".{}", field.name);
        [name, field.value.clone(), field.meaning.clone()]
    });
    section(&mut out, look, what, fields);
    heading(&mut out, look, "Formula");
    match &entry.formula {
        Some(formula) => indented(&mut out, look, formula),
        None => paragraph(&mut out, look, NO_FORMULA),
    }
    section(&mut out, look, "Source", said(entry.source.clone()));
    if let [_, more @ ..] = entry.examples.as_slice() {
        let word = if more.is_empty() {
            "Example"
        } else {
            "Examples"
        };
        heading(&mut out, look, word);
    }
    for example in &entry.examples {
        let (printed, worked) = example.answers();
        let text = format!("{} = {printed}", example.expression);
        indented(&mut out, look, &text);
        if let Some(worked) = worked {
            indented(&mut out, look, &format!("  worked: {worked}"));
        }
    }
    for caution in &entry.cautions {
        section(&mut out, look, "Caution", said(caution.clone()));
    }
    out
}

/// What is said where there is no formula.
pub(super) const NO_FORMULA: &str =
    "none; the program works it out, looks it up or searches for it";

/// Returns a paragraph as rows; none of nothing.
fn said(text: String) -> impl Iterator<Item = [String; 1]> {
    std::iter::once([text]).filter(|[text]| !text.is_empty())
}

/// Writes rows of words below a heading; nothing where there are none.
fn section<const N: usize>(
    out: &mut String,
    look: TerminalStyle,
    title: &str,
    rows: impl Iterator<Item = [String; N]>,
) {
    let mut rows = rows.peekable();
    if rows.peek().is_some() {
        heading(out, look, title);
        *out += &words_text(rows, look);
    }
}

/// Returns functions by topic, each with the first sentence of its description.
#[must_use]
pub fn list_text(entries: &[Entry], look: TerminalStyle) -> String {
    let mut out = String::new();
    for topic in super::markdown::topics(entries) {
        if !out.is_empty() {
            out.push('\n');
        }
        push_line(&mut out, &look.bold(topic));
        let of_topic = entries.iter().filter(|entry| entry.topic == topic);
        let rows = of_topic.map(|entry| [entry.name.clone(), entry.first_sentence().to_owned()]);
        out += &words_text(rows, look);
    }
    out
}

/// Returns the topics with what they are about, and how to go on from there.
#[must_use]
pub fn topics_text(topics: &[(&str, String)], look: TerminalStyle) -> String {
    let rows = topics.iter();
    let rows = rows.map(|(topic, about)| [(*topic).to_owned(), about.clone()]);
    words_text(rows, look)
}

/// Returns the sections to start from, each with what it is for.
#[must_use]
pub fn sections_text(look: TerminalStyle) -> String {
    let rows = sections().map(|(word, about)| [word.to_owned(), about.to_owned()]);
    words_text(rows, look)
}

/// Returns names in a row; of a long list as many as fit a few lines.
fn some(names: &[String]) -> String {
    const MOST: usize = 40;
    let mut shown: Vec<String> = names
        .iter()
        .take(MOST)
        .map(|name| format!("\"{name}\""))
        .collect();
    if names.len() > MOST {
        shown.push(format!("and {} more", names.len() - MOST));
    }
    shown.join(", ")
}

fn argument_row(argument: &Argument) -> [String; 3] {
    let meaning = match &argument.default {
        Some(default) => format!("{} (without it {default})", argument.meaning),
        None => argument.meaning.clone(),
    };
    [argument.name.clone(), argument.kind.clone(), meaning]
}

fn heading(out: &mut String, look: TerminalStyle, text: &str) {
    out.push('\n');
    narrow::heading(out, text, look);
}

fn indented(out: &mut String, look: TerminalStyle, text: &str) {
    for line in text.lines() {
        code_line(out, &format!("  {line}"), usize::from(look.width));
    }
}

fn paragraph(out: &mut String, look: TerminalStyle, text: &str) {
    *out += &words_text(std::iter::once([text.to_owned()]), look);
}

/// Returns commands with what each does: beside it where there is room, else below it.
/// A command is broken between its arguments only.
#[must_use]
pub fn commands_text(rows: &[(&str, &str)], look: TerminalStyle) -> String {
    /// Where what it does begins, on a terminal that has room for it.
    const BESIDE: usize = 36;
    /// The narrowest terminal that has.
    const ROOMY: usize = 80;
    let width = usize::from(look.width);
    let place = if width < ROOMY { 6 } else { BESIDE };
    let mut out = String::new();
    for (command, does) in rows {
        let beside = command.width() + 4 <= place;
        let mut about = String::new();
        wrapped(&mut about, does, width, place, place);
        if beside {
            let about = about.get(command.width() + 2..).unwrap_or("");
            out += &format!("  {command}{about}");
            continue;
        }
        wrapped(&mut out, &unbroken_quotes(command), width, 2, 4);
        out += &about;
    }
    out.replace(UNBROKEN, " ")
}

/// Returns a command with the blanks within quotes kept together.
fn unbroken_quotes(command: &str) -> String {
    let mut quoted = false;
    let kept = command.chars().map(|c| {
        quoted ^= c == '\'';
        if quoted && c == ' ' { UNBROKEN } else { c }
    });
    kept.collect()
}
