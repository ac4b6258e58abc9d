//! setover: a calculation notebook for people who make one-off metal parts on
//! manual machines.
//!
//! Data flows one way: text → syntax → notebook → values → sheet. A room
//! imports only from rooms below it.
//!
//! # Example
//! ```
//! use std::path::Path;
//! use setover::notebook::{Shelf, Workspace};
//! use setover::sheet::{Look, Sheet, terminal};
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
//! assert!(sheet.is_good());
//! let page = terminal(&sheet, Look { width: 80, colour: false });
//! assert!(page.contains("6.996  mm"));
//! ```

// What pest derives names `alloc`.
extern crate alloc;

pub mod cli;
pub mod diagnostic;
pub mod language;
pub mod notebook;
pub mod quantity;
pub mod repl;
pub mod sheet;
pub mod syntax;
pub mod trade;
