//! Edits to a notebook's text that leave every other character alone, and edits
//! to a workspace that compute only what they touch.

use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::content::Content;
use super::fill;
use super::load::Shelf;
use super::outcome::Outcome;
use super::page::{Item, ItemKind, Page};
use super::recalculate::changed;
use super::workspace::Workspace;
use crate::diagnostic::{Diagnostic, Span, did_you_mean};
use crate::syntax::{
    Formula, Kind, Piece, Statement, StatementKind, parse_expression, parse_statement, split,
};

/// What an update of a text brought.
#[derive(Clone, Debug, Default)]
pub struct Updated {
    /// The slots that were computed, with what they held before.
    pub computed: Vec<(u32, Outcome)>,
    /// Whether everything was loaded afresh, so that slots have other numbers.
    pub afresh: bool,
}

/// The text of a page with one cell's expression replaced; nothing else changes.
///
/// A size keeps its tolerance unless the new expression has one.
///
/// # Errors
/// When there is no such cell or the expression can't be read; places count from
/// the start of the expression.
pub fn with_expression(
    workspace: &Workspace,
    page: &Page,
    name: &str,
    expression: &str,
) -> Result<String, Diagnostic> {
    let (span, text) = replacement(workspace, page, name, expression)?;
    let (start, end) = (span.start as usize, span.end as usize);
    let (before, after) = (
        page.text.get(..start).unwrap_or(""),
        page.text.get(end..).unwrap_or(""),
    );
    Ok(format!("{before}{text}{after}"))
}

/// Where a cell's expression stands in the file, and what is to stand there.
fn replacement(
    workspace: &Workspace,
    page: &Page,
    name: &str,
    expression: &str,
) -> Result<(Span, String), Diagnostic> {
    let whole = Span::new(0, expression.len());
    let slot = page.names.get(name).and_then(|slot| workspace.slot(*slot));
    let slot = slot.filter(|slot| !matches!(slot.content, Content::Nothing));
    let Some(slot) = slot else {
        let mut wrong =
            Diagnostic::error(format!("there is no cell `{name}` in {}", page.name), whole);
        wrong.advice = did_you_mean(name, page.names.keys().map(|name| &**name));
        return Err(wrong);
    };
    let new = new_expression(expression)?;
    let Some(item) = page.items.get(slot.item as usize) else {
        return Err(Diagnostic::error(
            format!("`{name}` stands nowhere in {}", page.name),
            whole,
        ));
    };
    let offset = item.piece.span.start as usize;
    let statement = page.text_at(item.piece.span);
    match parse_statement(statement) {
        Ok(StatementKind::Cell(_, formula)) => {
            let text = keep_tolerance(statement, &formula, expression.trim(), &new);
            Ok((formula.expression.span.shifted(offset), text))
        }
        Ok(_) => {
            let message = format!("`{name}` is no cell with a formula of its own");
            Err(Diagnostic::error(message, whole).advise("change its statement in the file"))
        }
        // A statement that can't be read is replaced from its `=` on.
        Err(_) => {
            let start = statement
                .find('=')
                .map_or(statement.len(), |equals| equals + 1);
            let blank = statement[start..].len() - statement[start..].trim_start().len();
            Ok((
                Span::new(offset + start + blank, offset + statement.len()),
                expression.trim().to_owned(),
            ))
        }
    }
}

fn new_expression(expression: &str) -> Result<Formula, Diagnostic> {
    let new = parse_expression(expression.trim())?;
    match new.bindings.first() {
        Some(binding) => Err(Diagnostic::error(
            "a `where` clause can't be given here",
            binding.name.span,
        )),
        None => Ok(new),
    }
}

/// The new expression, with the tolerance of the old one where it has none.
fn keep_tolerance(statement: &str, old: &Formula, text: &str, new: &Formula) -> String {
    let Kind::Size(value, _) = &old.expression.kind else {
        return text.to_owned();
    };
    if matches!(new.expression.kind, Kind::Size(..)) {
        return text.to_owned();
    }
    let tolerance = statement
        .get(value.span.end as usize..old.expression.span.end as usize)
        .unwrap_or("");
    // A tolerance may follow a quantity, a name or a bracket only.
    let bare = matches!(
        new.expression.kind,
        Kind::Quantity(..) | Kind::Name(_) | Kind::Field(..) | Kind::Group(_)
    );
    if bare {
        format!("{text}{tolerance}")
    } else {
        format!("({text}){tolerance}")
    }
}

