//! A notebook and all that it uses, with the values of their cells.

use std::sync::{Arc, OnceLock};

use foldhash::HashMap;

use super::definition::Definition;
use super::marks::Marks;
use super::outcome::{Faces, Failure, Outcome};
use super::page::Page;
use crate::diagnostic::Diagnostic;
use crate::language::{Formula, Node, PageId, SlotId, Value};
use crate::quantity::System;
use crate::syntax::StatementText;

/// A place for a value: what fills it, what it needs and what needs it.
#[derive(Clone, Debug)]
pub struct Slot {
    /// The page it belongs to.
    pub page: PageId,
    /// Its name; empty for statements without one.
    pub name: Arc<str>,
    /// What fills it.
    pub content: Definition,
    /// The readings of it, in file order; the latest counts.
    pub measured: Vec<Node>,
    /// The aim that the notebook sets for it.
    pub aim: Option<Node>,
    /// Whether a tolerance stands in what fills it.
    pub sized: bool,
    /// The slots it needs.
    pub needs: Vec<SlotId>,
    /// The slots that need it.
    pub dependents: Vec<SlotId>,
    /// The item of the page that fills it.
    pub item: u32,
    /// The statement that took the place of the file's, in memory only.
    pub redefined: Option<Arc<str>>,
    /// What it is worked out by, once it was worked out twice; nothing in it where only the
    /// evaluator can.
    pub(super) formula: OnceLock<Option<Box<Formula>>>,
}

/// A notebook, all that it uses, and their values.
///
/// Page 0 is the notebook that was opened.
#[derive(Clone, Debug, Default)]
pub struct Workspace {
    /// Whether lists or tables were refused, for the notebook holds too many values.
    pub(super) crowded: bool,
    /// How many what-if tables and graphs there are.
    pub(super) tables: usize,
    /// The notebooks.
    pub pages: Vec<Page>,
    /// The slots of all notebooks; copies of a workspace share those that neither changes.
    pub slots: Vec<Arc<Slot>>,
    /// The value of each slot.
    pub values: Vec<Outcome>,
    /// What slots have besides their values: drawn figures, aims.
    pub faces: HashMap<SlotId, Faces>,
    /// What the user should look at though there is a value, by slot.
    pub warnings: HashMap<SlotId, Vec<Diagnostic>>,
    /// The slots with measured values.
    pub measured: Vec<SlotId>,
    /// The slots without a name that nothing fills any more.
    pub(super) free: Vec<SlotId>,
    pub(super) marks: Marks,
}

impl Workspace {
    /// Returns a page.
    #[must_use]
    pub fn page(&self, page: PageId) -> Option<&Page> {
        self.pages.get(page.index())
    }

    /// Returns the pages with their numbers.
    pub(super) fn numbered_pages(&self) -> impl Iterator<Item = (PageId, &Page)> {
        (0..).map(PageId::at).zip(&self.pages)
    }

    /// Returns a page to change.
    pub(super) fn page_mut(&mut self, page: PageId) -> Option<&mut Page> {
        self.pages.get_mut(page.index())
    }

    /// Returns a new slot of a page.
    pub(super) fn add_slot(&mut self, page: PageId, name: Arc<str>) -> SlotId {
        let slot = SlotId::at(self.slots.len());
        self.slots.push(Arc::new(Slot {
            page,
            name,
            content: Definition::Nothing,
            measured: Vec::new(),
            aim: None,
            sized: false,
            needs: Vec::new(),
            dependents: Vec::new(),
            item: 0,
            redefined: None,
            formula: OnceLock::new(),
        }));
        self.values.push(Err(Arc::new(Failure::Undefined)));
        slot
    }

    /// Returns a slot for a statement without a name.
    pub(super) fn nameless_slot(&mut self, page: PageId) -> SlotId {
        match self.free.pop() {
            Some(slot) => {
                if let Some(slot) = self.slot_mut(slot) {
                    slot.page = page;
                }
                slot
            }
            None => self.add_slot(page, "".into()),
        }
    }

    /// Returns the slot of a name of a page, made where it is missing.
    pub(super) fn slot_of(&mut self, page: PageId, name: &str) -> SlotId {
        if let Some(slot) = self.page(page).and_then(|page| page.names.get(name)) {
            return *slot;
        }
        let name: Arc<str> = name.into();
        let slot = self.add_slot(page, name.clone());
        if let Some(page) = self.page_mut(page) {
            page.names.insert(name, slot);
        }
        slot
    }

