//! Values, evaluation and the registry of functions.
//!
//! Expressions come from `crate::syntax`; [`lower`](lower::Lowering) resolves their
//! names to slots once, so that evaluating looks up no strings. The functions of
//! the trade stand in library/functions, written in the language itself; what a
//! formula can't do is native and registered by name ([`native`]).
//!
//! # Example
//! ```
//! use setover::internals::language::library;
//!
//! let function = library().get("spindle_speed").expect("it is in the library");
//! assert!(!function.doc().as_ref().expect("it is read").source.is_empty());
//! ```

mod arguments;
mod bounds;
mod code;
mod contract;
mod definition;
mod documentation;
mod eval_error;
mod evaluate;
mod find;
mod function;
mod kept;
mod library;
mod lower;
mod natives;
mod page_id;
mod program;
mod rows;
mod shape;
mod size;
mod slot_id;
mod value;

pub use bounds::STEPS;
pub use code::{Call, Callee, FindSides, Node, RangeCode, ResolvedExpr, SizeCode, Source};
pub use contract::{Contract, KindWord, beside};
pub use definition::compile;
pub use documentation::{FieldDoc, FunctionDoc, ParameterDoc, read_documentation};
pub use eval_error::EvalError;
pub use evaluate::{Cells, Evaluator, doubtful, paired, styled, with_tolerance};
pub use find::{Unknown, bracket, every_root, only_root, search};
pub use function::{Body, Function, UserFunction};
pub use library::{documented, library, topics as library_topics};
pub use lower::{CONSTANTS, Lowering, Named, Scope};
pub use natives::{is_arithmetic, native, native_names};
pub use page_id::PageId;
pub use program::{
    Alone, BLOCK, CLOSE, Column, Compiled, Compositions, Decision, End, Formula, Interval, Line,
    Others, Place, Program, Range, Registers, SHARES, Scatter, Scratch, Search, Setting, Shape,
    Slice, Solutions, Step, Tape, Work, compile as compile_steps, compile_condition, deviation,
    keep_largest, like, margins as compile_margins, solution as compile_solution,
    still as still_steps,
};
pub use rows::{step_count, steps};
pub use size::{Face, Size, SizeLimits};
pub use slot_id::SlotId;
pub use value::{Record, Table, Value};
