//! The commands of the line editor: plain words at the beginning of a line.

use super::describe;
use super::reply::Reply;
use super::session::Session;
use crate::diagnostic::{Fault, did_you_mean};
use crate::language::library;
use crate::notebook::{section, with_section};
use crate::quantity::count;
use crate::sheet::TerminalStyle;
use crate::sheet::manual_topic;
use crate::sheet::reference::{sections_text, words_text};
use crate::syntax::ItemKind;

/// What may follow a command.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Takes {
    /// Nothing.
    Nothing,
    /// A section's heading.
    Section,
    /// The word of a section to start from.
    NewSection,
    /// A name of the notebook.
    Name,
    /// Names of changed statements.
    Changes,
    /// A function's name or a word to look for.
    Function,
    /// A notebook's file.
    File,
    /// A statement.
    Statement,
    /// A whole number.
    Number,
}

/// A command.
#[derive(Clone, Copy, Debug)]
pub struct Command {
    /// What may follow.
    pub takes: Takes,
    /// How it is written, its word first.
    pub usage: &'static str,
    /// What it does.
    pub does: &'static str,
    /// Whether it writes over something or takes something away.
    pub overwrites: bool,
    run: fn(&mut Session, &str) -> Reply,
}

impl PartialEq for Command {
    fn eq(&self, other: &Self) -> bool {
        self.name() == other.name()
    }
}

/// All commands, in the order of the help.
pub const COMMANDS: &[Command] = &[
    Command {
        takes: Takes::Section,
        usage: "sheet [all] [SECTION]",
        does: "the sheet as it is now, or one section of it; `all` with its working",
        overwrites: false,
        run: sheet,
    },
    Command {
        takes: Takes::Name,
        usage: "depends NAME",
        does: "what a name is worked out from, and what depends on it",
        overwrites: false,
        run: Session::depends,
    },
    Command {
        takes: Takes::Name,
        usage: "explain NAME",
        does: "how a value comes about",
        overwrites: false,
        run: Session::explain,
    },
    Command {
        takes: Takes::Function,
        usage: "describe FUNCTION",
        does: "a function with its arguments, or those that a word finds",
        overwrites: false,
        run: |session, word| describe::describe(session, word),
    },
    Command {
        takes: Takes::Number,
        usage: "undo [STEPS]",
        does: "takes the last change back, whatever it was",
        overwrites: false,
        run: |session, steps| go(session, steps, ("undo", "undid"), Session::undo),
    },
    Command {
        takes: Takes::Number,
        usage: "redo [STEPS]",
        does: "redoes a change that was undone",
        overwrites: false,
        run: |session, steps| go(session, steps, ("redo", "redid"), Session::redo),
    },
    Command {
        takes: Takes::Statement,
        usage: "try [STATEMENT]",
        does: "begins a trial: what follows can be dropped together",
        overwrites: false,
        run: begin_trial,
    },
    Command {
        takes: Takes::Nothing,
        usage: "drop",
        does: "ends the trial and takes all of it back",
        overwrites: true,
        run: |session, _| session.drop_trial(),
    },
    Command {
        takes: Takes::Nothing,
        usage: "keep",
        does: "ends the trial and keeps what it changed",
        overwrites: false,
        run: keep_trial,
    },
    Command {
        takes: Takes::Name,
        usage: "remove NAME",
        does: "takes a cell, a function or a check out",
        overwrites: true,
        run: Session::remove,
    },
    Command {
        takes: Takes::NewSection,
        usage: "add [WORD]",
        does: "adds a section for a job; alone, lists them",
        overwrites: false,
        run: add,
    },
    Command {
        takes: Takes::File,
        usage: "notebook [FILE]",
        does: "opens a notebook; alone, says which is open",
        overwrites: false,
        run: Session::notebook,
    },
    Command {
        takes: Takes::Changes,
        usage: "write [NAMES]",
        does: "writes the changes into the notebook, all or those named",
        overwrites: true,
        run: write,
    },
    Command {
        takes: Takes::File,
        usage: "new FILE",
        does: "makes a new notebook of this session and goes on with it",
        overwrites: true,
        run: Session::new_notebook,
    },
    Command {
        takes: Takes::Nothing,
        usage: "take",
        does: "takes the text of a notebook that was changed on disk",
        overwrites: true,
        run: |session, _| session.take_from_disk(),
    },
    Command {
        takes: Takes::Function,
        usage: "help [WORD]",
        does: "this list, or what the manual says of a word: `help units`",
        overwrites: false,
        run: help_on,
    },
    Command {
        takes: Takes::Nothing,
        usage: "leave",
        does: "ends the session; so does Ctrl-D",
        overwrites: false,
        run: |session, _| session.leave(),
    },
];

/// Returns the command of a name.
#[must_use]
pub fn command(name: &str) -> Option<&'static Command> {
    COMMANDS.iter().find(|command| command.name() == name)
}

impl Command {
    /// Returns its word.
    #[must_use]
    pub fn name(&self) -> &'static str {
        self.usage.split(' ').next().unwrap_or_default()
    }

    /// Does the command with what follows it.
    pub(super) fn done(&self, session: &mut Session, rest: &str) -> Reply {
        (self.run)(session, rest)
    }
}

impl Session {
    /// Ends the session; warns once of what is not written.
    pub fn leave(&mut self) -> Reply {
        match self.warn_once("leave", "`leave`") {
            Some(reply) => reply,
            None => Reply {
                leave: true,
                ..Reply::default()
            },
        }
    }

