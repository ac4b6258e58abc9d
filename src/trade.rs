//! What a formula alone can't do: designations, table look-ups and searches.
//!
//! Functions here take and return uom quantities (`Length`, `Angle`, …) and
//! plain Rust types; they know nothing of the language, which wraps them in its
//! registry (`crate::language`). What is wrong with an argument is a
//! [`Fault`](crate::diagnostic::Fault) that names the argument by its index.

pub mod change_gears;
pub mod cutting_list;
pub mod cutting_speeds;
pub mod dividing;
pub mod drills;
mod fraction;
pub mod gauge_blocks;
pub mod gears;
pub mod holes;
pub mod iso286;
pub mod lengths;
mod material_names;
pub mod materials;
pub mod preferred_numbers;
pub mod roughing;
pub mod screws;
pub mod table;
pub mod tapers;
pub mod threads;
pub mod triangles;
pub(crate) mod words;
