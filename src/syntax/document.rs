//! A notebook's text, cut into statements and parsed.

use std::thread;

use super::build_statement::{statement, whole_expression};
use super::depth::Prose;
use super::split::prose;
use super::{Expression, Formula, Kind, Name, StatementKind, StatementText, split};
use crate::diagnostic::{Diagnostic, Span};

/// From this many statements on, parsing is shared out among the processor's
/// cores.
const SHARED: usize = 2_000;

/// The most statements that a notebook may hold.
pub const STATEMENTS: usize = 120_000;

/// One statement of a notebook.
#[derive(Clone, Debug)]
pub struct Statement {
    /// Where it stands in the file.
    pub piece: StatementText,
    /// What it is, or why it can't be read. Places count from its first byte.
    pub parsed: Result<StatementKind, Vec<Diagnostic>>,
}

/// The statements of a notebook, in file order.
#[derive(Clone, Debug, Default)]
pub struct Document {
    /// The statements.
    pub statements: Vec<Statement>,
}

/// Parses a notebook.
///
/// # Example
/// ```
/// let document = setover::internals::syntax::parse_document("bore = 12 mm H7\nwall = (\n");
/// assert!(document.statements[0].parsed.is_ok());
/// assert_eq!(document.statements[1].parsed.as_ref().unwrap_err()[0].message, "`(` is not closed");
/// ```
#[must_use]
pub fn parse_document(text: &str) -> Document {
    let mut pieces = split(text);
    let beyond = pieces.get(STATEMENTS).cloned();
    pieces.truncate(STATEMENTS);
    let mut document = parse_pieces(text, pieces);
    document.statements.extend(beyond.map(|piece| {
        let message = format!("a notebook holds at most {STATEMENTS} statements");
        let wrong = Diagnostic::error(
            message,
            Span::new(0, (piece.span.end - piece.span.start) as usize),
        );
        let wrong = wrong.advise("nothing from here on is read: begin another notebook");
        Statement {
            piece,
            parsed: Err(vec![wrong]),
        }
    }));
    document
}

fn parse_pieces(text: &str, pieces: Vec<StatementText>) -> Document {
    let cores = thread::available_parallelism().map_or(1, std::num::NonZero::get);
    if pieces.len() < SHARED || cores == 1 {
        return Document {
            statements: pieces
                .into_iter()
                .map(|piece| parse_piece(text, piece))
                .collect(),
        };
    }
    let share = pieces.len().div_ceil(cores);
    let mut statements = Vec::with_capacity(pieces.len());
    thread::scope(|scope| {
        let mut running = Vec::new();
        let mut pieces = pieces.into_iter();
        loop {
            let part: Vec<StatementText> = pieces.by_ref().take(share).collect();
            if part.is_empty() {
                break;
            }
            running.push(scope.spawn(move || {
                part.into_iter()
                    .map(|piece| parse_piece(text, piece))
                    .collect::<Vec<_>>()
            }));
        }
        for part in running {
            // A panic in the parser is a fault of ours; it goes on as one.
            match part.join() {
                Ok(part) => statements.extend(part),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
    });
    Document { statements }
}

fn parse_piece(text: &str, piece: StatementText) -> Statement {
    let start = piece.span.start as usize;
    let rows: Vec<Span> = piece
        .rows
        .iter()
        .map(|row| Span::new(row.start as usize - start, row.end as usize - start))
        .collect();
    let own = text.get(start..piece.span.end as usize).unwrap_or("");
    if let Some(wrong) = carried_on(text, start) {
        let parsed = Err(vec![wrong]);
        return Statement { parsed, piece };
    }
    let parsed = if piece.remarks.is_empty() {
        statement(own, &rows)
    } else {
        statement(&blanked(own, &piece), &rows)
    };
    Statement { parsed, piece }
}

/// Returns what is wrong with a line that begins with an operator and stands indented below a
/// statement: it was meant to carry that on, and would be a row by itself.
fn carried_on(text: &str, start: usize) -> Option<Diagnostic> {
    let operator = text.get(start..)?.chars().next()?;
    if !"+-−*/^·×=<>≤≥≠".contains(operator) {
        return None;
    }
    let indent = |line: &str| line.len() - line.trim_start().len();
    let before = text.get(..start)?;
    let (above, own) = before.rsplit_once('\n')?;
    let above = above
        .lines()
        .rev()
        .find(|line| !line.trim_start().starts_with('#'))?;
    let content = above.split(" #").next()?.trim();
    let formula = !content.starts_with(['[', '|']) && prose(content) == Prose::None;
    if content.is_empty() || !formula || indent(own) <= indent(above) {
        return None;
    }
    let message =
        format!("this line begins with `{operator}`, but the statement above is complete");
    let last = content.lines().last()?;
    Some(
        Diagnostic::error(message, Span::new(0, operator.len_utf8())).advise(format!(
            "to go on, end the line above with it: `{last} {operator}`"
        )),
    )
}

/// Returns the text of a statement with the remarks inside it blanked out, every other
/// character in its place.
fn blanked(own: &str, piece: &StatementText) -> String {
    let mut bytes = own.as_bytes().to_vec();
    for remark in &piece.remarks {
        let start = remark.start.saturating_sub(piece.span.start) as usize;
        let end = remark.end.saturating_sub(piece.span.start) as usize;
        // The last may reach past the statement's own text.
        let part = bytes.iter_mut().take(end).skip(start);
        part.filter(|byte| !matches!(**byte, b'\n' | b'\r'))
            .for_each(|byte| *byte = b' ');
    }
    String::from_utf8(bytes).unwrap_or_else(|_| own.to_owned())
}

/// Parses one statement by itself (a table with its rows).
///
/// # Errors
/// What can't be read, with places counted from the text's first byte.
pub fn parse_statement(text: &str) -> Result<StatementKind, Vec<Diagnostic>> {
    let pieces = split(text);
    match pieces.as_slice() {
        [piece] => {
            let start = piece.span.start as usize;
            let parsed = parse_piece(text, piece.clone()).parsed;
            parsed.map_err(|wrong| wrong.into_iter().map(|d| d.shifted(start)).collect())
        }
        [] => Err(vec![Diagnostic::error(
            "there is nothing here",
            Span::new(0, text.len()),
        )]),
        [_, second, ..] => Err(vec![Diagnostic::error(
            "a second statement begins here",
            second.span,
        )]),
    }
}

/// Parses an expression with its `where` clause, such as what stands right of a
/// cell's `=`.
///
/// # Errors
/// What can't be read.
pub fn parse_expression(text: &str) -> Result<Formula, Diagnostic> {
    whole_expression(text)
}

/// Moves every place in an expression on by `offset` bytes.
pub fn shift(expression: &mut Expression, offset: usize) {
    let shifted = |name: &mut Name| name.span = name.span.shifted(offset);
    expression.span = expression.span.shifted(offset);
    match &mut expression.kind {
        Kind::Call(name, arguments) => {
            shifted(name);
            let names = arguments.iter_mut().filter_map(|one| one.name.as_mut());
            names.for_each(shifted);
        }
        Kind::Field(_, name) => shifted(name),
        Kind::Rows(rows) => {
            shifted(&mut rows.name);
            let bound = rows.starting.iter_mut().chain(&mut rows.columns);
            bound.for_each(|binding| shifted(&mut binding.name));
        }
        Kind::Find(find) => shifted(&mut find.name),
        _ => {}
    }
    expression.each_within(&mut |within| shift(within, offset));
}
