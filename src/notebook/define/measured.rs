//! Readings and aims: what stands beside the definition of a name.

use super::scope::PageScope;
use crate::diagnostic::Diagnostic;
use crate::language::{CONSTANTS, Lowering, PageId, SlotId};
use crate::notebook::workspace::Workspace;
use crate::syntax::{Expression, Name, StatementText};

/// What a statement says about a name that another one defines.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Beside {
    /// `measured name = …`
    Reading,
    /// `aim name = …`
    Aim,
}

/// Adds a reading or an aim to the slot of its name, which may be defined further down.
pub(super) fn beside(
    workspace: &mut Workspace,
    page: PageId,
    piece: &StatementText,
    name: &Name,
    value: &Expression,
    what: Beside,
) -> Option<SlotId> {
    if CONSTANTS.contains(&&*name.text) {
        workspace.report(
            page,
            piece,
            vec![Diagnostic::error(
                format!("`{}` always means the same", name.text),
                name.span,
            )],
        );
        return None;
    }
    let slot = workspace.slot_of(page, &name.text);
    let mut scope = PageScope::new(workspace, page);
    let mut lowering = Lowering::new(&mut scope, slot, false);
    let node = lowering.expression(value);
    let mut wrong = lowering.finish();
    let needs = scope.needs;
    if needs.contains(&slot) {
        wrong.push(Diagnostic::error(
            format!(
                "the {} of `{}` can't be worked out from itself",
                if what == Beside::Aim {
                    "aim"
                } else {
                    "reading"
                },
                name.text
            ),
            value.span,
        ));
    }
    let aimed = workspace.slot(slot).is_some_and(|slot| slot.aim.is_some());
    if what == Beside::Aim && aimed {
        let message = format!("`{}` has an aim already", name.text);
        wrong.push(Diagnostic::error(message, name.span).advise("keep one of the two"));
    }
    if !wrong.is_empty() {
        workspace.report(page, piece, wrong);
        return Some(slot);
    }
    for need in needs {
        tie(workspace, slot, need);
    }
    if what == Beside::Aim {
        if let Some(slot) = workspace.slot_mut(slot) {
            slot.aim = Some(node);
        }
        return Some(slot);
    }
    if !workspace.measured.contains(&slot) {
        workspace.measured.push(slot);
    }
    if let Some(slot) = workspace.slot_mut(slot) {
        slot.measured.push(node);
    }
    Some(slot)
}

/// Adds one need to a slot.
fn tie(workspace: &mut Workspace, slot: SlotId, need: SlotId) {
    let Some(from) = workspace.slot_mut(slot) else {
        return;
    };
    if from.needs.contains(&need) {
        return;
    }
    from.needs.push(need);
    if let Some(to) = workspace.slot_mut(need) {
        to.dependents.push(slot);
    }
}
