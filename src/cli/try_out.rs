//! `setover` alone and `setover try`: trying things out.

use std::io::IsTerminal;
use std::path::Path;

use super::save::{Expected, save};
use super::status::{WELL, WRONG};
use super::{Files, output};
use crate::notebook::stop_working;
use crate::repl::{Bench, Refused, Session, Voice, edit, piped};
use crate::sheet::TerminalStyle;

impl Bench for Files {
    fn write(&self, path: &Path, text: &str, was: Option<&str>) -> Result<(), Refused> {
        save(path, text, was.map_or(Expected::Nothing, Expected::Text))
    }

    fn exists(&self, path: &Path) -> bool {
        path.exists()
    }
}

/// The terminal, or whatever stands in its place.
struct Terminal;

impl Voice for Terminal {
    fn say(&self, text: &str) {
        output::print(text);
    }

    fn complain(&self, text: &str) {
        output::error(text);
    }

    fn look(&self) -> TerminalStyle {
        output::look()
    }

    fn colour(&self) -> bool {
        output::colour_of_errors()
    }

    fn time(&self) -> String {
        jiff::Zoned::now().strftime("%d %b %H:%M").to_string()
    }

    fn variable(&self, name: &str) -> Option<String> {
        std::env::var(name).ok()
    }
}

/// Tries things out, on a notebook where one is given.
pub fn try_out(file: Option<&Path>) -> u8 {
    let path = file.map(|file| crate::repl::notebook_path(&file.to_string_lossy()));
    let opened = match &path {
        None => Ok(Session::new(Box::new(Files), output::look())),
        Some(path) => Session::open(Box::new(Files), output::look(), path),
    };
    let session = match opened {
        Ok(session) => session,
        Err(why) => return output::cannot_be("read", &path.unwrap_or_default(), &why),
    };
    let well = if std::io::stdin().is_terminal() {
        // Ctrl-C stops what is being worked out and keeps the session.
        let _ = ctrlc::set_handler(stop_working);
        edit(session, path.as_deref(), &Terminal)
    } else {
        piped(session, std::io::stdin().lock(), &Terminal)
    };
    if well { WELL } else { WRONG }
}
