//! The line editor at a terminal.

use std::cell::RefCell;
use std::path::Path;
use std::rc::Rc;

use rustyline::error::ReadlineError;
use rustyline::{CompletionType, Config, EditMode, Editor};

use super::folder::{Folder, Keys};
use super::helper::Bench as Helper;
use super::history::Kept;
use super::journal::{Journal, Left, left};
use super::reply::Reply;
use super::session::Session;
use super::step::State;
use crate::diagnostic::Source;
use crate::sheet::TerminalStyle;

/// How a session speaks: where its words go and how they are laid out.
pub trait Voice {
    /// Says something.
    fn say(&self, text: &str);
    /// Says what is wrong.
    fn complain(&self, text: &str);
    /// Returns how the terminal wants things laid out.
    fn look(&self) -> TerminalStyle;
    /// Returns whether complaints may be coloured.
    fn colour(&self) -> bool;
    /// Returns the time of day, for the journal.
    fn time(&self) -> String;
    /// Returns the value of a variable of the environment.
    fn variable(&self, name: &str) -> Option<String>;
}

/// Drives a session from a terminal until it is left; `file` is the notebook asked
/// for. Gives whether all went well.
pub fn edit(session: Session, file: Option<&Path>, voice: &dyn Voice) -> bool {
    let folder = Folder::of_environment(|name| voice.variable(name));
    if folder.is_none() {
        voice.complain(
            "no folder was found to keep history and journal in; SETOVER_DATA names one\n",
        );
    }
    let folder = folder.filter(|folder| match folder.make() {
        Ok(()) => true,
        Err(error) => {
            voice.complain(&format!("history and journal can't be kept: {error}\n"));
            false
        }
    });
    let keys = folder.as_ref().map_or(Keys::default(), |folder| {
        folder.keys(|name| voice.variable(name))
    });
    let history = folder.as_ref().map(|folder| Kept::open(&folder.history()));
    let config = Config::builder()
        .edit_mode(match keys {
            Keys::Vi => EditMode::Vi,
            Keys::Emacs => EditMode::Emacs,
        })
        .completion_type(CompletionType::List)
        .completion_show_all_if_ambiguous(true)
        .bracketed_paste(true)
        .build();
    let mut editor: Editor<Helper, Kept> =
        match Editor::with_history(config, history.unwrap_or_default()) {
            Ok(editor) => editor,
            Err(error) => {
                voice.complain(&format!("the terminal can't be used: {error}\n"));
                return false;
            }
        };
    let session = Rc::new(RefCell::new(session));
    let look = voice.look();
    editor.set_helper(Some(Helper::new(
        session.clone(),
        look.colour,
        usize::from(look.width),
    )));
    let mut desk = Desk {
        session,
        voice,
        journal: folder.as_ref().map(Journal::new),
        last: State::default(),
        typed: None,
    };
    desk.last = desk.session.borrow().state().clone();
    if let Some(folder) = &folder {
        desk.offer(folder, file, &mut editor);
    }
    let greeting = greeting(&desk.session.borrow());
    voice.say(&greeting);
    let well = desk.run(&mut editor);
    // Only a proper end leaves nothing to bring back.
    if well && let Some(journal) = &mut desk.journal {
        journal.end();
    }
    well
}

/// Returns what is said first: what is open, or three lines to begin with.
fn greeting(session: &Session) -> String {
    let words = "  `help` lists the words, `leave` ends\n";
    if session.file().is_some() || session.is_unwritten() {
        return session.open_in_words() + words;
    }
    format!(
        "  Type a formula or a size, such as\n    \
         tapping_drill(\"M8\")\n    \
         bore = 12 mm H7\n    \
         (26 mm - bore) / 2 as inch\n{words}"
    )
}

/// A session at a terminal, with its journal.
struct Desk<'a> {
    session: Rc<RefCell<Session>>,
    voice: &'a dyn Voice,
    journal: Option<Journal>,
    /// What the session held when the journal was last brought up to date.
    last: State,
    /// A line that was typed, or pasted, where a question was asked.
    typed: Option<String>,
}

/// So many times in a row the terminal may give nothing that can be read before the
/// session ends: its line may be cut.
const UNREADABLE: usize = 20;

