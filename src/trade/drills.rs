//! Twist drills: their names, the sets they come in, the drill for a hole.
//!
//! A drill cuts a little over its size: where the hole matters, drill under and
//! ream or bore. Clamp the work; thin and small pieces climb the drill as it
//! breaks through.
//!
//! # Example
//! ```
//! use setover::internals::trade::drills::drill;
//! use uom::si::length::inch;
//!
//! // ANSI B94.11M: a number 7 drill is 0.201 in.
//! assert!((drill("#7")?.diameter.get::<inch>() - 0.201).abs() < 1e-9);
//! # Ok::<(), setover::internals::diagnostic::Fault>(())
//! ```

mod by_name;
mod choose;
mod reaming;
mod stock;

pub use by_name::drill;
pub use choose::{drill_under, nearest_drill};
pub use reaming::reaming_drill;
pub use stock::Stock;

use serde::Serialize;
use uom::si::f64::Length;

/// A twist drill.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Drill {
    /// Its name as a drawing or a drill index gives it: `6.8 mm`, `#7`, `F`, `27/64`.
    pub name: String,
    /// Its diameter.
    pub diameter: Length,
}
