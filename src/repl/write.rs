//! Session and disk: writing, taking a file's new text, other notebooks.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::merge::{changed, merge, taken_back};
use super::reply::Reply;
use super::session::{Refused, Session, Taken};
use super::step::State;
use crate::diagnostic::{Fault, did_you_mean};
use crate::notebook::is_notebook;
use crate::quantity::count;

/// Returns the file that is meant by a name: the ending may be left out.
#[must_use]
pub fn notebook_path(name: &str) -> PathBuf {
    let path = PathBuf::from(name.trim().trim_matches('"'));
    if is_notebook(&path) {
        path
    } else {
        let mut name = path.into_os_string();
        name.push(".job");
        name.into()
    }
}

/// Returns names joined for a sentence, a long list cut short.
pub fn listed(names: &[String]) -> String {
    const MOST: usize = 8;
    let mut shown: Vec<String> = names
        .iter()
        .take(MOST)
        .map(|name| name.lines().next().unwrap_or("").to_owned())
        .collect();
    if names.len() > MOST {
        shown.push(format!("and {} more", names.len() - MOST));
    }
    shown.join(", ")
}

/// Says why a notebook is not written, and how to go on.
fn not_written(path: &Path, why: &Refused) -> Reply {
    let stem = path.with_extension("");
    let advice = match why {
        Refused::Exists | Refused::Changed => {
            "`take` takes its new text, with your changes on top; then `write`".to_owned()
        }
        Refused::Gone => format!("`new {}` makes it again", quoted(&stem)),
        Refused::Unreadable(_) => {
            "mend it there, or `new NAME` keeps your text in another notebook".to_owned()
        }
        Refused::Unable(_) => {
            return Reply::error(format!("{} can't be written: {why}", path.display()));
        }
    };
    let message = format!("{} is not written: {why}", path.display());
    Reply::wrong(Fault::new(message).advise(advice))
}

/// Returns why a notebook can't be called so: Windows keeps some names for devices
/// ("Naming Files, Paths, and Namespaces", Windows documentation), and a folder of
/// notebooks should fit on any computer.
#[must_use]
pub fn reserved(stem: &str) -> Option<String> {
    let name = stem.split('.').next().unwrap_or("").trim_end();
    let lower = name.to_ascii_lowercase();
    let port = ["com", "lpt"].iter().any(|port| {
        let number = lower.strip_prefix(port);
        number.is_some_and(|number| matches!(number.as_bytes(), [b'1'..=b'9']))
    });
    let device = ["con", "prn", "aux", "nul", "conin$", "conout$"].contains(&&*lower);
    if device || port {
        return Some(format!(
            "{name} is a device on Windows, where no file can be called so"
        ));
    }
    let sign = stem.chars().find(|c| "<>:\"|?*".contains(*c));
    sign.map(|sign| format!("no file's name may hold {sign} on Windows"))
}

/// Returns a path as it is typed: in quotes where it has blanks.
#[must_use]
pub fn quoted(path: &Path) -> String {
    let name = path.display().to_string();
    if name.contains(char::is_whitespace) {
        format!("\"{name}\"")
    } else {
        name
    }
}

impl Session {
    /// Returns what is changed since the file was read or written, by name.
    #[must_use]
    pub fn unwritten(&self) -> Vec<String> {
        if !self.is_unwritten() {
            return Vec::new();
        }
        let known = self
            .state
            .path
            .as_ref()
            .and_then(|path| self.disk.get(path));
        let mut names = changed(known.map_or("", |text| text), &self.state.text);
        if names.is_empty() {
            names.push("remarks".to_owned());
        }
        names
    }

    /// Returns the text that is on disk now, where it is not the one that was read.
    #[must_use]
    pub fn changed_on_disk(&self) -> Option<String> {
        let path = self.state.path.as_ref()?;
        let known = self.disk.get(path);
        if !self.bench.exists(path) {
            return None;
        }
        let now = self.bench.text(path).ok()?;
        (known.map(|text| &**text) != Some(now.as_str())).then_some(now)
    }

