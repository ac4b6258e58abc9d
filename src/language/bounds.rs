//! How far an evaluation may go.

/// The most steps that one evaluation may take.
pub const STEPS: u64 = 2_000_000;
/// The deepest that functions may call one another.
pub const CALLS: u32 = 64;
/// The deepest that expressions may stand within one another while they are worked
/// out, the bodies of called functions included.
pub const DEPTH: u32 = 500;
/// The longest list or table, counting the lists within it, and the longest text in
/// characters.
pub const ITEMS: usize = 100_000;
