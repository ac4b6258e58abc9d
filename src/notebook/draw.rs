//! Pictures: what a `draw` statement may say, and the numbers it comes to.
//!
//! Each picture is a [`Form`] in a file of its own: what it takes, what must hold,
//! and what follows from that (chords, tangent points' angle, the reading of an
//! indicator). The value of a `draw` statement is a record of these numbers; the
//! sheet turns that into lines and text.

mod end_view;
mod fit;
pub(super) mod form;
mod gear;
mod graph;
mod holes;
mod length_stack;
mod lever;
mod lower;
mod rotary_table;
pub(super) mod set_up;
mod set_ups;
mod taper;
mod turned_profile;

pub use form::{Form, Subject};
pub use graph::{GraphTable, graph};
pub use lower::lower;

/// Every picture, in the order in which they are described.
pub const FORMS: &[&Form] = &[
    &holes::FORM,
    &lever::FORM,
    &turned_profile::FORM,
    &taper::FORM,
    &rotary_table::FORM,
    &fit::FORM,
    &fit::SHRINK,
    &length_stack::FORM,
    &set_ups::DOVETAIL,
    &set_ups::VEE,
    &set_ups::DIVIDING_PLATE,
    &set_ups::CHANGE_GEARS,
    &set_ups::THREAD,
    &set_ups::TAILSTOCK,
    &set_ups::SINE_BAR,
    &end_view::FORM,
    &gear::FORM,
    &graph::FORM,
];
