//! What to mind at an op: the cautions of the functions it rests on.

use crate::language::SlotId;
use std::collections::VecDeque;

use super::build::Builder;
use super::cautions::each_caution;
use crate::notebook::PageId;

impl Builder<'_> {
    /// Returns the cautions of the library functions that an op calls, itself or through
    /// the cells it names; each is said at the first op that it belongs to.
    pub(super) fn op_cautions(&self, op: SlotId) -> Vec<String> {
        let mut found = Vec::new();
        let (said, seen) = &mut *self.said.borrow_mut();
        let mut waiting = VecDeque::from([op]);
        while let Some(slot) = waiting.pop_front() {
            let Some(filled) = self.workspace.slot(slot) else {
                continue;
            };
            // What another notebook works out is minded there.
            if filled.page != PageId::MAIN {
                continue;
            }
            each_caution(&filled.content, &mut |_, caution| {
                if !said.iter().any(|known| known == caution) {
                    said.push(caution.to_owned());
                    found.push(caution.to_owned());
                }
            });
            // What an earlier op rests on has its cautions there.
            let needs = filled.content.needs(slot).unwrap_or_default();
            waiting.extend(needs.into_iter().filter(|need| seen.insert(*need)));
        }
        found
    }
}
