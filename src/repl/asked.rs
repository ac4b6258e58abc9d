//! Whether a line is a command of the line editor or something for the notebook.
//!
//! Commands are plain words, and so are names: `leave = 0.3 mm` is a cell. A word
//! that the notebook defines is its own where it stands alone or in a formula; `leave
//! it` is the command in any case.

use super::commands::{COMMANDS, Command, Takes, command};
use super::reply::{Place, Reply};
use super::session::Session;
use crate::diagnostic::{Fault, nearest};
use crate::notebook::{Workspace, was_stopped};
use crate::sheet::reference::find;
use crate::syntax::{STATEMENT_WORDS, is_class, word_at};

/// Words that people expect, and what they are called here.
const OTHER_WORDS: &[(&str, &str)] = &[
    ("?", "help"),
    ("bye", "leave"),
    ("delete", "remove"),
    ("exit", "leave"),
    ("functions", "describe"),
    ("open", "notebook"),
    ("quit", "leave"),
    ("run", "sheet"),
    ("save", "write"),
];

/// A line that asks for a command.
#[derive(Clone, Copy, Debug)]
pub struct Request<'a> {
    /// The command; none where the word is one only with a point before it.
    pub command: Option<&'static Command>,
    /// The word as it was typed.
    pub word: &'a str,
    /// What follows it.
    pub rest: &'a str,
}

/// Returns what a line asks for; none where it is for the notebook. `is_own` tells
/// whether the notebook defines a name.
#[must_use]
pub fn asked<'a>(line: &'a str, is_own: &dyn Fn(&str) -> bool) -> Option<Request<'a>> {
    let line = line.trim();
    if let Some(rest) = line.strip_prefix('.') {
        let dotted = rest.is_empty() || rest.starts_with(|c: char| c.is_ascii_alphabetic());
        return dotted.then_some(Request {
            command: None,
            word: line,
            rest: "",
        });
    }
    let length = if line.starts_with('?') {
        1
    } else {
        word_at(line)
    };
    let (word, after) = line.split_at_checked(length)?;
    let command = named(word)?;
    if !after.is_empty() && !after.starts_with(char::is_whitespace) {
        return None;
    }
    let rest = match after.trim() {
        remark if remark.starts_with('#') => "",
        rest => rest,
    };
    if rest == "it" {
        return Some(Request {
            command: Some(command),
            word,
            rest: "",
        });
    }
    let own = is_own(word);
    let first = rest.get(..word_at(rest)).unwrap_or("");
    let formula = rest.is_empty()
        || first.is_empty() && !rest.starts_with(|c: char| c.is_ascii_digit() || "\"[".contains(c))
        || is_class(first)
        || matches!(first, "as" | "where" | "and" | "or");
    if rest.starts_with('=') || own && formula {
        return None;
    }
    Some(Request {
        command: Some(command),
        word,
        rest,
    })
}

/// Returns the command of a word, or of what people call it elsewhere.
fn named(word: &str) -> Option<&'static Command> {
    let other = OTHER_WORDS.iter().find(|(other, _)| *other == word);
    command(other.map_or(word, |(_, proper)| proper))
}

/// Returns the command that a word is near to; none that takes something away or
/// writes over something.
fn near_command(word: &str) -> Option<&'static str> {
    let harmless = COMMANDS.iter().filter(|command| !command.overwrites);
    nearest(word, harmless.map(|command| command.name()))
        .first()
        .copied()
}

