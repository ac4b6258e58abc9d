//! What a person reads: terminal tables, CSV, JSON, and how values are written.
//!
//! [`Sheet::of`] makes a plain description of a computed notebook; the writers turn
//! that into text. Nothing here prints.

mod build;
mod csv;
mod model;
mod moved;
mod record_rows;
mod some_rows;
mod terminal;
mod values;
mod written;

pub use build::formula_text;
pub use csv::csv;
pub use model::{Caution, Grid, Report, Row, RowKind, Section, Sheet};
pub use moved::{MovedRow, moved_rows, moved_text};
pub use some_rows::rows_text;
pub use terminal::{Look, terminal};
pub use written::{Writer, Written};
