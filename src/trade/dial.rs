//! Handwheels with a graduated dial.
//!
//! # Example
//! ```
//! use setover::trade::dial::dial_turns;
//! use uom::si::f64::Length;
//! use uom::si::length::millimeter;
//!
//! // 7.3 mm on a handwheel of 2 mm and 100 divisions: 3 turns and 65 divisions.
//! let turns = dial_turns(Length::new::<millimeter>(7.3), Length::new::<millimeter>(2.0), 100)?;
//! assert_eq!(turns.turns, 3);
//! # Ok::<(), setover::diagnostic::Fault>(())
//! ```

use uom::si::f64::Length;

use crate::diagnostic::Fault;
use crate::trade::bounds;

/// How to turn a handwheel to move a slide.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DialTurns {
    /// Whole turns.
    pub turns: u64,
    /// Divisions past the last whole turn, with their decimals.
    pub divisions: f64,
    /// What one division moves.
    pub per_division: Length,
}

/// Whole turns of a handwheel and divisions of its dial for a distance.
///
/// Take the backlash up first, by coming to the starting place from the same
/// side.
///
/// Arguments: `distance` to move (mm); `per_turn`, what one turn moves (mm);
/// `divisions` on the dial (count).
///
/// # Errors
/// A fault where an argument is out of bounds or the distance takes more than a
/// million turns.
///
/// Source: common practice, no source: turns = distance / lead of the screw.
pub fn dial_turns(distance: Length, per_turn: Length, divisions: u32) -> Result<DialTurns, Fault> {
    let metres = bounds::length(distance, "distance", 0)?;
    if metres < 0.0 {
        return Err(Fault::new(format!(
            "the distance must be 0 mm or more; it is {} mm",
            bounds::shown(metres * 1e3)
        ))
        .advise("give its size and turn the handwheel the other way")
        .in_argument(0));
    }
    let lead = bounds::length_above_zero(per_turn, "travel of one turn", 1)?;
    let count = bounds::count(divisions, 1, 10_000, "number of divisions", 2)?;
    let turns = metres / lead;
    if turns > 1e6 {
        return Err(Fault::new(format!(
            "{} mm at {} mm a turn are {} turns; up to 1000000 are allowed",
            bounds::shown(metres * 1e3),
            bounds::shown(lead * 1e3),
            bounds::shown(turns)
        ))
        .in_argument(1));
    }
    // 3 x 0.1 mm is three whole turns of 0.1 mm, whatever the arithmetic leaves.
    let whole = (turns + 1e-9).floor();
    let left = ((turns - whole) * f64::from(count)).max(0.0);
    let nearest = left.round();
    Ok(DialTurns {
        turns: whole as u64,
        divisions: if (left - nearest).abs() < 1e-7 {
            nearest
        } else {
            left
        },
        per_division: per_turn / f64::from(count),
    })
}
