//! Which groups wait for which.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use foldhash::{HashMap, HashSet};

use crate::language::SlotId;
use crate::notebook::Workspace;
use crate::notebook::order::Group;

/// Groups by number that wait for one another, in time that grows with their needs only.
pub(super) struct Waiting {
    /// How many others each waits for.
    counts: Vec<usize>,
    /// Who waits for each.
    waiting: Vec<Vec<usize>>,
    /// Those that wait for nothing.
    ready: BinaryHeap<Reverse<usize>>,
}

impl Waiting {
    /// Returns the groups as they wait at first.
    pub(super) fn new(workspace: &Workspace, groups: &[Group]) -> Self {
        let mut owners: HashMap<SlotId, usize> = HashMap::default();
        for (number, group) in groups.iter().enumerate() {
            owners.extend(group.iter().map(|slot| (*slot, number)));
        }
        let mut waiting: Vec<Vec<usize>> = vec![Vec::new(); groups.len()];
        let mut counts = vec![0; groups.len()];
        let mut ready = BinaryHeap::new();
        for ((number, group), count) in groups.iter().enumerate().zip(&mut counts) {
            let slots = group.iter().filter_map(|slot| workspace.slot(*slot));
            let needs = slots.flat_map(|slot| &slot.needs);
            let needs = needs.filter_map(|need| owners.get(need).copied());
            let others: HashSet<usize> = needs.filter(|need| *need != number).collect();
            *count = others.len();
            if others.is_empty() {
                ready.push(Reverse(number));
            }
            for other in others {
                if let Some(waiting) = waiting.get_mut(other) {
                    waiting.push(number);
                }
            }
        }
        Self {
            counts,
            waiting,
            ready,
        }
    }

    /// Returns the first that waits for nothing, and keeps it no longer.
    pub(super) fn next(&mut self) -> Option<usize> {
        self.ready.pop().map(|Reverse(number)| number)
    }

    /// Takes note that a group is done.
    pub(super) fn done(&mut self, number: usize) {
        let free = self.waiting.get_mut(number).map(std::mem::take);
        for other in free.into_iter().flatten() {
            let Some(count) = self.counts.get_mut(other) else {
                continue;
            };
            *count -= 1;
            if *count == 0 {
                self.ready.push(Reverse(other));
            }
        }
    }
}