    /// Returns the slot of a function of a page, made where it is missing.
    pub(super) fn function_slot(&mut self, page: PageId, name: &str) -> SlotId {
        if let Some(slot) = self.page(page).and_then(|page| page.functions.get(name)) {
            return *slot;
        }
        let name: Arc<str> = name.into();
        let slot = self.add_slot(page, name.clone());
        if let Some(page) = self.page_mut(page) {
            page.functions.insert(name, slot);
        }
        slot
    }

    /// Says what is wrong with a statement of a page.
    pub(super) fn report(&mut self, page: PageId, piece: &StatementText, wrong: Vec<Diagnostic>) {
        if let Some(page) = self.page_mut(page) {
            let start = piece.span.start as usize;
            page.wrong
                .extend(wrong.into_iter().map(|wrong| wrong.shifted(start)));
        }
    }

    /// Says which item of its page fills a slot.
    pub(super) fn set_item(&mut self, slot: SlotId, item: u32) {
        if let Some(slot) = self.slot_mut(slot) {
            slot.item = item;
        }
    }

    /// Returns a slot.
    #[must_use]
    pub fn slot(&self, slot: SlotId) -> Option<&Slot> {
        self.slots.get(slot.index()).map(|slot| &**slot)
    }

    /// Returns a slot to change; a copy of the workspace keeps the one that it shares.
    pub(super) fn slot_mut(&mut self, slot: SlotId) -> Option<&mut Slot> {
        self.slots.get_mut(slot.index()).map(Arc::make_mut)
    }

    /// Returns whether a statement defines what a slot stands for.
    #[must_use]
    pub fn is_defined(&self, slot: SlotId) -> bool {
        let slot = self.slot(slot);
        slot.is_some_and(|slot| !matches!(slot.content, Definition::Nothing))
    }

    /// Returns the names that a page defines.
    pub fn defined_names<'a>(&'a self, page: &'a Page) -> impl Iterator<Item = &'a str> {
        let names = page.names.iter();
        names.filter_map(|(name, slot)| self.is_defined(*slot).then_some(&**name))
    }

    /// Returns the notebook that was opened.
    #[must_use]
    pub fn main(&self) -> Option<&Page> {
        self.pages.first()
    }

    /// Returns the system that a notebook asks lengths to be shown in.
    #[must_use]
    pub fn lengths_of(&self, page: PageId) -> Option<System> {
        let page = self.page(page)?;
        page.settings.lengths.first().copied()
    }

    /// Returns the value of a slot, or why it has none.
    pub fn outcome(&self, slot: SlotId) -> &Outcome {
        static NOTHING: std::sync::LazyLock<Outcome> =
            std::sync::LazyLock::new(|| Err(Arc::new(Failure::Undefined)));
        self.values.get(slot.index()).unwrap_or(&NOTHING)
    }

    /// Returns the value of a slot.
    #[must_use]
    pub fn value(&self, slot: SlotId) -> Option<&Value> {
        self.outcome(slot).as_ref().ok()
    }

    /// Returns the slot of a cell by its path as written in page 0: `bore` or
    /// `shaft.journal`.
    #[must_use]
    pub fn find(&self, path: &str) -> Option<SlotId> {
        let main = self.pages.first()?;
        match path.split_once('.') {
            None => main.names.get(path).copied(),
            Some((alias, name)) => {
                let (_, page) = main.uses.iter().find(|(known, _)| &**known == alias)?;
                self.page(*page)?.names.get(name).copied()
            }
        }
        .filter(|slot| self.is_defined(*slot))
    }

    /// Returns how a slot is called from page 0: `bore`, `shaft.journal`, or the text of a
    /// statement without a name.
    #[must_use]
    pub fn name_of(&self, slot: SlotId) -> String {
        let Some(found) = self.slot(slot) else {
            return String::new();
        };
        let Some(page) = self.page(found.page) else {
            return String::new();
        };
        let op = page
            .items
            .get(found.item as usize)
            .filter(|item| item.kind == crate::syntax::ItemKind::Op);
        let numbered;
        let name = if !found.name.is_empty() {
            // What a name once stood for may be another statement now.
            &found.name
        } else if let Some(op) = op {
            numbered = format!("op {}", op.op);
            &numbered
        } else {
            page.items
                .get(found.item as usize)
                .map_or("", |item| page.text_at(item.piece.span))
        };
        if found.page == PageId::MAIN {
            return name.to_owned();
        }
        let alias = self
            .pages
            .first()
            .and_then(|main| main.uses.iter().find(|(_, page)| *page == found.page));
        match alias {
            Some((alias, _)) => format!("{alias}.{name}"),
            None => format!(
                "{}.{name}",
                page.path.file_stem().unwrap_or_default().to_string_lossy()
            ),
        }
    }
}
