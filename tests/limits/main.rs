//! How limits travel: against a general-purpose uncertainty library, against brute
//! force, and against worked tolerance stacks.

mod alike;
mod black_boxes;
mod brute_force;
mod checks;
mod explain;
mod faces;
mod fits;
mod lists;
mod measured;
mod proven;
mod reference;
mod sampling;
mod shelf;
mod shell;
mod solved;
mod stacks;
mod steps;
mod structured;
#[path = "../common/texts.rs"]
mod texts;
mod worm_shaft;
