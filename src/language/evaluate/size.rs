//! Sizes with their tolerances.

use super::Evaluator;
use crate::diagnostic::Fault;
use crate::language::code::SizeCode;
use crate::language::{Trouble, Value};
use crate::quantity::{Quantity, Unit};
use crate::syntax::{Number, Tolerance};

impl Evaluator<'_> {
    /// The drawing size of a size and its two deviations, lower first, in coherent
    /// SI.
    ///
    /// # Errors
    /// When the tolerance does not fit the size.
    pub fn size_limits(
        &self,
        size: &SizeCode,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Result<(Quantity, f64, f64), Trouble> {
        // The class of a name (`shaft.journal H7`) belongs to its drawing size,
        // whatever was measured.
        let before = self.drawing.replace(true);
        let nominal = self.quantity(&size.size, locals, base);
        self.drawing.set(before);
        let nominal = nominal?;
        let (low, high) =
            deviations(nominal, &size.tolerance).map_err(|fault| Trouble::at(fault, size.span))?;
        Ok((nominal, low, high))
    }

    pub(super) fn size(
        &self,
        size: &SizeCode,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Result<Quantity, Trouble> {
        let (nominal, low, high) = self.size_limits(size, locals, base)?;
        if self.drawing.get() {
            return Ok(nominal);
        }
        Ok(Quantity {
            si: nominal.si + self.cells.deviation(size.source, low, high),
            ..nominal
        })
    }
}

/// The lower and the upper deviation of a tolerance on a size, in coherent SI.
fn deviations(nominal: Quantity, tolerance: &Tolerance) -> Result<(f64, f64), Fault> {
    let one = |number: f64, unit: Option<Unit>| -> Result<f64, Fault> {
        let unit = match unit {
            Some(unit) => unit,
            None => Unit::of(
                nominal
                    .shown_unit(crate::quantity::System::Metric)
                    .get()
                    .parts
                    .clone(),
                crate::quantity::Style::Decimal,
            ),
        };
        let parts = unit.get();
        if !nominal.dimension.agrees(parts.dimension) {
            let message = format!("a tolerance in {} does not fit {nominal}", parts.symbol);
            return Err(Fault::new(message));
        }
        Ok(number * parts.factor)
    };
    match tolerance {
        Tolerance::PlusMinus(number, unit) => {
            let half = one(Number::value(*number), *unit)?;
            Ok((-half, half))
        }
        Tolerance::Deviations((a, unit_a), (b, unit_b)) => {
            let (a, b) = (one(*a, *unit_a)?, one(*b, *unit_b)?);
            Ok((a.min(b), a.max(b)))
        }
        Tolerance::Class(class) => crate::language::natives::class_deviations(nominal, class),
    }
}