    /// Returns the same as [`changed_on_disk`](Self::changed_on_disk), unless the user left that text
    /// alone.
    #[must_use]
    pub fn news_from_disk(&self) -> Option<String> {
        self.changed_on_disk()
            .filter(|now| self.left_alone.as_deref() != Some(now))
    }

    /// Takes the file's text from disk, with the changes of the session on top.
    pub fn take_from_disk(&mut self) -> Reply {
        let Some(path) = self.state.path.clone() else {
            return Reply::error("no notebook is open");
        };
        let Some(theirs) = self.changed_on_disk() else {
            return Reply::said(format!("  {} is as it was read\n", path.display()));
        };
        let base = self.disk.get(&path).cloned().unwrap_or_default();
        let merged = if self.is_unwritten() {
            let texts = (&*base, &*self.state.text, theirs.as_str());
            merge(&path, self.bench.as_ref(), texts, &[])
        } else {
            super::merge::Merged {
                text: theirs.clone(),
                ..Default::default()
            }
        };
        let before = self.workspace.clone();
        let theirs: Arc<str> = theirs.into();
        self.taken = Some(Taken {
            base,
            theirs: theirs.clone(),
            warned: None,
        });
        self.disk.insert(path, theirs);
        self.put_text(&merged.text);
        self.commit();
        let mut text = self.moved_since(&before);
        if !merged.both.is_empty() {
            let both = listed(&merged.both);
            text += &format!("  changed in both: {both}; yours is kept, `undo` gives it back\n");
        }
        Reply::said(text)
    }

    /// Leaves the text that is on disk alone: it is not spoken of again.
    pub fn leave_on_disk(&mut self, theirs: &str) {
        self.left_alone = Some(theirs.to_owned());
    }

    /// Writes the session, or only the changes named, into the notebook.
    pub(super) fn write(&mut self, only: &[String]) -> Reply {
        let Some(path) = self.state.path.clone() else {
            let wrong = Fault::new("no notebook is open");
            return Reply::wrong(wrong.advise("`new NAME` makes a notebook of this session"));
        };
        if self.changed_on_disk().is_some() {
            return not_written(&path, &Refused::Changed);
        }
        let names = self.unwritten();
        if names.is_empty() && self.bench.exists(&path) {
            return Reply::said(format!("  {} holds everything already\n", path.display()));
        }
        let was = self.disk.get(&path).cloned();
        let base = was.clone().unwrap_or_default();
        let text = if only.is_empty() {
            self.state.text.to_string()
        } else {
            let texts = (&*base, &*self.state.text, &*base);
            let merged = merge(&path, self.bench.as_ref(), texts, only);
            if let Some(missing) = merged.missing.first() {
                let wrong = Fault::new(format!("`{missing}` is not changed"));
                let advice = format!("not written yet: {}", listed(&names));
                return Reply::wrong(wrong.advise(advice));
            }
            merged.text
        };
        if let Some(reply) = self.warn_of_taking_back(&text) {
            return reply;
        }
        if let Err(why) = self.bench.write(&path, &text, was.as_deref()) {
            return not_written(&path, &why);
        }
        let what = if only.is_empty() { &names[..] } else { only };
        self.disk.insert(path.clone(), text.as_str().into());
        self.written = !self.is_unwritten();
        Reply::said(format!(
            "  written to {}: {}\n",
            path.display(),
            listed(what)
        ))
    }

    /// Warns, the first time, that a text takes back what another program changed in
    /// the notebook.
    fn warn_of_taking_back(&mut self, text: &str) -> Option<Reply> {
        let taken = self.taken.as_mut()?;
        let names = taken_back(&taken.base, &taken.theirs, text);
        if names.is_empty() || taken.warned.as_deref() == Some(text) {
            self.taken = None;
            return None;
        }
        taken.warned = Some(text.to_owned());
        Some(Reply::said(format!(
            "  this takes back what was changed on disk: {}\n  `write` again writes it so\n",
            listed(&names)
        )))
    }

