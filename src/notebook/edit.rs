//! Edits to a notebook's text that leave every other character alone, and cells
//! that get another expression in memory.

use super::define;
use super::definition::Definition;
use super::outcome::Outcome;
use super::page::{Item, Page};
use super::recalculate::changed;
use super::workspace::{Slot, Workspace};
use crate::diagnostic::{Diagnostic, Span, did_you_mean};
use crate::language::{ResolvedExpr, SlotId};
use crate::quantity::Unit;
use crate::syntax::{Formula, ItemKind, Kind, StatementKind, parse_expression, parse_statement};

/// Returns the text of a page with one cell's expression replaced; nothing else changes.
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
    let range = span.start as usize..span.end as usize;
    Ok(splice(&page.text, range, &text))
}

/// Returns the text of a page with a reading of a cell: the last one of its name
/// replaced, else one added, below the last reading of the notebook or below the cell;
/// with `none`, the last one struck out. Nothing else changes.
///
/// A number without a unit gets that of a cell that is one literal.
///
/// # Errors
/// When there is no such cell, it has no reading to strike out, or the expression
/// can't be read; places count from the start of the expression.
pub fn with_reading(
    workspace: &Workspace,
    page: &Page,
    name: &str,
    expression: &str,
) -> Result<String, Diagnostic> {
    let (slot, _) = cell(workspace, page, name, expression)?;
    let readings = |item: &&Item| item.kind == ItemKind::Measured;
    let own = |item: &&Item| readings(item) && item.slot == Some(slot);
    let last = page.items.iter().rfind(own);
    let expression = expression.trim();
    if expression == "none" {
        let Some(last) = last else {
            let message = format!("`{name}` has no reading");
            return Err(Diagnostic::error(message, Span::new(0, expression.len())));
        };
        return Ok(without(page, last));
    }
    let reading = with_unit(workspace, slot, expression, &parse_expression(expression)?);
    if let Some(last) = last {
        let statement = page.text_at(last.piece.span);
        if let Ok(StatementKind::Measured(_, old)) = parse_statement(statement) {
            let span = old.span.shifted(last.piece.span.start as usize);
            return Ok(splice(
                &page.text,
                span.start as usize..span.end as usize,
                &reading,
            ));
        }
    }
    let defined = workspace.slot(slot).map_or(0, |slot| slot.item as usize);
    let above = page.items.iter().rfind(readings);
    let above = above.or_else(|| page.items.get(defined));
    let at = above.map_or(page.text.len(), |item| line_end(page, item));
    Ok(insert_lines(&page.text, at, &format!("measured {name} = {reading}")).text)
}

/// Returns an expression as it is written for a cell: a number without a unit gets that
/// of a cell that is one literal.
fn with_unit(workspace: &Workspace, slot: SlotId, text: &str, new: &Formula) -> String {
    let unit = match new.expression.kind {
        Kind::Quantity(_, Unit::NONE) => unit_of(workspace, slot),
        _ => None,
    };
    match unit {
        Some(unit) => format!("{text} {}", unit.symbol()),
        None => text.to_owned(),
    }
}

/// Returns the unit of a cell whose formula is one quantity, with or without limits.
#[must_use]
pub fn unit_of(workspace: &Workspace, slot: SlotId) -> Option<Unit> {
    let statement = workspace.statement_of(slot)?;
    let Ok(StatementKind::Cell(_, formula)) = parse_statement(&statement) else {
        return None;
    };
    let value = match &formula.expression.kind {
        Kind::Size(value, _) => &value.kind,
        kind => kind,
    };
    match value {
        Kind::Quantity(_, unit) if *unit != Unit::NONE => Some(*unit),
        _ => None,
    }
}

/// Returns the slot of a cell that a page defines.
fn cell<'a>(
    workspace: &'a Workspace,
    page: &Page,
    name: &str,
    expression: &str,
) -> Result<(SlotId, &'a Slot), Diagnostic> {
    let number = page.names.get(name).copied();
    if let Some(number) = number.filter(|number| workspace.is_defined(*number))
        && let Some(slot) = workspace.slot(number)
    {
        return Ok((number, slot));
    }
    let whole = Span::new(0, expression.len());
    let mut wrong = Diagnostic::error(format!("there is no cell `{name}` in {}", page.name), whole);
    wrong.advice =
        did_you_mean(name, workspace.defined_names(page)).or_else(|| workspace.cells_of(page));
    Err(wrong)
}

/// Returns where a cell's expression stands in the file, and what is to stand there.
fn replacement(
    workspace: &Workspace,
    page: &Page,
    name: &str,
    expression: &str,
) -> Result<(Span, String), Diagnostic> {
    let whole = Span::new(0, expression.len());
    let (number, slot) = cell(workspace, page, name, expression)?;
    let expression = expression.trim();
    let expression = with_unit(
        workspace,
        number,
        expression,
        &parse_expression(expression)?,
    );
    let new = parse_expression(&expression)?;
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
            let text = keep_tolerance(statement, &formula, &expression, &new);
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
            Ok((span, expression))
        }
    }
}

