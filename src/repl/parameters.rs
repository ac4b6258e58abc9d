//! What functions take, for hints and completion: those of the library and those of
//! the notebook alike.

use crate::language::{FunctionDoc, library};
use crate::notebook::Workspace;
use crate::sheet::reference::known_texts;

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

/// Returns what a function takes.
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
            texts: known_texts(function, parameter),
        })
        .collect()
}

/// Returns what a function of the notebook takes.
fn own(workspace: &Workspace, function: &str) -> Option<Vec<Taken>> {
    let own = workspace.own_function(function)?;
    let documented = own
        .doc
        .map(|doc| of_doc(function, &doc))
        .unwrap_or_default();
    let bare = |(name, default): (std::sync::Arc<str>, Option<String>)| {
        let known = documented.iter().find(|taken| taken.name == *name);
        known.cloned().unwrap_or(Taken {
            name: name.to_string(),
            default,
            ..Taken::default()
        })
    };
    Some(own.parameters.into_iter().map(bare).collect())
}

/// Returns the parameters as they are written in a call.
#[must_use]
pub fn signature(taken: &[Taken]) -> String {
    let names: Vec<&str> = taken.iter().map(|taken| taken.name.as_str()).collect();
    names.join(", ")
}
