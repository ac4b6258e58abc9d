//! Everything that is wrong in a workspace, with its places.

use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use super::content::Content;
use super::outcome::Failure;
use super::page::{ItemKind, Page};
use super::workspace::Workspace;
use crate::diagnostic::{Diagnostic, Span, did_you_mean};

/// So many unknown names of a page get advice: looking for what was meant goes
/// through all names, and nobody reads more.
const ADVISED: usize = 50;

/// Something that is wrong, in a page.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// The page.
    pub page: u32,
    /// What is wrong; places count from the start of the file, or of `text`.
    pub diagnostic: Diagnostic,
    /// The statement it is about, where that stands in no file.
    pub text: Option<Arc<str>>,
}

/// Everything that is wrong, page by page in file order; warnings too.
///
/// What failed only because something else did is not repeated.
#[must_use]
pub fn problems(workspace: &Workspace) -> Vec<Problem> {
    let mut found = Vec::new();
    for (number, page) in (0_u32..).zip(&workspace.pages) {
        let start = found.len();
        found.extend(page.wrong.iter().map(|wrong| Problem {
            page: number,
            diagnostic: wrong.clone(),
            text: None,
        }));
        let mut readings: HashMap<u32, usize> = HashMap::new();
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
        let page = workspace.pages.get(problem.page as usize);
        if let (Some(page), None) = (page, &problem.text) {
            problem.diagnostic.span = without_blanks(&page.text, problem.diagnostic.span);
            if problem.page == 0 && advised < ADVISED {
                advised += 1;
                let line = line_at(&page.text, problem.diagnostic.span);
                workspace.advise_line(&mut problem.diagnostic, line);
            }
        }
    }
    found
}

/// The line that a place is on, without its remark.
fn line_at(text: &str, span: Span) -> &str {
    let start = span.start as usize;
    let before = text.get(..start).unwrap_or("");
    let from = before.rfind('\n').map_or(0, |newline| newline + 1);
    let line = text.get(from..).and_then(|rest| rest.lines().next());
    let line = line.unwrap_or("");
    line.split(" #").next().unwrap_or(line)
}

/// A place without the blanks at its ends, unless it is blank.
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

/// What is wrong with a slot itself, its readings aside.
fn slot_problems(workspace: &Workspace, slot: u32) -> Vec<Diagnostic> {
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
    if matches!(
        workspace.slot(slot).map(|slot| &slot.content),
        Some(Content::Vary(_))
    ) {
        found.extend(super::range_problems(workspace, slot));
    }
    if matches!(
        workspace.slot(slot).map(|slot| &slot.content),
        Some(Content::Draw(_))
    ) {
        found.extend(super::graph(workspace, slot).err().unwrap_or_default());
    }
    found.extend(workspace.warnings.get(&slot).into_iter().flatten().cloned());
    found
}

/// Names that nothing defines, at each place where they are used.
fn unknown_names(workspace: &Workspace, number: u32, page: &Page) -> Vec<Problem> {
    let mut found = Vec::new();
    let mut seen: HashSet<u32> = HashSet::new();
    for item in &page.items {
        let Some(slot) = item.slot.and_then(|slot| workspace.slot(slot)) else {
            continue;
        };
        for need in &slot.needs {
            let Some(needed) = workspace.slot(*need) else {
                continue;
            };
            let other = workspace.pages.get(needed.page as usize);
            if !matches!(needed.content, Content::Nothing)
                || other.is_none_or(|other| other.missing)
                || !seen.insert(*need)
            {
                continue;
            }
            let advise = found.len() < ADVISED;
            // A cell that was redefined stands in no file, its readings do.
            let text = slot.redefined.clone().filter(|_| !item.kind.is_beside());
            found.push(Problem {
                page: number,
                diagnostic: unknown(workspace, page, item, *need, text.as_deref(), advise),
                text,
            });
        }
    }
    found
}

fn unknown(
    workspace: &Workspace,
    page: &Page,
    item: &super::Item,
    need: u32,
    redefined: Option<&str>,
    advise: bool,
) -> Diagnostic {
    let Some(needed) = workspace.slot(need) else {
        return Diagnostic::error("unknown name", item.piece.span);
    };
    let text = redefined.unwrap_or_else(|| page.text_at(item.piece.span));
    let offset = redefined.map_or(item.piece.span.start as usize, |_| 0);
    let other = workspace.pages.get(needed.page as usize);
    let foreign = other.is_some_and(|other| other.path != page.path);
    let place = find_word(text, &needed.name, foreign);
    let span = place.shifted(offset);
    if needed.name.is_empty() {
        let alias = page
            .uses
            .iter()
            .find(|(_, number)| *number == needed.page)
            .map_or("", |(alias, _)| alias);
        let span = find_word(text, alias, false).shifted(offset);
        return Diagnostic::error(format!("`{alias}` is a notebook, not a value"), span)
            .advise(format!("name one of its cells, such as `{alias}.bore`"));
    }
    let defined = |name: &&str| {
        let slot = other
            .and_then(|other| other.names.get(*name))
            .and_then(|slot| workspace.slot(*slot));
        slot.is_some_and(|slot| !matches!(slot.content, Content::Nothing))
    };
    let names = other
        .into_iter()
        .flat_map(|other| other.names.keys())
        .map(|name| &**name)
        .filter(defined);
    let aliases = page
        .uses
        .iter()
        .map(|(alias, _)| &**alias)
        .filter(|_| !foreign);
    let message = match other.filter(|_| foreign) {
        Some(other) => format!("there is no `{}` in {}", needed.name, other.name),
        None => format!("unknown name `{}`", needed.name),
    };
    let mut diagnostic = Diagnostic::error(message, span);
    if !advise {
        return diagnostic;
    }
    let mut known: Vec<&str> = names.chain(aliases).collect();
    known.sort_unstable();
    diagnostic.advice = did_you_mean(&needed.name, known);
    if diagnostic.advice.is_none() && designates(&needed.name) {
        diagnostic.advice = Some(format!(
            "put a designation in quotes: `\"{}\"`",
            needed.name
        ));
    }
    if diagnostic.advice.is_none() && crate::quantity::definition(&needed.name).is_some() {
        diagnostic.advice = Some(format!(
            "a unit comes after a number: write `1 {}`",
            needed.name
        ));
    }
    diagnostic
}

/// Whether a name looks like a designation of the trade: `M10x1`, `MT2`, `R8`.
fn designates(name: &str) -> bool {
    let letters = name
        .find(|c: char| !c.is_ascii_uppercase())
        .unwrap_or(name.len());
    let rest = name.get(letters..).unwrap_or("");
    (1..=2).contains(&letters)
        && rest.starts_with(|c: char| c.is_ascii_digit())
        && rest.chars().all(|c| c.is_ascii_digit() || c == 'x')
}

/// Where a whole word stands in a text, after a point where `after_point` is set;
/// the whole text's start where it can't be found.
fn find_word(text: &str, word: &str, after_point: bool) -> Span {
    let is_word = |c: char| c.is_alphanumeric() || c == '_';
    for (start, _) in text.match_indices(word) {
        let before = text[..start].chars().last();
        let after = text[start + word.len()..].chars().next();
        let whole = !before.is_some_and(is_word) && !after.is_some_and(is_word);
        if whole && (before == Some('.')) == after_point {
            return Span::new(start, start + word.len());
        }
    }
    Span::new(
        0,
        text.find(['\n', '=']).unwrap_or(text.len()).min(text.len()),
    )
}
