//! Edits to a notebook's text that leave every other character alone, and cells
//! that get another expression in memory.

use super::content::Content;
use super::fill;
use super::outcome::Outcome;
use super::page::Page;
use super::recalculate::changed;
use super::workspace::Workspace;
use crate::diagnostic::{Diagnostic, Span, did_you_mean};
use crate::language::Code;
use crate::syntax::{Formula, Kind, StatementKind, parse_expression, parse_statement};

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
        let defined = page.names.iter().filter(|(_, slot)| {
            let slot = workspace.slot(**slot);
            slot.is_some_and(|slot| !matches!(slot.content, Content::Nothing))
        });
        wrong.advice = did_you_mean(name, defined.map(|(name, _)| &**name));
        return Err(wrong);
    };
    let new = parse_expression(expression.trim())?;
    let Some(item) = page.items.get(slot.item as usize) else {
        return Err(Diagnostic::error(
            format!("`{name}` is nowhere in {}", page.name),
            whole,
        ));
    };
    let offset = item.piece.span.start as usize;
    let statement = page.text_at(item.piece.span);
    match parse_statement(statement) {
        Ok(StatementKind::Cell(_, formula)) => {
            let text = keep_tolerance(statement, &formula, expression.trim(), &new);
            let mut span = formula.expression.span;
            if !formula.bindings.is_empty() {
                // Its `where` clause belongs to the old expression.
                span = span.to(Span::new(statement.len(), statement.len()));
            }
            Ok((span.shifted(offset), text))
        }
        Ok(_) => {
            let message = format!("`{name}` is not a cell with a formula of its own");
            Err(Diagnostic::error(message, whole).advise("change its statement in the file"))
        }
        // A statement that can't be read is replaced from its `=` on.
        Err(_) => {
            let behind = statement
                .strip_prefix(name)
                .map(str::trim_start)
                .and_then(|rest| rest.strip_prefix('='))
                .map(str::trim_start);
            let Some(behind) = behind else {
                let message = format!("the statement of `{name}` can't be read");
                return Err(Diagnostic::error(message, whole).advise("mend it in the file"));
            };
            let start = statement.len() - behind.len();
            let span = Span::new(offset + start, offset + statement.len());
            Ok((span, expression.trim().to_owned()))
        }
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
    // A `where` clause stays behind the size.
    let end = new.expression.span.end as usize;
    let (size, clause) = text.split_at_checked(end).unwrap_or((text, ""));
    // A tolerance may follow a quantity, a name or a bracket only.
    let bare = matches!(
        new.expression.kind,
        Kind::Quantity(..) | Kind::Name(_) | Kind::Field(..) | Kind::Group(_)
    );
    if bare {
        format!("{size}{tolerance}{clause}")
    } else {
        format!("({size}){tolerance}{clause}")
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
                "`{}` is not a cell that can be given a value",
                self.name_of(slot)
            );
            return Err(Diagnostic::error(message, whole));
        }
        let mut new = parse_expression(expression.trim())?;
        let mut text = expression.trim().to_owned();
        if self.is_size(slot)
            && let Some(old) = self.statement_of(slot)
            && let Ok(StatementKind::Cell(_, formula)) = parse_statement(&old)
        {
            text = keep_tolerance(&old, &formula, &text, &new);
            new = parse_expression(&text)?;
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

    /// Whether a cell's expression may have a tolerance to keep.
    fn is_size(&self, slot: u32) -> bool {
        let content = self.slot(slot).map(|slot| &slot.content);
        match content {
            Some(Content::Cell(node)) => match &node.code {
                Code::Size(_) => true,
                Code::Where(_, _, value) => matches!(value.code, Code::Size(_)),
                _ => false,
            },
            _ => true,
        }
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
}