    /// Makes a new notebook of the session and goes on with that.
    pub(super) fn new_notebook(&mut self, name: &str) -> Reply {
        if name.trim().is_empty() {
            let wrong = Fault::new("a new notebook needs a name");
            return Reply::wrong(wrong.advise("write `new clutch-lever`"));
        }
        let path = notebook_path(name);
        let stem = path.file_stem().unwrap_or_default().to_string_lossy();
        if let Some(why) = reserved(&stem) {
            return Reply::error(format!("{} can't be written: {why}", path.display()));
        }
        if self.bench.exists(&path) {
            let wrong = Fault::new(format!("there is a notebook {} already", path.display()));
            let advice = "`notebook` opens it; choose another name for a new one";
            return Reply::wrong(wrong.advise(advice));
        }
        let text = self.state.text.clone();
        if let Err(why) = self.bench.write(&path, &text, None) {
            return not_written(&path, &why);
        }
        self.disk.insert(path.clone(), text.clone());
        let after = State {
            path: Some(path.clone()),
            text,
        };
        self.change_to(after);
        self.written = true;
        self.load();
        Reply::said(format!(
            "  written to {}: {}\n",
            path.display(),
            self.size_in_words()
        ))
    }

    /// Opens another notebook, or says which is open.
    pub(super) fn notebook(&mut self, name: &str) -> Reply {
        if name.trim().is_empty() {
            return Reply::said(self.open_in_words());
        }
        let path = notebook_path(name);
        let asked = format!("open {}", path.display());
        if let Some(reply) = self.warn_once(&asked, &format!("`notebook {}`", name.trim())) {
            return reply;
        }
        if !self.bench.exists(&path) {
            let folder = self.bench.beside(&path);
            let stem = path.file_stem().unwrap_or_default().to_string_lossy();
            let near = did_you_mean(&stem, folder.iter().map(String::as_str));
            let advice = near.unwrap_or_else(|| "`new NAME` makes one of this session".to_owned());
            let wrong = Fault::new(format!("there is no notebook {}", path.display()));
            return Reply::wrong(wrong.advise(advice));
        }
        self.open_path(&path)
    }

    fn open_path(&mut self, path: &Path) -> Reply {
        match self.read(path) {
            Err(why) => Reply::error(format!("{} can't be read: {why}", path.display())),
            Ok(text) => {
                let after = State {
                    path: Some(path.to_owned()),
                    text: text.into(),
                };
                self.change_to(after);
                self.section = None;
                self.load();
                Reply::said(self.open_in_words())
            }
        }
    }

    /// Returns which notebook is open, and what of it is not written.
    #[must_use]
    pub fn open_in_words(&self) -> String {
        let name = match self.file() {
            Some(path) if self.disk.contains_key(path) => path.display().to_string(),
            Some(path) => format!("{}, which does not exist yet", path.display()),
            None => "no notebook".to_owned(),
        };
        let mut text = format!("  {name}: {}\n", self.size_in_words());
        let names = self.unwritten();
        if !names.is_empty() {
            text += &format!("  not written: {}\n", listed(&names));
        }
        text
    }

    /// Warns of what is not written, the first time something is asked for.
    pub(super) fn warn_once(&mut self, asked: &str, again: &str) -> Option<Reply> {
        let names = self.unwritten();
        if names.is_empty() || self.warned.as_deref() == Some(asked) {
            self.warned = None;
            return None;
        }
        self.warned = Some(asked.to_owned());
        let write = match self.state.path {
            Some(_) => "`write` writes it",
            None => "`new NAME` makes a notebook of it",
        };
        Some(Reply::said(format!(
            "  not written: {} ({})\n {write}; {again} again goes without\n",
            count(names.len(), "change"),
            listed(&names)
        )))
    }
}
