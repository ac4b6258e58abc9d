//! Programs killed at any instant: the file holds its old or its new text, and what
//! they leave beside it goes with the next change. `cargo bench --bench kill` does the
//! same as often as it is let.

use rand::SeedableRng;
use rand::rngs::StdRng;

use crate::kills::{ACTS, kill};

const KILLS: u32 = 20;

#[test]
fn the_file_is_always_the_old_or_the_new_text() {
    let mut random = StdRng::seed_from_u64(12);
    for act in ACTS {
        let left = kill(act, KILLS, &mut random);
        println!("{act:?}: {left:?}");
        assert_eq!(left.old + left.new, KILLS);
    }
}
