//! A session: a notebook's text that grows with what is typed, without any terminal.

use std::cell::RefCell;
use std::collections::HashMap;
use std::fmt;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::answer::Answer;
use super::reply::Reply;
use super::step::{State, Step};
use crate::notebook::{Moved, Page, PageId, Shelf, Workspace, moved, without};
use crate::sheet::{TerminalStyle, moved_rows, moved_text};

/// What a session without a file is called.
pub const NO_FILE: &str = "(this session)";

/// Why a text was not written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Refused {
    /// There is a file where none was expected.
    Exists,
    /// The file is not there any more.
    Gone,
    /// The file holds another text than the one that the change was made from.
    Changed,
    /// What the file holds now can't be read, for this reason.
    Unreadable(String),
    /// It can't be done, for this reason.
    Unable(String),
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Exists => f.write_str("there is a file of that name"),
            Self::Gone => f.write_str("it is not there any more"),
            Self::Changed => f.write_str("it was changed on disk since it was read"),
            Self::Unreadable(why) => write!(f, "it was changed on disk and can't be read: {why}"),
            Self::Unable(why) => f.write_str(why),
        }
    }
}

impl std::error::Error for Refused {}

/// What a session needs of the world outside: the texts of notebooks and a way to
/// write one.
pub trait Bench: Shelf {
    /// Writes a notebook's text in one step, where the file still holds the text
    /// `was`; without one, where there is no file yet.
    ///
    /// # Errors
    /// Why it can't be written; the file then holds what it held.
    fn write(&self, path: &Path, text: &str, was: Option<&str>) -> Result<(), Refused>;

    /// Returns whether there is such a file.
    fn exists(&self, path: &Path) -> bool;
}

/// A text that was taken from disk.
pub(super) struct Taken {
    /// What was known to be on disk before.
    pub(super) base: Arc<str>,
    /// What was on disk.
    pub(super) theirs: Arc<str>,
    /// The text that was warned of because it takes changes of `theirs` back.
    pub(super) warned: Option<String>,
}

/// A session of trying things out.
pub struct Session {
    pub(super) bench: Box<dyn Bench>,
    pub(super) workspace: Workspace,
    pub(super) state: State,
    /// The texts of the files that were opened, as they were last read or written.
    pub(super) disk: HashMap<PathBuf, Arc<str>>,
    /// The changes, and how many of them are done.
    pub(super) steps: Vec<Step>,
    pub(super) done: usize,
    /// The heading that new statements go under.
    pub(super) section: Option<String>,
    /// The last answer.
    pub(super) answer: Option<Answer>,
    /// How many changes were done when the trial began.
    pub(super) trial: Option<usize>,
    /// What the user was warned of and may do by asking again.
    pub(super) warned: Option<String>,
    /// What was last taken from disk.
    pub(super) taken: Option<Taken>,
    /// A text on disk that the user did not want.
    pub(super) left_alone: Option<String>,
    /// Changes that the journal does not have yet, with the state before the first.
    pub(super) unjournalled: Vec<Step>,
    pub(super) written: bool,
    /// Functions that took too long for a hint, and how often.
    pub(super) slow: RefCell<HashMap<String, u32>>,
    pub(super) look: TerminalStyle,
}

impl Session {
    /// Returns a session without a file.
    #[must_use]
    pub fn new(bench: Box<dyn Bench>, look: TerminalStyle) -> Self {
        let workspace = Workspace::of_text(Path::new(NO_FILE), "", bench.as_ref());
        Self {
            bench,
            workspace,
            state: State::default(),
            disk: HashMap::new(),
            steps: Vec::new(),
            done: 0,
            section: None,
            answer: None,
            trial: None,
            warned: None,
            taken: None,
            left_alone: None,
            unjournalled: Vec::new(),
            written: false,
            slow: RefCell::default(),
            look,
        }
    }

