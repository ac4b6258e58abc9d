//! Native functions: what a formula can't do, by name.
//!
//! Their documentation stands in library/functions beside that of all other
//! functions, with `= native` for a body. One file a topic; each lists its
//! functions in one table, and the tests hold the tables against the library.

mod change_gears;
mod dividing;
mod drills;
mod fits;
mod gears;
mod holes;
mod lists;
mod materials;
mod mathematics;
mod shown;
mod speeds;
mod stock;
mod tapers;
mod threads;
mod triangles;

use uom::si::length::meter;

pub use mathematics::{left_over, rounded, tan, within_one};

use super::Value;
use super::arguments::Arguments;
use crate::diagnostic::Fault;
use crate::quantity::{Dimension, Quantity};
use crate::trade::iso286::deviations;

/// A native function: checked arguments in, a value or what is wrong out.
pub type NativeCode = fn(&Arguments) -> Result<Value, Fault>;

/// The native functions of one topic.
type Topic = &'static [(&'static str, NativeCode)];

const TOPICS: &[Topic] = &[
    mathematics::FUNCTIONS,
    lists::FUNCTIONS,
    speeds::FUNCTIONS,
    threads::FUNCTIONS,
    drills::FUNCTIONS,
    tapers::FUNCTIONS,
    holes::FUNCTIONS,
    triangles::FUNCTIONS,
    dividing::FUNCTIONS,
    change_gears::FUNCTIONS,
    gears::FUNCTIONS,
    fits::FUNCTIONS,
    materials::FUNCTIONS,
    stock::FUNCTIONS,
];

/// A native function by its name.
#[must_use]
pub fn native(name: &str) -> Option<NativeCode> {
    TOPICS
        .iter()
        .flat_map(|topic| topic.iter())
        .find(|(known, _)| *known == name)
        .map(|(_, code)| *code)
}

/// Whether a native function only works numbers out, so that keeping its calls costs
/// more than making them.
#[must_use]
pub fn is_arithmetic(name: &str) -> bool {
    let mut arithmetic = mathematics::FUNCTIONS.iter().chain(lists::FUNCTIONS);
    arithmetic.any(|(known, _)| *known == name)
}

/// The names of all native functions.
pub fn native_names() -> impl Iterator<Item = &'static str> {
    TOPICS
        .iter()
        .flat_map(|topic| topic.iter())
        .map(|(name, _)| *name)
}

/// The lower and the upper deviation, in metres, of an ISO 286 class on a size.
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
