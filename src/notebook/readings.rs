//! Readings and aims, held against what they are of.

use super::page::Item;
use super::view::{Deviations, view};
use super::workspace::Workspace;
use crate::diagnostic::{Diagnostic, Fault};
use crate::language::{Cells, EvalError, Evaluator, Node, Size, SlotId, Value};
use crate::quantity::{Dimension, Quantity, System, significant};
use crate::syntax::ItemKind;

/// How far outside its limits a reading counts as on them, in coherent SI: rounding.
pub const READING_SLACK: f64 = 1e-12;

/// Returns by how much a reading lies outside two limits, in coherent SI: less than nothing
/// where it is too small; nothing where it lies inside or on them.
#[must_use]
pub fn too_far(reading: f64, low: f64, high: f64) -> Option<f64> {
    let by = (reading - low).min(0.0) + (reading - high).max(0.0);
    (by.abs() > READING_SLACK).then_some(by)
}

impl Workspace {
    /// Returns whether no check of the notebook that was opened fails, and the last reading of
    /// each of its sizes lies inside its limits.
    #[must_use]
    pub fn is_good(&self) -> bool {
        let bad = |item: &Item| {
            let Some(value) = item.slot.and_then(|slot| self.value(slot)) else {
                return false;
            };
            match (item.kind, value) {
                (ItemKind::Check, Value::Truth(holds)) => !holds,
                (ItemKind::Measured, Value::Size(size)) => {
                    let reading = size.reading.zip(size.limits.as_ref());
                    let outside =
                        reading.and_then(|(at, limits)| too_far(at, limits.low, limits.high));
                    outside.is_some()
                }
                _ => false,
            }
        };
        let mut items = self.main().into_iter().flat_map(|page| &page.items);
        !items.any(|item| !item.hidden && bad(item))
    }

    /// Returns the readings of a slot, in file order, in coherent SI.
    #[must_use]
    pub fn readings(&self, slot: SlotId) -> Vec<f64> {
        let nodes = self.slot(slot).map_or(&[][..], |slot| &slot.measured);
        nodes.iter().filter_map(|node| self.read(node)).collect()
    }

    /// Returns one reading of a slot, by its place among them, in coherent SI.
    #[must_use]
    pub fn reading(&self, slot: SlotId, place: usize) -> Option<f64> {
        self.read(self.slot(slot)?.measured.get(place)?)
    }

    /// Returns what is wrong with one reading of a slot, by its place among them.
    pub(super) fn reading_problem(&self, slot: SlotId, place: usize) -> Option<Diagnostic> {
        let filled = self.slot(slot)?;
        let node = filled.measured.get(place)?;
        let of = match self.faces.get(&slot).and_then(|faces| faces.aimed.as_ref()) {
            Some(aimed) => aimed.as_ref().ok(),
            None => self.value(slot),
        };
        match self.at_rest(|cells| Evaluator::new(cells).evaluate(node).map(Value::plain)) {
            Ok(read) => fitting_reading(&filled.name, &read, of)
                .err()
                .map(|fault| Diagnostic::at(fault, node.span)),
            Err(EvalError::Wrong(wrong)) => Some(*wrong),
            Err(EvalError::Missing(_) | EvalError::Unmeasured(_)) => None,
        }
    }

    /// Returns what is wrong with the aim that is set for a slot.
    pub(super) fn aim_problem(&self, slot: SlotId) -> Option<Diagnostic> {
        let filled = self.slot(slot)?;
        let node = filled.aim.as_ref()?;
        let aimed = self.faces.get(&slot).and_then(|faces| faces.aimed.as_ref());
        let value = aimed.unwrap_or(self.outcome(slot)).as_ref().ok()?;
        let Value::Size(size) = value else {
            let message = format!("`{}` has no limits to aim within", filled.name);
            return Some(
                Diagnostic::error(message, node.span).advise(
                    "only a size with a tolerance of its own has an aim, such as `12 mm H7`",
                ),
            );
        };
        match self.at_rest(|cells| set_aim(cells, size, node)) {
            Err(EvalError::Wrong(wrong)) => Some(*wrong),
            _ => None,
        }
    }

    /// Evaluates something against the values as they are.
    pub(super) fn at_rest<T>(&self, evaluate: impl FnOnce(&dyn Cells) -> T) -> T {
        let still = Deviations::default();
        let (now, faces) = (&self.values, &self.faces);
        view(self, now, faces, &still, None, evaluate)
    }

    fn read(&self, node: &Node) -> Option<f64> {
        let value = self.at_rest(|cells| Evaluator::new(cells).evaluate(node));
        value.ok()?.quantity().ok().map(|quantity| quantity.si)
    }
}

/// Returns the aim that a notebook sets for a size, in coherent SI.
///
/// # Errors
/// When it measures something else, or lies outside the limits.
pub fn set_aim(cells: &dyn Cells, size: &Size, aim: &Node) -> Result<f64, EvalError> {
    let at = |fault| EvalError::at(fault, aim.span);
    let value = Evaluator::new(cells)
        .evaluate(aim)?
        .quantity()
        .map_err(at)?;
    let Some(limits) = &size.limits else {
        return Err(at(Fault::new(
            "only a size with limits is aimed within them",
        )));
    };
    let show = |si: f64| size.like(si).to_string();
    let order = value.order(size.like(limits.low)).map_err(at)?;
    let above = value.order(size.like(limits.high)).map_err(at)?;
    if order.is_lt() || above.is_gt() {
        let message = format!(
            "the aim {value} lies outside the limits, {} to {}",
            show(limits.low),
            show(limits.high)
        );
        return Err(at(Fault::new(message).advise("aim within the limits")));
    }
    Ok(value.si)
}

/// Returns a reading, held against what was measured: it must measure the same.
///
/// # Errors
/// What it must be, and what to write instead.
pub fn fitting_reading(name: &str, read: &Value, of: Option<&Value>) -> Result<Quantity, Fault> {
    let wanted = match of {
        None => None,
        Some(value) => match value.quantity() {
            Ok(quantity) => Some(quantity),
            Err(_) => {
                let message = format!("`{name}` is {}, which can't be measured", value.kind());
                return Err(Fault::new(message));
            }
        },
    };
    let Value::Quantity(quantity) = read else {
        let message = format!(
            "a reading is a number with its unit; this is {}",
            read.described()
        );
        return Err(Fault::new(message));
    };
    match wanted.and_then(|wanted| misfit(name, "reading", *quantity, wanted)) {
        Some(fault) => Err(fault),
        None => Ok(*quantity),
    }
}

/// Returns why a number does not measure what a cell does, and what to write instead;
/// `what` is what it is called.
pub fn misfit(name: &str, what: &str, found: Quantity, wanted: Quantity) -> Option<Fault> {
    if wanted.dimension.agrees(found.dimension)
        && wanted.unit.from_another_zero() == found.unit.from_another_zero()
    {
        return None;
    }
    let fault = Fault::new(format!(
        "`{name}` is {}; the {what} {found} is {}",
        wanted.dimension.words(),
        found.dimension.words()
    ));
    if found.dimension != Dimension::NONE {
        return Some(fault);
    }
    let unit = wanted.shown_unit(System::Metric);
    let number = significant(found.si, 12);
    Some(fault.advise(format!("write `{number} {}`", unit.symbol())))
}
