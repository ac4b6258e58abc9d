//! The cases of tests/language/cases.
//!
//! A line is `expression => value as it is printed`, or `expression !! columns
//! FROM-TO: words of the message`, with `?? words of the advice` behind that where
//! the advice matters. Columns count characters from 1; TO is the last one marked.
//!
//! A line `--- what it is about` begins a notebook, which goes on to the next such
//! line. In it, `=> name: value` says what a row comes to, as it is printed, and
//! `!! LINE: columns FROM-TO: words` what is wrong; no other error may be there.
//! Lines that begin with `//` are remarks.

use std::fs;
use std::path::Path;

use setover::internals::diagnostic::{Diagnostic, Lines};
use setover::internals::sheet::Sheet;

use crate::support::{notebook, worked_out, wrong};

/// What a case expects to be wrong.
#[derive(Debug)]
struct Wrong<'a> {
    line: usize,
    columns: (usize, usize),
    message: &'a str,
    advice: Option<&'a str>,
}

impl<'a> Wrong<'a> {
    /// Reads `columns FROM-TO: words ?? advice`.
    fn read(line: usize, text: &'a str) -> Option<Self> {
        let rest = text.trim().strip_prefix("columns ")?;
        let (columns, words) = rest.split_once(": ")?;
        let (from, to) = columns.split_once('-')?;
        let (message, advice) = match words.split_once("??") {
            Some((message, advice)) => (message.trim(), Some(advice.trim())),
            None => (words.trim(), None),
        };
        let columns = (from.parse().ok()?, to.parse().ok()?);
        Some(Self {
            line,
            columns,
            message,
            advice,
        })
    }

    /// Why a diagnostic is not this one.
    fn differs(&self, found: &Diagnostic, text: &str) -> Option<String> {
        let lines = Lines::of(text);
        let (line, from) = lines.line_and_column(found.span.start as usize);
        let (_, end) = lines.line_and_column(found.span.end as usize);
        let to = if found.span.end == found.span.start {
            from
        } else {
            end - 1
        };
        let advice = found.advice.as_deref().unwrap_or("");
        let same = line == self.line
            && (from, to) == self.columns
            && found.message.contains(self.message)
            && self.advice.is_none_or(|words| advice.contains(words));
        (!same).then(|| {
            format!(
                "line {line}, columns {from}-{to}: {} ?? {advice}",
                found.message
            )
        })
    }
}

/// Compares what is wrong with what should be.
fn compare(expected: &[Wrong], found: &[Diagnostic], text: &str) -> Vec<String> {
    let mut differences = Vec::new();
    for index in 0..expected.len().max(found.len()) {
        match (expected.get(index), found.get(index)) {
            (Some(expected), Some(found)) => {
                if let Some(found) = expected.differs(found, text) {
                    differences.push(format!("expected {expected:?}\n      found {found}"));
                }
            }
            (Some(expected), None) => {
                differences.push(format!("expected {expected:?}, but all is well"))
            }
            (None, Some(found)) => differences.push(format!(
                "unexpected: {} ({:?})",
                found.message, found.advice
            )),
            (None, None) => {}
        }
    }
    differences
}

fn line_case(line: &str) -> Vec<String> {
    if let Some((expression, expected)) = line.rsplit_once(" => ") {
        return match worked_out(expression.trim()) {
            Ok(value) if value.to_string() == expected.trim() => Vec::new(),
            Ok(value) => vec![format!("came to {value}")],
            Err(wrong) => wrong
                .iter()
                .map(|d| format!("{} ({:?})", d.message, d.advice))
                .collect(),
        };
    }
    let Some((expression, expected)) = line.split_once(" !! ") else {
        return vec!["this line is no case".to_owned()];
    };
    let Some(expected) = Wrong::read(1, expected) else {
        return vec!["what should be wrong can't be read".to_owned()];
    };
    match worked_out(expression) {
        Ok(value) => vec![format!("came to {value}")],
        Err(found) => compare(&[expected], &found, expression),
    }
}

