//! Where a statement that was typed goes in a notebook's text.

use crate::diagnostic::{Diagnostic, Span};
use crate::language::SlotId;
use crate::notebook::{
    Item, Page, Placed, Workspace, insert_lines, line_end, splice, with_expression,
};
use crate::syntax::{ItemKind, Role, StatementKind, StatementText, parse_statement};

/// A statement with what stands around it.
#[derive(Clone, Debug)]
pub struct Entry {
    /// The statement.
    pub statement: String,
    /// The `##` lines above it.
    pub documentation: Option<String>,
    /// The remark behind it, without its `#`.
    pub note: Option<String>,
    /// The remark with its `#` and the gap before it.
    pub behind: String,
    /// What it is.
    pub kind: StatementKind,
}

impl Entry {
    /// Returns the statement of a piece of a text, with `statement` in place of its own words.
    ///
    /// # Errors
    /// What can't be read, with places counted from the start of the statement.
    pub fn of_piece(
        text: &str,
        piece: &StatementText,
        statement: String,
    ) -> Result<Self, Vec<Diagnostic>> {
        let kind = parse_statement(&statement)?;
        Ok(Self::of(text, piece, statement, kind))
    }

    /// Returns the statement of a piece of a text, once it is parsed.
    #[must_use]
    pub fn of(text: &str, piece: &StatementText, statement: String, kind: StatementKind) -> Self {
        let at = |span: Span| span.of(text).to_owned();
        // The remark with the gap before it, unless it stands above the last line.
        let end = piece.span.end;
        let behind = piece.note.filter(|note| note.end > end);
        Self {
            kind,
            statement,
            documentation: piece.documentation.map(at),
            note: piece.note.map(at),
            behind: behind.map_or_else(String::new, |note| at(Span { start: end, ..note })),
        }
    }

    /// Returns the whole entry as it stands in a notebook.
    #[must_use]
    pub fn written(&self) -> String {
        let above = match &self.documentation {
            Some(lines) => format!("{lines}\n"),
            None => String::new(),
        };
        format!("{above}{}{}", self.statement, self.behind)
    }

    /// Returns the name of the cell, table or solved cell that it defines.
    #[must_use]
    pub fn name(&self) -> Option<&str> {
        match self.kind.role() {
            Role::Defines(name) => Some(&name.text),
            _ => None,
        }
    }
}

/// Returns the item of a page that an entry takes the place of.
#[must_use]
pub fn replaces<'a>(workspace: &Workspace, page: &'a Page, entry: &Entry) -> Option<&'a Item> {
    let of_slot = |slot: Option<&SlotId>| {
        let slot = *slot.filter(|slot| workspace.is_defined(**slot))?;
        page.items.get(workspace.slot(slot)?.item as usize)
    };
    let setting = |word: &str| {
        page.items.iter().find(|item| {
            item.kind == ItemKind::Setting
                && page.text_at(item.piece.span).split_whitespace().next() == Some(word)
        })
    };
    match entry.kind.role() {
        Role::Setting(word) => setting(word),
        Role::Use(alias) => page.items.iter().find(|item| {
            let text = page.text_at(item.piece.span);
            item.kind == ItemKind::Setting
                && matches!(parse_statement(text),
                    Ok(StatementKind::Use { alias: known, .. }) if known.text == alias.text)
        }),
        Role::Function(name) => of_slot(page.functions.get(&name.text)),
        Role::Defines(name) => of_slot(page.names.get(&name.text)),
        Role::Section(_) | Role::Beside(_) | Role::Alone => None,
    }
}

/// Puts an entry in its place in page 0: that of the statement it takes the place of, else
/// with those of its kind or at the end of a section, which is made where it is missing.
///
/// # Errors
/// When the new expression can't be read.
pub fn put(
    workspace: &Workspace,
    page: &Page,
    section: Option<&str>,
    entry: &Entry,
    whole: bool,
) -> Result<Placed, Diagnostic> {
    if let Some(item) = replaces(workspace, page, entry) {
        return replace(workspace, page, item, entry, whole);
    }
    let written = entry.written();
    Ok(match entry.kind.role() {
        Role::Section(_) => append_section(page, &written),
        Role::Setting(_) | Role::Use(_) => add_setting(page, &written),
        Role::Beside(name) => add_reading(page, section, &name.text, &written),
        Role::Defines(_) | Role::Function(_) | Role::Alone => {
            match section.filter(|section| !has_section(page, section)) {
                Some(section) => append_section(page, &format!("[{section}]\n{written}")),
                None => append(page, section, &written),
            }
        }
    })
}

/// Returns whether a page has a section of that heading.
#[must_use]
pub fn has_section(page: &Page, wanted: &str) -> bool {
    let mut items = page.items.iter();
    items.any(|item| item.kind == ItemKind::Section && heading(page, item) == wanted)
}

