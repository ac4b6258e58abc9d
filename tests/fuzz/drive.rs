//! A grown notebook driven through everything that the program does with one, and what
//! must be true of it.

use std::path::Path;

use rand::rngs::StdRng;
use rand::{RngExt, SeedableRng};
use setover::internals::notebook::{
    PageId, Request, ToleranceAnalysis, Workspace, arisen, sample, with_expression, with_reading,
};
use setover::internals::repl::Session;
use setover::internals::sheet::{
    Colophon, Sheet, csv, explain, explanation_text, html, moved_rows, moved_text,
};
use setover::internals::syntax::{parse_statement, split};

use super::alike::{difference, everything};
use super::bodies::{self, LOOK, Workshop, notebook};
use super::grow::Ground;
use super::markup::tags;

/// What was done.
#[derive(Clone, Copy, Debug, Default)]
pub struct Done {
    /// Statements parsed.
    pub parses: u64,
    /// Notebooks worked out and written in every form.
    pub executions: u64,
}

/// Parses the notebook of a seed only.
pub fn parse(ground: &Ground, seed: u64) -> Done {
    let text = ground.notebook(seed);
    bodies::parse(&text);
    Done {
        parses: split(&text).len() as u64,
        executions: 0,
    }
}

/// Drives the notebook of a seed through everything; panics where something is not as
/// it must be.
pub fn drive(ground: &Ground, seed: u64) -> Done {
    let text = ground.notebook(seed);
    let mut random = StdRng::seed_from_u64(seed ^ 0x5eed);
    bodies::parse(&text);
    bodies::split_print(&text);
    let workspace = notebook(&text);
    written(&workspace);
    bodies::render(&text);
    sampled(&workspace, seed);
    edited(ground, &mut random, &workspace);
    if random.random_ratio(1, 4) {
        undone(&text);
    }
    Done {
        parses: split(&text).len() as u64,
        executions: 1,
    }
}

/// JSON and CSV are read back, the page nests, limits hold what they are limits of.
fn written(workspace: &Workspace) {
    let sheet = Sheet::of(workspace);
    let text = serde_json::to_string(&sheet).expect("a sheet as JSON");
    let json: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    for section in json["sections"].as_array().into_iter().flatten() {
        for row in section["rows"].as_array().into_iter().flatten() {
            inside(row);
        }
    }
    let values = csv(&sheet);
    let mut reader = ::csv::Reader::from_reader(values.as_bytes());
    for record in reader.records() {
        record.expect("a record of as many fields as the heading");
    }
    let colophon = Colophon {
        computed: "today".to_owned(),
        version: "1".to_owned(),
    };
    tags(&html(&sheet, &colophon));
    let names = workspace.main().map(|page| page.names.values());
    for slot in names.into_iter().flatten().take(3) {
        if let Some(explanation) = explain(workspace, *slot) {
            let text = explanation_text(&explanation, LOOK);
            assert!(!text.contains("NaN") && !text.contains("inf "), "{text}");
        }
    }
}

/// A value lies within its limits unless it is a reading; both are ordered numbers.
fn inside(row: &serde_json::Value) {
    let number = |field: &str| row[field].as_f64();
    let (Some(low), Some(high)) = (number("low"), number("high")) else {
        return;
    };
    assert!(low <= high, "{row}");
    // Sheets whose rows have an aim show values that parts can have.
    let measured = row["kind"] == "measured" || !row["reading"].is_null();
    if let (Some(value), false, true) = (number("value"), measured, row.get("aim").is_some()) {
        let room = 1e-9 * (high - low).max(value.abs());
        assert!(low - room <= value && value <= high + room, "{row}");
    }
}

/// Samples of what is proven stay inside what is proven.
fn sampled(workspace: &Workspace, seed: u64) {
    let travel = ToleranceAnalysis::of(workspace);
    let sampled = sample(workspace, &travel, &Request::new(40, seed));
    for row in sampled.iter().flat_map(|sampled| &sampled.rows) {
        assert!(
            row.tally.count == 0 || !row.tally.mean().is_nan(),
            "{row:?}"
        );
    }
}

/// An edit changes one expression and no other byte, and what it leaves is what a
/// fresh start gives.
fn edited(ground: &Ground, random: &mut StdRng, workspace: &Workspace) {
    let Some(page) = workspace.main() else { return };
    let mut names: Vec<&str> = page.names.keys().map(|name| &**name).collect();
    names.sort_unstable();
    if names.is_empty() {
        return;
    }
    let name = names[random.random_range(0..names.len())];
    let expression = ground.expression(random);
    let edits = [
        with_expression(workspace, page, name, &expression),
        with_reading(workspace, page, name, &expression),
        with_reading(workspace, page, name, "none"),
    ];
    for edit in edits.into_iter().flatten() {
        kept(&page.text, &edit);
        let mut after = workspace.clone();
        after.update_text(PageId::MAIN, &edit, &Workshop);
        let fresh = notebook(&edit);
        if let Some(difference) = difference(&everything(&after), &everything(&fresh)) {
            panic!("an edit and a fresh start differ: {difference}");
        }
        let _ = arisen(workspace, &after);
        let moved = setover::internals::notebook::moved(workspace, &after);
        let _ = moved_text(&moved_rows(&moved, &after), LOOK);
    }
}

/// All lines but those of one statement are as they were.
#[track_caller]
fn kept(old: &str, new: &str) {
    let statement = split(old)
        .iter()
        .map(|piece| (piece.span.end - piece.span.start) as usize)
        .max()
        .unwrap_or(0);
    let head = old.bytes().zip(new.bytes()).take_while(|(a, b)| a == b);
    let head = head.count();
    let tail = old.bytes().rev().zip(new.bytes().rev());
    let tail = tail.take_while(|(a, b)| a == b).count();
    let gone = old.len().saturating_sub(head + tail);
    // A statement, its documentation, its remark and its line end.
    let line = old.lines().map(str::len).max().unwrap_or(0);
    assert!(gone <= statement + 2 * line + 4, "{old:?} became {new:?}");
}

/// What is typed and taken back leaves an empty session.
fn undone(text: &str) {
    let mut session = Session::new(Box::new(Workshop), LOOK);
    for piece in split(text).iter().take(8) {
        let statement = &text[piece.span.start as usize..piece.span.end as usize];
        if parse_statement(statement).is_ok() {
            session.enter(statement);
        }
    }
    let held = session.state().text.clone();
    session.typed("undo 100");
    assert_eq!(&*session.state().text, "", "undo of {held:?}");
    session.typed("redo 100");
    assert_eq!(session.state().text, held);
    let _ = Path::new("part.job");
}