impl Desk<'_> {
    /// Takes lines until the session is left; gives whether it was left properly.
    fn run(&mut self, editor: &mut Editor<Helper, Kept>) -> bool {
        let mut unreadable = 0;
        loop {
            self.look_at_disk(editor);
            let look = self.voice.look();
            self.session.borrow_mut().set_look(look);
            if let Some(helper) = editor.helper_mut() {
                helper.width = usize::from(look.width);
            }
            let prompt = self.session.borrow().prompt();
            let read = match self.typed.take() {
                Some(line) => {
                    self.voice.say(&format!("{prompt}{line}\n"));
                    Ok(line)
                }
                None => editor.readline(&prompt),
            };
            if read.is_ok() {
                unreadable = 0;
            }
            let reply = match read {
                Ok(line) if line.trim().is_empty() => continue,
                Ok(line) => {
                    // A full disk must not end the session.
                    let _ = editor.add_history_entry(line.as_str());
                    let reply = self.session.borrow_mut().typed(&line);
                    self.answer(&line, &reply);
                    reply
                }
                Err(ReadlineError::Interrupted) => continue,
                Err(ReadlineError::Eof) => {
                    let reply = self.session.borrow_mut().leave();
                    self.answer("", &reply);
                    reply
                }
                // A sign of another code page, such as a degree sign of Latin-1: the
                // line is lost, nothing else.
                Err(ReadlineError::Io(error))
                    if error.kind() == std::io::ErrorKind::InvalidData
                        && unreadable < UNREADABLE =>
                {
                    unreadable += 1;
                    self.voice.complain(
                        "the line holds a sign that is not UTF-8 text, and is dropped; set the terminal to UTF-8\n",
                    );
                    continue;
                }
                Err(error) => {
                    self.voice.complain(&format!("{error}\n"));
                    return false;
                }
            };
            self.write_down();
            if reply.leave {
                return true;
            }
        }
    }

    /// Says a reply.
    fn answer(&self, typed: &str, reply: &Reply) {
        self.voice.say(&reply.text);
        for wrong in &reply.wrong {
            let name = "what was typed";
            let source = Source { name, text: typed };
            let text = wrong.shown(source, "as it would be", self.voice.colour());
            self.voice.complain(&format!("{}\n", text.trim_end()));
        }
    }

    /// Brings the journal up to date.
    fn write_down(&mut self) {
        let (steps, written) = self.session.borrow_mut().take_unjournalled();
        let Some(journal) = &mut self.journal else {
            return;
        };
        let mut write = || -> std::io::Result<()> {
            if !steps.is_empty() && !journal.is_begun() {
                journal.begin(&self.last, &self.voice.time())?;
            }
            for step in &steps {
                journal.step(step)?;
            }
            if written {
                journal.written()?;
            }
            Ok(())
        };
        if let Err(error) = write() {
            self.voice.complain(&format!(
                "the journal can't be written ({error}); write your work with `write`\n"
            ));
        }
        self.last = self.session.borrow().state().clone();
    }

    /// Offers what sessions that died left behind.
    fn offer(&mut self, folder: &Folder, file: Option<&Path>, editor: &mut Editor<Helper, Kept>) {
        for dead in left(folder) {
            let name = |state: &State| {
                state
                    .path
                    .as_ref()
                    .map_or("no notebook".to_owned(), |path| path.display().to_string())
            };
            let fits = file.is_none() || dead.state.path.as_deref() == file;
            let what = changes(&dead);
            if !fits || self.session.borrow().is_unwritten() {
                self.voice.say(&format!(
                    "  a session on {} of {} was not ended ({what}); `setover` alone offers it\n",
                    name(&dead.state),
                    dead.time
                ));
                continue;
            }
            self.voice.say(&format!(
                "  a session on {} of {} was not ended, and is not written: {what}\n",
                name(&dead.state),
                dead.time
            ));
            let answer = self.ask("bring it back? (yes, no: forget it, later) ", editor);
            match answer.trim().to_lowercase().as_str() {
                "yes" | "y" => {
                    let reply = self.session.borrow_mut().bring_back(
                        &dead.began,
                        &dead.steps,
                        &dead.written,
                    );
                    self.answer("", &reply);
                    if !reply.has_errors() {
                        // In this session's journal before it leaves the other.
                        self.write_down();
                        dead.remove();
                    }
                }
                "no" | "n" => dead.remove(),
                "later" | "l" | "" => {}
                _ => self.keep(&answer),
            }
        }
    }

    /// Looks whether the notebook was changed on disk, and offers its new text.
    fn look_at_disk(&mut self, editor: &mut Editor<Helper, Kept>) {
        let Some(theirs) = self.session.borrow().news_from_disk() else {
            return;
        };
        let unwritten = self.session.borrow().is_unwritten();
        let name = self
            .session
            .borrow()
            .file()
            .map_or(String::new(), |path| path.display().to_string());
        let keeps = if unwritten {
            " (your changes stay on top)"
        } else {
            ""
        };
        self.voice.say(&format!("  {name} was changed on disk\n"));
        let answer = self.ask(&format!("take its new text{keeps}? (yes, no) "), editor);
        match answer.trim().to_lowercase().as_str() {
            "yes" | "y" => {
                let reply = self.session.borrow_mut().take_from_disk();
                self.answer("", &reply);
                self.write_down();
                return;
            }
            "no" | "n" | "" => {}
            _ => self.keep(&answer),
        }
        self.session.borrow_mut().leave_on_disk(&theirs);
    }

    /// Keeps a line that answers no question: it was typed, or pasted, for the prompt.
    fn keep(&mut self, line: &str) {
        self.typed = Some(match self.typed.take() {
            Some(before) => format!("{before}\n{line}"),
            None => line.to_owned(),
        });
    }

    /// Asks something; the answer as it was typed.
    fn ask(&self, question: &str, editor: &mut Editor<Helper, Kept>) -> String {
        if let Some(helper) = editor.helper_mut() {
            helper.asking = true;
        }
        let answer = editor.readline(question).unwrap_or_default();
        if let Some(helper) = editor.helper_mut() {
            helper.asking = false;
        }
        answer
    }
}

/// Returns what a dead session changed, in words.
fn changes(dead: &Left) -> String {
    let names = super::merge::changed(&dead.written.text, &dead.state.text);
    super::write::listed(&names)
}
