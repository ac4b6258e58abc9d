//! Checks against published values: each names its source.

mod gauge_blocks;
mod iso286;
mod keys;
mod materials;
mod reference;
mod speeds;
mod tapers;
