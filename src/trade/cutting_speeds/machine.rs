//! The machine's spindle speed for a wanted one.

use uom::si::f64::Frequency;
use uom::si::frequency::cycle_per_minute;

use crate::diagnostic::Fault;

/// A machine speed counts as no faster than the wanted one when it exceeds it by
/// no more than this share: what unit conversions leave behind.
const ROUNDING: f64 = 1e-9;

/// A speed that a machine has, picked for a wanted one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NearestSpeed {
    /// The machine's speed.
    pub speed: Frequency,
    /// True when the wanted speed is slower than the slowest of the machine, so
    /// that `speed`, the slowest, is faster than wanted.
    pub slower_than_slowest: bool,
}

/// Returns the highest of a machine's speeds that does not exceed the wanted spindle
/// speed, both in revolutions per time; the lowest, marked, if all exceed it.
///
/// # Errors
/// A fault when a speed is not above zero or when there are none to pick from.
///
/// Source: common practice, no source.
pub fn nearest_speed(speed: Frequency, speeds: &[Frequency]) -> Result<NearestSpeed, Fault> {
    let rpm = |speed: Frequency| speed.get::<cycle_per_minute>();
    let limit = rpm(speed) * (1.0 + ROUNDING);
    let by_rpm = |a: &&Frequency, b: &&Frequency| rpm(**a).total_cmp(&rpm(**b));
    let within = speeds.iter().filter(|speed| rpm(**speed) <= limit);
    if let Some(found) = within.max_by(by_rpm) {
        return Ok(NearestSpeed {
            speed: *found,
            slower_than_slowest: false,
        });
    }
    match speeds.iter().min_by(by_rpm) {
        Some(slowest) => Ok(NearestSpeed {
            speed: *slowest,
            slower_than_slowest: true,
        }),
        None => Err(Fault::new("the list of machine speeds is empty")
            .advise("list them, as in `[45, 80, 125, 200] rpm`")
            .in_argument(1)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rpm(value: f64) -> Frequency {
        Frequency::new::<cycle_per_minute>(value)
    }

    #[test]
    fn the_highest_speed_that_does_not_exceed() {
        let speeds = [200.0, 45.0, 125.0, 80.0].map(rpm);
        for (wanted, found, slower) in [
            (318.3, 200.0, false),
            (200.0, 200.0, false),
            (199.9, 125.0, false),
            (45.0, 45.0, false),
            (30.0, 45.0, true),
        ] {
            let nearest = nearest_speed(rpm(wanted), &speeds).unwrap();
            assert_eq!(nearest.speed, rpm(found), "{wanted}");
            assert_eq!(nearest.slower_than_slowest, slower);
        }
        let noisy = rpm(125.0) * (1.0 - 1e-15);
        assert_eq!(nearest_speed(noisy, &speeds).unwrap().speed, rpm(125.0));
    }
}
