//! What the program ends with.

/// All is well.
pub const WELL: u8 = 0;
/// A check failed.
pub const CHECK_FAILED: u8 = 1;
/// The notebook or the command line is wrong.
pub const WRONG: u8 = 2;
