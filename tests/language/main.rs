//! The language of a notebook: what it means, what it refuses and in which words,
//! and that no text whatsoever brings the program down.

mod any_text;
mod bounds;
mod cases;
mod generated;
mod order;
mod reference;
mod roots;
mod round_trips;
mod rules;
mod support;
#[path = "../common/texts.rs"]
mod texts;
