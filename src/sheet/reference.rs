//! The functions of the library as a reference: each in full, and what a word
//! finds.

mod entry;
mod find;
mod markdown;
mod terminal;

pub use entry::{Argument, Entry, Example};
pub use find::{Found, find};
pub use markdown::markdown;
pub use terminal::{entry_text, list_text};
