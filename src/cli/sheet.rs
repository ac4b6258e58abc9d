//! `setover sheet`: a page to print or to prop up by the machine.

use std::path::Path;

use super::save::{Expected, save};
use super::{WRONG, clock, output, run};
use crate::sheet::{Colophon, Sheet, html};

/// Writes the page of a notebook, to standard output where no file is named.
pub fn sheet(file: &Path, to: Option<&Path>) -> u8 {
    if let Some(to) = to
        && let Err(why) = allowed(to)
    {
        output::error(&format!("{why}\n"));
        return WRONG;
    }
    let Some(workspace) = run::open(file) else {
        return WRONG;
    };
    let sheet = Sheet::of(&workspace);
    let page = html(
        &sheet,
        &Colophon {
            computed: clock::now(),
            version: env!("CARGO_PKG_VERSION").to_owned(),
        },
    );
    match to {
        None => output::print(&page),
        Some(to) => {
            if let Err(why) = save(to, &page, Expected::Whatever) {
                output::error(&format!("{} can't be written: {why}\n", to.display()));
                return WRONG;
            }
        }
    }
    run::judge(&workspace, &sheet)
}

/// A page is never written over a notebook.
fn allowed(to: &Path) -> Result<(), String> {
    let notebook = to
        .extension()
        .is_some_and(|extension| extension.eq_ignore_ascii_case("job"));
    if notebook {
        return Err(format!(
            "{} is a notebook, and a page is never written over one; name it {}",
            to.display(),
            to.with_extension("html").display()
        ));
    }
    if to.is_dir() {
        return Err(format!("{} is a folder; name a file in it", to.display()));
    }
    Ok(())
}
