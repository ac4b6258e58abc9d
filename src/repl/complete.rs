//! Completion that knows where the cursor is.

use super::analysis::{Analysis, Spot};
use super::answer::ANSWER;
use super::commands::{COMMANDS, Command, Takes};
use super::parameters::{about, taken_by};
use super::session::Session;
use crate::language::{CONSTANTS, STEPS, Value, library};
use crate::notebook::sections;
use crate::quantity::definitions;
use crate::sheet::{Writer, cut};
use crate::syntax::STATEMENT_WORDS;

/// The most that are listed: a list that must be paged through helps nobody.
const MOST: usize = 12;
/// The widest that one of them is listed.
const WIDEST: usize = 72;

/// Units of more than one part that the trade uses.
const COMPOUND: &[&str] = &[
    "mm/rev", "mm/min", "m/min", "ft/min", "in/rev", "in/min", "mm/tooth", "in/tooth", "N*m",
    "N*mm", "N/mm^2", "N/mm", "kg/m^3", "mm^2", "mm^3", "mm^3/min", "cm^3/min", "in^2", "in^3",
    "lbf/in^2",
];

/// Words within a formula.
const WORDS: [&str; 8] = [
    "as ", "if ", "then ", "else ", "where ", "and ", "or ", "not ",
];

/// What may stand at the cursor.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Completion {
    /// How it is listed.
    pub display: String,
    /// What is put into the line.
    pub replacement: String,
}

impl Completion {
    fn plain(text: impl ToString) -> Self {
        Self {
            display: text.to_string(),
            replacement: text.to_string(),
        }
    }

    /// Returns completions that are listed as they are put in.
    fn all<T: ToString>(texts: impl IntoIterator<Item = T>) -> Vec<Self> {
        texts.into_iter().map(Self::plain).collect()
    }
}

/// Returns what may stand at the cursor, and where the word there begins.
#[must_use]
pub fn complete(session: &Session, line: &Analysis, cursor: usize) -> (usize, Vec<Completion>) {
    let (start, spot) = line.spot(cursor);
    let word = line.text.get(start..cursor).unwrap_or("");
    let mut found = match spot {
        Spot::Nothing => Vec::new(),
        Spot::After(command) => after_command(session, command, word),
        Spot::Text => texts(session, line, start, cursor),
        Spot::Unit => units(line, start),
        Spot::Field(path) => fields(session, &path),
        Spot::Use => beside(session),
        Spot::Start => {
            let words = STATEMENT_WORDS.iter().filter(|word| **word != "draw");
            let mut found = Completion::all(words.map(|word| format!("{word} ")));
            found.extend(COMMANDS.iter().map(|command| Completion {
                display: command.usage.to_owned(),
                replacement: command.name().to_owned(),
            }));
            found.extend(names(session, word));
            found.extend(functions(session, word));
            found
        }
        Spot::Name => {
            let mut found = quoted(session, line, cursor);
            found.extend(arguments(session, line, cursor));
            found.extend(names(session, word));
            found.extend(functions(session, word));
            found.extend(Completion::all(line.locals()));
            found.extend(Completion::all(WORDS));
            found
        }
    };
    found.retain(|one| matches(&one.replacement, word));
    let mut seen = std::collections::HashSet::new();
    found.retain(|one| seen.insert(one.replacement.clone()));
    (start, shortened(found))
}

/// Returns the first of many completions, and how many more there are; the line goes on as
/// far as all of them agree.
fn shortened(mut found: Vec<Completion>) -> Vec<Completion> {
    for one in &mut found {
        one.display = cut(&one.display, WIDEST);
    }
    if found.len() > MOST + 1 {
        let texts = found.iter().map(|one| one.replacement.clone());
        let common = texts.reduce(|common, text| {
            let both = common.chars().zip(text.chars());
            both.take_while(|(a, b)| a == b).map(|(a, _)| a).collect()
        });
        let more = found.len() - MOST;
        found.truncate(MOST);
        found.push(Completion {
            display: format!("… and {more} more: type on"),
            replacement: common.unwrap_or_default(),
        });
    }
    found
}