    /// Ends the trial and takes it back.
    fn drop_trial(&mut self) -> Reply {
        let Some(mark) = self.trial.take() else {
            return no_trial();
        };
        let before = self.workspace.clone();
        let undone = self.undo(self.done.saturating_sub(mark));
        if undone == 0 {
            return Reply::said("  nothing was tried\n");
        }
        let moved = self.moved_since(&before);
        Reply::said(format!("{moved}  dropped {}\n", count(undone, "change")))
    }
}

/// Returns the help: the commands and how statements are taken.
#[must_use]
pub fn help(look: TerminalStyle) -> String {
    let about = "A formula is answered; `answer` is the last answer. A statement is added to \
         the notebook, or takes the place of the one of that name; a size keeps its \
         tolerance. `[Heading]` says where what follows goes. Tab completes, Ctrl-R \
         looks back through what was typed; an empty line ends a table or a bracket. A \
         command is a word at the beginning of a line; where a cell has that name, write \
         `leave it`.";
    let about = words_text(std::iter::once([about.to_owned()]), look);
    let rows = COMMANDS.iter();
    let rows = rows.map(|command| [command.usage.to_owned(), command.does.to_owned()]);
    format!("{about}\n{}", words_text(rows, look))
}

/// Returns what is said of a word: a command, a function, a name, a topic of the manual.
fn help_on(session: &mut Session, word: &str) -> Reply {
    if word.is_empty() {
        return Reply::said(help(session.look));
    }
    if let Some(command) = command(word) {
        return Reply::said(format!("  {}  {}\n", command.usage, command.does));
    }
    if session.is_own(word) {
        return session.explain(word);
    }
    if library().get(word).is_some() {
        return describe::describe(session, word);
    }
    match manual_topic(word, "help", session.look) {
        Ok(text) => Reply::said(text),
        Err(wrong) => match describe::describe(session, word) {
            found if found.wrong.is_empty() => found,
            _ => Reply::wrong(wrong),
        },
    }
}

fn no_trial() -> Reply {
    Reply::wrong(Fault::new("nothing is being tried").advise("`try bore = 12.5 mm` begins a trial"))
}

fn sheet(session: &mut Session, section: &str) -> Reply {
    let (all, section) = match section
        .trim()
        .split_once(' ')
        .unwrap_or((section.trim(), ""))
    {
        ("all", section) => (true, section.trim()),
        _ => (false, section),
    };
    let section = ItemKind::Section.body(section);
    if section.is_empty() {
        return Reply::said(session.sheet_text(None, all).unwrap_or_default());
    }
    match session.sheet_text(Some(section), all) {
        Some(text) => Reply::said(text),
        None => {
            let headings = session.headings();
            Reply::wrong(Fault {
                advice: did_you_mean(section, headings.iter().map(String::as_str)),
                ..Fault::new(format!(
                    "there is no section [{section}] with anything in it"
                ))
            })
        }
    }
}

/// Goes a number of steps through the changes, one where none is given.
fn go(
    session: &mut Session,
    text: &str,
    (word, done): (&str, &str),
    go: fn(&mut Session, usize) -> usize,
) -> Reply {
    let Ok(steps) = (if text.is_empty() { "1" } else { text }).parse() else {
        return Reply::error(format!(
            "`{text}` is not a number of steps; write a whole number"
        ));
    };
    let before = session.workspace.clone();
    match go(session, steps) {
        0 => Reply::error(format!("there is nothing to {word}")),
        gone => Reply::said(format!(
            "{}  {done} {}\n",
            session.moved_since(&before),
            count(gone, "change")
        )),
    }
}

fn add(session: &mut Session, word: &str) -> Reply {
    if word.is_empty() {
        return Reply::said(sections_text(session.look));
    }
    let section = match section(word, &|name| session.is_own(name)) {
        Ok(section) => section,
        Err(fault) => return Reply::wrong(fault),
    };
    let text = with_section(&session.state.text, &section);
    session.put_text(&text);
    session.commit();
    session.section = Some(section.heading.clone());
    Reply::said(
        session
            .sheet_text(Some(&section.heading), false)
            .unwrap_or_default(),
    )
}

fn begin_trial(session: &mut Session, statement: &str) -> Reply {
    let begun = session.trial.is_none();
    session.trial.get_or_insert(session.done);
    let mut reply = if statement.is_empty() {
        Reply::default()
    } else {
        session.enter(statement)
    };
    let taken = session.trial.is_some_and(|mark| session.done > mark);
    if begun && reply.has_errors() && !taken {
        session.trial = None;
    } else if begun {
        reply.text += "  trying: `drop` undoes it, `keep` keeps it\n";
    }
    reply
}

fn keep_trial(session: &mut Session, _: &str) -> Reply {
    match session.trial.take() {
        Some(mark) => Reply::said(format!(
            "  kept {}\n",
            count(session.done.saturating_sub(mark), "change")
        )),
        None => no_trial(),
    }
}

fn write(session: &mut Session, names: &str) -> Reply {
    let names: Vec<String> = names
        .split([',', ' '])
        .filter(|name| !name.is_empty())
        .map(str::to_owned)
        .collect();
    session.write(&names)
}

#[cfg(test)]
mod tests {
    use super::*;

    const LOOK: TerminalStyle = TerminalStyle {
        width: 100,
        colour: false,
    };

    #[test]
    fn commands_are_in_order_and_documented() {
        for command in COMMANDS {
            let name = command.name();
            assert!(!name.is_empty(), "{}", command.does);
            let same = COMMANDS.iter().filter(|other| other.name() == name);
            assert_eq!(same.count(), 1, "{name}");
            assert!(help(LOOK).contains(command.does), "{name}");
        }
        for width in [40, 80] {
            let text = help(TerminalStyle { width, ..LOOK });
            assert!(
                text.lines()
                    .all(|line| line.chars().count() <= usize::from(width)),
                "{text}"
            );
        }
    }
}
