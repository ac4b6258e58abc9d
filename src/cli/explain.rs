//! `setover explain`: where a value comes from.

use std::path::Path;

use clap::ValueEnum;

use super::status::{WELL, WRONG};
use super::{output, run};
use crate::diagnostic::{Fault, did_you_mean};
use crate::sheet::{explain, explanation_text, slot_called};

/// How an explanation is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum ExplainForm {
    /// Text for a person to read
    Text,
    /// JSON for other programs
    Json,
}

/// Explains one cell or check of a notebook.
pub fn explain_name(file: &Path, name: &str, form: ExplainForm) -> u8 {
    let Some(workspace) = run::open(file) else {
        return WRONG;
    };
    let explained = slot_called(&workspace, name).and_then(|slot| explain(&workspace, slot));
    let Some(explained) = explained else {
        let mut names: Vec<String> = Vec::new();
        if let Some(page) = workspace.main() {
            names.extend(page.names.keys().map(ToString::to_string));
            for (alias, used) in &page.uses {
                let used = workspace.page(*used);
                let used = used.into_iter().flat_map(|page| page.names.keys());
                names.extend(used.map(|name| format!("{alias}.{name}")));
            }
        }
        names.sort_unstable();
        let advice = did_you_mean(name, names.iter().map(String::as_str)).unwrap_or_else(|| {
            let cells = workspace.main().and_then(|page| workspace.cells_of(page));
            cells.unwrap_or_else(|| {
                "write a cell's name, a check's condition in quotes, or `check 1`".to_owned()
            })
        });
        let message = format!("there is no `{name}` in {}", file.display());
        return output::wrong(Fault::new(message).advise(advice));
    };
    match form {
        ExplainForm::Json => output::json(&explained),
        ExplainForm::Text => output::print(&explanation_text(&explained, output::look())),
    }
    WELL
}
