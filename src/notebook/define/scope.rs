//! Names as a page knows them.

use crate::language::{Named, PageId, Scope, SlotId};
use crate::notebook::workspace::Workspace;

/// So many needs are quicker looked through than looked up.
pub(super) const FEW: usize = 32;

/// Looks names up in a page and notes which slots are needed.
pub(super) struct PageScope<'a> {
    pub(super) workspace: &'a mut Workspace,
    pub(super) page: PageId,
    pub(super) needs: Vec<SlotId>,
}

impl<'a> PageScope<'a> {
    /// Looks names up in a page; nothing is needed yet.
    pub(super) fn new(workspace: &'a mut Workspace, page: PageId) -> Self {
        let needs = Vec::new();
        Self {
            workspace,
            page,
            needs,
        }
    }

    /// Notes a need; one noted long before is noted again, and [`connect`] drops it.
    fn need(&mut self, slot: SlotId) -> SlotId {
        if !self.needs.iter().rev().take(FEW).any(|need| *need == slot) {
            self.needs.push(slot);
        }
        slot
    }
}

impl Scope for PageScope<'_> {
    fn name(&mut self, name: &str) -> Named {
        let page = self.workspace.page(self.page);
        if let Some((_, used)) =
            page.and_then(|page| page.uses.iter().find(|(alias, _)| &**alias == name))
        {
            return Named::Notebook(*used);
        }
        let slot = self.workspace.slot_of(self.page, name);
        Named::Cell(self.need(slot))
    }

    fn name_in(&mut self, notebook: PageId, name: &str) -> SlotId {
        let slot = self.workspace.slot_of(notebook, name);
        self.need(slot)
    }

    fn function(&mut self, name: &str) -> Option<SlotId> {
        let known = self
            .workspace
            .page(self.page)
            .is_some_and(|page| page.functions.contains_key(name));
        if !known {
            return None;
        }
        let slot = self.workspace.function_slot(self.page, name);
        Some(self.need(slot))
    }
}