/// Returns whether a completion goes on from what is written; case does not matter.
fn matches(completion: &str, word: &str) -> bool {
    let start: String = completion.chars().take(word.chars().count()).collect();
    start == word || start.to_lowercase() == word.to_lowercase()
}

/// Returns the names of the notebook that go on from a word.
fn names(session: &Session, word: &str) -> Vec<Completion> {
    let Some(page) = session.workspace().main() else {
        return Vec::new();
    };
    let defined = session.workspace().defined_names(page);
    let fitting = defined.filter(|name| matches(name, word));
    let mut names: Vec<String> = fitting.map(str::to_owned).collect();
    names.extend(page.uses.iter().map(|(alias, _)| format!("{alias}.")));
    if session.answer().is_some() {
        names.push(ANSWER.to_owned());
    }
    names.extend(CONSTANTS.iter().map(|name| (*name).to_owned()));
    names.sort_unstable();
    let settings = page.settings.clone();
    let writer = Writer::new(&settings);
    let value = |name: &str| {
        let slot = page.names.get(name)?;
        let value = session.workspace().value(*slot)?;
        Some(writer.value(value).line())
    };
    let names = names.into_iter();
    names
        .map(|name| Completion {
            display: match value(&name) {
                Some(value) => format!("{name}  {value}"),
                None => name.clone(),
            },
            replacement: name,
        })
        .collect()
}

/// Returns functions, with what they take and do.
fn functions(session: &Session, word: &str) -> Vec<Completion> {
    let own = session.workspace().main().into_iter();
    let own = own.flat_map(|page| page.functions.keys().map(|name| name.to_string()));
    let mut all: Vec<String> = own
        .chain(library().names().map(str::to_owned))
        .filter(|name| matches(name, word))
        .collect();
    all.sort_unstable();
    all.into_iter()
        .filter_map(|name| {
            let taken = taken_by(session.workspace(), &name)?;
            let names: Vec<&str> = taken.iter().map(|taken| &*taken.name).collect();
            let function = library().get(&name);
            let doc = function.and_then(|function| function.doc().ok());
            let does = doc.map_or("", |doc| doc.description.as_str());
            let display = format!("{name}({})  {does}", names.join(", "));
            Some(Completion {
                display: display.trim_end().to_owned(),
                replacement: format!("{name}("),
            })
        })
        .collect()
}

/// Returns the names of the arguments that the call at the cursor takes and does not have.
fn arguments(session: &Session, line: &Analysis, cursor: usize) -> Vec<Completion> {
    let calls = line.open_calls(cursor);
    let Some(call) = calls.last() else {
        return Vec::new();
    };
    let taken = taken_by(session.workspace(), &call.function).unwrap_or_default();
    taken
        .into_iter()
        .skip(call.argument.saturating_sub(call.given.len()))
        .filter(|taken| call.named.is_none() && !call.given.contains(&taken.name))
        .map(|taken| Completion {
            display: format!("{}: {}", taken.name, about(&taken).unwrap_or_default()),
            replacement: format!("{}: ", taken.name),
        })
        .collect()
}

/// Returns the texts that the argument at a place may be.
fn known(session: &Session, line: &Analysis, at: usize) -> Vec<String> {
    let calls = line.open_calls(at);
    let Some(call) = calls.last() else {
        return Vec::new();
    };
    let mut taken = taken_by(session.workspace(), &call.function).unwrap_or_default();
    let place = match &call.named {
        Some(name) => taken.iter().position(|taken| taken.name == *name),
        None => Some(call.argument.min(taken.len().saturating_sub(1))),
    };
    let here = place.filter(|place| *place < taken.len());
    here.map_or(Vec::new(), |place| taken.swap_remove(place).texts)
}

/// Returns the same in quotes, where none is begun.
fn quoted(session: &Session, line: &Analysis, cursor: usize) -> Vec<Completion> {
    let texts = known(session, line, cursor).into_iter();
    Completion::all(texts.map(|text| format!("\"{text}\"")))
}