    /// Returns a session on a notebook; a file that does not exist yet is made by writing.
    ///
    /// # Errors
    /// Why the file can't be read.
    pub fn open(bench: Box<dyn Bench>, look: TerminalStyle, path: &Path) -> Result<Self, String> {
        let mut session = Self::new(bench, look);
        let text = session.read(path)?;
        session.state = State {
            path: Some(path.to_owned()),
            text: text.into(),
        };
        session.load();
        Ok(session)
    }

    /// Returns the text of a file, remembered as what is on disk; a file that does not exist
    /// has none.
    pub(super) fn read(&mut self, path: &Path) -> Result<String, String> {
        if !self.bench.exists(path) {
            self.disk.remove(path);
            return Ok(String::new());
        }
        let text = self.bench.text(path)?;
        self.disk.insert(path.to_owned(), text.as_str().into());
        Ok(text)
    }

    /// Loads the workspace afresh from the state.
    pub(super) fn load(&mut self) {
        let path = self.file_or_none().to_owned();
        self.workspace = Workspace::of_text(&path, &self.state.text, self.bench.as_ref());
    }

    fn file_or_none(&self) -> &Path {
        self.state.path.as_deref().unwrap_or(Path::new(NO_FILE))
    }

    /// Returns the open file.
    #[must_use]
    pub fn file(&self) -> Option<&Path> {
        self.state.path.as_deref()
    }

    /// Returns what the session holds.
    #[must_use]
    pub const fn state(&self) -> &State {
        &self.state
    }

    /// Returns the notebook with its values.
    #[must_use]
    pub const fn workspace(&self) -> &Workspace {
        &self.workspace
    }

    /// Returns where the texts of other notebooks come from.
    #[must_use]
    pub fn bench(&self) -> &dyn Bench {
        self.bench.as_ref()
    }

    /// Returns the last answer.
    #[must_use]
    pub const fn answer(&self) -> Option<&Answer> {
        self.answer.as_ref()
    }

    /// Lays replies out for another width.
    pub const fn set_look(&mut self, look: TerminalStyle) {
        self.look = look;
    }

    pub(super) fn page(&self) -> Option<&Page> {
        self.workspace.main()
    }

    /// Returns whether the session holds something that is in no file.
    #[must_use]
    pub fn is_unwritten(&self) -> bool {
        let known = self
            .state
            .path
            .as_ref()
            .and_then(|path| self.disk.get(path));
        match known {
            Some(text) => *text != self.state.text,
            None => !self.state.text.trim().is_empty(),
        }
    }

    /// Returns the prompt: the notebook's name, a star while something is not written, and
    /// whether a change is being tried.
    #[must_use]
    pub fn prompt(&self) -> String {
        let name = self.file().and_then(Path::file_stem);
        let name = name.map_or("setover".into(), |name| name.to_string_lossy());
        let star = if self.is_unwritten() { "*" } else { "" };
        let trying = if self.trial.is_some() {
            " (trying)"
        } else {
            ""
        };
        format!("{name}{star}{trying}> ")
    }

    /// Puts a text in the workspace, without making it a change of the session.
    pub(super) fn put_text(&mut self, text: &str) {
        self.workspace
            .update_text(PageId::MAIN, text, self.bench.as_ref());
    }

    /// Takes statements, by their places in rising order, out of the text in the workspace.
    pub(super) fn take_out(&mut self, places: Vec<usize>) {
        for index in places.into_iter().rev() {
            let page = self.page();
            let text = page.and_then(|page| Some(without(page, page.items.get(index)?)));
            if let Some(text) = text {
                self.put_text(&text);
            }
        }
    }

    /// Makes what the workspace holds now a change of the session.
    pub(super) fn commit(&mut self) {
        let after = State {
            path: self.state.path.clone(),
            text: self
                .page()
                .map(|page| page.text.clone())
                .unwrap_or_default(),
        };
        self.change_to(after);
    }

