//! One flat program for each formula: steps over plain numbers, whose dimensions and
//! units are settled when the formula is compiled.
//!
//! The same steps run over columns of lanes ([`Registers`]), over single numbers and
//! over intervals with slopes ([`Tape`]).

mod call;
mod compile;
mod crossing;
mod expression;
mod extremes;
mod inline;
mod interval;
mod lanes;
mod many;
mod mixed;
mod registers;
mod roots;
mod scatter;
mod single;
mod solution;
mod steps;
mod tape;

pub use compile::{
    Compiled, Place, Setting, Shape, compile, compile_condition, compile_scalar, equation, like,
    margins, solution, still,
};
pub use crossing::brent;
pub use extremes::{CLOSE, Decision, End, Range, Scratch, Search};
pub use interval::Interval;
pub use lanes::{BLOCK, Column, Registers, deviation};
pub use roots::{Equation, Solutions};
pub use scatter::Scatter;
pub use single::Formula;
pub use steps::{Line, Program, Step};
pub use tape::{Alone, Compositions, Others, SHARES, Slice, Tape, Work, keep_largest};
