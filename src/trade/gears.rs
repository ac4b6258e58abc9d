//! Spur gears, their measurement and their cutters, worms and worm wheels.
//!
//! A gear by diametral pitch P has the module 25.4 mm / P. The coefficient of
//! profile shift (addendum modification) is a part of the module, 0 for a
//! standard gear.
//!
//! # Example
//! ```
//! use setover::trade::gears::{cutter_number, involute};
//! use uom::si::angle::degree;
//! use uom::si::f64::Angle;
//!
//! // tan a - a at 20 degrees, a value of every table of involutes.
//! assert!((involute(Angle::new::<degree>(20.0))? - 0.014_904).abs() < 1e-6);
//! // The eight involute cutters: number 5 cuts 21 to 25 teeth.
//! assert_eq!(cutter_number(24)?.number, 5);
//! # Ok::<(), setover::diagnostic::Fault>(())
//! ```

mod cutters;
mod involute;
mod measure;
mod modules;
mod worm;

pub use cutters::{Cutter, cutter_number};
pub use involute::{angle_from_involute, involute};
pub use measure::{
    best_pin, best_span_teeth, over_pins, span, thickness_from_pins, thickness_from_span,
};
pub use modules::{GearModule, NearestModule, nearest_module, standard_modules};
pub use worm::{Worm, WormWheel, worm, worm_wheel};

use std::f64::consts::PI;

use uom::si::f64::{Angle, Length};
use uom::si::length::{meter, millimeter};

use crate::diagnostic::Fault;
use crate::trade::bounds;

/// The dimensions of a spur gear.
#[derive(Clone, Debug, PartialEq)]
pub struct SpurGear {
    /// Pitch (reference) diameter.
    pub pitch_diameter: Length,
    /// Outside diameter: the size of the blank.
    pub outside: Length,
    /// Root diameter.
    pub root: Length,
    /// Base diameter.
    pub base: Length,
    /// Addendum: pitch circle to the tip.
    pub addendum: Length,
    /// Dedendum: pitch circle to the root.
    pub dedendum: Length,
    /// Whole depth: how deep to cut below the blank's outside.
    pub whole_depth: Length,
    /// Circular pitch: from tooth to tooth along the pitch circle.
    pub circular_pitch: Length,
    /// Tooth thickness along the pitch circle.
    pub thickness: Length,
    /// Tooth thickness as a gear-tooth calliper measures it, straight across.
    pub chordal_thickness: Length,
    /// Depth from the tip at which the calliper measures it.
    pub chordal_addendum: Length,
    /// The cutter of the set of eight; none under 12 teeth.
    pub cutter: Option<Cutter>,
    /// Teeth to span with a disc micrometer or vernier calliper.
    pub span_teeth: u32,
    /// Measurement over those teeth; none where the flanks are too short for it.
    pub span: Option<Length>,
    /// Whether a hob or rack undercuts the root: too few teeth for the pressure angle.
    pub undercut: bool,
}

/// Checked measures of a gear, in metres and radians.
#[derive(Clone, Copy, Debug)]
struct Measures {
    module: f64,
    teeth: f64,
    alpha: f64,
    shift: f64,
}

impl Measures {
    /// Pitch diameter.
    fn pitch_diameter(self) -> f64 {
        self.module * self.teeth
    }

    /// Base diameter.
    fn base(self) -> f64 {
        self.pitch_diameter() * self.alpha.cos()
    }

    /// Outside diameter.
    fn outside(self) -> f64 {
        self.module * (self.teeth + 2.0 + 2.0 * self.shift)
    }

    /// Tooth thickness along the pitch circle.
    fn thickness(self) -> f64 {
        self.module * (PI / 2.0 + 2.0 * self.shift * self.alpha.tan())
    }
}

