//! From text to a typed tree with spans.
//!
//! [`split`](split::split) cuts a notebook into statements, pest parses each by
//! itself with grammar/notebook.pest, and the builder makes a [`Statement`] of
//! it. A statement that can't be read becomes a list of diagnostics and stops
//! nothing else. Spans in a statement count from the statement's first byte.

mod build;
mod build_draw;
mod build_literal;
mod build_operation;
mod build_statement;
mod build_table;
mod depth;
mod document;
mod lex;
mod operators;
mod print;
mod print_expression;
mod quotes;
mod rules;
mod split;
mod statement;
mod tree;
mod unfinished;
mod wording;

pub use document::{
    Document, STATEMENTS, Statement, parse_document, parse_expression, parse_statement,
};
pub use lex::{Token, TokenKind, is_class, lex, lex_after, word_at};
pub use operators::Operator;
pub use print::print_statement;
pub use print_expression::print_expression;
pub use split::{StatementText, split};
pub use statement::{ItemKind, Role, STATEMENT_WORDS};
pub use tree::{
    Argument, Binding, Column, Draw, Expression, Find, Formula, Kind, Name, Number, OpEach, OpPart,
    Parameter, Range, Row, Rows, StatementKind, Tolerance, VaryRange,
};
pub use unfinished::unfinished;
