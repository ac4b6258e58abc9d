//! Everything that is wrong in a workspace, with its places.

mod unknown;

use std::path::Path;
use std::sync::Arc;

use foldhash::{HashMap, HashSet};

use unknown::{ADVISED, unknown_names, unknown_names_of};

use super::definition::Definition;
use super::outcome::Failure;
use super::page::{Item, Page};
use super::workspace::{Slot, Workspace};
use crate::diagnostic::{Diagnostic, Span};
use crate::language::{PageId, SlotId};
use crate::syntax::ItemKind;

/// Something that is wrong, in a page.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// The page.
    pub page: PageId,
    /// What is wrong; places count from the start of the file, or of `text`.
    pub diagnostic: Diagnostic,
    /// The statement it is about, where that stands in no file.
    pub text: Option<Arc<str>>,
}

/// Returns everything that is wrong, page by page in file order; warnings too.
///
/// What failed only because something else did is not repeated.
#[must_use]
pub fn problems(workspace: &Workspace) -> Vec<Problem> {
    let mut found = Vec::new();
    for (number, page) in workspace.numbered_pages() {
        let start = found.len();
        found.extend(page.wrong.iter().map(|wrong| Problem {
            page: number,
            diagnostic: wrong.clone(),
            text: None,
        }));
        let mut readings: HashMap<SlotId, usize> = HashMap::default();
        for (index, item) in (0_u32..).zip(&page.items) {
            let Some(slot) = item.slot else { continue };
            let offset = item.piece.span.start as usize;
            let own = workspace
                .slot(slot)
                .is_some_and(|filled| filled.item == index);
            if item.kind == ItemKind::Measured {
                let place = readings.entry(slot).or_default();
                let wrong = workspace.reading_problem(slot, *place);
                *place += 1;
                found.extend(wrong.map(|wrong| Problem {
                    page: number,
                    diagnostic: wrong.shifted(offset),
                    text: None,
                }));
                continue;
            }
            if item.kind == ItemKind::Aim {
                found.extend(workspace.aim_problem(slot).map(|wrong| Problem {
                    page: number,
                    diagnostic: wrong.shifted(offset),
                    text: None,
                }));
                continue;
            }
            if !own {
                continue;
            }
            for diagnostic in slot_problems(workspace, slot) {
                let text = workspace.slot(slot).and_then(|slot| slot.redefined.clone());
                let name = workspace.slot(slot).map_or(0, |slot| slot.name.len() + 3);
                let offset = if text.is_some() { name } else { offset };
                found.push(Problem {
                    page: number,
                    diagnostic: diagnostic.shifted(offset),
                    text,
                });
            }
        }
        found.extend(unknown_names(workspace, number, page));
        found[start..].sort_by_key(|problem| problem.diagnostic.span);
    }
    found.dedup();
    let mut advised = 0;
    for problem in &mut found {
        let page = workspace.page(problem.page);
        if let Some(page) = page.filter(|page| page.elsewhere) {
            hide(page, problem);
        } else if let (Some(page), None) = (page, &problem.text) {
            problem.diagnostic.span = without_blanks(&page.text, problem.diagnostic.span);
            if problem.page == PageId::MAIN && advised < ADVISED {
                advised += 1;
                let line = line_at(&page.text, problem.diagnostic.span);
                workspace.advise_line(&mut problem.diagnostic, line);
                Workspace::advise_definition(&mut problem.diagnostic);
            }
        }
    }
    found
}

/// Returns the line that a place is on, without its remark.
fn line_at(text: &str, span: Span) -> &str {
    let start = span.start as usize;
    let before = text.get(..start).unwrap_or("");
    let from = before.rfind('\n').map_or(0, |newline| newline + 1);
    let line = text.get(from..).and_then(|rest| rest.lines().next());
    let line = line.unwrap_or("");
    line.split(" #").next().unwrap_or(line)
}

/// A statement, by what makes it the same one in another state of its notebook: the
/// file, its kind, and its name or, without one, its text.
type Identity<'a> = (&'a Path, ItemKind, &'a str);

