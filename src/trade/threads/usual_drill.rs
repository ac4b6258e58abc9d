//! The usual tapping drill of a thread that no table gives one for.

use uom::si::f64::Length;

use crate::trade::drills::{Drill, Stock, nearest_drill};
use crate::trade::lengths::exceeds;
use crate::trade::threads::Form;

/// The usual share of a full thread, where no standard names a drill.
const USUAL: f64 = 0.75;

/// The least share of a full thread that a drill chosen by rule may leave.
const LEAST: f64 = 0.6;

/// Returns the drills that suit a form.
pub(super) fn stock(form: Form) -> Stock<'static> {
    match form {
        Form::Unified | Form::AmericanNational | Form::SharpV | Form::Acme => Stock::Set("inch"),
        Form::Metric | Form::Whitworth | Form::BritishAssociation | Form::Trapezoidal => {
            Stock::Set("metric")
        }
    }
}

/// Returns the hole that the rule of a form gives where no table names a drill.
///
/// Source: D - p for ISO metric (ISO 2306); the basic minor diameter for
/// trapezoidal and Acme (ISO 2904, ASME B1.5); 75 % of a full thread for the rest,
/// common practice, no source.
pub(super) fn rule(form: Form, major: Length, pitch: Length) -> Length {
    match form {
        Form::Metric => major - pitch,
        Form::Trapezoidal | Form::Acme => form.internal_minor(major, pitch),
        _ => major - form.full_depth_on_diameter(pitch) * USUAL,
    }
}

/// Returns the stocked drill nearest to the rule, but not below the basic minor diameter;
/// none where no drill leaves 60 % of a full thread: large ones come in steps too
/// coarse for a fine thread.
pub(super) fn usual_drill(form: Form, major: Length, pitch: Length) -> Option<Drill> {
    let least = form.internal_minor(major, pitch);
    let stock = stock(form);
    let mut found = nearest_drill(rule(form, major, pitch), stock, "nearest").ok()?;
    if exceeds(least, found.drill.diameter) {
        found = nearest_drill(least, stock, "over").ok()?;
    }
    let left = (major - found.drill.diameter) / form.full_depth_on_diameter(pitch);
    (left.value >= LEAST).then_some(found.drill)
}
