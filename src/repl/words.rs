//! What functions take, for hints and completion: those of the library and those of
//! the notebook alike.

use crate::language::{FunctionDoc, KindWord, library, read_documentation};
use crate::notebook::{Content, Workspace};
use crate::syntax::{StatementKind, parse_statement, print_expression};
use crate::trade::{change_gears, dividing, materials, tapers, threads};

/// A parameter of a function.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Taken {
    /// Its name.
    pub name: String,
    /// Its value where a call gives none.
    pub default: Option<String>,
    /// What it may be and what it means; empty where that is not documented.
    pub about: String,
    /// The texts that it may be.
    pub texts: Vec<String>,
}

/// What a function takes.
#[must_use]
pub fn taken_by(workspace: &Workspace, function: &str) -> Option<Vec<Taken>> {
    if let Some(own) = own(workspace, function) {
        return Some(own);
    }
    let doc = library().get(function)?.doc().ok()?;
    Some(of_doc(function, doc))
}

fn of_doc(function: &str, doc: &FunctionDoc) -> Vec<Taken> {
    doc.parameters
        .iter()
        .map(|parameter| Taken {
            name: parameter.name.to_string(),
            default: parameter.default.clone(),
            about: format!("{}; {}", parameter.contract.text, parameter.meaning),
            texts: texts(
                function,
                &parameter.name,
                &parameter.contract.kinds,
                &parameter.meaning,
            ),
        })
        .collect()
}

/// A function of the notebook.
fn own(workspace: &Workspace, function: &str) -> Option<Vec<Taken>> {
    let page = workspace.main()?;
    let slot = workspace.slot(*page.functions.get(function)?)?;
    if !matches!(slot.content, Content::Function(_)) {
        return None;
    }
    let item = page.items.get(slot.item as usize)?;
    let Ok(StatementKind::Function(_, parameters, _)) =
        parse_statement(page.text_at(item.piece.span))
    else {
        return None;
    };
    let names: Vec<_> = parameters
        .into_iter()
        .map(|parameter| {
            (
                parameter.name.text,
                parameter.default.as_ref().map(print_expression),
            )
        })
        .collect();
    let documentation = item
        .piece
        .documentation
        .map_or("", |span| page.text_at(span));
    let doc = read_documentation(documentation, &names).ok();
    let documented = doc.map(|doc| of_doc(function, &doc)).unwrap_or_default();
    let bare = |(name, default): (std::sync::Arc<str>, Option<String>)| {
        let known = documented.iter().find(|taken| taken.name == *name);
        known.cloned().unwrap_or(Taken {
            name: name.to_string(),
            default,
            ..Taken::default()
        })
    };
    Some(names.into_iter().map(bare).collect())
}

/// The texts that a parameter may be.
fn texts(function: &str, name: &str, kinds: &[KindWord], meaning: &str) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    let mut takes_text = false;
    for kind in kinds {
        match kind {
            KindWord::OneOf(texts) => found.extend(texts.iter().cloned()),
            KindWord::Text => takes_text = true,
            _ => {}
        }
    }
    if !takes_text {
        return found;
    }
    if name.ends_with("designation") {
        if function.contains("taper") {
            found.extend(tapers::designations());
        } else {
            found.extend(threads::designations().into_iter().map(str::to_owned));
        }
    } else if name.ends_with("material") {
        found.extend(materials::materials().into_iter().map(str::to_owned));
    } else if function == "plate_set" || name == "plates" {
        found.extend(dividing::plate_set_names().into_iter().map(str::to_owned));
    } else if function == "gear_set" || name == "gears" {
        found.extend(
            change_gears::gear_set_names()
                .into_iter()
                .map(str::to_owned),
        );
    }
    // The texts that the documentation names.
    for (index, text) in meaning.split('"').enumerate() {
        if index % 2 == 1 && !found.iter().any(|known| known == text) {
            found.push(text.to_owned());
        }
    }
    found
}

/// The parameters as they are written in a call.
#[must_use]
pub fn signature(taken: &[Taken]) -> String {
    let names: Vec<&str> = taken.iter().map(|taken| taken.name.as_str()).collect();
    names.join(", ")
}
