//! The page of a notebook and its pictures, from the outside.

mod boxes;
mod browser;
mod forms;
mod geometry;
mod graphs;
mod hostile;
mod letters;
mod markup;
mod page;
mod pages;
mod program;
mod random;
#[path = "../common/texts.rs"]
mod texts;
mod zones;
