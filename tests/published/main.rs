//! Checks against published values: each names its source.

mod holes;
mod triangles;
mod worked;