/// Checks what every function on spur gears takes. `at` is the argument index
/// of pressure angle and shift.
fn measures(
    module: Length,
    teeth: u32,
    (pressure_angle, angle_at): (Angle, usize),
    (shift, shift_at): (f64, usize),
) -> Result<Measures, Fault> {
    let metres = bounds::length_above_zero(module, "module", 0)?;
    if !(1e-5..=1.0).contains(&metres) {
        return Err(Fault::new(format!(
            "the module must be from 0.01 mm to 1000 mm; it is {} mm",
            bounds::shown(module.get::<millimeter>())
        ))
        .advise("a diametral pitch P is the module 25.4 mm / P")
        .in_argument(0));
    }
    Ok(Measures {
        module: metres,
        teeth: f64::from(bounds::count(teeth, 4, 10_000, "number of teeth", 1)?),
        alpha: bounds::angle_within(pressure_angle, 5.0, 45.0, "pressure angle", angle_at)?,
        shift: bounds::number(shift, -1.0, 2.0, "profile shift (in modules)", shift_at)?,
    })
}

/// The dimensions of a spur gear of full-depth involute teeth.
///
/// Arguments: `module` (mm; 25.4 mm / diametral pitch); `teeth` (count);
/// `pressure_angle` (degrees; 20 usual, 14.5 on old gears); `shift`, the
/// coefficient of profile shift (0 for a standard gear); `clearance` at the
/// root in modules (0.25 for ISO 53; 0.157 for the old 14.5 degree full-depth
/// form, whole depth 2.157 / P).
///
/// # Errors
/// A fault where an argument is out of bounds, where no metal would be left
/// inside the root, or where the teeth would be pointed.
///
/// Source: ISO 53 (basic rack) and ISO 21771 (geometry); chordal measures:
/// Machinery's Handbook.
pub fn spur_gear(
    module: Length,
    teeth: u32,
    pressure_angle: Angle,
    shift: f64,
    clearance: f64,
) -> Result<SpurGear, Fault> {
    let gear = measures(module, teeth, (pressure_angle, 2), (shift, 3))?;
    let clearance = bounds::number(clearance, 0.0, 1.0, "clearance (in modules)", 4)?;
    let pitch = gear.pitch_diameter();
    let whole_depth = gear.module * (2.0 + clearance);
    let root = gear.outside() - 2.0 * whole_depth;
    let thickness = gear.thickness();
    if root <= 0.0 || thickness <= 0.0 {
        return Err(Fault::new(format!(
            "a gear of {teeth} teeth with a profile shift of {} has nothing left at the root",
            bounds::shown(shift)
        ))
        .advise("take more teeth or a greater profile shift")
        .in_argument(1));
    }
    // The tooth thickness at the tip, as an angle there.
    let at_tip = (gear.base() / gear.outside()).min(1.0).acos();
    let tip = thickness / pitch + involute::inv(gear.alpha) - involute::inv(at_tip);
    if tip <= 0.0 {
        return Err(Fault::new(format!(
            "with a profile shift of {} the {teeth} teeth would be pointed below the outside diameter",
            bounds::shown(shift)
        ))
        .advise("take a smaller profile shift or more teeth")
        .in_argument(3));
    }
    // Half the angle that a tooth takes on the pitch circle.
    let half = thickness / pitch;
    let addendum = (gear.outside() - pitch) / 2.0;
    let span_teeth = best_span_teeth(teeth, pressure_angle, shift)?;
    let metres = Length::new::<meter>;
    Ok(SpurGear {
        pitch_diameter: metres(pitch),
        outside: metres(gear.outside()),
        root: metres(root),
        base: metres(gear.base()),
        addendum: metres(addendum),
        dedendum: metres(whole_depth - addendum),
        whole_depth: metres(whole_depth),
        circular_pitch: metres(PI * gear.module),
        thickness: metres(thickness),
        chordal_thickness: metres(pitch * half.sin()),
        chordal_addendum: metres(addendum + pitch / 2.0 * (1.0 - half.cos())),
        cutter: cutter_number(teeth).ok(),
        span_teeth,
        span: span(module, teeth, span_teeth, pressure_angle, shift).ok(),
        undercut: gear.teeth < 2.0 * (1.0 - shift) / gear.alpha.sin().powi(2) - 1e-9,
    })
}
