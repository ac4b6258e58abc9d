//! setover: a calculation notebook for people who make one-off metal parts on
//! manual machines.
//!
//! Data flows one way: text → syntax → notebook → values → sheet. A room
//! imports only from rooms below it.

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
