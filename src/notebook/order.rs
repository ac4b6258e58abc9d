//! In which order slots are computed after a change.

use std::iter::Chain;
use std::ops::Deref;
use std::{option, vec};

use foldhash::HashSet;

use super::marks::Marks;
use super::workspace::Workspace;
use crate::language::SlotId;

/// Slots that are computed together: one slot, or the slots of a ring.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Group {
    /// One slot; most groups are.
    One(SlotId),
    /// The slots of a ring, in rising order.
    Ring(Vec<SlotId>),
}

impl Deref for Group {
    type Target = [SlotId];

    fn deref(&self) -> &[SlotId] {
        match self {
            Self::One(slot) => std::slice::from_ref(slot),
            Self::Ring(slots) => slots,
        }
    }
}

impl IntoIterator for Group {
    type Item = SlotId;
    type IntoIter = Chain<option::IntoIter<SlotId>, vec::IntoIter<SlotId>>;

    fn into_iter(self) -> Self::IntoIter {
        let (one, ring) = match self {
            Self::One(slot) => (Some(slot), Vec::new()),
            Self::Ring(slots) => (None, slots),
        };
        one.into_iter().chain(ring)
    }
}

impl<'a> IntoIterator for &'a Group {
    type Item = &'a SlotId;
    type IntoIter = std::slice::Iter<'a, SlotId>;

    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}

/// Returns the changed slots and all that depends on them, each after what it needs.
///
/// Slots that need one another form one group. Method: R. E. Tarjan, "Depth-first
/// search and linear graph algorithms" (1972), with a stack of its own instead of
/// recursion.
pub fn affected(workspace: &mut Workspace, changed: &[SlotId]) -> Vec<Group> {
    let mut marks = std::mem::take(&mut workspace.marks);
    let groups = order(workspace, &mut marks, changed, |_| true);
    workspace.marks = marks;
    groups
}

/// Returns what [`affected`] does, for a workspace that must not change.
pub fn affected_by(workspace: &Workspace, changed: &[SlotId]) -> Vec<Group> {
    order(workspace, &mut Marks::default(), changed, |_| true)
}

/// Returns the changed slots and what depends on them among those that are allowed, each after what
/// it needs.
pub fn affected_among(
    workspace: &Workspace,
    changed: &[SlotId],
    allowed: impl Fn(SlotId) -> bool,
) -> Vec<Group> {
    order(workspace, &mut Marks::default(), changed, allowed)
}

/// Slots within `members` only, each after what it needs there.
pub fn within(workspace: &Workspace, members: &[SlotId]) -> Vec<Group> {
    let inside: HashSet<SlotId> = members.iter().copied().collect();
    order(workspace, &mut Marks::default(), members, |slot| {
        inside.contains(&slot)
    })
}

const UNSEEN: u32 = 0;

fn order(
    workspace: &Workspace,
    marks: &mut Marks,
    changed: &[SlotId],
    allowed: impl Fn(SlotId) -> bool,
) -> Vec<Group> {
    marks.start(workspace.slots.len());
    let epoch = marks.epoch;
    let mut closure: Vec<SlotId> = Vec::new();
    for slot in changed {
        if let Some(seen) = marks.seen.get_mut(slot.index())
            && *seen != epoch
        {
            *seen = epoch;
            closure.push(*slot);
        }
    }
    let mut next = 0;
    while let Some(slot) = closure.get(next).copied() {
        next += 1;
        for dependent in &workspace.slots[slot.index()].dependents {
            if marks.seen[dependent.index()] != epoch && allowed(*dependent) {
                marks.seen[dependent.index()] = epoch;
                closure.push(*dependent);
            }
        }
    }
    // File order decides where the graph leaves a choice, so that the order never
    // depends on the history of changes.
    closure.sort_unstable();
    // Mostly each needs nothing but what stands before it.
    let stands_before = |slot: &SlotId| {
        let mut needs = workspace.slots[slot.index()].needs.iter();
        needs.all(|need| need < slot || marks.seen[need.index()] != epoch)
    };
    if closure.iter().all(stands_before) {
        return closure.into_iter().map(Group::One).collect();
    }
    for slot in &closure {
        marks.index[slot.index()] = UNSEEN;
    }
    let mut groups = Vec::with_capacity(closure.len());
    let mut counter = 0;
    let mut stack: Vec<SlotId> = Vec::new();
    let mut work: Vec<(SlotId, usize)> = Vec::new();
    for start in closure {
        if marks.index[start.index()] == UNSEEN {
            work.push((start, 0));
        }
        while let Some((slot, edge)) = work.last_mut() {
            let slot = *slot;
            let at = slot.index();
            if *edge == 0 && marks.index[at] == UNSEEN {
                counter += 1;
                marks.index[at] = counter;
                marks.low[at] = counter;
                marks.on_stack[at] = true;
                stack.push(slot);
            }
            let needs = &workspace.slots[at].needs;
            if let Some(need) = needs.get(*edge).copied() {
                *edge += 1;
                let there = need.index();
                if marks.seen[there] != epoch {
                    continue;
                }
                if marks.index[there] == UNSEEN {
                    work.push((need, 0));
                } else if marks.on_stack[there] {
                    marks.low[at] = marks.low[at].min(marks.index[there]);
                }
                continue;
            }
            work.pop();
            if let Some((above, _)) = work.last() {
                let above = above.index();
                marks.low[above] = marks.low[above].min(marks.low[at]);
            }
            if marks.low[at] == marks.index[at] {
                if stack.last() == Some(&slot) {
                    stack.pop();
                    marks.on_stack[at] = false;
                    groups.push(Group::One(slot));
                    continue;
                }
                let mut ring = Vec::new();
                while let Some(member) = stack.pop() {
                    marks.on_stack[member.index()] = false;
                    ring.push(member);
                    if member == slot {
                        break;
                    }
                }
                ring.sort_unstable();
                groups.push(Group::Ring(ring));
            }
        }
    }
    groups
}
