//! Programs killed while they write, so many times for each way of writing: `cargo
//! bench --bench kill -- 2000`. Fails where a file is torn or something is left.

#[path = "../changes/kills.rs"]
mod kills;
#[path = "../changes/program.rs"]
#[allow(dead_code)]
mod program;

use rand::SeedableRng;
use rand::rngs::StdRng;

fn main() {
    let count = std::env::args()
        .skip(1)
        .find_map(|word| word.parse().ok())
        .unwrap_or(50);
    let mut random = StdRng::seed_from_u64(2_026);
    for act in kills::ACTS {
        let left = kills::kill(act, count, &mut random);
        println!("{act:?}: {count} kills, {left:?}, nothing torn, nothing left");
    }
}