fn block_case(block: &str) -> Vec<String> {
    let mut text = String::new();
    let mut values = Vec::new();
    let mut errors = Vec::new();
    let mut differences = Vec::new();
    for line in block.lines() {
        if let Some(expected) = line.strip_prefix("=> ") {
            match expected.split_once(": ") {
                Some(pair) => values.push(pair),
                None => differences.push(format!("`{line}` names no row")),
            }
        } else if let Some(expected) = line.strip_prefix("!! ") {
            let read = expected
                .split_once(": ")
                .and_then(|(line, rest)| Wrong::read(line.parse().ok()?, rest));
            match read {
                Some(wrong) => errors.push(wrong),
                None => differences.push(format!("`{line}` can't be read")),
            }
        } else if !line.starts_with("//") {
            text.push_str(line);
            text.push('\n');
        }
    }
    if values.is_empty() && errors.is_empty() {
        differences.push("this notebook expects nothing".to_owned());
    }
    let workspace = notebook(&text);
    differences.extend(compare(&errors, &wrong(&workspace), &text));
    let sheet = Sheet::of(&workspace);
    for (name, expected) in values {
        match sheet.rows().find(|row| row.name == name) {
            None => differences.push(format!("there is no row `{name}`")),
            Some(row) => {
                let found = if row.text.is_empty() {
                    &row.status
                } else {
                    &row.text
                };
                if found != expected {
                    differences.push(format!("{name} came to {found}, not {expected}"));
                }
            }
        }
    }
    differences
}

/// Runs the cases of one file; says all that differs.
#[track_caller]
fn check(name: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/language/cases")
        .join(name);
    let text = fs::read_to_string(&path).unwrap_or_else(|why| panic!("{}: {why}", path.display()));
    let mut count = 0;
    let mut failed = Vec::new();
    let mut note = |number: usize, what: &str, differences: Vec<String>| {
        count += 1;
        if !differences.is_empty() {
            failed.push(format!(
                "{name}:{number}: {what}\n    {}",
                differences.join("\n    ")
            ));
        }
    };
    let mut block: Option<(usize, &str, String)> = None;
    for (number, line) in (1..).zip(text.lines()) {
        if let Some(title) = line.strip_prefix("---") {
            if let Some((number, title, text)) = block.take() {
                note(number, title, block_case(&text));
            }
            block = Some((number, title.trim(), String::new()));
        } else if let Some((_, _, text)) = &mut block {
            text.push_str(line);
            text.push('\n');
        } else if !line.trim().is_empty() && !line.starts_with("//") {
            note(number, line, line_case(line));
        }
    }
    if let Some((number, title, text)) = block {
        note(number, title, block_case(&text));
    }
    println!("{name}: {count} cases");
    assert!(count > 0, "{name} has no cases");
    assert!(
        failed.is_empty(),
        "{} of {count} cases fail\n{}",
        failed.len(),
        failed.join("\n")
    );
}

#[test]
fn every_file_of_cases_is_run() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/language/cases");
    let mut files: Vec<String> = fs::read_dir(folder)
        .expect("the folder of cases")
        .map(|entry| {
            entry
                .expect("an entry")
                .file_name()
                .to_string_lossy()
                .into_owned()
        })
        .collect();
    files.sort();
    assert_eq!(files, FILES.map(|name| format!("{name}.txt")));
}

macro_rules! files {
    ($($name:ident),* $(,)?) => {
        const FILES: [&str; [$(stringify!($name)),*].len()] = [$(stringify!($name)),*];
        $(#[test] fn $name() { check(concat!(stringify!($name), ".txt")); })*
    };
}

files!(
    angles,
    conditions,
    functions,
    lists_and_records,
    literals,
    messages,
    operators,
    rows,
    statements,
    tables,
    temperatures,
    tolerances,
    units,
    where_and_find
);
