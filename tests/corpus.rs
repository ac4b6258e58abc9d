//! Replays the corpus of the fuzz targets, without a nightly compiler.

#[path = "fuzz/bodies.rs"]
mod bodies;

use std::fs;
use std::path::{Path, PathBuf};

/// The largest that the corpus may grow.
const LARGEST: u64 = 300 * 1024;

fn corpus() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz/corpus")
}

fn files(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).unwrap_or_else(|why| panic!("{}: {why}", folder.display()));
    let mut files: Vec<PathBuf> = entries
        .map(|entry| entry.expect("an entry").path())
        .collect();
    files.sort();
    files
}

/// Runs a target over its corpus, on a stack of 2 MB.
#[track_caller]
fn replay(name: &str) {
    let (_, target) = bodies::TARGETS
        .iter()
        .find(|(known, _)| *known == name)
        .expect("a target");
    let files = files(&corpus().join(name));
    assert!(!files.is_empty());
    println!("{name}: {} texts", files.len());
    for file in files {
        let bytes = fs::read(&file).expect("a file");
        println!("{}", file.display());
        let run = move || bodies::run(*target, &bytes);
        let thread = std::thread::Builder::new()
            .stack_size(2 * 1024 * 1024)
            .spawn(run)
            .expect("a thread");
        thread
            .join()
            .unwrap_or_else(|_| panic!("{}", file.display()));
    }
}

macro_rules! targets {
    ($($name:ident),*) => {
        $(#[test] fn $name() { replay(stringify!($name)); })*

        #[test]
        fn every_target_is_replayed() {
            assert_eq!(bodies::TARGETS.map(|(name, _)| name), [$(stringify!($name)),*]);
            let folders: Vec<String> = files(&corpus())
                .iter()
                .map(|folder| folder.file_name().unwrap_or_default().to_string_lossy().into_owned())
                .collect();
            let mut names = [$(stringify!($name)),*];
            names.sort_unstable();
            assert_eq!(folders, names);
        }
    };
}

targets!(parse, evaluate, render, split_print, edit, session);

#[test]
fn the_corpus_is_small() {
    let folders = files(&corpus());
    let sizes = folders
        .iter()
        .flat_map(|folder| files(folder))
        .map(|file| fs::metadata(file).expect("a file").len());
    let size: u64 = sizes.sum();
    assert!(size < LARGEST, "{size} bytes");
}