impl Session {
    /// Returns the command that a line asks for; none where it is for the notebook.
    #[must_use]
    pub fn asked<'a>(&self, line: &'a str) -> Option<Request<'a>> {
        asked(line, &|word| self.is_own(word))
    }

    /// Returns whether the notebook defines a name, as a cell or as a function.
    pub(super) fn is_own(&self, word: &str) -> bool {
        let Some(page) = self.page() else {
            return false;
        };
        let slots = page
            .names
            .get(word)
            .into_iter()
            .chain(page.functions.get(word));
        slots.copied().any(|slot| self.workspace.is_defined(slot))
    }

    /// Takes what was typed: commands, and statements for the notebook. Where work was
    /// stopped meanwhile, all is as before.
    pub fn typed(&mut self, text: &str) -> Reply {
        let _ = was_stopped();
        let done = self.done;
        let reply = self.taken(text);
        if !was_stopped() {
            return reply;
        }
        self.undo(self.done.saturating_sub(done));
        self.redo(done.saturating_sub(self.done));
        self.load();
        Reply::said("  stopped; nothing is changed\n")
    }

    fn taken(&mut self, text: &str) -> Reply {
        let (first, later) = text.split_once('\n').unwrap_or((text, ""));
        let Some(asked) = self.asked(first) else {
            return self.entered(text);
        };
        let whole = asked
            .command
            .is_some_and(|command| command.takes == Takes::Statement);
        if whole || later.trim().is_empty() {
            let asked = if whole {
                self.asked(text).unwrap_or(asked)
            } else {
                asked
            };
            return self.command(asked);
        }
        let mut reply = self.command(asked);
        if !reply.leave {
            let rest = self.taken(later);
            reply.follow(rest, first.len() + 1);
        }
        reply
    }

    /// Takes statements, and says of what can't be understood what may have been meant.
    pub fn entered(&mut self, text: &str) -> Reply {
        let mut reply = self.enter(text);
        self.mean(text, &mut reply);
        reply
    }

    /// Does what a line asks for.
    pub fn command(&mut self, asked: Request) -> Reply {
        let Some(command) = asked.command else {
            return with_a_point(asked.word);
        };
        let mut rest = asked.rest;
        if !matches!(command.takes, Takes::File | Takes::Statement) {
            rest = rest.split(" #").next().unwrap_or(rest).trim();
        }
        let name = command.name();
        if command.takes == Takes::Nothing && !rest.is_empty() {
            let wrong = Fault::new(format!("`{name}` is used alone; what is `{rest}` for?"));
            return Reply::wrong(wrong.advise(format!("write `{name}`")));
        }
        if !matches!(name, "leave" | "notebook") {
            self.warned = None;
        }
        let mut reply = command.done(self, rest);
        if asked.word != name {
            reply.text = format!("  the word here is `{name}`\n{}", reply.text);
        }
        reply
    }

    /// Where something can't be understood, says what may have been meant: a command,
    /// the same line written otherwise, a function, a name to be defined.
    fn mean(&self, text: &str, reply: &mut Reply) {
        let Some(wrong) = reply.wrong.iter_mut().find(|wrong| !wrong.waits) else {
            return;
        };
        if wrong.place != Place::Typed {
            return;
        }
        let wrong = &mut wrong.diagnostic;
        let before = text.get(..wrong.span.start as usize).unwrap_or("");
        let from = before.rfind('\n').map_or(0, |newline| newline + 1);
        let line = text.get(from..).and_then(|rest| rest.lines().next());
        let line = line.unwrap_or("").trim();
        let first = line.get(..word_at(line)).unwrap_or("");
        let rest = line.get(first.len()..).unwrap_or("").trim_start();
        let words = rest.is_empty() || rest.starts_with(|c: char| c.is_alphanumeric());
        let bare = is_bare(line);
        // A line that works without its first word: `set bore = 12 mm`.
        let aside = self.workspace.meant_by_line(line);
        if aside.is_none_or(|way| way.starts_with(first))
            && wrong.advice.is_none()
            && words
            && first.len() > 2
        {
            let near = near_command(first);
            wrong.advice = near.map(|near| format!("did you mean the command `{near}`?"));
        }
        if first == "setover" {
            wrong.advice = Some("here the words come without `setover`; `help` lists them".into());
        }
        self.workspace.advise_line(wrong, line);
        if wrong.advice.is_none() && bare && words {
            wrong.advice = Some(speaking_of(line).unwrap_or_else(|| {
                if rest.is_empty() {
                    format!("`{first} = 12 mm` defines it; `help` lists the words")
                } else {
                    "`help` says what can be typed".to_owned()
                }
            }));
        }
        Workspace::advise_definition(wrong);
    }
}

