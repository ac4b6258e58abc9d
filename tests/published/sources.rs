//! Every check says where its value comes from, so that someone can look it up.

use std::fs;
use std::path::{Path, PathBuf};

use super::rows::rows;

/// How the source of a worked example begins.
const KINDS: [&str; 4] = [
    "found: ",
    "memory: ",
    "derived: ",
    "common practice, no source: ",
];

/// Words that name no work.
const VAGUE: [&str; 14] = [
    "set problem",
    "set question",
    "forum",
    "practice sheet",
    "ordnance course",
    "training text",
    "FAQ",
    "society page",
    "examination",
    "textbook formula",
    "workshop textbooks",
    "old workshop text",
    "early 20th century",
    "note,",
];

fn files(folder: &str, begins: &str, ends: &str) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let entries = fs::read_dir(folder).expect("the folder");
    let paths = entries.map(|entry| entry.expect("an entry").path());
    let mut paths: Vec<PathBuf> = paths
        .filter(|path| {
            let name = path.file_name().unwrap_or_default().to_string_lossy();
            name.starts_with(begins) && name.ends_with(ends)
        })
        .collect();
    paths.sort();
    paths
}

#[test]
fn every_worked_example_names_its_source() {
    let mut count = 0;
    let mut wrong = Vec::new();
    for path in files("tests/reference", "worked_", ".csv") {
        let text = fs::read_to_string(&path).expect("a table");
        for row in rows(&text) {
            let source = row.text("source");
            let named = KINDS
                .iter()
                .find_map(|kind| source.strip_prefix(kind))
                .is_some_and(|rest| rest.len() > 2);
            let vague = VAGUE.iter().find(|word| source.contains(**word));
            if !named || vague.is_some() {
                wrong.push(format!("{}: {source}", path.display()));
            }
            count += 1;
        }
    }
    println!("{count} worked examples");
    assert!(count > 300);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The tests of a file: name, and its documentation and body as one text.
fn tests(text: &str) -> Vec<(String, String)> {
    let lines: Vec<&str> = text.lines().collect();
    let marks = (0..lines.len()).filter(|&at| lines[at] == "#[test]");
    marks
        .map(|at| {
            let above = lines[..at].iter().rev();
            let documented = above.take_while(|line| line.starts_with("///")).count();
            let below = lines[at..].iter().position(|line| *line == "}");
            let end = at + below.expect("the end of a test");
            let name = lines[at + 1].trim_start_matches("fn ");
            let name = name.split('(').next().unwrap_or_default();
            (name.to_owned(), lines[at - documented..end].join("\n"))
        })
        .collect()
}

#[test]
fn every_check_against_a_published_value_names_its_source() {
    let mut count = 0;
    let mut wrong = Vec::new();
    for path in files("tests/published", "", ".rs") {
        if path.ends_with("sources.rs") {
            continue;
        }
        let text = fs::read_to_string(&path).expect("a test");
        for (name, text) in tests(&text) {
            // What is refused has no published value.
            let refused = name.starts_with("bad_input_is_refused");
            if !refused && !text.contains("Source:") && !text.contains("Worked by hand") {
                wrong.push(format!("{}: {name}", path.display()));
            }
            count += 1;
        }
    }
    println!("{count} tests");
    assert!(count > 60);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