    /// Makes a new state a change of the session; the workspace holds it already.
    pub(super) fn change_to(&mut self, after: State) {
        let step = Step::between(&self.state, &after);
        if step.is_empty() {
            return;
        }
        self.steps.truncate(self.done);
        self.steps.push(step.clone());
        self.done += 1;
        self.unjournalled.push(step);
        self.state = after;
    }

    /// Goes a step to another state and loads what that needs; false where there is none
    /// or it does not fit.
    fn go(&mut self, step: Option<Step>) -> bool {
        let Some((after, step)) = step.and_then(|step| Some((step.apply(&self.state)?, step)))
        else {
            return false;
        };
        let other_file = after.path != self.state.path;
        self.state = after;
        self.unjournalled.push(step);
        if other_file {
            self.load();
        } else {
            let text = self.state.text.clone();
            self.put_text(&text);
        }
        true
    }

    /// Takes changes back; gives how many.
    pub(super) fn undo(&mut self, count: usize) -> usize {
        let mut undone = 0;
        while undone < count && self.done > 0 {
            let step = self.steps.get(self.done - 1).map(Step::reversed);
            if !self.go(step) {
                break;
            }
            self.done -= 1;
            undone += 1;
        }
        if self.trial.is_some_and(|mark| self.done < mark) {
            self.trial = None;
        }
        undone
    }

    /// Makes changes again that were taken back; gives how many.
    pub(super) fn redo(&mut self, count: usize) -> usize {
        let mut redone = 0;
        while redone < count && self.go(self.steps.get(self.done).cloned()) {
            self.done += 1;
            redone += 1;
        }
        redone
    }

    /// Returns what moved since a state of the workspace, as a table.
    pub(super) fn moved_since(&self, before: &Workspace) -> String {
        let moved = moved(before, &self.workspace);
        if moved.is_empty() {
            return "  nothing changed\n".to_owned();
        }
        self.moved_lines(&moved)
    }

    /// Returns what moved, as a table; a long one is cut short.
    pub(super) fn moved_lines(&self, moved: &[Moved]) -> String {
        /// More than this many would push what was typed off the screen.
        const MOST: usize = 40;
        let shown = moved.get(..MOST).unwrap_or(moved);
        let text = moved_text(&moved_rows(shown, &self.workspace), self.look);
        match moved.len() - shown.len() {
            0 => text,
            more => format!("{text}  and {more} more\n"),
        }
    }

    /// Takes up what a session that died left: its changes, one by one, so that they
    /// can be taken back. `written` is what it last had on disk.
    pub fn bring_back(&mut self, began: &State, steps: &[Step], written: &State) -> Reply {
        self.change_to(began.clone());
        for step in steps {
            let Some(after) = step.apply(&self.state) else {
                break;
            };
            // What was taken back then can be made again now.
            let last = self.steps.get(self.done.wrapping_sub(1));
            let done = if last.is_some_and(|last| last.reversed() == *step) {
                self.done - 1
            } else if self.steps.get(self.done) == Some(step) {
                self.done + 1
            } else {
                self.change_to(after);
                continue;
            };
            self.done = done;
            self.unjournalled.push(step.clone());
            self.state = after;
        }
        // A file that was changed since then is spoken of before the next prompt.
        if let Some(path) = self.state.path.clone() {
            if written.path.as_ref() == Some(&path) && self.bench.exists(&path) {
                self.disk.insert(path, written.text.clone());
            } else if let Err(why) = self.read(&path) {
                return Reply::error(format!("{} can't be read: {why}", path.display()));
            }
        }
        self.load();
        Reply::said(format!(
            "  brought back {}\n",
            crate::quantity::count(self.done, "change")
        ))
    }

    /// Returns the changes that the journal does not have yet, and whether the text was
    /// written to its file since it was last asked.
    pub fn take_unjournalled(&mut self) -> (Vec<Step>, bool) {
        (
            std::mem::take(&mut self.unjournalled),
            std::mem::take(&mut self.written),
        )
    }
}
