//! What a notebook answers: calls of functions that are formulas of the library.

use uom::si::angle::degree;
use uom::si::f64::{Angle, Length};
use uom::si::length::millimeter;

use setover::internals::quantity::Quantity;

use crate::evaluated::quantity;

/// A length as a formula has it.
pub fn mm(length: Length) -> String {
    format!("{} mm", length.get::<millimeter>())
}

/// An angle as a formula has it.
pub fn deg(angle: Angle) -> String {
    format!("{} deg", angle.get::<degree>())
}

pub fn thread_depth(designation: &str) -> Length {
    quantity(&format!("thread_depth(\"{designation}\")")).into()
}

pub fn infeed(designation: &str, compound: Angle) -> Length {
    quantity(&format!("infeed(\"{designation}\", {})", deg(compound))).into()
}

pub fn helix_angle(designation: &str) -> Angle {
    quantity(&format!("helix_angle(\"{designation}\")")).into()
}

pub fn best_wire(designation: &str) -> Length {
    quantity(&format!("best_wire(\"{designation}\")")).into()
}

pub fn over_wires(designation: &str, wire: Length) -> Length {
    quantity(&format!("over_wires(\"{designation}\", {})", mm(wire))).into()
}

/// The same without the lead angle.
pub fn over_wires_plain(designation: &str, wire: Length) -> Length {
    let thread = format!("thread(\"{designation}\")");
    let constant = format!(
        "wire_constant(1 mm, {thread}.pitch, {}, {thread}.angle)",
        mm(wire)
    );
    quantity(&format!("{thread}.pitch_diameter + {constant}")).into()
}

pub fn pitch_diameter_from_wires(designation: &str, wire: Length, measured: Length) -> Length {
    let (wire, measured) = (mm(wire), mm(measured));
    quantity(&format!(
        "pitch_diameter_from_wires(\"{designation}\", {wire}, {measured})"
    ))
    .into()
}

/// The thinnest and the thickest wire that a thread can be measured over.
pub fn wire_range(designation: &str) -> (Length, Length) {
    let wire = |end| quantity(&format!("wire_range(\"{designation}\").{end}"));
    (wire("least").into(), wire("most").into())
}

/// A part of the right triangle that has these parts.
pub fn right_triangle(given: &[(&str, String)], part: &str) -> Quantity {
    let given: Vec<String> = given.iter().map(|(n, v)| format!("{n}: {v}")).collect();
    quantity(&format!("right_triangle({}).{part}", given.join(", ")))
}