/// Returns what is wrong after a change and was not before it, page by page in file
/// order.
///
/// Statements are held against themselves, not words against words: a statement that
/// is new or says something else has all its problems anew, an unknown name too that
/// other statements use already; one that stands as it did has those that came on
/// top.
#[must_use]
pub fn arisen(before: &Workspace, after: &Workspace) -> Vec<Problem> {
    let old = problems(before);
    let mut known: HashMap<Identity, (&str, Vec<&str>)> = HashMap::default();
    for page in &before.pages {
        for item in &page.items {
            let text = text_of(before, page, item);
            known.insert(identity(before, page, item), (text, Vec::new()));
        }
    }
    let mut elsewhere: HashSet<&str> = HashSet::default();
    for problem in &old {
        let message = problem.diagnostic.message.as_str();
        let place = statement_of(before, problem);
        let place = place.and_then(|(page, item)| known.get_mut(&identity(before, page, item)));
        match place {
            Some((_, messages)) => messages.push(message),
            None => {
                elsewhere.insert(message);
            }
        }
    }
    let mut own: HashMap<Identity, Vec<Problem>> = HashMap::default();
    let mut found = Vec::new();
    for problem in problems(after) {
        match statement_of(after, &problem) {
            Some((page, item)) => own
                .entry(identity(after, page, item))
                .or_default()
                .push(problem),
            // What stands in no statement.
            None if elsewhere.contains(problem.diagnostic.message.as_str()) => {}
            None => found.push(problem),
        }
    }
    for (number, page) in after.numbered_pages() {
        for item in &page.items {
            let identity = identity(after, page, item);
            let mut own = own.remove(&identity).unwrap_or_default();
            match known.get(&identity) {
                Some((text, messages)) if *text == text_of(after, page, item) => {
                    let grew = own.len() > messages.len();
                    own.retain(|problem| {
                        grew && !messages.contains(&problem.diagnostic.message.as_str())
                    });
                }
                _ => {
                    let unknown =
                        unknown_names_of(after, number, page, item, &mut HashSet::default());
                    for mut problem in unknown {
                        let message = &problem.diagnostic.message;
                        let said = |known: &Problem| known.diagnostic.message == *message;
                        if !own.iter().any(said) {
                            Workspace::advise_definition(&mut problem.diagnostic);
                            own.push(problem);
                        }
                    }
                }
            }
            found.extend(own);
        }
    }
    found.sort_by_key(|problem| (problem.page, problem.diagnostic.span));
    found
}

fn identity<'a>(workspace: &'a Workspace, page: &'a Page, item: &Item) -> Identity<'a> {
    let name = item.slot.and_then(|slot| workspace.slot(slot));
    let name = name.map_or("", |slot| &*slot.name);
    let name = if name.is_empty() {
        page.text_at(item.piece.span)
    } else {
        name
    };
    (&page.path, item.kind, name)
}

/// Returns the statement as it is in force.
fn text_of<'a>(workspace: &'a Workspace, page: &'a Page, item: &Item) -> &'a str {
    let slot = item.slot.and_then(|slot| workspace.slot(slot));
    match slot.and_then(|slot| slot.redefined.as_ref()) {
        Some(text) if item.kind != ItemKind::Measured => text,
        _ => page.text_at(item.piece.span),
    }
}

/// Returns the statement that a problem stands in.
fn statement_of<'a>(workspace: &'a Workspace, problem: &Problem) -> Option<(&'a Page, &'a Item)> {
    let page = workspace.page(problem.page)?;
    if let Some(text) = &problem.text {
        let redefined = |item: &&Item| {
            let slot = item.slot.and_then(|slot| workspace.slot(slot));
            item.kind != ItemKind::Measured
                && slot.and_then(|slot| slot.redefined.as_ref()) == Some(text)
        };
        return Some((page, page.items.iter().find(redefined)?));
    }
    let at = problem.diagnostic.span.start;
    let behind = page
        .items
        .partition_point(|item| item.piece.span.start <= at);
    let item = page.items.get(behind.checked_sub(1)?)?;
    (at <= item.piece.span.end).then_some((page, item))
}

/// Takes the words of a notebook in another folder out of what is wrong in it: who
/// opens a folder of notebooks did not open that.
fn hide(page: &Page, problem: &mut Problem) {
    let at = problem.diagnostic.span.start as usize;
    let before = page.text.get(..at).unwrap_or(&page.text);
    let line = before.matches('\n').count() + 1;
    let message = format!(
        "line {line} of {}, which is a link to another folder, is wrong",
        page.name
    );
    problem.diagnostic = Diagnostic {
        severity: problem.diagnostic.severity,
        ..Diagnostic::error(message, Span::default())
            .advise("open the notebook where it is to see what")
    };
    problem.text = Some("".into());
}

/// Returns a place without the blanks at its ends, unless it is blank.
fn without_blanks(text: &str, span: Span) -> Span {
    let marked = text
        .get(span.start as usize..span.end as usize)
        .unwrap_or("");
    let start = marked.len() - marked.trim_start().len();
    if start == marked.len() {
        return span;
    }
    let end = span.start as usize + marked.trim_end().len();
    Span::new(span.start as usize + start, end)
}

/// Returns what is wrong with a slot itself, its readings aside.
fn slot_problems(workspace: &Workspace, slot: SlotId) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    let aimed = workspace
        .faces
        .get(&slot)
        .and_then(|faces| faces.aimed.as_ref());
    let outcome = aimed.or(Some(workspace.outcome(slot)));
    if let Some(Err(failure)) = outcome
        && let Failure::Wrong(wrong) = &**failure
    {
        found.extend(wrong.iter().cloned());
    }
    // A named one says itself what is wrong with it.
    let nameless = |slot: &&Slot| slot.name.is_empty();
    if matches!(
        workspace
            .slot(slot)
            .filter(nameless)
            .map(|slot| &slot.content),
        Some(Definition::Vary(_))
    ) {
        found.extend(super::range_problems(workspace, slot));
    }
    if matches!(
        workspace.slot(slot).map(|slot| &slot.content),
        Some(Definition::Draw(_))
    ) {
        found.extend(super::graph(workspace, slot).err().unwrap_or_default());
    }
    found.extend(workspace.warnings.get(&slot).into_iter().flatten().cloned());
    found
}
