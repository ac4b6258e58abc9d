//! `setover sheet`: a page to print or to prop up by the machine.

use std::io::IsTerminal;
use std::path::{Path, PathBuf};

use super::files::reason;
use super::save::{Expected, save};
use super::status::{WELL, WRONG};
use super::{output, run};
use crate::notebook::is_notebook;
use crate::sheet::{Colophon, MADE, Sheet, pages};

/// The page of several notebooks, where no file is named for it.
const PARTS: &str = "parts.html";

/// Writes notebooks as one page. Where no file is named, the page stands beside the
/// first notebook if standard output is a terminal or the page is to be opened, else it
/// is printed; `-` prints it too.
pub fn sheet(files: &[PathBuf], to: Option<&Path>, open: bool) -> u8 {
    let to = match place(files, to, open) {
        Ok(to) => to,
        Err(why) => {
            output::error(&format!("{why}\n"));
            return WRONG;
        }
    };
    let mut status = WELL;
    let mut sheets = Vec::new();
    for file in files {
        let Some(workspace) = run::open(file) else {
            status = WRONG;
            continue;
        };
        let sheet = Sheet::to_read(&workspace);
        status = status.max(run::judge(&workspace));
        sheets.push(sheet);
    }
    if sheets.is_empty() {
        return status;
    }
    let colophon = Colophon {
        computed: jiff::Timestamp::now()
            .strftime("%Y-%m-%d %H:%M UTC")
            .to_string(),
        version: env!("CARGO_PKG_VERSION").to_owned(),
    };
    let page = pages(&sheets, &colophon);
    let Some(to) = to else {
        output::print(&page);
        return status;
    };
    if let Err(why) = save(&to, &page, Expected::Whatever) {
        return output::cannot_be("written", &to, &why);
    }
    if std::io::stdout().is_terminal() || open {
        output::error(&format!("wrote {}\n", to.display()));
    }
    if open && let Err(why) = show(&to) {
        output::error(&format!(
            "no program shows the page ({why}); open {} yourself\n",
            to.display()
        ));
        return status.max(WRONG);
    }
    status
}

/// Returns where the page goes; nothing for standard output.
fn place(files: &[PathBuf], to: Option<&Path>, open: bool) -> Result<Option<PathBuf>, String> {
    match to {
        Some(to) if to == Path::new("-") && open => {
            Err("a page that is printed can't be opened; name a file in place of `-`".to_owned())
        }
        Some(to) if to == Path::new("-") => Ok(None),
        Some(to) => allowed(to).map(|()| Some(to.to_owned())),
        None if open || std::io::stdout().is_terminal() => {
            let Some(first) = files.first() else {
                return Ok(None);
            };
            let to = match files {
                [only] => only.with_extension("html"),
                _ => first.with_file_name(PARTS),
            };
            allowed(&to)?;
            if is_of_another(&to) {
                return Err(format!(
                    "{} is there and was not written by setover; name the page with `-o`",
                    to.display()
                ));
            }
            Ok(Some(to))
        }
        None => Ok(None),
    }
}

/// Returns whether a file is there that this program did not write.
fn is_of_another(file: &Path) -> bool {
    match std::fs::read(file) {
        Ok(found) => !found
            .windows(MADE.len())
            .any(|part| part == MADE.as_bytes()),
        Err(error) => error.kind() != std::io::ErrorKind::NotFound,
    }
}

/// Shows a page with the program that the system has for pages.
fn show(page: &Path) -> Result<(), String> {
    use std::process::{Command, Stdio};
    let mut command = if cfg!(target_os = "macos") {
        Command::new("open")
    } else if cfg!(windows) {
        Command::new("explorer")
    } else {
        Command::new("xdg-open")
    };
    // A name that begins with a dash is no option.
    let page = std::path::absolute(page).map_err(|error| reason(&error))?;
    command.arg(page).stdin(Stdio::null()).stdout(Stdio::null());
    command.spawn().map(|_| ()).map_err(|error| reason(&error))
}
/// Refuses to write a page over a notebook.
fn allowed(to: &Path) -> Result<(), String> {
    if is_notebook(to) {
        return Err(format!(
            "{} is a notebook, and a page is never written over one; name it {}",
            to.display(),
            to.with_extension("html").display()
        ));
    }
    if std::fs::canonicalize(to).is_ok_and(|file| is_notebook(&file)) {
        return Err(format!(
            "{} leads to a notebook, and a page is never written over one; name another file",
            to.display()
        ));
    }
    if to.is_dir() {
        return Err(format!("{} is a folder; name a file in it", to.display()));
    }
    Ok(())
}
