//! What the session shows: rows of the sheet, what moved, answers.

use super::place::Entry;
use super::reply::{Place, Wrong};
use super::session::Session;
use crate::language::{SlotId, Value};
use crate::notebook::{PageId, Workspace, moved, problems};
use crate::quantity::count;
use crate::sheet::{Row, RowKind, Sheet, rows_text};
use crate::syntax::{ItemKind, Kind, Name, Role, StatementKind, parse_expression};

/// A statement that was taken, by what finds it again.
pub enum Shown {
    /// A cell, a table or a solved cell, by its name.
    Named(String),
    /// A reading, by the name of what was measured.
    Reading(String),
    /// A statement without a name, by its text.
    Text(String),
    /// A function.
    Function(String),
    /// A setting or a `use`.
    Setting(String),
    /// A heading, and whether there was such a section already.
    Section(String, bool),
}

impl Shown {
    /// Returns what an entry is found again by.
    #[must_use]
    pub fn of(entry: &Entry) -> Self {
        let name = |name: &Name| name.text.to_string();
        match (entry.kind.role(), &entry.kind) {
            (Role::Defines(defined), _) => Self::Named(name(defined)),
            (Role::Beside(of), StatementKind::Measured(..)) => Self::Reading(name(of)),
            (Role::Beside(of), _) => Self::Named(name(of)),
            (_, StatementKind::Function(name, parameters, _)) => {
                let names: Vec<&str> = parameters.iter().map(|p| &*p.name.text).collect();
                Self::Function(format!("{}({})", name.text, names.join(", ")))
            }
            (Role::Setting(_) | Role::Use(_), _) => Self::Setting(entry.statement.clone()),
            _ => Self::Text(entry.statement.clone()),
        }
    }
}

/// Returns whether two slots need each other, by way of others.
pub fn is_ring(workspace: &Workspace, a: SlotId, b: SlotId) -> bool {
    let reaches = |from: SlotId, to: SlotId| {
        let mut seen = std::collections::HashSet::from([from]);
        let mut next = vec![from];
        while let Some(slot) = next.pop() {
            for need in workspace.slot(slot).map_or(&[][..], |slot| &slot.needs) {
                if *need == to {
                    return true;
                }
                if seen.insert(*need) {
                    next.push(*need);
                }
            }
        }
        false
    };
    reaches(a, b) && reaches(b, a)
}

impl Session {
    /// Returns the item that a statement that was taken is.
    fn item_of(&self, shown: &Shown) -> Option<u32> {
        let page = self.page()?;
        let named = |name: &str| self.workspace.slot(*page.names.get(name)?);
        let found = match shown {
            Shown::Named(name) => return Some(named(name)?.item),
            Shown::Reading(name) => {
                let slot = page.names.get(name.as_str());
                page.items
                    .iter()
                    .rposition(|item| item.kind == ItemKind::Measured && item.slot.as_ref() == slot)
            }
            Shown::Text(text) => page
                .items
                .iter()
                .rposition(|item| page.text_at(item.piece.span) == text),
            _ => None,
        };
        found.and_then(|index| u32::try_from(index).ok())
    }

    /// Returns what came of statements: the new rows, and what else moved.
    pub(super) fn what_came(&self, before: &Workspace, shown: &[Shown]) -> String {
        let mut text = String::new();
        let known = |name: &str| before.find(name).is_some();
        let mut items = Vec::new();
        for one in shown {
            match one {
                Shown::Function(signature) => {
                    text += &format!("  {signature} is a function of this notebook\n");
                }
                Shown::Setting(statement) => text += &format!("  {statement}\n"),
                Shown::Section(heading, true) => {
                    text += &format!("  what follows goes on in [{heading}]\n");
                }
                Shown::Section(heading, false) => text += &format!("  [{heading}] begins\n"),
                Shown::Named(name) if known(name) => {
                    items.extend(self.item_of(one).filter(|item| self.says_more(*item)));
                }
                _ => items.extend(self.item_of(one)),
            }
        }
        items.sort_unstable();
        items.dedup();
        text += &rows_text(Sheet::rows_of(&self.workspace, &items), self.look);
        let mut moved = moved(before, &self.workspace);
        // What is new, and what has other words or limits only, has its row above.
        let page = self.workspace.main();
        let above: Vec<String> = items
            .iter()
            .filter_map(|item| page?.items.get(*item as usize)?.slot)
            .map(|slot| self.workspace.name_of(slot))
            .collect();
        moved.retain(|moved| {
            moved.was.is_some() && !(moved.was == moved.now && above.contains(&moved.name))
        });
        if moved.is_empty() {
            if text.is_empty() && !shown.is_empty() {
                text = "  nothing changed\n".to_owned();
            }
            return text;
        }
        text + &self.moved_lines(&moved)
    }

