//! Measuring a spur gear: over pins and over a span of teeth.

use std::f64::consts::{FRAC_PI_2, PI};

use uom::si::f64::{Angle, Length};
use uom::si::length::{meter, millimeter};

use crate::diagnostic::Fault;
use crate::trade::bounds;
use crate::trade::gears::involute::{from_inv, inv};
use crate::trade::gears::{Measures, measures};

/// Half the tooth space on the base circle as an angle, less the pin: what the
/// involute of the pin's pressure angle is, for a tooth thickness on the pitch
/// circle.
fn pin_involute(gear: Measures, pin: f64, thickness: f64) -> f64 {
    thickness / gear.pitch_diameter() + inv(gear.alpha) + pin / gear.base() - PI / gear.teeth
}

/// The factor between twice the pin's centre radius and the distance of the
/// centres of two pins as nearly opposite as the teeth allow.
fn across(teeth: u32) -> f64 {
    if teeth.is_multiple_of(2) {
        1.0
    } else {
        (FRAC_PI_2 / f64::from(teeth)).cos()
    }
}

/// A fault that names a pin that suits.
fn pin_fault(gear: Measures, pin: f64, why: &str) -> Fault {
    let best = ideal_pin(gear) * 1e3;
    let fault = Fault::new(format!(
        "a pin of {} mm {why} of a gear of module {} mm with {} teeth",
        bounds::shown(pin * 1e3),
        bounds::shown(gear.module * 1e3),
        gear.teeth
    ))
    .in_argument(2);
    if best > 0.0 {
        fault.advise(format!("take a pin of about {best:.3} mm"))
    } else {
        fault.advise("measure over a span of teeth instead")
    }
}

/// The pin that touches the flanks on the pitch circle (moved out by the
/// profile shift).
fn ideal_pin(gear: Measures) -> f64 {
    let half_space = PI / (2.0 * gear.teeth)
        - inv(gear.alpha)
        - 2.0 * gear.shift * gear.alpha.tan() / gear.teeth;
    let touching =
        (gear.base() / (gear.module * (gear.teeth + 2.0 * gear.shift)).max(gear.base())).acos();
    let at_pin = touching.tan() + half_space;
    gear.base() * (inv(at_pin) + half_space)
}

/// The pin that touches the flanks about the middle of the teeth, to measure a
/// spur gear over.
///
/// Arguments: `module` (mm); `teeth` (count); `pressure_angle` (degrees);
/// `shift`, the coefficient of profile shift.
///
/// # Errors
/// A fault where an argument is out of bounds or no pin goes into the spaces.
///
/// Source: gear handbooks (Elements of Metric Gear Technology, measurement over
/// pins), from memory.
pub fn best_pin(
    module: Length,
    teeth: u32,
    pressure_angle: Angle,
    shift: f64,
) -> Result<Length, Fault> {
    let gear = measures(module, teeth, (pressure_angle, 2), (shift, 3))?;
    let pin = ideal_pin(gear);
    if pin <= 0.0 {
        return Err(Fault::new(format!(
            "no pin goes into the spaces of a gear of {teeth} teeth with a profile shift of {}",
            bounds::shown(shift)
        ))
        .advise("take a smaller profile shift or more teeth")
        .in_argument(3));
    }
    Ok(Length::new::<meter>(pin))
}

