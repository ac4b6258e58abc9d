//! What a formula alone can't do: designations, table look-ups and searches.
//!
//! Functions here take and return uom quantities (`Length`, `Angle`, …) and
//! plain Rust types, and what is worked out between is uom's too, so that the
//! compiler checks its dimensions. A value leaves uom for a number of a unit that
//! its name or its reading says (`size_mm`, `get::<degree>()`) only to be counted
//! in whole steps (gauge blocks, bars, gear trains), to be looked up in a table or
//! written in a message, and for coordinates and triangles, whose lengths and
//! angles are metres and radians. The room knows nothing of the language, which
//! wraps its functions in a registry (`crate::language`). What is wrong with an argument is a
//! [`Fault`](crate::diagnostic::Fault) that names the argument by its index.

pub mod change_gears;
pub mod cutting_list;
pub mod cutting_speeds;
pub mod dividing;
pub mod drills;
mod fraction;
pub mod gauge_blocks;
pub mod holes;
pub mod involute;
pub mod iso286;
pub mod lengths;
mod material_names;
pub mod materials;
pub mod screws;
pub mod table;
pub mod tapers;
pub mod threads;
pub mod triangles;
pub(crate) mod words;
pub mod work;
