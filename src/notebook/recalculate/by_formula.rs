//! Slots that are worked out again by a compiled formula.

use crate::language::{Cells, Formula, SlotId, Value};
use crate::notebook::definition::Definition;
use crate::notebook::step_budget::{FREE, is_free, left, took, uncounted};
use crate::notebook::view::View;
use crate::notebook::workspace::Slot;

/// Returns what the formula of a slot comes to over these cells; nothing where it has none
/// yet, or the evaluator must say. `marks` tells whether a mark of what was decided is wanted.
#[inline]
pub fn by_formula<'v>(
    filled: &Slot,
    marks: bool,
    cell: impl Fn(SlotId) -> Option<&'v Value>,
) -> Option<Value> {
    let formula = filled.formula.get()?.as_ref()?;
    let steps = formula.steps();
    // How many steps a choice takes depends on the way it goes.
    if formula.decides() && (marks || !is_free(steps)) || left() < steps {
        return None;
    }
    let value = formula.run(cell)?;
    took(steps);
    Some(value)
}

/// Gives a slot its formula, for the next time: its value came from the evaluator, with so
/// many steps and without a warning. `decided` tells whether it decided anything on the way:
/// also what the formula holds as known, such as which thread was meant.
pub fn compile(filled: &Slot, view: &View, value: &Value, steps: u64, decided: bool) {
    if filled.formula.get().is_some() || steps > FREE || filled.aim.is_some() {
        return;
    }
    let (node, is_check) = match &filled.content {
        Definition::Cell(node) | Definition::Bare(node) => (node, false),
        Definition::Check(node) => (node, true),
        _ => return,
    };
    let formula = uncounted(|| Formula::new(view, node, is_check, steps, decided));
    // Where it gives anything else, here and now, it is none.
    let formula =
        formula.filter(|formula| formula.run(|slot| view.value(slot)) == Some(value.clone()));
    let _ = filled.formula.set(formula.map(Box::new));
}
