//! The functions of the library as a reference: each in full, and what a word
//! finds.

mod entry;
mod find;
mod markdown;
mod terminal;
mod texts;

pub use super::narrow::words_text;
pub use entry::{Argument, Entry};
pub use find::{Found, find, same};
pub use markdown::markdown;
pub use terminal::{commands_text, entry_text, list_text, sections_text, topics_text};
