//! The wires for measuring the pitch diameter over three of them.

use serde::Serialize;
use uom::si::f64::Length;

use crate::diagnostic::Fault;
use crate::trade::threads::thread;

/// The wires that can be used to measure a thread over.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct WireRange {
    /// The smallest: it still stands out of the thread.
    pub least: Length,
    /// The largest: it still touches the straight flanks.
    pub most: Length,
}

/// Returns the smallest and the largest wire that can be used.
///
/// `designation` as for [`thread`].
///
/// Source: geometry of the groove; agrees with Machinery's Handbook (0.5052 p and
/// 1.0104 p at 60°, 0.4873 p and 0.6500 p Acme).
///
/// # Errors
/// A fault when the designation names no known thread.
pub fn wire_range(designation: &str) -> Result<WireRange, Fault> {
    let thread = thread(designation)?;
    let half = thread.angle / 2.0;
    let sine = half.sin().value;
    // The wire's centre stands w / (2 sin) - p / 4 cot above the pitch line, its top
    // w / 2 higher, its contact w / 2 × sin lower.
    let crest = (thread.major - thread.pitch_diameter) / 2.0;
    let sunk = thread.pitch / half.tan() / 4.0;
    let centre = 0.5 / sine;
    let smallest = (crest + sunk) / (centre + 0.5);
    let flank = crest - thread.form.rounding(thread.pitch);
    let largest = (flank + sunk) / (centre - sine * 0.5);
    Ok(WireRange {
        least: smallest,
        most: largest,
    })
}
