//! Checks against published values: each names its source.

mod change_gears;
mod holes;
mod triangles;
mod worked;
