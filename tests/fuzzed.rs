//! Notebooks grown by chance, from fixed seeds, on the stable toolchain; for hours by
//! `cargo bench --bench fuzz`.

#[path = "changes/alike.rs"]
#[allow(dead_code)]
mod alike;
#[path = "fuzz/bodies.rs"]
#[allow(dead_code)]
mod bodies;
#[path = "fuzz/drive.rs"]
mod drive;
#[path = "fuzz/grow.rs"]
mod grow;
#[path = "page/markup.rs"]
#[allow(dead_code)]
mod markup;
#[path = "fuzz/memory.rs"]
mod memory;

use std::time::{Duration, Instant};

#[global_allocator]
static ALLOCATOR: memory::Counted = memory::Counted;

/// The most bytes that a notebook may take.
const BYTES: usize = 400 * 1024 * 1024;
/// Notebooks that are tried at most, and at least whatever the machine does.
const TRIES: std::ops::Range<u64> = 40..2_000;
/// Notebooks that are only parsed.
const PARSED: std::ops::Range<u64> = 10_000..10_300;
/// How long they are tried: the test ends with the last notebook begun in this time.
const LONG: Duration = Duration::from_secs(15);

#[test]
fn grown_notebooks_hold_what_is_promised() {
    let ground = grow::Ground::of_project();
    let start = Instant::now();
    let mut done = drive::Done::default();
    for seed in PARSED {
        done.parses += drive::parse(&ground, seed).parses;
    }
    for seed in 0..TRIES.end {
        if seed >= TRIES.start && start.elapsed() > LONG {
            break;
        }
        let bytes = memory::most(|| {
            let tried = std::panic::catch_unwind(|| drive::drive(&ground, seed));
            let tried = tried.unwrap_or_else(|_| {
                panic!("seed {seed} grows\n{}", ground.notebook(seed));
            });
            done.parses += tried.parses;
            done.executions += tried.executions;
        });
        assert!(
            bytes < BYTES,
            "seed {seed} takes {bytes} bytes\n{}",
            ground.notebook(seed)
        );
    }
    println!("{done:?}");
    assert!(done.executions >= TRIES.start);
}
