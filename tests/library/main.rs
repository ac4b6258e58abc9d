//! The library of functions, through the evaluator: its documentation, its
//! examples, worked examples of handbooks, wrong input, and ways there and back.

mod any_call;
mod cautions;
mod drawn;
mod evaluated;
mod examples;
mod names;
mod reference_page;
mod registry;
mod round_trips;
#[path = "../published/rows.rs"]
mod rows;
#[path = "../common/texts.rs"]
mod texts;
mod worked;
mod wrong_input;
