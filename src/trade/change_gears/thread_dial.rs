//! Where the half nuts may be closed again for the next pass.

use serde::Serialize;
use uom::si::f64::Length;
use uom::si::length::meter;

use crate::diagnostic::Fault;
use crate::quantity::short;
use crate::trade::fraction::Fraction;

/// Which marks of the thread dial may be used.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ThreadDial {
    /// The marks to close the half nuts at, counted round the dial from the one
    /// of the first pass, which is 1.
    pub marks: Vec<u32>,
    /// Whether the half nuts may be closed wherever they drop in.
    pub anywhere: bool,
    /// Whether no mark is safe, not even the same one again: keep the half nuts
    /// closed and run the lathe back.
    pub keep_closed: bool,
    /// What to do.
    pub advice: &'static str,
}

/// Returns the marks of a thread dial at which the half nuts may be closed for a
/// thread.
///
/// Between two closings the carriage must move by a whole number of pitches of
/// the leadscrew (or the nuts do not drop in) and of the thread's lead.
///
/// Arguments: `lead` of the thread for one turn (mm; 25.4 mm / tpi for one
/// start); `leadscrew`, its pitch (mm); `dial_gear`, teeth of the dial's gear on
/// the leadscrew (count); `marks` on the dial, evenly spaced (count).
///
/// # Errors
/// A fault where an argument is out of bounds.
///
/// Source: common practice, no source: one turn of the dial is `dial_gear`
/// pitches of the leadscrew.
pub fn thread_dial(
    lead: Length,
    leadscrew: Length,
    dial_gear: u32,
    marks: u32,
) -> Result<ThreadDial, Fault> {
    let (lead, screw) = (lead.get::<meter>(), leadscrew.get::<meter>());
    // Leads of the thread to one pitch of the leadscrew.
    let leads = Fraction::near(screw / lead)
        .filter(|leads| leads.top > 0)
        .ok_or_else(|| {
            Fault::new(format!(
                "a lead of {} mm on a leadscrew of {} mm makes no sense",
                short(lead * 1e3, 6),
                short(screw * 1e3, 6)
            ))
            .advise("give both as lengths for one turn, such as 25.4 mm / 20")
            .in_argument(0)
        })?;
    let whole = |fraction: Fraction| fraction.bottom == 1;
    let usable = |mark: u32| {
        let pitches = Fraction::new(i128::from(mark) * i128::from(dial_gear), i128::from(marks));
        whole(pitches) && whole(leads.times(pitches.top))
    };
    let keep_closed = !usable(marks);
    Ok(ThreadDial {
        marks: (0..marks)
            .filter(|mark| !keep_closed && usable(*mark))
            .map(|mark| mark + 1)
            .collect(),
        anywhere: whole(leads),
        keep_closed,
        advice: if keep_closed {
            "no mark is safe: keep the half nuts closed and run the lathe back"
        } else if whole(leads) {
            "close the half nuts wherever they drop in"
        } else {
            "close the half nuts at these marks, counted from the one of the first pass"
        },
    })
}
