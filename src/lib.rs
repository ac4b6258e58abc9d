//! setover: a calculation notebook for people who make one-off metal parts on
//! manual machines.
//!
//! Data flows one way: text → syntax → notebook → values → sheet. A room
//! imports only from rooms below it.
//!
//! # Example
//! ```
//! use std::path::Path;
//! use setover::{TerminalStyle, Sheet, Shelf, Workspace, terminal};
//!
//! /// No other notebook is in use.
//! struct Alone;
//! impl Shelf for Alone {
//!     fn text(&self, _: &Path) -> Result<String, String> {
//!         Err("there is none".to_owned())
//!     }
//!     fn beside(&self, _: &Path) -> Vec<String> {
//!         Vec::new()
//!     }
//! }
//!
//! let text = "bore = 12 mm H7\nboss = 26 mm\nwall = (boss - bore) / 2\ncheck wall >= 4 mm\n";
//! let lever = Workspace::of_text(Path::new("lever.job"), text, &Alone);
//! let sheet = Sheet::of(&lever);
//! assert!(lever.is_good());
//! let page = terminal(&sheet, TerminalStyle { width: 80, colour: false });
//! assert!(page.contains("6.996  mm"));
//! ```

// What pest derives names `alloc`.
extern crate alloc;

mod cli;
mod diagnostic;
#[doc(hidden)]
pub mod internals;
mod language;
mod notebook;
mod quantity;
mod repl;
mod sheet;
mod syntax;
mod trade;

pub use crate::cli::main;
pub use crate::diagnostic::Diagnostic;
pub use crate::language::{Value, library};
pub use crate::notebook::{Shelf, Workspace};
pub use crate::quantity::{Quantity, parse_unit};
pub use crate::sheet::{Sheet, TerminalStyle, csv, terminal};
