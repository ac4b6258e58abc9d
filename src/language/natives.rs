//! Native functions: what a formula can't do, by name.
//!
//! Their documentation stands in library/functions beside that of all other
//! functions, with `= native` for a body: the tests hold these tables against the
//! library. The documentation also names the fields of what is given, so that no
//! name of a field stands here.

mod answer;
mod hole_tables;
mod lists;
mod mathematics;
mod tables;
mod trade;

use uom::si::length::meter;

use super::arguments::{NativeCode, Topic};
use crate::diagnostic::Fault;
use crate::quantity::{Dimension, Quantity};
use crate::trade::iso286::deviations;

const TOPICS: &[Topic] = &[
    mathematics::FUNCTIONS,
    lists::FUNCTIONS,
    tables::FUNCTIONS,
    trade::FUNCTIONS,
];

/// Returns a native function by its name.
#[must_use]
pub fn native(name: &str) -> Option<NativeCode> {
    TOPICS
        .iter()
        .flat_map(|topic| topic.iter())
        .find(|(known, _)| *known == name)
        .map(|(_, code)| *code)
}

/// Returns whether a native function only works numbers out, so that keeping its calls costs
/// more than making them.
#[must_use]
pub fn is_arithmetic(name: &str) -> bool {
    let mut arithmetic = mathematics::FUNCTIONS.iter().chain(lists::FUNCTIONS);
    arithmetic.any(|(known, _)| *known == name)
}

/// Returns the names of all native functions.
pub fn native_names() -> impl Iterator<Item = &'static str> {
    TOPICS
        .iter()
        .flat_map(|topic| topic.iter())
        .map(|(name, _)| *name)
}

/// Returns the lower and the upper deviation, in metres, of an ISO 286 class on a size.
///
/// # Errors
/// When the size is no length, or the standard does not define the class for it.
pub fn class_deviations(size: Quantity, class: &str) -> Result<(f64, f64), Fault> {
    if size.dimension != Dimension::LENGTH {
        return Err(Fault::new(format!(
            "{size} is {} and can't have the class {class}",
            size.dimension.words()
        )));
    }
    let (lower, upper) = deviations(size.into(), class)?;
    Ok((lower.get::<meter>(), upper.get::<meter>()))
}
