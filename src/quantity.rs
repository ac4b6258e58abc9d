//! Dimensions, units and run-time quantities.
//!
//! A [`Quantity`] is a number in coherent SI with a [`Dimension`] and the
//! [`Unit`] it likes to be shown in. Factors come from uom where uom is exact
//! and from definitions of our own where it rounds (see `definitions.rs`).
//!
//! # Example
//! ```
//! use setover::internals::quantity::{Quantity, parse_unit};
//!
//! let edge = Quantity::of(30.0, "m/min")?;
//! let diameter = Quantity::of(25.0, "mm")?;
//! let area = diameter.times(diameter)?;
//! assert!((area.in_unit(parse_unit("in^2")?) - 625.0 / 645.16).abs() < 1e-12);
//! assert!(edge.plus(diameter).is_err());
//! # Ok::<(), setover::internals::diagnostic::Fault>(())
//! ```

mod arithmetic;
mod definitions;
mod dimension;
mod equal;
mod parse_unit;
mod range;
mod shown;
mod unit;
mod uom_types;
mod value;
mod written;

pub use definitions::{NamedUnit, definition, definitions};
pub use dimension::Dimension;
pub use equal::{SAME, compare, left_over, nearest, rounded, tan, within_a_turn, within_one};
pub use parse_unit::parse_unit;
pub use range::{Rounding, aim_text, ends_text, ratio_ends};
pub use shown::{System, default_unit, for_system, in_system, system_of};
pub use unit::{Side, Style, Unit};
pub use value::{Quantity, slack};
pub use written::{
    count, decimals_for, degrees_minutes_seconds, in_unit, number, plain, quantity, ratio, short,
    significant, trimmed,
};
