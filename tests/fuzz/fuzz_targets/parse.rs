#![no_main]

#[path = "../bodies.rs"]
mod bodies;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let target = bodies::TARGETS.iter().find(|(name, _)| *name == "parse");
    bodies::run(target.expect("a target").1, bytes);
});
