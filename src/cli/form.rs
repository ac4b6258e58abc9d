//! The forms in which results are written.

use clap::ValueEnum;

/// How results are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Form {
    /// Tables for a person to read
    Text,
    /// JSON for other programs
    Json,
    /// Comma-separated values for other programs
    Csv,
}