    /// Returns whether the row of a cell that took the place of another says more than the list of
    /// changes: limits, a table, a check.
    fn says_more(&self, item: u32) -> bool {
        let rows = Sheet::rows_of(&self.workspace, &[item]);
        rows.iter()
            .any(|row| !row.limits.is_empty() || row.grid.is_some() || row.kind == RowKind::Check)
    }

    /// Returns the answer to a formula. A name alone shows its row of the sheet; warnings are
    /// added to `wrong`.
    pub(super) fn answer_text(
        &self,
        expression: &str,
        value: &Value,
        wrong: &mut Vec<Wrong>,
    ) -> String {
        if let Ok(formula) = parse_expression(expression)
            && let Kind::Name(name) = &formula.expression.kind
            && formula.bindings.is_empty()
            && let Some(slot) = self.workspace.find(name)
            && let Some(filled) = self.workspace.slot(slot)
        {
            let rows = Sheet::rows_of(&self.workspace, &[filled.item]);
            let rows = rows.into_iter().map(Row::in_full).collect();
            return rows_text(rows, self.look);
        }
        // Worked out once more in a copy of the notebook, for limits and warnings.
        let mut copy = self.workspace.clone();
        let text = match self.page() {
            Some(page) => format!("{}\n\n{expression}\n", page.text.trim_end()),
            None => expression.to_owned(),
        };
        copy.update_text(PageId::MAIN, &text, self.bench.as_ref());
        let last = copy.main().map_or(0, |page| page.items.len());
        let last = u32::try_from(last.saturating_sub(1)).unwrap_or(u32::MAX);
        let rows = Sheet::rows_of(&copy, &[last]);
        let rows: Vec<Row> = rows.into_iter().map(Row::in_full).collect();
        let known = problems(&self.workspace);
        for problem in problems(&copy) {
            let warns = problem.diagnostic.severity == crate::diagnostic::Severity::Warning;
            if warns
                && !known
                    .iter()
                    .any(|old| old.diagnostic.message == problem.diagnostic.message)
            {
                wrong.push(Wrong {
                    place: Place::Nowhere,
                    diagnostic: problem.diagnostic,
                    waits: false,
                });
            }
        }
        match rows.first() {
            Some(row) if row.grid.is_none() && row.kind == RowKind::Cell => {
                let other = row
                    .other
                    .as_ref()
                    .map(|other| format!("({})", other.line()));
                let parts = [Some(row.written.line()), other, Some(row.limits.clone())];
                let parts: Vec<String> = parts
                    .into_iter()
                    .flatten()
                    .filter(|p| !p.is_empty())
                    .collect();
                format!("  {}\n", parts.join("  "))
            }
            Some(_) => rows_text(rows, self.look),
            None => format!("  {value}\n"),
        }
    }

    /// Returns the sheet, or one section of it; with all that it keeps back where `all` is asked
    /// for.
    pub(super) fn sheet_text(&self, section: Option<&str>, all: bool) -> Option<String> {
        let mut sheet = Sheet::to_read(&self.workspace);
        if all {
            sheet = sheet.in_full();
        }
        let wanted = |heading: &str| {
            section.is_some_and(|section| heading.to_lowercase() == section.to_lowercase())
        };
        if section.is_some() {
            sheet.sections.retain(|section| wanted(&section.heading));
            if sheet.sections.is_empty() {
                return None;
            }
            // A section that is all working is asked for all the same.
            if sheet.rows().all(|row| row.hidden) {
                sheet = sheet.in_full();
            }
            sheet.cautions.clear();
            let text = crate::sheet::terminal(&sheet, self.look);
            // Without the title and the file's name.
            let lines = text.lines().skip_while(|line| !line.is_empty()).skip(1);
            return Some(lines.fold(String::new(), |text, line| text + line + "\n"));
        }
        Some(crate::sheet::terminal(&sheet, self.look))
    }

    /// Returns how many statements the notebook has, in words.
    #[must_use]
    pub fn size_in_words(&self) -> String {
        let page = self.page();
        let of = |wanted: &[ItemKind]| {
            page.map_or(0, |page| {
                let items = page.items.iter();
                items.filter(|item| wanted.contains(&item.kind)).count()
            })
        };
        let cells = of(&[ItemKind::Cell, ItemKind::Table, ItemKind::Find]);
        format!(
            "{}, {}",
            count(cells, "cell"),
            count(of(&[ItemKind::Check]), "check")
        )
    }
}
