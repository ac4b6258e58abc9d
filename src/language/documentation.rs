//! The `##` lines above a function: what they say, and how they are read.

use std::sync::Arc;

use super::Contract;
use super::contract::unquoted;
use crate::diagnostic::Fault;

/// A parameter of a function, as documented.
#[derive(Clone, Debug)]
pub struct ParameterDoc {
    /// Its name.
    pub name: Arc<str>,
    /// What it may be.
    pub contract: Contract,
    /// What it means.
    pub meaning: String,
    /// The text of its value where a call gives none.
    pub default: Option<String>,
}

/// A field of the record, or a column of the table, that a function gives.
#[derive(Clone, Debug)]
pub struct FieldDoc {
    /// Its name.
    pub name: Arc<str>,
    /// What it is, and the unit it is shown in.
    pub kind: String,
    /// What it means.
    pub meaning: String,
}

/// What the documentation of a function says.
#[derive(Clone, Debug, Default)]
pub struct FunctionDoc {
    /// What the function does.
    pub description: String,
    /// Its parameters.
    pub parameters: Vec<ParameterDoc>,
    /// What must hold of the arguments together, with what is wrong otherwise.
    pub requires: Vec<(String, String)>,
    /// What it gives: a kind and the unit it is shown in.
    pub gives: String,
    /// The fields of the record, or the columns of the table, that it gives.
    pub fields: Vec<FieldDoc>,
    /// The field that the record counts as where a number is wanted.
    pub counts_as: Option<Arc<str>>,
    /// The field by which the record is called in a text.
    pub said_as: Option<Arc<str>>,
    /// Whether the rows of the table that it gives are choices, the best first.
    pub choices: bool,
    /// The book, standard or practice it comes from.
    pub source: String,
    /// Worked examples: an expression and its value.
    pub examples: Vec<(String, String)>,
    /// What to mind when using it.
    pub cautions: Vec<String>,
}

/// Reads the `##` lines above a function.
///
/// # Errors
/// When a contract can't be read.
pub fn read_documentation(
    lines: &str,
    parameters: &[(Arc<str>, Option<String>)],
) -> Result<FunctionDoc, Fault> {
    let mut entries: Vec<String> = Vec::new();
    for line in lines.lines() {
        let line = line.trim().trim_start_matches('#');
        match entries.last_mut() {
            Some(last) if line.starts_with("  ") => {
                last.push(' ');
                last.push_str(line.trim());
            }
            _ => entries.push(line.trim().to_owned()),
        }
    }
    let mut doc = FunctionDoc::default();
    for entry in entries {
        let (tag, rest) = entry
            .split_once(':')
            .map_or(("", entry.as_str()), |(tag, rest)| {
                (tag.trim(), rest.trim())
            });
        let parameter = parameters.iter().find(|(name, _)| &**name == tag);
        match (tag, parameter) {
            (_, Some((name, default))) => {
                let (contract, meaning) = split_meaning(rest);
                let contract = Contract::read(contract.trim()).map_err(|fault| Fault {
                    message: format!("`{name}`: {}", fault.message),
                    ..fault
                })?;
                doc.parameters.push(ParameterDoc {
                    name: name.clone(),
                    contract,
                    meaning: meaning.trim().to_owned(),
                    default: default.clone(),
                });
            }
            ("requires", _) => {
                let (condition, message) = split_meaning(rest);
                doc.requires
                    .push((condition.trim().to_owned(), message.trim().to_owned()));
            }
            ("gives", _) => {
                let (kind, rule) = split_meaning(rest);
                doc.gives = kind.trim().to_owned();
                let rule = rule.trim();
                doc.counts_as = rule.strip_prefix("counts as .").map(Arc::from);
                doc.said_as = rule.strip_prefix("said as .").map(Arc::from);
                doc.choices = rule == "choices, the best first";
            }
            (field, _) if field.starts_with('.') => {
                let (kind, meaning) = split_meaning(rest);
                doc.fields.push(FieldDoc {
                    name: field.trim_start_matches('.').into(),
                    kind: kind.trim().to_owned(),
                    meaning: meaning.trim().to_owned(),
                });
            }
            ("source", _) => join(&mut doc.source, rest),
            ("caution", _) => doc.cautions.push(rest.to_owned()),
            ("example", _) => {
                let (expression, value) = rest.rsplit_once(" = ").unwrap_or((rest, ""));
                doc.examples
                    .push((expression.trim().to_owned(), value.trim().to_owned()));
            }
            _ => join(&mut doc.description, &entry),
        }
    }
    Ok(doc)
}

/// Splits at the first `;` outside quotes.
fn split_meaning(text: &str) -> (&str, &str) {
    match unquoted(text).find(|(_, c)| *c == ';') {
        Some((index, _)) => (&text[..index], &text[index + 1..]),
        None => (text, ""),
    }
}

fn join(text: &mut String, more: &str) {
    if !text.is_empty() {
        text.push(' ');
    }
    text.push_str(more);
}