/// Puts an entry in the place of one that stands in page 0 already.
///
/// With `whole` unset, a cell whose formula is replaced keeps its tolerance where the
/// new one has none.
///
/// # Errors
/// When the new expression can't be read.
fn replace(
    workspace: &Workspace,
    page: &Page,
    item: &Item,
    entry: &Entry,
    whole: bool,
) -> Result<Placed, Diagnostic> {
    let old = item.piece.span;
    let simple = match &entry.kind {
        StatementKind::Cell(name, formula) if !whole && formula.bindings.is_empty() => {
            match parse_statement(page.text_at(old)) {
                Ok(StatementKind::Cell(_, formula)) if formula.bindings.is_empty() => Some(name),
                _ => None,
            }
        }
        _ => None,
    };
    let (mut text, at) = match simple {
        Some(name) => {
            let expression = match entry.statement.split_once('=') {
                Some((_, expression)) => expression.trim(),
                None => &entry.statement,
            };
            let text = with_expression(workspace, page, &name.text, expression)?;
            (text, old.start as usize)
        }
        None => {
            let documentation = item
                .piece
                .documentation
                .filter(|_| entry.documentation.is_some());
            let start = documentation.map_or(old.start, |span| span.start) as usize;
            let above = match &entry.documentation {
                Some(lines) => format!("{lines}\n"),
                None => String::new(),
            };
            let text = splice(
                &page.text,
                start..old.end as usize,
                &format!("{above}{}", entry.statement),
            );
            (text, start + above.len())
        }
    };
    if let Some(note) = &entry.note {
        let grown = |offset: u32| (offset as usize + text.len()).saturating_sub(page.text.len());
        text = match item.piece.note {
            Some(old) => splice(&text, grown(old.start)..grown(old.end), note),
            None => splice(
                &text,
                grown(old.end)..grown(old.end),
                &format!("  # {note}"),
            ),
        };
    }
    Ok(Placed { text, at })
}

/// Returns the heading of a section item.
#[must_use]
pub fn heading<'a>(page: &'a Page, item: &Item) -> &'a str {
    item.kind.body(page.text_at(item.piece.span))
}

/// Returns where the statements of a section end: behind its last statement, or the end of
/// the text where there is no such section.
fn section_end(page: &Page, section: Option<&str>) -> usize {
    let start = section.and_then(|section| {
        page.items
            .iter()
            .rposition(|item| item.kind == ItemKind::Section && heading(page, item) == section)
    });
    let Some(start) = start else {
        return page.text.len();
    };
    let after = page.items.get(start + 1..).unwrap_or(&[]);
    let count = after
        .iter()
        .take_while(|item| item.kind != ItemKind::Section)
        .count();
    if start + 1 + count == page.items.len() {
        return page.text.len();
    }
    page.items
        .get(start + count)
        .map_or(page.text.len(), |last| line_end(page, last))
}

/// Adds lines at the end of a section.
#[must_use]
pub fn append(page: &Page, section: Option<&str>, lines: &str) -> Placed {
    insert_lines(&page.text, section_end(page, section), lines)
}

/// Adds a new section at the end of the text.
fn append_section(page: &Page, line: &str) -> Placed {
    let gap = if page.text.trim().is_empty() || page.text.ends_with("\n\n") {
        ""
    } else {
        "\n"
    };
    let placed = insert_lines(&page.text, page.text.len(), &format!("{gap}{line}"));
    Placed {
        at: placed.text.trim_end().rfind('[').unwrap_or(placed.at),
        ..placed
    }
}

/// Adds a setting or a `use`: behind the others, else at the top.
fn add_setting(page: &Page, line: &str) -> Placed {
    let last = page
        .items
        .iter()
        .rfind(|item| item.kind == ItemKind::Setting);
    if let Some(last) = last {
        return insert_lines(&page.text, line_end(page, last), line);
    }
    let top = page.text.len() - page.text.trim_start_matches('\u{feff}').len();
    let gap = if page.text.get(top..).unwrap_or("").trim().is_empty() {
        ""
    } else {
        "\n"
    };
    insert_lines(&page.text, top, &format!("{line}{gap}"))
}

/// Adds a reading or an aim: behind the earlier ones of its name, else at the end of the
/// section.
fn add_reading(page: &Page, section: Option<&str>, name: &str, line: &str) -> Placed {
    let slot = page.names.get(name);
    let last = page
        .items
        .iter()
        .rfind(|item| item.kind.is_beside() && item.slot.as_ref() == slot);
    match last {
        Some(last) => insert_lines(&page.text, line_end(page, last), line),
        None => append(page, section, line),
    }
}
