//! What a formula can't say of spur gears: the numbers of form cutters, the
//! standard modules, and the angle of an involute.
//!
//! # Example
//! ```
//! use setover::internals::trade::gears::{CutterSet, cutter_number};
//!
//! // The eight involute cutters by diametral pitch: number 5 cuts 21 to 25 teeth.
//! assert_eq!(cutter_number(24, CutterSet::DiametralPitch)?.number, 5);
//! # Ok::<(), setover::internals::diagnostic::Fault>(())
//! ```

mod cutters;
mod involute;
mod modules;

pub use cutters::{CutterSet, cutter_number};
pub use involute::angle_from_involute;
pub use modules::nearest_module;
