//! A size by itself, and two of them as a fit: `12 mm H7`, `12 mm H7 - 12 mm g6`.

use std::path::Path;

use super::{Row, Sheet};
use crate::notebook::{Shelf, Workspace};
use crate::syntax::{StatementKind, parse_statement};

/// The names that the sizes get for the while.
const NAMES: [&str; 2] = ["size_1_", "size_2_"];

/// A line that is a size, or a size less another.
#[derive(Debug)]
pub struct BareSize {
    /// The same in words, a line each.
    pub lines: Vec<String>,
    /// The row of the size, or of the difference.
    pub row: Row,
}

/// Returns what a line is that consists of a size with limits, or of one less another;
/// none for any other line.
#[must_use]
pub fn bare_size(workspace: &Workspace, line: &str, shelf: &dyn Shelf) -> Option<BareSize> {
    let line = line.trim();
    let is_size = |text: &str| match parse_statement(&format!("{} = {text}", NAMES[0])) {
        Ok(StatementKind::Cell(_, formula)) => workspace.size_limits(&formula).is_some(),
        _ => false,
    };
    if is_size(line) {
        return alone(workspace, line, shelf);
    }
    let mut places = line.match_indices(" - ");
    places.find_map(|(at, sign)| {
        let (first, second) = (line.get(..at)?, line.get(at + sign.len()..)?);
        let both = is_size(first) && is_size(second);
        both.then(|| together(workspace, first, second, shelf))?
    })
}

/// Returns the rows of some lines, seen from the end of a notebook.
fn rows(workspace: &Workspace, lines: &[String], shelf: &dyn Shelf) -> Vec<Row> {
    let main = workspace.main();
    let path = main.map_or(Path::new("the size"), |page| page.path.as_path());
    let text = main.map_or("", |page| &*page.text).trim_end();
    let text = format!("{text}\n{}\n", lines.join("\n"));
    let with = Workspace::of_text(path, &text, shelf);
    let all = Sheet::of(&with);
    let count = all.rows().count();
    all.sections
        .into_iter()
        .flat_map(|section| section.rows)
        .skip(count.saturating_sub(lines.len()))
        .collect()
}

fn alone(workspace: &Workspace, size: &str, shelf: &dyn Shelf) -> Option<BareSize> {
    let lines = [
        format!("{} = {size}", NAMES[0]),
        format!("op {{{}}}", NAMES[0]),
    ];
    let mut rows = rows(workspace, &lines, shelf).into_iter();
    let (mut row, op) = (rows.next()?, rows.next()?);
    row.name.clear();
    Some(BareSize {
        lines: vec![op.text],
        row,
    })
}

/// Returns the first letter of the class at the end of a size.
fn class_of(size: &str) -> Option<char> {
    let last = size.split_whitespace().next_back()?;
    let class = last.trim_start_matches(|c: char| !c.is_alphabetic());
    class
        .ends_with(|c: char| c.is_ascii_digit())
        .then(|| class.chars().next())?
}

fn together(
    workspace: &Workspace,
    first: &str,
    second: &str,
    shelf: &dyn Shelf,
) -> Option<BareSize> {
    let [one, two] = NAMES;
    let lines = [
        format!("{one} = {first}"),
        format!("{two} = {second}"),
        format!("op {{{one}}}"),
        format!("op {{{two}}}"),
        format!("{one} - {two}"),
        format!("{two} - {one}"),
    ];
    let rows = rows(workspace, &lines, shelf);
    let [hole, shaft, hole_text, shaft_text, play, grip] = <[Row; 6]>::try_from(rows).ok()?;
    let (low, high) = (play.low?, play.high?);
    let unit = &play.written.unit.clone();
    // A shaft's class has small letters: less its hole it is the fit the other way.
    let turned = class_of(first).is_some_and(char::is_lowercase)
        && class_of(second).is_some_and(char::is_uppercase);
    let (play, grip, low, high) = if turned {
        (grip, play, -high, -low)
    } else {
        (play, grip, low, high)
    };
    // Sizes that differ by more than a fit does are just subtracted.
    let fits = hole.drawn.zip(shaft.drawn);
    let fits = fits.is_some_and(|(hole, shaft)| (hole - shaft).abs() <= 0.01 * hole.abs());
    let difference = match (fits, low >= 0.0, high <= 0.0) {
        (false, ..) => format!("difference {} {unit}", play.limits),
        (true, true, _) => format!("clearance {} {unit}", play.limits),
        (true, _, true) => format!("interference {} {unit}", grip.limits),
        (true, ..) => format!("clearance {} {unit}: it may be loose or tight", play.limits),
    };
    Some(BareSize {
        lines: vec![hole_text.text, shaft_text.text, difference],
        row: play,
    })
}