/// Returns whether a line is no statement: nothing of the language begins it.
fn is_bare(line: &str) -> bool {
    let first = line.get(..word_at(line)).unwrap_or("");
    !STATEMENT_WORDS.contains(&first) && !line.contains('=')
}

/// Returns how to find the functions that speak of a line's words: of all, or of the first
/// that finds any.
fn speaking_of(line: &str) -> Option<String> {
    let words: Vec<&str> = line
        .split(|c: char| !c.is_alphabetic())
        .filter(|word| word.len() > 2 && !matches!(*word, "for" | "the" | "and" | "with"))
        .collect();
    let all = words.join(" ");
    let ways = std::iter::once(all.as_str()).chain(words.iter().copied());
    let mut found = ways.filter(|way| !way.is_empty() && find(way).is_ok());
    found
        .next()
        .map(|way| format!("`help {way}` finds what the library can do about it"))
}

/// Returns what to say to a command with a point before it: there are none.
fn with_a_point(word: &str) -> Reply {
    let plain = word.trim_start_matches('.').trim();
    let first = plain.split_whitespace().next().unwrap_or("");
    let (message, advice) = match (named(first), near_command(first)) {
        (Some(command), _) => {
            let rest = plain.strip_prefix(first).unwrap_or("");
            let message = "a command is a word without a point".to_owned();
            (message, format!("write `{}{rest}`", command.name()))
        }
        (None, Some(near)) if !first.is_empty() => (
            format!("there is no command `{first}`"),
            format!("did you mean `{near}`?"),
        ),
        _ => (
            "a command is a word without a point".to_owned(),
            "`help` lists the commands".to_owned(),
        ),
    };
    Reply::wrong(Fault::new(message).advise(advice))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(line: &str, own: &[&str], expected: Option<(&str, &str)>) {
        let found = asked(line, &|word| own.contains(&word));
        let found = found.map(|asked| {
            (
                asked.command.map_or("", |command| command.name()),
                asked.rest,
            )
        });
        assert_eq!(found, expected, "{line}");
    }

    #[test]
    fn a_word_is_a_command_unless_the_notebook_has_it() {
        check("undo", &[], Some(("undo", "")));
        check("  undo 2 ", &[], Some(("undo", "2")));
        check("undo -1", &[], Some(("undo", "-1")));
        check("try pin = 12 mm h6", &[], Some(("try", "pin = 12 mm h6")));
        check("quit", &[], Some(("leave", "")));
        check("?", &[], Some(("help", "")));
        check("? taper", &[], Some(("help", "taper")));
        check("sheet [Holes]", &[], Some(("sheet", "[Holes]")));
        check("leave # done", &[], Some(("leave", "")));
        check(".keep", &[], Some(("", "")));
        check(".5 mm", &[], None);
        check("leave = 0.3 mm", &[], None);
        check("leaves", &[], None);
        check("drop(x) = x", &[], None);
        check("bore", &[], None);
        let own = ["leave", "drop"];
        check("leave", &own, None);
        check("leave it", &own, Some(("leave", "")));
        check("leave + 1 mm", &own, None);
        check("leave as inch", &own, None);
        check("leave H7", &own, None);
        check("leave (1)", &own, None);
        check("drop it", &own, Some(("drop", "")));
        check("explain leave", &own, Some(("explain", "leave")));
    }

    #[test]
    fn a_suggestion_never_names_what_overwrites() {
        for word in ["wirte", "tke", "nwe", "remve", "writ"] {
            let near = near_command(word);
            assert!(
                near.and_then(command)
                    .is_none_or(|command| !command.overwrites),
                "{word}: {near:?}"
            );
        }
        assert_eq!(near_command("explan"), Some("explain"));
    }
}
