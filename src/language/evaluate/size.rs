//! Sizes with their tolerances.

use std::sync::Arc;

use super::access::field;
use super::{Evaluated, Evaluator, Figures};
use crate::diagnostic::{Fault, Span};
use crate::language::SlotId;
use crate::language::code::{Node, ResolvedExpr, SizeCode};
use crate::language::{EvalError, Face, Size, SizeLimits, Value};
use crate::quantity::{Dimension, Quantity, Side, System, Unit};
use crate::syntax::{Number, Tolerance};

impl Evaluator<'_> {
    /// Returns the drawn figure of a size and its two deviations, lower first, in
    /// coherent SI.
    ///
    /// # Errors
    /// When the tolerance does not fit the size.
    pub fn size_limits(
        &self,
        size: &SizeCode,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Result<(Quantity, f64, f64), EvalError> {
        // The class of a name (`shaft.journal H7`) belongs to its drawn figure, whatever
        // was measured; gauges in a formula count at their readings.
        let figures = match size.size.code {
            ResolvedExpr::Cell(_) => Figures::Drawn,
            _ => Figures::Gauged,
        };
        let drawn = self.in_figures(figures, || self.quantity(&size.size, locals, base))?;
        let (low, high) =
            deviations(drawn, &size.tolerance).map_err(|fault| EvalError::at(fault, size.span))?;
        let whole = [drawn.si, low, high].map(f64::fract) == [0.0; 3];
        if drawn.dimension == Dimension::NONE && whole {
            let fault = Fault::new(format!("{drawn} is a count, and a count has no limits"));
            return Err(EvalError::at(
                fault.advise("give a size its unit, such as `12 mm ±0.1`"),
                size.span,
            ));
        }
        Ok((drawn, low, high))
    }

    pub(super) fn size(&self, size: &SizeCode, locals: &mut Vec<Value>, base: usize) -> Evaluated {
        let (drawn, low, high) = self.size_limits(size, locals, base)?;
        if self.figures.get() != Figures::InUse {
            return Ok(Value::Quantity(drawn));
        }
        let stands = self.cells.deviation(size.source, low, high);
        let value = drawn.si + stands;
        Ok(sized(drawn, value, (low, high), &size.tolerance))
    }

    /// Evaluates something with other figures than those in use.
    pub(super) fn in_figures<T>(&self, figures: Figures, evaluate: impl FnOnce() -> T) -> T {
        let before = self.figures.replace(figures);
        let result = evaluate();
        self.figures.set(before);
        result
    }

    /// Returns a name after a point that may be a face of a size: fields and columns of that name
    /// win.
    pub(super) fn face(
        &self,
        of: &Node,
        face: Face,
        span: Span,
        locals: &mut Vec<Value>,
        base: usize,
    ) -> Evaluated {
        let found = match of.code {
            ResolvedExpr::Cell(slot) => match self.cells.value(slot) {
                Some(value) => value.clone(),
                None if face == Face::Drawn || face == Face::Aim => Value::None,
                None => return Err(EvalError::Missing(slot)),
            },
            _ => self.in_figures(Figures::InUse, || self.node(of, locals, base))?,
        };
        if matches!(found, Value::Record(_) | Value::Table(_)) {
            let value = self.node(of, locals, base)?;
            return field(&value, face.name()).map_err(|fault| EvalError::at(fault, span));
        }
        let size = found.size_faces();
        let limits = size.and_then(|size| size.limits.as_ref().map(|limits| (size, limits)));
        match (face, of.code.slot()) {
            (Face::Drawn, Some(slot)) => {
                let drawn = self.cells.drawn(slot).cloned();
                drawn.map(Value::plain).ok_or(EvalError::Missing(slot))
            }
            (Face::Drawn, None) => match size {
                Some(size) => Ok(size.drawn.into()),
                None => self.in_figures(Figures::Drawn, || self.node(of, locals, base)),
            },
            (Face::Aim, Some(slot)) => match self.cells.aimed(slot) {
                Some(Value::Size(size)) => Ok(aim_of(size).into()),
                Some(value) => Ok(value.clone()),
                None => Err(EvalError::Missing(slot)),
            },
            (Face::Aim, None) => Ok(size.map_or(found.clone(), |size| aim_of(size).into())),
            (Face::Low, _) if limits.is_some() => Ok(limits
                .map_or(Value::None, |(size, limits)| {
                    size.like(limits.low).as_limit(Side::Up).into()
                })),
            (Face::High, _) if limits.is_some() => Ok(limits
                .map_or(Value::None, |(size, limits)| {
                    size.like(limits.high).as_limit(Side::Down).into()
                })),
            (Face::Low | Face::High, slot) => {
                let follows = match slot {
                    Some(slot) => self.cells.limited(slot),
                    None => !of.code.is_path(),
                };
                if follows {
                    return Err(no_limits(face, span));
                }
                let aimed = slot.and_then(|slot| self.cells.aimed(slot).cloned());
                aimed
                    .unwrap_or(found)
                    .quantity()
                    .map(Value::Quantity)
                    .map_err(|fault| EvalError::at(fault, span))
            }
            (Face::Reading, slot) => match size.and_then(|size| Some((size, size.reading?))) {
                Some((size, reading)) => Ok(size.like(reading).into()),
                None => Err(EvalError::Unmeasured(slot.unwrap_or(SlotId::NONE))),
            },
        }
    }
}

/// Returns what a size is worked to; with all its digits where it has limits.
fn aim_of(size: &Size) -> Quantity {
    let aim = size.like(size.aim);
    match size.limits {
        Some(_) => aim.as_limit(Side::Nearest),
        None => aim,
    }
}

/// Returns a drawn figure with a tolerance as a size that stands where it is aimed.
///
/// # Errors
/// When the tolerance does not fit the figure.
pub fn with_tolerance(drawn: Quantity, tolerance: &Tolerance) -> Result<Value, Fault> {
    let (low, high) = deviations(drawn, tolerance)?;
    let aim = drawn.si + f64::midpoint(low, high);
    Ok(sized(drawn, aim, (low, high), tolerance))
}

/// Returns a size that stands at `value`, aimed at the middle of its limits.
fn sized(drawn: Quantity, value: f64, (low, high): (f64, f64), tolerance: &Tolerance) -> Value {
    Value::Size(Arc::new(Size {
        value: Quantity { si: value, ..drawn },
        drawn,
        aim: drawn.si + f64::midpoint(low, high),
        aim_set: false,
        limits: Some(SizeLimits {
            low: drawn.si + low,
            high: drawn.si + high,
            tolerance: tolerance.clone(),
        }),
        reading: None,
    }))
}

/// Says that a result has no limits of its own.
fn no_limits(face: Face, span: Span) -> EvalError {
    let fault = Fault::new(format!(
        "this follows from other sizes and has no limits of its own, so no `{}`",
        face.name()
    ));
    EvalError::at(
        fault.advise(
            "to see that it stays within bounds, write a check, such as `check play >= 0.01 mm`",
        ),
        span,
    )
}

/// Returns the lower and the upper deviation of a tolerance on a size, in coherent SI.
fn deviations(nominal: Quantity, tolerance: &Tolerance) -> Result<(f64, f64), Fault> {
    let one = |number: f64, unit: Option<Unit>| -> Result<f64, Fault> {
        let unit = unit.unwrap_or_else(|| nominal.shown_unit(System::Metric));
        if !nominal.dimension.agrees(unit.dimension()) {
            let message = format!("a tolerance in {} does not fit {nominal}", unit.symbol());
            return Err(Fault::new(message));
        }
        Ok(number * unit.factor())
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
