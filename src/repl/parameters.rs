//! What functions take, for hints and completion: those of the library and those of
//! the notebook alike.

use crate::language::library;
use crate::notebook::Workspace;
use crate::sheet::reference::Argument;

/// Returns what a function takes.
#[must_use]
pub fn taken_by(workspace: &Workspace, function: &str) -> Option<Vec<Argument>> {
    let Some(own) = workspace.own_function(function) else {
        let doc = library().get(function)?.doc().ok()?;
        return Some(Argument::of_doc(function, doc));
    };
    let documented = own.doc.map(|doc| Argument::of_doc(function, &doc));
    let documented = documented.unwrap_or_default();
    let argument = |(name, default): (std::sync::Arc<str>, Option<String>)| {
        let known = documented.iter().find(|known| known.name == *name);
        known.cloned().unwrap_or(Argument {
            name: name.to_string(),
            default,
            ..Argument::default()
        })
    };
    Some(own.parameters.into_iter().map(argument).collect())
}

/// Returns what an argument may be and what it means; nothing where that is not documented.
pub fn about(argument: &Argument) -> Option<String> {
    let Argument { kind, meaning, .. } = argument;
    (!kind.is_empty()).then(|| format!("{kind}; {meaning}"))
}