/// Returns the new expression, with the tolerance of the old one where it has none.
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

/// A text with a statement put in its place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Placed {
    /// The text.
    pub text: String,
    /// Where the statement begins in it.
    pub at: usize,
}

/// Puts a text in the place of a stretch of another.
#[must_use]
pub fn splice(text: &str, range: std::ops::Range<usize>, new: &str) -> String {
    let before = text.get(..range.start).unwrap_or(text);
    let after = text.get(range.end..).unwrap_or("");
    let new = if text.contains("\r\n") && !new.contains("\r\n") {
        new.replace('\n', "\r\n")
    } else {
        new.to_owned()
    };
    format!("{before}{new}{after}")
}

/// Puts lines behind the byte `at`, which ends a line or the text; what begins at
/// the second value.
#[must_use]
pub fn insert_lines(text: &str, at: usize, lines: &str) -> Placed {
    let before = text.get(..at).unwrap_or(text);
    let broken = before.is_empty() || before.ends_with('\n') || before == "\u{feff}";
    let lead = if broken { "" } else { "\n" };
    let placed = splice(text, at..at, &format!("{lead}{lines}\n"));
    let lead = if lead.is_empty() {
        0
    } else if text.contains("\r\n") {
        2
    } else {
        1
    };
    Placed {
        text: placed,
        at: at + lead,
    }
}

/// Returns the end of the line that an item ends on, its line break included.
#[must_use]
pub fn line_end(page: &Page, item: &Item) -> usize {
    let end = item.piece.note.map_or(item.piece.span.end, |note| {
        note.end.max(item.piece.span.end)
    });
    let rest = page.text.get(end as usize..).unwrap_or("");
    rest.find('\n')
        .map_or(page.text.len(), |newline| end as usize + newline + 1)
}

/// Returns the text without an item, its documentation and its line.
#[must_use]
pub fn without(page: &Page, item: &Item) -> String {
    let start = item
        .piece
        .documentation
        .map_or(item.piece.span.start, |span| span.start) as usize;
    let line_start = page
        .text
        .get(..start)
        .and_then(|before| before.rfind('\n'))
        .map_or(0, |newline| newline + 1);
    splice(&page.text, line_start..line_end(page, item), "")
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
        slot: SlotId,
        expression: &str,
    ) -> Result<Vec<(SlotId, Outcome)>, Diagnostic> {
        let whole = Span::new(0, expression.len());
        let Some(filled) = self.slot(slot) else {
            return Err(Diagnostic::error("there is no such cell", whole));
        };
        let page = filled.page;
        let is_cell = matches!(
            filled.content,
            Definition::Cell(_) | Definition::Find(_) | Definition::Broken(_)
        );
        if !is_cell {
            let message = format!(
                "`{}` is not a cell that can be given a value",
                self.name_of(slot)
            );
            return Err(Diagnostic::error(message, whole));
        }
        let text = expression.trim();
        let mut text = with_unit(self, slot, text, &parse_expression(text)?);
        let mut new = parse_expression(&text)?;
        if self.is_size(slot)
            && let Some(old) = self.statement_of(slot)
            && let Ok(StatementKind::Cell(_, formula)) = parse_statement(&old)
        {
            text = keep_tolerance(&old, &formula, &text, &new);
            new = parse_expression(&text)?;
        }
        define::redefine(self, page, slot, &new).map_err(|wrong| {
            wrong
                .into_iter()
                .next()
                .unwrap_or_else(|| Diagnostic::error("this can't be resolved", whole))
        })?;
        let name = self
            .slot(slot)
            .map_or_else(|| "".into(), |slot| slot.name.clone());
        if let Some(filled) = self.slot_mut(slot) {
            filled.redefined = Some(format!("{name} = {text}").into());
        }
        Ok(changed(self, &[slot]))
    }

    /// Returns whether a cell's expression may have a tolerance to keep.
    fn is_size(&self, slot: SlotId) -> bool {
        let content = self.slot(slot).map(|slot| &slot.content);
        match content {
            Some(Definition::Cell(node)) => match &node.code {
                ResolvedExpr::Size(_) => true,
                ResolvedExpr::Where(_, _, value) => matches!(value.code, ResolvedExpr::Size(_)),
                _ => false,
            },
            _ => true,
        }
    }

    /// Returns the text of the statement that fills a slot.
    #[must_use]
    pub fn statement_of(&self, slot: SlotId) -> Option<String> {
        let filled = self.slot(slot)?;
        if let Some(text) = &filled.redefined {
            return Some(text.to_string());
        }
        let page = self.page(filled.page)?;
        Some(
            page.text_at(page.items.get(filled.item as usize)?.piece.span)
                .to_owned(),
        )
    }
}
