//! What a change costs.
fn main() {}
