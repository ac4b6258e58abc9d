//! The library of functions, through the evaluator: its documentation, its
//! examples, worked examples of handbooks, wrong input, and ways there and back.

mod cautions;
mod evaluated;
mod examples;
mod reference_page;
mod registry;
mod round_trips;
#[path = "../published/rows.rs"]
mod rows;
mod worked;
mod wrong_input;
