//! A session without a terminal: statements and commands line by line from any
//! input.

use std::io::BufRead;

use super::editor::Voice;
use super::reply::{Place, Reply, Wrong};
use super::session::Session;
use crate::diagnostic::{Severity, Source};
use crate::notebook::{Problem, problems};
use crate::syntax::{split, unfinished};

/// The longest input that is taken.
const LONGEST: usize = 64 * 1024 * 1024;

/// Returns what is said of input that is no UTF-8 text.
#[must_use]
pub fn not_utf_8() -> String {
    let how = if cfg!(windows) {
        "`chcp 65001` sets a console to it, `$OutputEncoding = [Text.Encoding]::UTF8` PowerShell's pipes"
    } else {
        "`iconv -f LATIN1 -t UTF-8` turns Latin-1 into it"
    };
    format!("the input is not UTF-8 text\n  {how}")
}

/// Takes statements from an input until it ends or the session is left; results and
/// errors go to `voice`. Gives whether all went well.
pub fn piped(mut session: Session, input: impl BufRead, voice: &dyn Voice) -> bool {
    let mut reader = Reader {
        voice,
        read: String::new(),
        waiting: Vec::new(),
        well: true,
    };
    let mut pending = 0;
    let mut left = false;
    for line in input.split(b'\n') {
        let line = match line {
            Ok(line) => match String::from_utf8(line) {
                Ok(line) => line,
                Err(_) => {
                    let number = reader.read.matches('\n').count() + 1;
                    voice.complain(&format!("line {number}: {}\n", not_utf_8()));
                    reader.well = false;
                    break;
                }
            },
            Err(error) => {
                voice.complain(&format!("the input can't be read: {error}\n"));
                reader.well = false;
                break;
            }
        };
        if reader.read.len() + line.len() > LONGEST {
            voice.complain("the input is too long\n");
            reader.well = false;
            break;
        }
        let line = line.strip_suffix('\r').unwrap_or(&line);
        let start = reader.read.len();
        let asked = session.asked(line);
        let command = asked.is_some() && !unfinished(&reader.read[pending..]);
        if command {
            reader.enter(&mut session, &mut pending, start);
        }
        reader.read.push_str(line);
        reader.read.push('\n');
        if command {
            let leaves = asked.and_then(|asked| asked.command);
            let leaves = leaves.is_some_and(|command| command.name() == "leave");
            let reply = session.typed(line);
            pending = reader.read.len();
            // Nobody can be asked whether to leave something unwritten.
            left = reader.answer(reply, start) || leaves;
            if left {
                break;
            }
            continue;
        }
        // What is complete before a new statement begins is entered.
        let text = &reader.read[pending..];
        let without_end = text.strip_suffix('\n').unwrap_or(text);
        if !unfinished(without_end) {
            let end = reader.read.len();
            reader.enter(&mut session, &mut pending, end);
        } else if let [.., last] = split(text).as_slice()
            && last.span.start > 0
            && split(text).len() > 1
        {
            let start = last
                .documentation
                .map_or(last.span.start, |lines| lines.start);
            let end = pending + start as usize;
            reader.enter(&mut session, &mut pending, end);
        }
    }
    if !left {
        let end = reader.read.len();
        reader.enter(&mut session, &mut pending, end);
    }
    reader.finish(&session);
    reader.well
}

struct Reader<'a> {
    voice: &'a dyn Voice,
    /// All that was read.
    read: String,
    /// What waits for a name, in what was read.
    waiting: Vec<Wrong>,
    well: bool,
}

impl Reader<'_> {
    /// Enters what was read from `pending` up to `end`.
    fn enter(&mut self, session: &mut Session, pending: &mut usize, end: usize) {
        let text = self.read.get(*pending..end).unwrap_or("").to_owned();
        let start = *pending;
        *pending = end;
        if text.trim().is_empty() {
            return;
        }
        let reply = session.entered(&text);
        self.answer(reply, start);
    }

    /// Says a reply to what begins at `start`; whether the session ends.
    fn answer(&mut self, reply: Reply, start: usize) -> bool {
        self.voice.say(&reply.text);
        for mut wrong in reply.wrong {
            if wrong.place == Place::Typed {
                wrong.diagnostic.span = wrong.diagnostic.span.shifted(start);
            }
            if wrong.waits {
                self.waiting.push(wrong);
                continue;
            }
            self.well &= wrong.diagnostic.severity != Severity::Error;
            self.complain(&wrong, start);
        }
        reply.leave
    }

    fn complain(&self, wrong: &Wrong, start: usize) {
        let input = Source {
            name: "the input",
            text: &self.read,
        };
        let line = input.line_and_column(start).0;
        let name = format!("line {line}, as it would be");
        let mut text = wrong.shown(input, &name, self.voice.colour());
        if wrong.place == Place::Nowhere {
            text = format!("line {line}: {text}");
        }
        self.voice.complain(&format!("{}\n\n", text.trim_end()));
    }

    /// Says which names were never defined.
    fn finish(&mut self, session: &Session) {
        let still = problems(session.workspace());
        for mut wrong in std::mem::take(&mut self.waiting) {
            let unknown = &wrong.diagnostic.unknown;
            let now = |problem: &&Problem| problem.diagnostic.unknown == *unknown;
            if let Some(problem) = still.iter().find(now) {
                self.well = false;
                wrong.diagnostic.severity = Severity::Error;
                wrong
                    .diagnostic
                    .message
                    .clone_from(&problem.diagnostic.message);
                self.complain(&wrong, 0);
            }
        }
    }
}
