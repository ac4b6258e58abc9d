//! Dividing: the rotary table's handwheel, and plain, angular, compound and
//! differential indexing with hole plates.
//!
//! A ratio is the number of turns of the crank to one turn of the work. A
//! number of holes is the number of spaces the pin moves on, so the sector arms
//! stand with one hole more between them.
//!
//! # Example
//! ```
//! use setover::internals::trade::dividing::{Plate, plain_indexing};
//!
//! // Six divisions at 40:1 take six turns and twelve holes of eighteen.
//! let ways = plain_indexing(6, 40, &[Plate::of_circles(&[18])])?;
//! assert_eq!((ways[0].turns, ways[0].holes), (6, 12));
//! # Ok::<(), setover::internals::diagnostic::Fault>(())
//! ```

mod angular;
mod compound;
mod differential;
mod plain;
mod plates;

pub use angular::angle_indexing;
pub use compound::compound_indexing;
pub use differential::differential_indexing;
pub use plain::plain_indexing;
pub use plates::{Plate, plate_set, plate_set_names};

use serde::Serialize;

use crate::trade::fraction::Fraction;

/// The most divisions that are searched for.
pub const MOST_DIVISIONS: u32 = 100_000;

/// A movement of the crank on a circle of a plate.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Movement {
    /// Name of the plate.
    pub plate: String,
    /// Holes in the circle.
    pub circle: u32,
    /// Whole turns of the crank.
    pub turns: u64,
    /// Holes to move on after the whole turns.
    pub holes: u32,
}

/// Returns the crank turns for one division, or for several at once.
fn crank_turns(divisions: u32, ratio: u32, at_once: u32) -> Fraction {
    Fraction::new(
        i128::from(ratio) * i128::from(at_once),
        i128::from(divisions),
    )
}

/// Returns a number of crank turns as a movement on a circle, where it comes out even.
fn movement(turns: Fraction, (plate, circle): (&str, u32)) -> Option<Movement> {
    let holes = turns.times(i128::from(circle));
    if holes.bottom != 1 || holes.top < 0 {
        return None;
    }
    Some(Movement {
        plate: plate.to_owned(),
        circle,
        turns: u64::try_from(holes.top / i128::from(circle)).ok()?,
        holes: u32::try_from(holes.top % i128::from(circle)).ok()?,
    })
}
