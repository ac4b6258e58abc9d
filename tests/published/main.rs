//! Checks against published values: each names its source.

mod change_gears;
mod cutting_list;
mod dial;
mod dividing;
mod gears;
mod holes;
mod triangles;
mod worked;
