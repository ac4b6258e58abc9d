//! The functions of library/functions: an index by name, each parsed on first
//! use.

use std::sync::{Arc, LazyLock, OnceLock};

use foldhash::{HashMap, HashSet};

use super::documentation::read_documentation;
use super::shape::{Gives, Shape};
use super::{Function, FunctionDoc, Named, PageId, Scope, UserFunction, compile};
use crate::diagnostic::Fault;
use crate::language::SlotId;
use crate::syntax::{StatementKind, parse_statement};

/// The files of library/functions, built into the program.
macro_rules! files {
    ($($name:literal),* $(,)?) => {
        &[$(($name, include_str!(concat!("../../library/functions/", $name)))),*]
    };
}

const FILES: &[(&str, &str)] = files![
    "speeds_and_feeds.job",
    "materials.job",
    "threads.job",
    "screw_cutting.job",
    "drills.job",
    "holes.job",
    "hole_patterns.job",
    "tapers.job",
    "measuring_tapers.job",
    "circles.job",
    "triangles.job",
    "rotary_table.job",
    "dividing.job",
    "gears.job",
    "fits.job",
    "joints.job",
    "keys.job",
    "measuring.job",
    "gauge_blocks.job",
    "stock.job",
    "springs.job",
    "standard_parts.job",
    "mathematics.job",
];

/// Returns the topics of the library in its order, each with what its files say of
/// themselves.
#[must_use]
pub fn topics() -> Vec<(&'static str, String)> {
    let mut found: Vec<(&str, String)> = Vec::new();
    for (_, text) in FILES {
        let about = text.lines().next().unwrap_or("").trim_start_matches("# ");
        let about = about.trim_end_matches('.');
        let about = about.split_once(": ").map_or(about, |(_, about)| about);
        let heading = text.lines().find_map(|line| line.strip_prefix('['));
        let topic = heading.unwrap_or("").trim_end_matches(']');
        match found.iter_mut().find(|(known, _)| *known == topic) {
            Some((_, so_far)) => *so_far += &format!("; {about}"),
            None => found.push((topic, about.to_owned())),
        }
    }
    found
}

/// The functions of the library.
pub struct Library {
    functions: Vec<Function>,
    by_name: HashMap<&'static str, usize>,
}

static LIBRARY: LazyLock<Library> = LazyLock::new(|| {
    let functions: Vec<Function> = FILES
        .iter()
        .flat_map(|(file, text)| documented(file, text))
        .collect();
    let by_name = functions
        .iter()
        .enumerate()
        .map(|(index, function)| (function.name, index))
        .collect();
    Library { functions, by_name }
});

/// Returns the library.
#[must_use]
pub fn library() -> &'static Library {
    &LIBRARY
}

impl Library {
    /// Returns a function by its name.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<&Function> {
        self.by_name
            .get(name)
            .and_then(|index| self.functions.get(*index))
    }

    /// Returns all functions, topic by topic.
    #[must_use]
    pub fn all(&self) -> &[Function] {
        &self.functions
    }

    /// Returns the names of all functions.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.functions.iter().map(|function| function.name)
    }
}

/// Finds the definitions of a file without parsing them: each stands below its
/// `##` lines and goes on to the next blank line.
pub fn documented(file: &'static str, text: &'static str) -> Vec<Function> {
    let mut found = Vec::new();
    let mut topic = "";
    let mut offset = 0;
    let mut documentation: Option<(usize, usize)> = None;
    let mut open: Option<(usize, usize, usize)> = None;
    let mut take = |documentation: &mut Option<(usize, usize)>,
                    open: &mut Option<(usize, usize, usize)>,
                    topic| {
        let Some((start, end, line)) = open.take() else {
            return;
        };
        let definition = text.get(start..end).unwrap_or("").trim_end();
        let documentation = documentation
            .take()
            .and_then(|(start, end)| text.get(start..end))
            .unwrap_or("")
            .trim_end();
        let name = definition.split('(').next().unwrap_or("").trim();
        let (doc, ready) = (OnceLock::new(), OnceLock::new());
        found.push(Function {
            name,
            topic,
            file,
            line,
            documentation,
            definition,
            doc,
            ready,
        });
    };
    for (number, line) in text.split_inclusive('\n').enumerate() {
        let end = offset + line.len();
        let content = line.trim();
        if content.is_empty() {
            take(&mut documentation, &mut open, topic);
            documentation = None;
        } else if content.starts_with("##") {
            take(&mut documentation, &mut open, topic);
            documentation = Some((documentation.map_or(offset, |(start, _)| start), end));
        } else if let Some((_, open_end, _)) = &mut open {
            *open_end = end;
        } else if let Some(heading) = content.strip_prefix('[') {
            topic = heading.trim_end_matches(']');
        } else if !content.starts_with('#') {
            open = Some((offset, end, number + 1));
        }
        offset = end;
    }
    take(&mut documentation, &mut open, topic);
    found
}