impl Workspace {
    /// Gives a cell another expression, in memory only; a size keeps its tolerance
    /// unless the new expression has one. Computes what depends on it; gives the
    /// slots that were computed, with what they held before.
    ///
    /// # Errors
    /// When the slot is no cell, or the expression can't be read; places count from
    /// the start of the expression.
    pub fn redefine(
        &mut self,
        slot: u32,
        expression: &str,
    ) -> Result<Vec<(u32, Outcome)>, Diagnostic> {
        let whole = Span::new(0, expression.len());
        let Some(filled) = self.slot(slot) else {
            return Err(Diagnostic::error("there is no such cell", whole));
        };
        let page = filled.page;
        let is_cell = matches!(
            filled.content,
            Content::Cell(_) | Content::Find(_) | Content::Broken(_)
        );
        if !is_cell {
            let message = format!(
                "`{}` is no cell that can be given a value",
                self.name_of(slot)
            );
            return Err(Diagnostic::error(message, whole));
        }
        let mut new = new_expression(expression)?;
        let mut text = expression.trim().to_owned();
        if let Some(old) = self.statement_of(slot)
            && let Ok(StatementKind::Cell(_, formula)) = parse_statement(&old)
        {
            text = keep_tolerance(&old, &formula, &text, &new);
            new = new_expression(&text)?;
        }
        fill::redefine(self, page, slot, &new).map_err(|wrong| {
            wrong
                .into_iter()
                .next()
                .unwrap_or_else(|| Diagnostic::error("this can't be resolved", whole))
        })?;
        let name = self
            .slot(slot)
            .map_or_else(|| "".into(), |slot| slot.name.clone());
        if let Some(filled) = self.slots.get_mut(slot as usize) {
            filled.redefined = Some(format!("{name} = {text}").into());
        }
        Ok(changed(self, &[slot]))
    }

    /// The text of the statement that fills a slot.
    #[must_use]
    pub fn statement_of(&self, slot: u32) -> Option<String> {
        let filled = self.slot(slot)?;
        if let Some(text) = &filled.redefined {
            return Some(text.to_string());
        }
        let page = self.pages.get(filled.page as usize)?;
        Some(
            page.text_at(page.items.get(filled.item as usize)?.piece.span)
                .to_owned(),
        )
    }

    /// Gives a page another text. Statements that stay the same are not parsed or
    /// computed again, except where what they mean may change: with another
    /// setting, used notebook, function or reading, everything is loaded afresh.
    pub fn update_text(&mut self, page: u32, text: &str, shelf: &dyn Shelf) -> Updated {
        if self
            .pages
            .get(page as usize)
            .is_some_and(|known| *known.text == *text)
        {
            return Updated::default();
        }
        if let Some(computed) = self.update_in_place(page, text) {
            return Updated {
                computed,
                afresh: false,
            };
        }
        self.load_afresh(page, text, shelf);
        Updated {
            computed: Vec::new(),
            afresh: true,
        }
    }

    fn load_afresh(&mut self, page: u32, text: &str, shelf: &dyn Shelf) {
        let mut texts: HashMap<PathBuf, Arc<str>> = self
            .pages
            .iter()
            .filter(|page| !page.missing)
            .map(|page| (page.path.clone(), page.text.clone()))
            .collect();
        if let Some(page) = self.pages.get(page as usize) {
            texts.insert(page.path.clone(), text.into());
        }
        let Some(main) = self.pages.first().map(|page| page.path.clone()) else {
            return;
        };
        let main_text = texts.get(&main).cloned().unwrap_or_else(|| "".into());
        *self = Self::of_text(&main, &main_text, &Overlay { texts, shelf });
    }

