//! The documents and the notebooks, through the program: every block of a notebook,
//! every command with what it prints, every notebook of the repository, and numbers
//! of the notebooks against published values.
//!
//! `SETOVER_WRITE=1 cargo test --test documents` writes what the commands print into
//! the documents; read the difference before it is committed.

mod bench;
mod blocks;
mod bounds;
mod jobs;
mod notebooks;
mod our_own;
mod shell;
mod time;
mod values;
mod walk;
