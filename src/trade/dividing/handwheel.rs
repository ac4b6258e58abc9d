//! Dividing by the angle on the rotary table's handwheel.

use uom::ConstZero;
use uom::si::angle::degree;
use uom::si::f64::Angle;

use crate::diagnostic::Fault;
use crate::trade::bounds;
use crate::trade::dividing::{GREATEST_RATIO, MOST_DIVISIONS};

/// An angle in degrees, minutes and seconds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dms {
    /// Whole degrees, negative for a negative angle of a degree or more.
    pub degrees: i64,
    /// Whole minutes, 0 to 59.
    pub minutes: u32,
    /// Seconds with their decimals, less than 60.
    pub seconds: f64,
    /// Whether the whole angle is negative.
    pub negative: bool,
}

/// An angle in degrees, minutes and seconds, to a millionth of a second.
///
/// Arguments: `angle` (degrees).
///
/// # Errors
/// A fault where the angle is not finite.
///
/// Source: 1 degree = 60 minutes of 60 seconds (ISO 80000-3).
pub fn dms(angle: Angle) -> Result<Dms, Fault> {
    bounds::angle(angle, "angle", 0)?;
    let degrees = angle.get::<degree>();
    // In millionths of a second, so that no part comes out as 60.
    let parts = (degrees.abs() * 3.6e9).round() as i64;
    let whole = parts / 3_600_000_000;
    let rest = parts % 3_600_000_000;
    let negative = degrees < 0.0 && parts > 0;
    Ok(Dms {
        degrees: if negative { -whole } else { whole },
        minutes: u32::try_from(rest / 60_000_000).unwrap_or(0),
        seconds: (rest % 60_000_000) as f64 / 1e6,
        negative,
    })
}

/// How to turn the handwheel of a rotary table through an angle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TableTurns {
    /// Whole turns of the handwheel.
    pub turns: u64,
    /// Degrees left, as read on the handwheel's dial.
    pub dial: Angle,
    /// The same in degrees, minutes and seconds.
    pub dms: Dms,
    /// Degrees of the table to one turn of the handwheel.
    pub per_turn: Angle,
}

/// Whole turns of the handwheel and degrees left on its dial, for an angle of
/// the rotary table.
///
/// Arguments: `angle` to turn the table by (degrees); `ratio`, turns of the
/// handwheel to one turn of the table.
///
/// # Errors
/// A fault where the angle is negative or not finite or the ratio out of bounds.
///
/// Source: Machinery's Handbook, rotary table: one turn of the handwheel =
/// 360 deg / ratio.
pub fn table_turns(angle: Angle, ratio: u32) -> Result<TableTurns, Fault> {
    bounds::angle(angle, "angle", 0)?;
    bounds::count(ratio, 1, GREATEST_RATIO, "ratio", 1)?;
    let degrees = angle.get::<degree>();
    if degrees < 0.0 {
        return Err(Fault::new(format!(
            "the angle to turn the table by must be 0 deg or more; it is {} deg",
            bounds::shown(degrees)
        ))
        .advise("give its size and turn the handwheel the other way")
        .in_argument(0));
    }
    let turns = degrees * f64::from(ratio) / 360.0;
    // 28 deg at 90:1 is 7 turns, though the arithmetic may say 6.999999999999999.
    let slack = 1e-10 + turns * 4.0 * f64::EPSILON;
    let whole = (turns + slack).floor();
    let left = turns - whole;
    let left = if left < slack { 0.0 } else { left };
    let dial = Angle::new::<degree>(left * 360.0 / f64::from(ratio));
    Ok(TableTurns {
        turns: whole as u64,
        dial,
        dms: dms(dial)?,
        per_turn: Angle::new::<degree>(360.0 / f64::from(ratio)),
    })
}

/// One place of an equal division.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Division {
    /// Number of the place, from 1.
    pub number: u32,
    /// Where the table stands, 0 to 360 degrees.
    pub angle: Angle,
    /// The same in degrees, minutes and seconds.
    pub dms: Dms,
}

/// Where the table stands at each place of an equal division.
///
/// Arguments: `divisions` of a full turn (count); `first`, the reading at
/// place 1 (degrees).
///
/// # Errors
/// A fault where the count is 0 or above 100000 or the angle is not finite.
///
/// Source: angle = first + 360 deg x (place - 1) / divisions.
pub fn division_angles(divisions: u32, first: Angle) -> Result<Vec<Division>, Fault> {
    let divisions = bounds::count(divisions, 1, MOST_DIVISIONS, "number of divisions", 0)?;
    bounds::angle(first, "first angle", 1)?;
    (0..divisions)
        .map(|place| {
            let degrees = first.get::<degree>() + 360.0 * f64::from(place) / f64::from(divisions);
            let turned = degrees.rem_euclid(360.0);
            let angle = if turned < 1e-10 || 360.0 - turned < 1e-10 {
                Angle::ZERO
            } else {
                Angle::new::<degree>(turned)
            };
            Ok(Division {
                number: place + 1,
                angle,
                dms: dms(angle)?,
            })
        })
        .collect()
}
