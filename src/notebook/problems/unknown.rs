//! Names that nothing defines, with what may have been meant.

use foldhash::HashSet;

use super::Problem;
use crate::diagnostic::{Diagnostic, Span, did_you_mean};
use crate::language::{PageId, SlotId};
use crate::notebook::page::{Item, Page};
use crate::notebook::workspace::Workspace;
use crate::syntax::ItemKind;

/// So many unknown names of a page get advice: looking for what was meant goes
/// through all names, and nobody reads more.
pub(super) const ADVISED: usize = 50;
/// So many names are compared at most.
const COMPARED: usize = 100_000;

/// Returns names that nothing defines, at the first place where they are used.
pub(super) fn unknown_names(workspace: &Workspace, number: PageId, page: &Page) -> Vec<Problem> {
    let mut found = Vec::new();
    let mut seen: HashSet<SlotId> = HashSet::default();
    for item in &page.items {
        found.extend(unknown_names_of(workspace, number, page, item, &mut seen));
    }
    found
}

/// Returns names in a statement that nothing defines and that were not `seen` before.
pub(super) fn unknown_names_of(
    workspace: &Workspace,
    number: PageId,
    page: &Page,
    item: &Item,
    seen: &mut HashSet<SlotId>,
) -> Vec<Problem> {
    let mut found = Vec::new();
    let Some(slot) = item.slot.and_then(|slot| workspace.slot(slot)) else {
        return found;
    };
    for need in &slot.needs {
        let Some(needed) = workspace.slot(*need) else {
            continue;
        };
        let other = workspace.page(needed.page);
        if workspace.is_defined(*need)
            || other.is_none_or(|other| other.missing)
            || !seen.insert(*need)
        {
            continue;
        }
        let known = other.map_or(1, |other| other.names.len().max(1));
        let advise = seen.len() <= ADVISED.min(COMPARED / known);
        // A cell that was redefined stands in no file, its readings do.
        let text = slot.redefined.clone().filter(|_| !item.kind.is_beside());
        let diagnostic = unknown(workspace, page, item, *need, text.as_deref(), advise);
        found.push(Problem {
            page: number,
            diagnostic,
            text,
        });
    }
    found
}

/// Returns the advice for a name that counts in the rows of a rule above a cell: the
/// columns of a rule go on over commas only, and the cell reads like the next of them.
fn column_left_behind(page: &Page, item: &Item, name: &str) -> Option<String> {
    let above = page.items.iter().rev();
    let mut above = above
        .skip_while(|other| other.piece.span.start >= item.piece.span.start)
        .take_while(|other| other.kind == ItemKind::Cell);
    let counts = |other: &Item| {
        let text = page.text_at(other.piece.span);
        let mut rules = text.split("rows for ").skip(1);
        rules.any(|rule| rule.split_whitespace().next() == Some(name))
    };
    above.any(counts).then(|| {
        format!(
            "`{name}` counts in the rows above: end each column but the last with a comma to go \
             on with the next on a line of its own"
        )
    })
}

fn unknown(
    workspace: &Workspace,
    page: &Page,
    item: &Item,
    need: SlotId,
    redefined: Option<&str>,
    advise: bool,
) -> Diagnostic {
    let Some(needed) = workspace.slot(need) else {
        return Diagnostic::error("unknown name", item.piece.span);
    };
    let text = redefined.unwrap_or_else(|| page.text_at(item.piece.span));
    let offset = redefined.map_or(item.piece.span.start as usize, |_| 0);
    let other = workspace.page(needed.page);
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
    let names = other
        .filter(|other| !other.elsewhere)
        .into_iter()
        .flat_map(|other| workspace.defined_names(other));
    let aliases = page
        .uses
        .iter()
        .map(|(alias, _)| &**alias)
        .filter(|_| !foreign);
    let mut diagnostic = match other.filter(|_| foreign) {
        Some(other) => Diagnostic::error(
            format!("there is no `{}` in {}", needed.name, other.name),
            span,
        ),
        None => Diagnostic::unknown_name(&needed.name, span),
    };
    if !advise {
        return diagnostic;
    }
    diagnostic.advice = column_left_behind(page, item, &needed.name);
    if diagnostic.advice.is_some() {
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

/// Returns whether a name looks like a designation of the trade: `M10x1`, `MT2`, `R8`.
fn designates(name: &str) -> bool {
    let letters = name
        .find(|c: char| !c.is_ascii_uppercase())
        .unwrap_or(name.len());
    let rest = name.get(letters..).unwrap_or("");
    (1..=2).contains(&letters)
        && rest.starts_with(|c: char| c.is_ascii_digit())
        && rest.chars().all(|c| c.is_ascii_digit() || c == 'x')
}

/// Returns where a whole word stands in a text, after a point where `after_point` is set;
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