/// The measurement over two pins in opposite tooth spaces of a spur gear, as
/// nearly opposite as they go where the number of teeth is odd.
///
/// No backlash is allowed for: the gear is measured as cut to full thickness.
///
/// Arguments: `module` (mm); `teeth` (count); `pin`, diameter of the pins (mm);
/// `pressure_angle` (degrees); `shift`, the coefficient of profile shift.
///
/// # Errors
/// A fault where an argument is out of bounds, or where the pin would touch the
/// root or the tips instead of the flanks; it names a pin that suits.
///
/// Source: Machinery's Handbook, checking spur gears over wires:
/// inv F = t/d + inv A + pin/(d cos A) - pi/z; M = d cos A / cos F + pin, the
/// first term times cos(90 deg / z) for an odd number of teeth.
pub fn over_pins(
    module: Length,
    teeth: u32,
    pin: Length,
    pressure_angle: Angle,
    shift: f64,
) -> Result<Length, Fault> {
    let gear = measures(module, teeth, (pressure_angle, 3), (shift, 4))?;
    let pin = bounds::length_above_zero(pin, "diameter of the pins", 2)?;
    let involute = pin_involute(gear, pin, gear.thickness());
    if involute <= 0.0 {
        return Err(pin_fault(gear, pin, "falls to the root"));
    }
    let at_pin = from_inv(involute);
    let centre = gear.base() / 2.0 / at_pin.cos();
    // From where the common normal leaves the base circle to the flank.
    let normal = gear.base() / 2.0 * at_pin.tan() - pin / 2.0;
    if normal <= 0.0 {
        return Err(pin_fault(gear, pin, "falls to the root"));
    }
    let touching = normal.hypot(gear.base() / 2.0);
    let over = 2.0 * centre * across(teeth) + pin;
    if touching > gear.outside() / 2.0 {
        return Err(pin_fault(gear, pin, "sits on the tips"));
    }
    if 2.0 * centre + pin <= gear.outside() {
        return Err(pin_fault(gear, pin, "stays below the tips"));
    }
    Ok(Length::new::<meter>(over))
}

/// The tooth thickness on the pitch circle of a spur gear that measures so much
/// over two pins: the inverse of `over_pins`.
///
/// Arguments: `module` (mm); `teeth` (count); `pin`, diameter of the pins (mm);
/// `pressure_angle` (degrees); `measured` over the pins (mm).
///
/// # Errors
/// A fault where an argument is out of bounds or the measurement is too small
/// for pins that touch the flanks.
///
/// Source: Machinery's Handbook, checking spur gears over wires, solved for the
/// thickness.
pub fn thickness_from_pins(
    module: Length,
    teeth: u32,
    pin: Length,
    pressure_angle: Angle,
    measured: Length,
) -> Result<Length, Fault> {
    let gear = measures(module, teeth, (pressure_angle, 3), (0.0, 4))?;
    let pin = bounds::length_above_zero(pin, "diameter of the pins", 2)?;
    let over = bounds::length_above_zero(measured, "measurement over the pins", 4)?;
    let centre = (over - pin) / across(teeth);
    let most = gear.pitch_diameter() + 6.0 * gear.module;
    if centre <= gear.base() || centre > most {
        return Err(Fault::new(format!(
            "{} mm over pins of {} mm can't be for this gear: it must be between {} mm and {} mm",
            bounds::shown(over * 1e3),
            bounds::shown(pin * 1e3),
            bounds::shown((gear.base() * across(teeth) + pin) * 1e3),
            bounds::shown((most * across(teeth) + pin) * 1e3)
        ))
        .advise("check the module, the number of teeth and the pins")
        .in_argument(4));
    }
    let at_pin = (gear.base() / centre).acos();
    let thickness = gear.pitch_diameter()
        * (inv(at_pin) - inv(gear.alpha) - pin / gear.base() + PI / gear.teeth);
    Ok(Length::new::<meter>(thickness))
}

