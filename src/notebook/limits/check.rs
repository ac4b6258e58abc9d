//! The margins of a check: how much each of its comparisons has to spare.

use crate::language::{Cells, Evaluator, Node, ResolvedExpr, SlotId, Value, paired};
use crate::notebook::definition::Definition;
use crate::notebook::view::{Deviations, view};
use crate::notebook::workspace::Workspace;
use crate::quantity::{Dimension, Quantity, Unit};
use crate::syntax::Operator;

/// Returns the margin of each comparison of a condition, in coherent SI with what it
/// measures: positive where it holds, nothing where it has no number.
///
/// `and` has the margins of all its parts. Other conditions have none; whether
/// they hold is still known wherever they are computed. The places in the list are
/// those of the condition, whatever has a value.
pub fn margins(cells: &dyn Cells, condition: &Node) -> Vec<Option<Quantity>> {
    let mut found = Vec::new();
    collect(&Evaluator::new(cells), condition, &mut found);
    found
}

fn collect(evaluator: &Evaluator, node: &Node, found: &mut Vec<Option<Quantity>>) {
    let ResolvedExpr::Chain(first, rest) = &node.code else {
        return;
    };
    match rest.first().map(|(operator, _)| *operator) {
        Some(Operator::And) => {
            collect(evaluator, first, found);
            rest.iter()
                .for_each(|(_, node)| collect(evaluator, node, found));
        }
        Some(operator) if operator.compares() => {
            let mut left = evaluator.evaluate(first).ok();
            for (operator, node) in rest {
                let right = evaluator.evaluate(node).ok();
                let pair = left.as_ref().zip(right.as_ref());
                found.push(pair.and_then(|(a, b)| least(a, *operator, b)));
                left = right;
            }
        }
        _ => {}
    }
}

/// Returns the margin of a comparison; value by value that of the value with the least to
/// spare.
fn least(left: &Value, operator: Operator, right: &Value) -> Option<Quantity> {
    let mut margins: Vec<Quantity> = Vec::new();
    paired(left, right, &mut |a, b| {
        let (a, b) = (a.quantity()?, b.quantity()?);
        margins.extend(margin(a, operator, b));
        Ok(Value::None)
    })
    .ok()?;
    margins.into_iter().min_by(|a, b| a.si.total_cmp(&b.si))
}

fn margin(left: Quantity, operator: Operator, right: Quantity) -> Option<Quantity> {
    let difference = left.minus(right).ok()?;
    // The difference of two temperatures counts from no other zero.
    let unit = if difference.unit.from_another_zero() {
        Unit::NONE
    } else {
        difference.unit
    };
    let of = |si: f64| Quantity {
        si,
        unit,
        ..difference
    };
    let counted = difference.dimension != Dimension::NONE || unit == Unit::NONE;
    match operator {
        Operator::Less | Operator::AtMost => Some(of(-difference.si)),
        Operator::More | Operator::AtLeast => Some(of(difference.si)),
        Operator::Equal if counted => Some(of(-difference.si.abs())),
        _ => None,
    }
}

impl Workspace {
    /// Returns how much a check has to spare as things stand; negative where it misses.
    #[must_use]
    pub fn margin(&self, slot: SlotId) -> Option<Quantity> {
        let Definition::Check(condition) = &self.slot(slot)?.content else {
            return None;
        };
        let still = Deviations::default();
        let margins = view(self, &self.values, &self.faces, &still, None, |cells| {
            margins(cells, condition)
        });
        margins
            .into_iter()
            .flatten()
            .min_by(|a, b| a.si.total_cmp(&b.si))
    }
}
