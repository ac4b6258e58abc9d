//! The reference as one Markdown page.

use std::fmt::Write;

use super::Entry;
use super::terminal::NO_FORMULA;

/// Returns the topics of functions, in order of their first function.
pub(super) fn topics(entries: &[Entry]) -> Vec<&str> {
    let mut topics: Vec<&str> = Vec::new();
    for entry in entries {
        if !topics.contains(&entry.topic.as_str()) {
            topics.push(&entry.topic);
        }
    }
    topics
}

/// Returns a page with all the functions, topic by topic.
#[must_use]
pub fn markdown(entries: &[Entry]) -> String {
    let mut out = String::from(
        "# Functions\n\n\
         Every function of the library: how it is called, what it takes and gives, its formula, where it comes\n\
         from, and worked examples as the program prints them; where the worked value has other digits or another\n\
         unit, it follows. An example whose numbers the named source does not print is our own derivation.\n\
         Tables are followed to their sources in TABLES.md. Made by\n\
         `setover functions --as markdown` from library/functions.\n\n",
    );
    for topic in topics(entries) {
        let of_topic = || entries.iter().filter(|entry| entry.topic == topic);
        let names: Vec<String> = of_topic()
            .map(|entry| format!("[{0}](#{0})", entry.name))
            .collect();
        let _ = writeln!(out, "- **{topic}**: {}", names.join(", "));
    }
    for topic in topics(entries) {
        let _ = writeln!(out, "\n## {topic}");
        for entry in entries.iter().filter(|entry| entry.topic == topic) {
            one(&mut out, entry);
        }
    }
    out
}

fn one(out: &mut String, entry: &Entry) {
    let _ = writeln!(out, "\n### {}\n", entry.name);
    let _ = writeln!(out, "`{}`\n", entry.signature);
    let _ = writeln!(out, "{}\n", entry.description);
    if !entry.arguments.is_empty() {
        out.push_str("| argument | what it may be | meaning | without it |\n|---|---|---|---|\n");
        for argument in &entry.arguments {
            let default = argument.default.as_ref();
            let _ = writeln!(
                out,
                "| `{}` | `{}` | {} | {} |",
                argument.name,
                cell(&argument.kind),
                cell(&argument.meaning),
                default.map_or(String::new(), |default| format!("`{}`", cell(default)))
            );
        }
        out.push('\n');
    }
    for (condition, otherwise) in &entry.requires {
        let _ = writeln!(out, "- Must hold: `{condition}`, else: {otherwise}");
    }
    let _ = writeln!(out, "- Gives: {}", entry.gives_text());
    for field in &entry.fields {
        let _ = match field.kind.as_str() {
            "" => writeln!(out, "  - `.{}`", field.name),
            kind => writeln!(out, "  - `.{}` ({kind}): {}", field.name, field.meaning),
        };
    }
    let _ = writeln!(out, "- Source: {}", entry.source);
    for example in &entry.examples {
        let (printed, worked) = example.answers();
        let worked = worked.map_or(String::new(), |worked| format!(" (worked: {worked})"));
        let _ = writeln!(
            out,
            "- Example: `{} = {printed}`{worked}",
            example.expression
        );
    }
    for caution in &entry.cautions {
        let _ = writeln!(out, "- **Caution**: {caution}");
    }
    match &entry.formula {
        Some(formula) => {
            let _ = writeln!(out, "\n```\n{formula}\n```");
        }
        None => *out += &format!("- Formula: {NO_FORMULA}\n"),
    }
}

/// Returns text in a cell of a table: a bar would end it.
fn cell(text: &str) -> String {
    text.replace('|', "\\|")
}
