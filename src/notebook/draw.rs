//! Pictures: what a `draw` statement may say, and the numbers it comes to.
//!
//! What a picture takes stands in library/pictures.job, documented as functions are;
//! here is what must hold of it together, and what follows (chords, tangent points'
//! angle, the reading of an indicator). The value of a `draw` statement is a record of
//! these numbers; the sheet turns that into lines and text.

mod chords;
mod end_view;
mod fit;
pub(super) mod form;
mod gear;
mod graph;
mod length_stack;
mod lower;
pub(super) mod set_up;
mod set_ups;
mod turned_profile;

use std::sync::LazyLock;

use crate::diagnostic::Fault;
use crate::language::{Function, documented};

use form::Given;
pub use form::{Form, Subject};
pub use graph::{GraphTable, graph};
pub use lower::lower;

/// Checks what was given and adds what follows from it.
type Derive = fn(&mut Given) -> Result<(), Fault>;

/// What each picture of library/pictures.job adds to what it is given.
const NATIVES: &[(&str, Derive)] = &[
    ("holes", chords::derive),
    ("lever", set_ups::lever),
    ("turned_profile", turned_profile::derive),
    ("taper", set_ups::taper),
    ("rotary_table", set_ups::rotary_table),
    ("fit", fit::derive),
    ("shrink_fit", fit::shrink),
    ("length_stack", length_stack::derive),
    ("dovetail", set_ups::dovetail),
    ("vee", set_ups::vee),
    ("dividing_plate", set_ups::dividing_plate),
    ("change_gears", set_ups::change_gears),
    ("thread", set_ups::thread),
    ("tailstock", set_ups::set_over),
    ("sine_bar", set_ups::sine_bar),
    ("end_view", end_view::derive),
    ("gear", gear::derive),
    ("graph", |_| Ok(())),
];

/// Every picture, in the order in which they are described.
pub static FORMS: LazyLock<Vec<Form>> = LazyLock::new(|| {
    let text = include_str!("../../library/pictures.job");
    let documented = documented("pictures.job", text);
    let form = |function: &Function| {
        let native = NATIVES.iter().find(|(name, _)| *name == function.name)?;
        Form::of(function, native.1)
    };
    documented.iter().filter_map(form).collect()
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_picture_is_documented_and_its_documentation_can_be_read() {
        let names: Vec<String> = FORMS
            .iter()
            .map(|form| form.name.replace(' ', "_"))
            .collect();
        let natives: Vec<&str> = NATIVES.iter().map(|(name, _)| *name).collect();
        assert_eq!(names, natives);
        for form in FORMS.iter() {
            assert!(
                form.example.starts_with(&format!("draw {}", form.name)),
                "{}",
                form.name
            );
        }
    }
}
