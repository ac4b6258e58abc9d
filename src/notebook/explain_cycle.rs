//! Cells that depend on one another in a ring.

use foldhash::{HashMap, HashSet};

use super::workspace::Workspace;
use crate::diagnostic::{Diagnostic, Span};
use crate::language::SlotId;

/// A ring of more names than this is shown without its middle.
const SHOWN: usize = 100;

/// Returns for a group of slots that need one another: at which slot to say so, and what.
///
/// The ring that is shown is the shortest one through the first slot, in file
/// order, that lies on any, so that it does not depend on the history of changes.
pub fn ring(workspace: &Workspace, group: &[SlotId]) -> Option<(SlotId, Diagnostic)> {
    let place = |slot: &SlotId| workspace.slot(*slot).map(|slot| (slot.page, slot.item));
    let mut group = group.to_vec();
    group.sort_by_key(place);
    let inside: HashSet<SlotId> = group.iter().copied().collect();
    let ring = group
        .iter()
        .find_map(|slot| shortest(workspace, &inside, *slot))?;
    let first = *ring.first()?;
    let mut names: Vec<String> = ring.iter().map(|slot| workspace.name_of(*slot)).collect();
    names.extend(names.first().cloned());
    if names.len() > SHOWN {
        let left = names.len() - SHOWN;
        names.splice(SHOWN / 2..SHOWN / 2 + left, [format!("({left} more)")]);
    }
    let message = if ring.len() == 1 {
        format!(
            "`{}` depends on itself",
            names.first().map_or("", String::as_str)
        )
    } else {
        format!(
            "these depend on one another in a ring: {}",
            names.join(" → ")
        )
    };
    let length = workspace
        .slot(first)
        .map_or(1, |slot| slot.name.len().max(1));
    let diagnostic = Diagnostic::error(message, Span::new(0, length))
        .advise("give one of them a value of its own");
    Some((first, diagnostic))
}

/// Returns the shortest ring of needs through `start` within a group.
fn shortest(workspace: &Workspace, group: &HashSet<SlotId>, start: SlotId) -> Option<Vec<SlotId>> {
    let mut from: HashMap<SlotId, SlotId> = HashMap::default();
    let mut queue = std::collections::VecDeque::from([start]);
    while let Some(slot) = queue.pop_front() {
        for need in &workspace.slot(slot)?.needs {
            if *need == start {
                let mut ring = vec![slot];
                let mut at = slot;
                while at != start {
                    at = *from.get(&at)?;
                    ring.push(at);
                }
                ring.reverse();
                return Some(ring);
            }
            if group.contains(need) && !from.contains_key(need) {
                from.insert(*need, slot);
                queue.push_back(*need);
            }
        }
    }
    None
}
