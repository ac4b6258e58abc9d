//! Notebooks: cells and their graph, recalculation, used notebooks, limits,
//! what-if and edits that keep the text.
//!
//! A [`Workspace`] holds one notebook and all that it uses. Every statement that
//! has a value fills a slot; slots know which slots they need and which need
//! them. One engine (`recalculate.rs`) serves every way a value can change.
//!
//! # Example
//! ```
//! use std::path::Path;
//! use setover::internals::notebook::{PageId, ToleranceAnalysis, Verdict, Workspace, moved};
//! # struct Alone;
//! # impl setover::internals::notebook::Shelf for Alone {
//! #     fn text(&self, _: &Path) -> Result<String, String> { Err(String::new()) }
//! #     fn beside(&self, _: &Path) -> Vec<String> { Vec::new() }
//! # }
//!
//! let text = "bore = 12 mm H7\npin = 12 mm g6\nplay = bore - pin\ncheck play >= 0.005 mm\n";
//! let before = Workspace::of_text(Path::new("pivot.job"), text, &Alone);
//! let limits = ToleranceAnalysis::of(&before).limits[&before.find("play").unwrap()].clone();
//! // ISO 286-2 for 12 mm: H7 0/+18, g6 -17/-6 micrometres.
//! assert!((limits.low - 6e-6).abs() < 1e-12 && (limits.high - 35e-6).abs() < 1e-12);
//!
//! let mut after = before.clone();
//! after.update_text(PageId::MAIN, &text.replace("g6", "h6"), &Alone);
//! let moved = moved(&before, &after);
//! assert_eq!(moved[0].verdicts, [Some(Verdict::Holds), Some(Verdict::MayFail)]);
//! ```

mod bounds;
mod columns;
mod define;
mod definition;
mod draw;
mod edit;
mod evaluate;
mod explain_cycle;
mod limits;
mod load;
mod marks;
mod moved;
mod order;
mod outcome;
mod page;
mod problems;
mod readings;
mod recalculate;
mod sample;
mod sections;
mod slips;
mod step_budget;
mod trial;
mod update;
mod vary;
mod view;
mod workspace;

pub use crate::language::PageId;
pub use definition::{Definition, OpPartCode};
pub use draw::{FORMS, GraphTable, Subject, graph};
pub use edit::{
    Placed, insert_lines, line_end, splice, unit_of, with_expression, with_reading, without,
};
pub use limits::{
    CheckLimits, Known, Limits, Monotonicity, Share, SourceSize, ToleranceAnalysis, Verdict,
    tighten,
};
pub use load::{Shelf, is_notebook};
pub use moved::{Moved, moved, same_value};
pub use outcome::{Failure, Outcome};
pub use page::{Item, Page, Settings};
pub use problems::{Problem, arisen, problems};
pub use readings::{READING_SLACK, misfit, too_far};
pub use sample::{MOST, Request, Sampled, Spread, Statistics, sample, sampled_values};
pub use sections::{section, sections, with_section};
pub use step_budget::{stop_working, was_stopped};
pub use trial::Trial;
pub use vary::{VaryRow, VaryTable, range_problems, vary};
pub use workspace::{Slot, Workspace};
