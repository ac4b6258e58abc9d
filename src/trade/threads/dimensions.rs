//! The dimensions of a thread, from its form, diameter and pitch.

use std::f64::consts::PI;

use serde::Serialize;
use uom::si::f64::{Angle, Area, Length};
use uom::si::length::{inch, millimeter};

use crate::diagnostic::Fault;
use crate::trade::drills::Drill;
use crate::trade::lengths::in_millimetres;
use crate::trade::threads::designation::ParsedDesignation;
use crate::trade::threads::listed::BasicSizes;
use crate::trade::threads::sizes::six_places;
use crate::trade::threads::{Clearances, Form, clearance_charts, usual_drill};

/// The greatest major diameter and the least pitch that are calculated, in mm.
const GREATEST_MAJOR: f64 = 1000.0;
const LEAST_PITCH: f64 = 0.02;
/// The most starts of a thread.
const MOST_STARTS: f64 = 24.0;

/// A screw thread, at its basic (maximum-metal) dimensions.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Thread {
    /// The designation, written out: `M8x1`, `1/4-20 UNC`, `2 BA`, `Tr 20x8(P4)`.
    pub designation: String,
    /// The series: `ISO metric coarse`, `UNC`, `BSF`, `Tr`.
    pub series: String,
    /// The form.
    #[serde(skip)]
    pub form: Form,
    /// The major (nominal) diameter.
    pub major: Length,
    /// The distance from one thread to the next.
    pub pitch: Length,
    /// The advance in one turn: the pitch times the starts.
    pub lead: Length,
    /// The number of starts.
    pub starts: u32,
    /// Threads per inch, where the series counts them.
    pub tpi: Option<f64>,
    /// The included angle between the flanks.
    pub angle: Angle,
    /// The basic pitch (effective) diameter.
    pub pitch_diameter: Length,
    /// The basic minor diameter of the internal thread.
    pub minor_internal: Length,
    /// The minor diameter of the external thread, at the bottom of its root.
    pub minor_external: Length,
    /// The depth of the external thread.
    pub depth: Length,
    /// The helix (lead) angle at the pitch diameter, from square to the axis.
    pub helix: Angle,
    /// The usual tapping drill; none where the hole is larger than any drill.
    pub tapping_drill: Option<Drill>,
    /// The clearance holes, where the series has them.
    #[serde(flatten)]
    pub clearances: Option<Clearances>,
    /// The tensile stress area, where a standard gives one.
    pub stress_area: Option<Area>,
    /// The standard of the form.
    pub standard: &'static str,
    /// The tolerance class, as written: `6g`.
    pub class: Option<String>,
    /// Whether the thread is left-handed.
    pub left_hand: bool,
    /// What to mind, such as that a pitch is not standard.
    pub note: Option<String>,
}

/// Works a thread out, once it is known to be one.
pub(super) fn finish(parts: BasicSizes, asked: &ParsedDesignation) -> Result<Thread, Fault> {
    let (form, major, pitch, minor) = (parts.form, parts.major, parts.pitch, parts.minor);
    let (major_mm, pitch_mm) = (major.get::<millimeter>(), pitch.get::<millimeter>());
    if !(major_mm > 0.0 && major_mm <= GREATEST_MAJOR) {
        return Err(Fault::new(format!(
            "a thread of {} diameter is out of bounds",
            in_millimetres(major)
        ))
        .advise("the diameter is above 0 mm and at most 1000 mm"));
    }
    let depth = form.depth(pitch);
    let minor_external = minor.unwrap_or(major - depth * 2.0);
    if pitch_mm < LEAST_PITCH || minor_external < major / 3.0 {
        return Err(Fault::new(format!(
            "a pitch of {} makes no sense on a diameter of {}",
            in_millimetres(pitch),
            in_millimetres(major)
        ))
        .advise(format!(
            "the pitch is at least {LEAST_PITCH} mm, and the root must keep a third of the diameter; \
             the length of a screw does not belong here"
        )));
    }
    let (lead, starts) = lead(&parts, asked)?;
    let pitch_diameter = minor.map_or(form.pitch_diameter(major, pitch), |minor| {
        (major + minor) / 2.0
    });
    let minor_internal = minor.unwrap_or(form.internal_minor(major, pitch));
    let stress_diameter = match form {
        // ISO 898-1: (d2 + d3) / 2, where d3 = D1 - H / 6.
        Form::Metric => Some(major - pitch * (13.0 / 12.0 * 3.0_f64.sqrt() / 2.0)),
        // ASME B1.1.
        Form::Unified => Some(major - pitch * 0.9743),
        _ => None,
    };
    Ok(Thread {
        tapping_drill: parts
            .drill
            .or_else(|| usual_drill::usual_drill(form, major, pitch)),
        clearances: clearance_charts::holes(&parts.series, form, major),
        designation: handed(
            with_lead(parts.designation, starts, pitch, lead, form),
            asked.left_hand,
        ),
        series: parts.series,
        form,
        major,
        pitch,
        lead,
        starts,
        tpi: parts.tpi,
        angle: form.angle(),
        pitch_diameter,
        minor_internal,
        minor_external,
        depth,
        helix: (lead / (pitch_diameter * PI)).atan(),
        stress_area: stress_diameter.map(|diameter| diameter * diameter * (PI / 4.0)),
        standard: form.standard(),
        class: asked.class.clone(),
        left_hand: asked.left_hand,
        note: parts.note,
    })
}

/// Returns a designation with `LH` behind it where the thread is left-handed.
fn handed(designation: String, left_hand: bool) -> String {
    if left_hand {
        designation + " LH"
    } else {
        designation
    }
}

/// Returns the lead and the number of starts.
fn lead(parts: &BasicSizes, asked: &ParsedDesignation) -> Result<(Length, u32), Fault> {
    let Some(lead) = asked.lead else {
        return Ok((parts.pitch, 1));
    };
    let lead = if parts.tpi.is_some() {
        Length::new::<inch>(lead)
    } else {
        Length::new::<millimeter>(lead)
    };
    let starts = (lead / parts.pitch).value;
    let whole = starts.round();
    if (starts - whole).abs() > 1e-6 * starts || !(1.0..=MOST_STARTS).contains(&whole) {
        return Err(Fault::new(format!(
            "a lead of {} is not a whole number of pitches of {}",
            in_millimetres(lead),
            in_millimetres(parts.pitch)
        ))
        .advise("write the lead, then the pitch: `Tr 20x8(P4)` has two starts"));
    }
    // Between 1 and 24, just checked.
    Ok((lead, whole as u32))
}

/// Returns the designation with its lead, where there are several starts.
fn with_lead(plain: String, starts: u32, pitch: Length, lead: Length, form: Form) -> String {
    if starts == 1 {
        return plain;
    }
    if form == Form::Acme {
        let size = plain
            .rsplit_once('-')
            .map_or(plain.as_str(), |(size, _)| size);
        let (pitch, lead) = (
            six_places(pitch.get::<inch>()),
            six_places(lead.get::<inch>()),
        );
        return format!("{size}-{pitch}P-{lead}L Acme");
    }
    let (pitch, lead) = (
        six_places(pitch.get::<millimeter>()),
        six_places(lead.get::<millimeter>()),
    );
    let size = plain.split('x').next().unwrap_or(&plain);
    format!("{size}x{lead}(P{pitch})")
}
