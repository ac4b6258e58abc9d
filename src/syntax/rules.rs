//! The parser that pest makes of grammar/notebook.pest.

/// pest's parser; its rules are `Rule`.
#[derive(pest_derive::Parser)]
#[grammar = "grammar/notebook.pest"]
pub struct NotebookParser;
