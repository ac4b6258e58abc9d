//! Trying things out: the line editor, its session and its commands.
//!
//! [`Session`] holds a notebook's text that grows with what is typed, and knows no
//! terminal; [`edit`] drives it from a terminal with rustyline, [`piped`] from any
//! other input. What completes, hints, colours and asks for another line all looks
//! at one [`Analysis`] of the line.

mod analysis;
mod answer;
mod asked;
mod blame;
mod commands;
mod complete;
mod describe;
mod editor;
mod enter;
mod folder;
mod helper;
mod highlight;
mod hint;
mod history;
mod journal;
mod merge;
mod parameters;
mod piped;
mod place;
mod reply;
mod session;
mod show;
mod step;
mod write;

pub use analysis::Analysis;
pub use complete::complete;
pub use editor::{Voice, edit};
pub use highlight::highlight;
pub use hint::hint;
pub use piped::{not_utf_8, piped};
pub use session::{Bench, Refused, Session};
pub use write::{notebook_path, quoted, reserved};