/// Returns the texts that the argument at the cursor may be, behind a quote.
fn texts(session: &Session, line: &Analysis, start: usize, cursor: usize) -> Vec<Completion> {
    let closed = line
        .text
        .get(cursor..)
        .is_some_and(|rest| rest.starts_with('"'));
    let close = if closed { "" } else { "\"" };
    known(session, line, start.saturating_sub(1))
        .into_iter()
        .map(|text| Completion {
            display: text.clone(),
            replacement: format!("{text}{close}"),
        })
        .collect()
}

/// Returns units; behind `as` also the other ways of showing.
fn units(line: &Analysis, start: usize) -> Vec<Completion> {
    let before = line.text.get(..start).unwrap_or("").trim_end();
    let adjacent = before.len() == start && before.ends_with(|c: char| c.is_ascii_digit());
    let gap = if adjacent { " " } else { "" };
    let shown: &[&str] = if before.ends_with("as") {
        &["dms", "fraction 1/64"]
    } else {
        &[]
    };
    definitions()
        .iter()
        .map(|unit| unit.symbol)
        .chain(COMPOUND.iter().copied())
        .chain(shown.iter().copied())
        .map(|unit| Completion {
            display: unit.to_owned(),
            replacement: format!("{gap}{unit}"),
        })
        .collect()
}

/// Returns what may follow a path and a point: names of a notebook in use, fields of a
/// record, columns of a table.
fn fields(session: &Session, path: &str) -> Vec<Completion> {
    let workspace = session.workspace();
    let used = workspace
        .main()
        .and_then(|page| page.uses.iter().find(|(alias, _)| &**alias == path));
    if let Some(page) = used.and_then(|(_, page)| workspace.page(*page)) {
        let mut names: Vec<&str> = page.names.keys().map(|name| &**name).collect();
        names.sort_unstable();
        return Completion::all(names);
    }
    let locals: Vec<_> = session
        .answer()
        .map(|answer| (ANSWER, answer.value.clone()))
        .into_iter()
        .collect();
    match workspace.evaluate(path, &locals, STEPS / 100) {
        Ok(Value::Record(record)) => Completion::all(record.fields.iter().map(|(name, _)| name)),
        Ok(Value::Table(table)) => Completion::all(&table.columns),
        _ => Vec::new(),
    }
}

/// Returns the notebooks beside the one that is open.
fn beside(session: &Session) -> Vec<Completion> {
    let own = session.file().and_then(|file| file.file_stem());
    let own = own.map(|stem| stem.to_string_lossy().into_owned());
    let path = session
        .file()
        .unwrap_or(std::path::Path::new("notebook.job"));
    let names = session.bench().beside(path).into_iter();
    Completion::all(names.filter(|name| Some(name) != own.as_ref()))
}

/// Returns what may follow a command.
fn after_command(session: &Session, command: &Command, word: &str) -> Vec<Completion> {
    match command.takes {
        Takes::Section => Completion::all(session.headings()),
        Takes::NewSection => sections()
            .map(|(word, about)| Completion {
                display: format!("{word}: {about}"),
                replacement: word.to_owned(),
            })
            .collect(),
        Takes::Name => names(session, word),
        Takes::Changes => Completion::all(session.unwritten()),
        Takes::Function => {
            let functions = functions(session, word).into_iter();
            functions
                .map(|one| Completion {
                    replacement: one.replacement.trim_end_matches('(').to_owned(),
                    ..one
                })
                .collect()
        }
        Takes::File => {
            let folder = match word.rsplit_once('/') {
                Some((folder, _)) => format!("{folder}/"),
                None => String::new(),
            };
            let path = std::path::PathBuf::from(format!("{folder}notebook.job"));
            let names = session.bench().beside(&path).into_iter();
            Completion::all(names.map(|name| format!("{folder}{name}.job")))
        }
        _ => Vec::new(),
    }
}
