//! What a function does, what a name depends on, how a value comes about.

use super::answer::ANSWER;
use super::reply::Reply;
use super::session::Session;
use crate::diagnostic::Fault;
use crate::language::{SlotId, library_topics};
use crate::notebook::{Item, Page};
use crate::sheet::reference::words_text;
use crate::sheet::reference::{Entry, Found, entry_text, find, list_text, topics_text};
use crate::sheet::{explain, explanation_text, first_words, slot_called, wrapped};
use crate::syntax::ItemKind;

/// Describes a function, or lists those that a word finds; without a word the topics.
pub fn describe(session: &Session, word: &str) -> Reply {
    let word = word.trim().trim_end_matches("()");
    if word.is_empty() {
        return Reply::said(topics_text(&library_topics(), session.look));
    }
    if let Some(text) = own_function(session, word) {
        return Reply::said(text);
    }
    let found = match find(word) {
        Ok(found) => found,
        Err(fault) => return Reply::wrong(fault),
    };
    let look = session.look;
    let text = match found {
        Found::One(function) => Entry::in_full(function).map(|entry| entry_text(&entry, look)),
        Found::Several(functions) => functions
            .into_iter()
            .map(Entry::of)
            .collect::<Result<Vec<_>, _>>()
            .map(|entries| list_text(&entries, look)),
    };
    match text {
        Ok(text) => Reply::said(text),
        Err(fault) => Reply::wrong(fault),
    }
}

/// Returns a function of the notebook that is open.
fn own_function(session: &Session, name: &str) -> Option<String> {
    let own = session.workspace.own_function(name)?;
    let Some(doc) = &own.doc else {
        let lines = own.definition.lines();
        return Some(
            lines
                .map(|line| format!("   {}\n", line.trim_end()))
                .collect(),
        );
    };
    let topic = "a function of this notebook";
    let entry = Entry::of_doc(name, topic, own.definition, doc);
    Some(entry_text(&entry, session.look))
}

impl Session {
    /// Returns the headings of the notebook's sections.
    #[must_use]
    pub fn headings(&self) -> Vec<String> {
        let Some(page) = self.page() else {
            return Vec::new();
        };
        page.items
            .iter()
            .filter(|item| item.kind == ItemKind::Section)
            .map(|item| super::place::heading(page, item).to_owned())
            .collect()
    }

    /// Returns the slot of a name, or what is wrong with it.
    fn slot_named(&self, name: &str) -> Result<SlotId, Reply> {
        let function = |page: &Page| page.functions.get(name).copied();
        let found = slot_called(&self.workspace, name).or_else(|| self.page().and_then(function));
        found.ok_or_else(|| {
            let message = match name {
                "" => "a name must follow".to_owned(),
                name => format!("there is no cell `{name}`"),
            };
            let listed = || self.workspace.cells_of(self.page()?);
            Reply::wrong(Fault {
                advice: self.workspace.meant_by(name).or_else(listed),
                ..Fault::new(message)
            })
        })
    }

    /// Says what a name is worked out from, and what depends on it.
    pub(super) fn depends(&mut self, name: &str) -> Reply {
        let slot = match self.slot_named(name) {
            Ok(slot) => slot,
            Err(reply) => return reply,
        };
        let workspace = &self.workspace;
        let names = |slots: &[SlotId]| -> Vec<String> {
            let mut names: Vec<String> = slots
                .iter()
                .map(|slot| first_words(&workspace.name_of(*slot)))
                .collect();
            names.dedup();
            names
        };
        let filled = workspace.slot(slot);
        let needs = names(filled.map_or(&[][..], |slot| &slot.needs));
        let order = crate::notebook::Trial::new(workspace).order(&[slot]);
        let direct = filled.map_or(&[][..], |slot| &slot.dependents).to_vec();
        let further: Vec<SlotId> = order
            .into_iter()
            .flatten()
            .filter(|dependent| *dependent != slot && !direct.contains(dependent))
            .collect();
        let (direct, further) = (names(&direct), names(&further));
        let rows = [
            ("needs", needs),
            ("needed by", direct),
            ("and further", further),
        ];
        let rows: Vec<[String; 2]> = rows
            .into_iter()
            .filter(|(_, names)| !names.is_empty())
            .map(|(label, names)| [label.to_owned(), names.join(", ")])
            .collect();
        if rows.is_empty() {
            let alone = format!("`{name}` needs nothing, and nothing needs it");
            let mut text = String::new();
            wrapped(&mut text, &alone, usize::from(self.look.width), 2, 2);
            return Reply::said(text);
        }
        Reply::said(words_text(rows.into_iter(), self.look))
    }

    /// Says how a value comes about.
    pub(super) fn explain(&mut self, name: &str) -> Reply {
        if name == ANSWER
            && self.answer_is_named()
            && let Some(answer) = &self.answer
        {
            let mut wrong = Vec::new();
            let text = self.answer_text(&answer.expression, &answer.value, &mut wrong);
            return Reply::said(format!("  {}\n{text}", answer.expression));
        }
        let slot = match self.slot_named(name) {
            Ok(slot) => slot,
            Err(reply) => return reply,
        };
        match explain(&self.workspace, slot) {
            Some(explained) => Reply::said(explanation_text(&explained, self.look)),
            None => Reply::error(format!("`{name}` can't be explained")),
        }
    }

    /// Takes statements of a name out of the notebook.
    pub(super) fn remove(&mut self, name: &str) -> Reply {
        let Some(page) = self.page() else {
            return Reply::default();
        };
        let of_name = |item: &Item| {
            let slot = item.slot.and_then(|slot| self.workspace.slot(slot));
            slot.is_some_and(|slot| !slot.name.is_empty() && *slot.name == *name)
                || !name.is_empty() && page.text_at(item.piece.span) == name
                || item.kind == ItemKind::Check
                    && item.kind.body(page.text_at(item.piece.span)) == name
        };
        let places: Vec<usize> = (0..page.items.len())
            .filter(|index| page.items.get(*index).is_some_and(of_name))
            .collect();
        if places.is_empty() {
            return match self.slot_named(name) {
                Err(reply) => reply,
                Ok(_) => Reply::error(format!("`{name}` is in another notebook")),
            };
        }
        let before = self.workspace.clone();
        self.take_out(places);
        self.commit();
        Reply::said(self.moved_since(&before))
    }
}