impl Function {
    /// Returns whether the units of what it gives are those of its formula, so that the notebook
    /// says what is shown; mathematics keeps the units of its arguments.
    #[must_use]
    pub fn sets_units(&self) -> bool {
        self.file != "mathematics.job"
    }

    /// Returns what its documentation says.
    ///
    /// # Errors
    /// When a line of the documentation can't be read, which the library's tests
    /// rule out.
    pub fn doc(&self) -> Result<&FunctionDoc, &Fault> {
        self.doc
            .get_or_init(|| {
                let parameters = parameters_of(self.definition);
                read_documentation(self.documentation, &parameters)
            })
            .as_ref()
    }

    /// Returns the function, ready to be called.
    ///
    /// # Errors
    /// When its definition can't be read, which the library's tests rule out.
    pub fn ready(&self) -> Result<&UserFunction, &Fault> {
        self.ready.get_or_init(|| self.prepare()).as_ref()
    }

    fn prepare(&self) -> Result<UserFunction, Fault> {
        let place = |fault: &Fault| Fault {
            message: format!("{}: {}", self.name, fault.message),
            ..fault.clone()
        };
        let doc = self.doc().map_err(place)?;
        let statement = parse_statement(self.definition).map_err(|wrong| {
            Fault::new(format!(
                "library/functions/{}: {}",
                self.file,
                wrong.first().map_or("", |d| &d.message)
            ))
        })?;
        let mut scope = LibraryScope {
            unknown: Vec::new(),
        };
        let function = compile(&statement, Some(doc), &mut scope, SlotId::NONE)
            .map_err(|wrong| place(&Fault::new(wrong.first().map_or("", |d| &d.message))))?;
        if let Some(unknown) = scope.unknown.first() {
            return Err(Fault::new(format!(
                "{}: unknown name `{unknown}`",
                self.name
            )));
        }
        Ok(function)
    }
}

impl Gives for Function {
    fn gives(&self) -> Option<&Shape> {
        Some(&self.ready().ok()?.gives)
    }
}

/// The functions of the library that want a drawn figure, or call one that does.
pub(super) static DRAWN: LazyLock<HashSet<&'static str>> = LazyLock::new(|| {
    let all = library().all();
    let wants = |function: &&Function| function.documentation.contains(": drawn ");
    let mut found: HashSet<&'static str> = all.iter().filter(wants).map(|f| f.name).collect();
    loop {
        let is_word = |c: char| c.is_alphanumeric() || c == '_';
        let calls = |function: &&Function| {
            let mut words = function.definition.split(|c| !is_word(c)).skip(1);
            !found.contains(function.name) && words.any(|word| found.contains(word))
        };
        let more: Vec<&'static str> = all.iter().filter(calls).map(|f| f.name).collect();
        if more.is_empty() {
            return found;
        }
        found.extend(more);
    }
});

/// Library functions see no cells.
struct LibraryScope {
    unknown: Vec<String>,
}

impl Scope for LibraryScope {
    fn name(&mut self, name: &str) -> Named {
        self.unknown.push(name.to_owned());
        Named::Cell(SlotId::NONE)
    }

    fn name_in(&mut self, _: PageId, name: &str) -> SlotId {
        self.unknown.push(name.to_owned());
        SlotId::NONE
    }

    fn function(&mut self, _: &str) -> Option<SlotId> {
        None
    }
}

/// Returns the parameters of a definition with the texts of their defaults.
fn parameters_of(definition: &str) -> Vec<(Arc<str>, Option<String>)> {
    let Ok(StatementKind::Function(_, parameters, _)) = parse_statement(definition) else {
        return Vec::new();
    };
    let text = |parameter: crate::syntax::Parameter| {
        (
            parameter.name.text,
            parameter
                .default
                .as_ref()
                .map(crate::syntax::print_expression),
        )
    };
    parameters.into_iter().map(text).collect()
}
