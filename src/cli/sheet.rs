//! `setover sheet`: a page to print or to prop up by the machine.

use std::io::Write;
use std::path::Path;

use super::files::reason;
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
            if let Err(error) = replace(to, &page) {
                let why = reason(&error);
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

/// Writes beside the file and renames, so that a reader sees the old page or the
/// new one, never half of one.
fn replace(to: &Path, text: &str) -> std::io::Result<()> {
    let folder = to
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    let mut builder = tempfile::Builder::new();
    builder.prefix(".setover-").suffix(".html");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(std::fs::Permissions::from_mode(0o666));
    }
    let mut beside = builder.tempfile_in(folder)?;
    beside.write_all(text.as_bytes())?;
    beside.as_file().sync_all()?;
    beside.persist(to).map_err(|error| error.error)?;
    Ok(())
}