    /// Takes the new text statement by statement; nothing when that won't do.
    fn update_in_place(&mut self, number: u32, text: &str) -> Option<Vec<(u32, Outcome)>> {
        let page = self.pages.get(number as usize)?;
        if !page.wrong.is_empty()
            || self
                .slots
                .iter()
                .any(|slot| slot.page == number && slot.redefined.is_some())
        {
            return None;
        }
        let pieces = split(text);
        let (first, old_end, new_end) = differing(page, text, &pieces)?;
        let fixed = |kind: ItemKind| {
            matches!(
                kind,
                ItemKind::Setting | ItemKind::Unreadable | ItemKind::Function | ItemKind::Measured
            )
        };
        if page
            .items
            .get(first..old_end)?
            .iter()
            .any(|item| fixed(item.kind))
        {
            return None;
        }
        let mut statements = Vec::new();
        for piece in pieces.get(first..new_end)? {
            let parsed = parse_piece(text, piece).ok()?;
            let plain = !matches!(
                parsed,
                StatementKind::Title(_)
                    | StatementKind::Lengths(_)
                    | StatementKind::Angles(_)
                    | StatementKind::Readout(_)
                    | StatementKind::Use { .. }
                    | StatementKind::Function(..)
                    | StatementKind::Measured(..)
            );
            if !plain {
                return None;
            }
            statements.push(Statement {
                piece: piece.clone(),
                parsed: Ok(parsed),
            });
        }
        let removed: Vec<u32> = page
            .items
            .get(first..old_end)?
            .iter()
            .filter_map(|item| item.slot)
            .collect();
        for slot in &removed {
            let needs = self.readings_need(*slot);
            fill::connect(self, *slot, Content::Nothing, needs);
        }
        let page = self.pages.get_mut(number as usize)?;
        page.text = text.into();
        let suffix = page.items.split_off(old_end);
        page.items.truncate(first);
        for (item, piece) in page.items.iter_mut().zip(&pieces) {
            item.piece = piece.clone();
        }
        let mut touched = removed;
        for statement in statements {
            let index =
                u32::try_from(self.pages.get(number as usize)?.items.len()).unwrap_or(u32::MAX);
            let item: Item = fill::fill(self, number, index, statement);
            touched.extend(item.slot);
            self.pages.get_mut(number as usize)?.items.push(item);
        }
        for (mut item, piece) in suffix.into_iter().zip(pieces.get(new_end..)?) {
            item.piece = piece.clone();
            let index =
                u32::try_from(self.pages.get(number as usize)?.items.len()).unwrap_or(u32::MAX);
            let own = item.kind != ItemKind::Measured;
            if let Some(slot) = item
                .slot
                .filter(|_| own)
                .and_then(|slot| self.slots.get_mut(slot as usize))
            {
                slot.item = index;
            }
            self.pages.get_mut(number as usize)?.items.push(item);
        }
        if !self.pages.get(number as usize)?.wrong.is_empty() {
            return None;
        }
        touched.sort_unstable();
        touched.dedup();
        Some(changed(self, &touched))
    }

    /// What the readings of a slot need, which stays when its definition goes.
    pub(super) fn readings_need(&self, slot: u32) -> Vec<u32> {
        let mut needs = Vec::new();
        for reading in self.slot(slot).into_iter().flat_map(|slot| &slot.measured) {
            reading.walk(&mut |node| {
                if let crate::language::Code::Cell(need) = node.code
                    && !needs.contains(&need)
                {
                    needs.push(need);
                }
            });
        }
        needs
    }
}

fn parse_piece(text: &str, piece: &Piece) -> Result<StatementKind, Vec<Diagnostic>> {
    parse_statement(
        text.get(piece.span.start as usize..piece.span.end as usize)
            .unwrap_or(""),
    )
}

/// The statements that differ: from where on, and up to where in the old and in
/// the new text.
fn differing(page: &Page, text: &str, pieces: &[Piece]) -> Option<(usize, usize, usize)> {
    let old = &page.items;
    let same = |item: &Item, piece: &Piece| {
        let at = |span: Span| text.get(span.start as usize..span.end as usize);
        Some(page.text_at(item.piece.span)) == at(piece.span)
            && item.piece.documentation.map(|span| page.text_at(span))
                == piece.documentation.and_then(at)
    };
    let first = old
        .iter()
        .zip(pieces)
        .take_while(|(item, piece)| same(item, piece))
        .count();
    let room = old.len().min(pieces.len()) - first;
    let last = old
        .iter()
        .rev()
        .zip(pieces.iter().rev())
        .take(room)
        .take_while(|(item, piece)| same(item, piece))
        .count();
    Some((first, old.len() - last, pieces.len() - last))
}

/// Texts in memory before those on a shelf.
struct Overlay<'a> {
    texts: HashMap<PathBuf, Arc<str>>,
    shelf: &'a dyn Shelf,
}

impl Shelf for Overlay<'_> {
    fn text(&self, path: &Path) -> Result<String, String> {
        match self.texts.get(path) {
            Some(text) => Ok(text.to_string()),
            None => self.shelf.text(path),
        }
    }

    fn beside(&self, path: &Path) -> Vec<String> {
        self.shelf.beside(path)
    }
}
