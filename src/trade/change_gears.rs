//! Change gears for screw cutting.
//!
//! A train is written drivers over driven: the first driver on the spindle (or
//! the stud that turns with it), the last driven gear on the leadscrew.
//!
//! # Example
//! ```
//! use setover::internals::trade::change_gears::change_gears;
//! use uom::si::f64::Length;
//! use uom::si::length::millimeter;
//!
//! // A pitch of 1 mm on a leadscrew of 3 mm: one to three, as 20 over 60.
//! let mm = Length::new::<millimeter>;
//! let trains = change_gears(mm(1.0), mm(3.0), &[20, 60], 1, 0.0)?;
//! assert_eq!(trains.len(), 1);
//! # Ok::<(), setover::internals::diagnostic::Fault>(())
//! ```

mod mesh;
mod search;
mod sets;

pub use sets::{gear_set, gear_set_names};

use serde::Serialize;
use uom::si::f64::Length;
use uom::si::length::{meter, millimeter};

use crate::diagnostic::Fault;
use crate::quantity::short;
use crate::trade::change_gears::search::{Found, Wheels};
use crate::trade::fraction::Fraction;

/// The most gears that a search takes.
const MOST_GEARS: usize = 64;
/// The fewest and the most teeth of a gear.
const TEETH: std::ops::RangeInclusive<u32> = 8..=400;
/// The widest error that a search takes, as a ratio.
const WIDEST: f64 = 0.05;
/// The most trains returned for each number of pairs.
const MOST_TRAINS: usize = 20;

/// A train of gears and the pitch that it cuts.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Train {
    /// Driving gears, from the spindle on.
    pub drivers: Vec<u32>,
    /// Driven gears, each meshing with the driver in its place; the last on the leadscrew.
    pub driven: Vec<u32>,
    /// The pitch (lead) that the train cuts.
    pub pitch: Length,
    /// Its error as a part of the wanted pitch; 0 where it is exact.
    pub error: f64,
    /// Its error in one pitch.
    pub error_per_pitch: Length,
    /// Its error over 100 mm of thread.
    pub error_over_100_mm: Length,
}

/// Returns the trains that cut a pitch: fewest gears first, then the smallest error,
/// then the fewest teeth.
///
/// For each number of pairs every choice of the gears is searched, and the 20
/// best are returned. A choice counts once, whatever the order of its gears,
/// and not at all where a driver and a driven gear are alike (without both it
/// is a shorter train). The order given is the one with most room among those
/// that pass a simple check of tooth sums: each gear on a stud must clear the
/// next axle by 15 teeth. It is a simple check: the banjo, its slots and the
/// gear covers have the last word. An idler changes the direction and fills the
/// gap of a train of one pair; it does not change the pitch.
///
/// Arguments: `wanted` lead of the thread for one turn (mm; 25.4 mm / tpi);
/// `leadscrew`, its pitch (mm); `gears`, the teeth of every gear owned, repeats
/// included; `pairs`, the most pairs of gears (1 to 3); `within`, the greatest
/// error as a ratio (0.0005 is 0.05 %).
///
/// # Errors
/// A fault where an argument is out of bounds, and where no train comes within
/// the error: it names the nearest there is.
///
/// Source: Machinery's Handbook, change gears for thread cutting: drivers /
/// driven = lead / leadscrew pitch; tooth sums a + b >= c + 15, c + d >= b + 15:
/// common practice in textbooks of machine tools, from memory.
pub fn change_gears(
    wanted: Length,
    leadscrew: Length,
    gears: &[u32],
    pairs: u32,
    within: f64,
) -> Result<Vec<Train>, Fault> {
    let (lead, screw) = (wanted.get::<meter>(), leadscrew.get::<meter>());
    check_gears(gears, 2)?;
    let ratio = lead / screw;
    let target = Fraction::near(ratio)
        .filter(|_| (1e-4..=1e4).contains(&ratio))
        .ok_or_else(|| {
            Fault::new(format!(
                "a pitch of {} mm from a leadscrew of {} mm is out of reach of any train",
                short(lead * 1e3, 6),
                short(screw * 1e3, 6)
            ))
            .advise("give both as lengths for one turn, such as 25.4 mm / 20")
            .in_argument(0)
        })?;
    let wheels = Wheels::new(gears);
    let mut trains: Vec<Train> = Vec::new();
    for count in 1..=pairs as usize {
        let found = search::nearest(target, &wheels, count, within, MOST_TRAINS);
        trains.extend(found.into_iter().map(|found| train(found, lead)));
    }
    if !trains.is_empty() {
        return Ok(trains);
    }
    let nearest = (1..=pairs as usize)
        .flat_map(|count| search::nearest(target, &wheels, count, WIDEST, 1))
        .min_by(|a, b| a.error.abs().total_cmp(&b.error.abs()));
    let fault = Fault::new(format!(
        "no train of up to {pairs} {} comes within {} % of {} mm",
        if pairs == 1 { "pair" } else { "pairs" },
        short(within * 100.0, 6),
        short(lead * 1e3, 6)
    ));
    Err(match nearest {
        None => fault
            .advise("add gears, or allow more pairs")
            .in_argument(2),
        Some(nearest) => fault
            .advise(format!(
                "the nearest is {}, off by {} %: allow that, add gears, or allow more pairs",
                written(&nearest),
                short(nearest.error * 100.0, 6)
            ))
            .in_argument(4),
    })
}

/// Returns a train as it is written: drivers x drivers / driven x driven.
fn written(found: &Found) -> String {
    let list = |wheels: &[u32]| {
        wheels
            .iter()
            .map(u32::to_string)
            .collect::<Vec<_>>()
            .join(" x ")
    };
    format!("({}) / ({})", list(&found.drivers), list(&found.driven))
}

/// Returns a train found, with the pitch that it cuts.
fn train(found: Found, lead: f64) -> Train {
    Train {
        drivers: found.drivers,
        driven: found.driven,
        pitch: Length::new::<meter>(lead * (1.0 + found.error)),
        error: found.error,
        error_per_pitch: Length::new::<meter>(lead * found.error),
        error_over_100_mm: Length::new::<millimeter>(100.0 * found.error),
    }
}

/// Gears within bounds: at least two, with teeth that make sense.
pub(crate) fn check_gears(gears: &[u32], argument: usize) -> Result<(), Fault> {
    if !(2..=MOST_GEARS).contains(&gears.len()) {
        return Err(Fault::new(format!(
            "the list of gears must have from 2 to {MOST_GEARS} gears, found {}",
            gears.len()
        ))
        .advise("list the teeth of every gear in hand, repeats included")
        .in_argument(argument));
    }
    match gears.iter().find(|teeth| !TEETH.contains(*teeth)) {
        None => Ok(()),
        Some(teeth) => Err(Fault::new(format!(
            "a gear must have from {} to {} teeth, found {teeth}",
            TEETH.start(),
            TEETH.end()
        ))
        .in_argument(argument)),
    }
}

/// Returns the shortest train that makes a ratio exactly, of those the one with the
/// fewest teeth: its drivers and its driven gears.
pub(crate) fn exact_train(
    ratio: Fraction,
    gears: &[u32],
    pairs: usize,
) -> Option<(Vec<u32>, Vec<u32>)> {
    let wheels = Wheels::new(gears);
    (1..=pairs)
        .find_map(|count| search::nearest(ratio, &wheels, count, 0.0, 1).pop())
        .map(|found| (found.drivers, found.driven))
}
