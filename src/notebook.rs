//! Notebooks: cells and their graph, recalculation, used notebooks, limits,
//! what-if and edits that keep the text.
//!
//! A [`Workspace`] holds one notebook and all that it uses. Every statement that
//! has a value fills a slot; slots know which slots they need and which need
//! them. One engine (`recalculate.rs`) serves every way a value can change.

mod columns;
mod content;
mod draw;
mod edit;
mod effort;
mod evaluate;
mod explain_cycle;
mod fill;
mod limits;
mod load;
mod moved;
mod order;
mod outcome;
mod page;
mod problems;
mod recalculate;
mod sample;
mod trial;
mod update;
mod vary;
mod workspace;

pub use content::{Content, FindCell, OpPartCode, RangeCode, TableCode, VaryCode};
pub use draw::{Column, DrawCode, FORMS, Form, GraphLimit, GraphTable, Parameter, Subject, graph};
pub use edit::with_expression;
pub use limits::{
    CheckLimits, Course, Limits, Share, SourceSize, Tightening, Travel, Verdict, sources, tighten,
};
pub use load::Shelf;
pub use moved::{Moved, moved, same_value};
pub use outcome::{Failure, Outcome};
pub use page::{Item, ItemKind, Page, Settings};
pub use problems::{Problem, problems};
pub use recalculate::Deviations;
pub use sample::{
    MOST, Request, Sampled, SampledCheck, SampledRow, Spread, Tally, sample, sampled_values,
};
pub use trial::Trial;
pub use update::Updated;
pub use vary::{VaryRow, VaryTable, range_problems, vary};
pub use workspace::{Slot, Workspace};
