//! Grown notebooks for as long as it is let: `cargo bench --bench fuzz -- parse 60
//! 1000000` parses for 60 minutes from seed 1,000,000, `drive` does everything.
//! Findings are printed with their seeds and do not end it.

#[path = "../changes/alike.rs"]
#[allow(dead_code)]
mod alike;
#[path = "../fuzz/bodies.rs"]
#[allow(dead_code)]
mod bodies;
#[path = "../fuzz/drive.rs"]
mod drive;
#[path = "../fuzz/grow.rs"]
mod grow;
#[path = "../page/markup.rs"]
#[allow(dead_code)]
mod markup;
#[path = "../fuzz/memory.rs"]
mod memory;

use std::time::{Duration, Instant};

#[global_allocator]
static ALLOCATOR: memory::Counted = memory::Counted;

/// More findings than this say nothing new.
const FINDINGS: u32 = 50;

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = arguments
        .iter()
        .map(String::as_str)
        .filter(|word| !word.starts_with('-'))
        .collect();
    let number = |place: usize, usual: f64| {
        let word = words.get(place);
        word.and_then(|word| word.parse().ok()).unwrap_or(usual)
    };
    let what = words.first().copied().unwrap_or("drive");
    let work = if what == "parse" {
        drive::parse
    } else {
        drive::drive
    };
    let long = Duration::from_secs_f64(60.0 * number(1, 0.1));
    let first = number(2, 1e6) as u64;
    let ground = grow::Ground::of_project();
    let start = Instant::now();
    let (mut seed, mut findings) = (first, 0);
    let mut done = drive::Done::default();
    let (mut most, mut slowest) = ((0, 0), (Duration::ZERO, 0));
    while start.elapsed() < long && findings < FINDINGS {
        let begun = Instant::now();
        let bytes = memory::most(|| match std::panic::catch_unwind(|| work(&ground, seed)) {
            Ok(tried) => {
                done.parses += tried.parses;
                done.executions += tried.executions;
            }
            Err(_) => {
                findings += 1;
                println!("FINDING at seed {seed}\n{}\n", ground.notebook(seed));
            }
        });
        most = most.max((bytes, seed));
        slowest = slowest.max((begun.elapsed(), seed));
        seed += 1;
    }
    println!(
        "{what}: seeds {first} to {}, {} statements parsed, {} notebooks driven, {findings} findings",
        seed - 1,
        done.parses,
        done.executions
    );
    println!(
        "most memory {:.1} MB (seed {}), longest {:.2} s (seed {})",
        most.0 as f64 / 1e6,
        most.1,
        slowest.0.as_secs_f64(),
        slowest.1
    );
}
