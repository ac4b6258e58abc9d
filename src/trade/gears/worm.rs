//! Worms and worm wheels by the module in the axial section of the worm.

use std::f64::consts::PI;

use uom::si::angle::radian;
use uom::si::f64::{Angle, Length};
use uom::si::length::{meter, millimeter};

use crate::diagnostic::Fault;
use crate::trade::bounds;

/// The dimensions of a worm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Worm {
    /// Axial pitch: from thread to thread along the worm.
    pub axial_pitch: Length,
    /// Lead: what one turn advances; change gears are set up for it.
    pub lead: Length,
    /// Lead angle on the pitch cylinder; the wheel is gashed at it.
    pub lead_angle: Angle,
    /// Pitch diameter.
    pub pitch_diameter: Length,
    /// Outside diameter.
    pub outside: Length,
    /// Root diameter.
    pub root: Length,
    /// Whole depth of the thread.
    pub whole_depth: Length,
}

/// The dimensions of a worm wheel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WormWheel {
    /// Pitch diameter.
    pub pitch_diameter: Length,
    /// Throat diameter: the tips in the middle plane.
    pub throat: Length,
    /// Radius of the throat's hollow.
    pub throat_radius: Length,
    /// Root diameter in the middle plane.
    pub root: Length,
    /// Distance of the worm's axis from the wheel's.
    pub centre_distance: Length,
}

/// The module in metres, within bounds.
fn checked_module(module: Length) -> Result<f64, Fault> {
    let metres = bounds::length_above_zero(module, "module", 0)?;
    if (1e-5..=1.0).contains(&metres) {
        return Ok(metres);
    }
    Err(Fault::new(format!(
        "the module must be from 0.01 mm to 1000 mm; it is {} mm",
        bounds::shown(module.get::<millimeter>())
    ))
    .in_argument(0))
}

/// The worm's diameter in metres: enough for the depth of its thread.
fn checked_diameter(diameter: Length, module: f64) -> Result<f64, Fault> {
    let metres = bounds::length_above_zero(diameter, "pitch diameter of the worm", 2)?;
    if metres > 2.5 * module {
        return Ok(metres);
    }
    Err(Fault::new(format!(
        "a worm of {} mm pitch diameter has nothing left below a thread of module {} mm",
        bounds::shown(metres * 1e3),
        bounds::shown(module * 1e3)
    ))
    .advise(format!(
        "take a pitch diameter above {} mm; about {} mm is usual",
        bounds::shown(2.5e3 * module),
        bounds::shown(10e3 * module)
    ))
    .in_argument(2))
}

/// The dimensions of a worm.
///
/// Arguments: `module` in the axial section (mm); `starts` (count); `diameter`
/// of the pitch cylinder (mm).
///
/// # Errors
/// A fault where an argument is out of bounds.
///
/// Source: gear handbooks (Elements of Metric Gear Technology, worm gears with
/// axial module), from memory: lead = pi m z1, tan(lead angle) = m z1 / d1,
/// addendum 1 m, depth 2.25 m.
pub fn worm(module: Length, starts: u32, diameter: Length) -> Result<Worm, Fault> {
    let module = checked_module(module)?;
    let starts = f64::from(bounds::count(starts, 1, 20, "number of starts", 1)?);
    let diameter = checked_diameter(diameter, module)?;
    let metres = Length::new::<meter>;
    Ok(Worm {
        axial_pitch: metres(PI * module),
        lead: metres(PI * module * starts),
        lead_angle: Angle::new::<radian>((module * starts).atan2(diameter)),
        pitch_diameter: metres(diameter),
        outside: metres(diameter + 2.0 * module),
        root: metres(diameter - 2.5 * module),
        whole_depth: metres(2.25 * module),
    })
}

/// The dimensions of a worm wheel and its distance from the worm.
///
/// Arguments: `module` in the axial section of the worm (mm); `teeth` of the
/// wheel (count); `worm_diameter`, pitch diameter of the worm (mm).
///
/// # Errors
/// A fault where an argument is out of bounds.
///
/// Source: gear handbooks (Elements of Metric Gear Technology, worm gears with
/// axial module), from memory: throat = m (z2 + 2), centres = (d1 + m z2) / 2,
/// throat radius = d1 / 2 - m.
pub fn worm_wheel(module: Length, teeth: u32, worm_diameter: Length) -> Result<WormWheel, Fault> {
    let module = checked_module(module)?;
    let teeth = f64::from(bounds::count(teeth, 4, 10_000, "number of teeth", 1)?);
    let diameter = checked_diameter(worm_diameter, module)?;
    let metres = Length::new::<meter>;
    let pitch = module * teeth;
    Ok(WormWheel {
        pitch_diameter: metres(pitch),
        throat: metres(pitch + 2.0 * module),
        throat_radius: metres(diameter / 2.0 - module),
        root: metres(pitch - 2.5 * module),
        centre_distance: metres((diameter + pitch) / 2.0),
    })
}
