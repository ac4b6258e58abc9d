//! `setover functions`: what the functions of the library do.

use clap::ValueEnum;

use super::output;
use super::status::WELL;
use crate::diagnostic::Fault;
use crate::language::{Function, library, library_topics};
use crate::sheet::reference::{Entry, Found, entry_text, find, list_text, markdown, topics_text};
use crate::sheet::wrapped;

/// How the reference is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum ReferenceForm {
    /// Text for a person to read
    Text,
    /// One Markdown page
    Markdown,
    /// JSON for other programs
    Json,
}

/// Lists the topics or the functions of one, shows the function of a name in full, or
/// lists what speaks of
/// some words.
pub fn functions(words: &[String], form: ReferenceForm) -> u8 {
    let words = words.join(" ");
    if words.is_empty() && form == ReferenceForm::Text {
        let look = output::look();
        let topics = topics_text(&library_topics(), look);
        let mut text = format!("What the library can work out, by topic\n\n{topics}\n");
        let more = "`setover functions tapers` lists a topic, `setover functions pin` what has \
             to do with pins, `setover functions set_over` describes a function.";
        wrapped(&mut text, more, usize::from(look.width), 0, 0);
        output::print(&text);
        return WELL;
    }
    let found = if words.is_empty() {
        Ok(Found::Several(library().all().iter().collect()))
    } else {
        find(&words)
    };
    match found.and_then(|found| written(&found, form)) {
        Ok(text) => {
            output::print(&text);
            WELL
        }
        Err(fault) => output::wrong(fault),
    }
}

fn written(found: &Found, form: ReferenceForm) -> Result<String, Fault> {
    let functions: Vec<&Function> = match found {
        Found::One(function) => vec![*function],
        Found::Several(functions) => functions.clone(),
    };
    let listed = form == ReferenceForm::Text && functions.len() > 1;
    let entry = if listed { Entry::of } else { Entry::in_full };
    let entries = functions.into_iter().map(entry);
    let entries = entries.collect::<Result<Vec<Entry>, Fault>>()?;
    Ok(match (form, found, entries.as_slice()) {
        (ReferenceForm::Text, Found::One(_), [entry]) => entry_text(entry, output::look()),
        (ReferenceForm::Text, ..) => list_text(&entries, output::look()),
        (ReferenceForm::Markdown, ..) => markdown(&entries),
        (ReferenceForm::Json, ..) => {
            serde_json::to_string_pretty(&entries).unwrap_or_default() + "\n"
        }
    })
}
