//! One flat program for each formula: steps over plain numbers, whose dimensions and
//! units are settled when the formula is compiled.
//!
//! The same steps run over columns of lanes ([`Registers`]), over single numbers and
//! over intervals with slopes ([`Tape`]).

mod compile;
mod extremes;
mod inline;
mod interval;
mod lanes;
mod registers;
mod roots;
mod scatter;
mod steps;
mod tape;

pub use compile::{Setting, Shape, compile, equation, like, margins};
pub use extremes::{CLOSE, Decision, End, Range, Search};
pub use interval::Interval;
pub use lanes::{BLOCK, Column, Registers, deviation};
pub use roots::{Equation, Solutions};
pub use scatter::Scatter;
pub use steps::Program;
pub use tape::{Slice, Tape, Work};
