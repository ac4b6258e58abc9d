//! The cautions of the library functions that a notebook calls.

use super::model::Caution;
use crate::notebook::{Definition, PageId, Workspace};

/// Returns the cautions of the library functions that the opened notebook calls, each
/// once.
pub(super) fn cautions(workspace: &Workspace) -> Vec<Caution> {
    let mut found: Vec<Caution> = Vec::new();
    // In the order of the statements, so that cautions stand as the ops do.
    let mut slots: Vec<_> = workspace
        .slots
        .iter()
        .filter(|slot| slot.page == PageId::MAIN)
        .collect();
    slots.sort_by_key(|slot| slot.item);
    for slot in slots {
        each_caution(&slot.content, &mut |function, caution| {
            if !found.iter().any(|known| known.caution == caution) {
                found.push(Caution {
                    function: function.to_owned(),
                    caution: caution.to_owned(),
                });
            }
        });
    }
    found
}

/// Gives each caution of the library functions that a statement calls, with the function's
/// name.
pub(super) fn each_caution(content: &Definition, give: &mut dyn FnMut(&str, &str)) {
    content.walk(&mut |node| {
        for function in node.calls() {
            let cautions = function.doc().map(|doc| doc.cautions.as_slice());
            for caution in cautions.unwrap_or_default() {
                give(function.name, caution);
            }
        }
    });
}
