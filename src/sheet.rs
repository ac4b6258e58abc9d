//! What a person reads: terminal tables, CSV, JSON, and how values are written.
//!
//! [`Sheet::of`] makes a plain description of a computed notebook; the writers turn
//! that into text. Nothing here prints.
//!
//! # Example
//! ```
//! use setover::internals::quantity::Quantity;
//! use setover::internals::notebook::Settings;
//! use setover::internals::sheet::Writer;
//!
//! let settings = Settings::default();
//! let writer = Writer::new(&settings);
//! let offset = Quantity::of(19.0, "mm")?;
//! assert_eq!(writer.quantity(offset).line(), "19.000 mm");
//! # Ok::<(), setover::internals::diagnostic::Fault>(())
//! ```

mod bare_size;
mod build;
mod cautions;
mod choices;
mod csv;
mod drawn;
mod explain;
mod fields;
mod formatted_value;
mod grid_columns;
mod html;
mod manual;
mod model;
mod moved;
mod narrow;
mod needed;
mod op_cautions;
mod op_lines;
mod pictures;
mod record_rows;
pub mod reference;
mod row_text;
mod sampling;
mod summary;
mod terminal;
mod terminal_grid;
mod terminal_style;
mod values;
mod what_if;

pub use bare_size::bare_size;
pub use csv::{csv, no_formulas};
pub use explain::{Explanation, explain, explanation_text, first_words, slot_called};
pub use formatted_value::{FormattedValue, Writer};
pub use html::{Colophon, MADE, html, pages};
pub use manual::{manual_list, manual_topic};
pub use model::{Row, RowKind, RowState, Sheet};
pub use moved::{moved_rows, moved_text};
pub(crate) use narrow::wrapped;
pub(crate) use pictures::cut;
pub use row_text::rows_text;
pub use sampling::{Sampling, sampling_csv, sampling_text};
pub use terminal::terminal;
pub use terminal_style::TerminalStyle;