/// The number of teeth to span so that the anvils touch about the middle of the
/// flanks.
///
/// Arguments: `teeth` (count); `pressure_angle` (degrees); `shift`, the
/// coefficient of profile shift.
///
/// # Errors
/// A fault where an argument is out of bounds.
///
/// Source: gear handbooks (Elements of Metric Gear Technology, span
/// measurement), from memory; without shift it is z A / 180 deg + 1/2, rounded.
pub fn best_span_teeth(teeth: u32, pressure_angle: Angle, shift: f64) -> Result<u32, Fault> {
    let count = bounds::count(teeth, 4, 10_000, "number of teeth", 0)?;
    let alpha = bounds::angle_within(pressure_angle, 5.0, 45.0, "pressure angle", 1)?;
    let shift = bounds::number(shift, -1.0, 2.0, "profile shift (in modules)", 2)?;
    let teeth = f64::from(count);
    let part = shift / teeth;
    let reach = ((1.0 + 2.0 * part).powi(2) - alpha.cos().powi(2)).max(0.0);
    let turns = (reach.sqrt() / alpha.cos() - inv(alpha) - 2.0 * part * alpha.tan()) / PI;
    let best = (teeth * turns + 0.5).round().max(2.0);
    Ok((best as u32).min(count))
}

/// The measurement over a span of teeth with flat anvils (base tangent length).
///
/// Arguments: `module` (mm); `teeth` (count); `over`, the teeth spanned
/// (count); `pressure_angle` (degrees); `shift`, the coefficient of profile shift.
///
/// # Errors
/// A fault where an argument is out of bounds, or where so many teeth bring the
/// anvils beyond the tips; it names a number that suits.
///
/// Source: ISO 21771, span measurement: W = m cos A (pi (k - 1/2) + z inv A) +
/// 2 x m sin A.
pub fn span(
    module: Length,
    teeth: u32,
    over: u32,
    pressure_angle: Angle,
    shift: f64,
) -> Result<Length, Fault> {
    let gear = measures(module, teeth, (pressure_angle, 3), (shift, 4))?;
    let over = bounds::count(over, 1, teeth, "number of teeth spanned", 2)?;
    let length = gear.module
        * (gear.alpha.cos() * (PI * (f64::from(over) - 0.5) + gear.teeth * inv(gear.alpha))
            + 2.0 * shift * gear.alpha.sin());
    let touching = length.hypot(gear.base());
    if touching > gear.outside() {
        return Err(Fault::new(format!(
            "over {over} teeth the anvils would touch at a diameter of {} mm, beyond the tips at {} mm",
            bounds::shown(touching * 1e3),
            bounds::shown(gear.outside() * 1e3)
        ))
        .advise(format!(
            "span {} teeth",
            best_span_teeth(teeth, pressure_angle, shift)?
        ))
        .in_argument(2));
    }
    Ok(Length::new::<meter>(length))
}

/// The tooth thickness on the pitch circle of a spur gear that measures so much
/// over a span of teeth: the inverse of `span`.
///
/// Arguments: `module` (mm); `teeth` (count); `over`, the teeth spanned
/// (count); `pressure_angle` (degrees); `measured` over them (mm).
///
/// # Errors
/// A fault where an argument is out of bounds or the measurement can't be that
/// of so many teeth.
///
/// Source: ISO 21771, span measurement, solved for the thickness.
pub fn thickness_from_span(
    module: Length,
    teeth: u32,
    over: u32,
    pressure_angle: Angle,
    measured: Length,
) -> Result<Length, Fault> {
    let gear = measures(module, teeth, (pressure_angle, 3), (0.0, 4))?;
    let over = bounds::count(over, 1, teeth, "number of teeth spanned", 2)?;
    let length = bounds::length_above_zero(measured, "measurement over the teeth", 4)?;
    let base_pitch = PI * gear.module * gear.alpha.cos();
    let on_base = length - f64::from(over - 1) * base_pitch;
    let thickness = on_base / gear.alpha.cos() - gear.pitch_diameter() * inv(gear.alpha);
    if thickness <= 0.0 || thickness >= PI * gear.module {
        return Err(Fault::new(format!(
            "{} mm can't be the measurement over {over} teeth of this gear",
            bounds::shown(measured.get::<millimeter>())
        ))
        .advise("check the module and count the teeth spanned again")
        .in_argument(4));
    }
    Ok(Length::new::<meter>(thickness))
}
