//! Checks against published values: each names its source.

mod asked;
mod change_gears;
mod compared;
mod cutting_list;
mod dial;
mod dividing;
mod drills;
#[path = "../library/evaluated.rs"]
mod evaluated;
mod gauge_blocks;
mod gears;
mod holes;
mod iso286;
mod keys;
#[path = "../common/lengths.rs"]
mod lengths;
mod materials;
mod rows;
mod screws;
mod sources;
mod speeds;
mod standard_parts;
mod tapers;
#[path = "../common/texts.rs"]
mod texts;
mod thread_examples;
mod thread_forms;
mod thread_values;
mod threads;
mod triangles;
mod wires;
