//! How long the tutorial takes: what is typed and read in it is counted.

use std::collections::HashMap;

use super::blocks::blocks;
use super::shell::root;

/// Characters typed in a minute by someone slow at it; from memory.
const TYPED: f64 = 120.0;
/// Words of prose read in a minute, not in a hurry; from memory.
const READ: f64 = 200.0;
/// Words that the program prints, looked over; from memory.
const LOOKED_OVER: f64 = 300.0;

/// What there is to do in a document.
#[derive(Debug, Default)]
struct Work {
    /// Lines of notebooks that are new or changed since the file was last shown.
    lines: usize,
    commands: usize,
    /// Characters of both, ends of lines included; blanks in a row count once.
    characters: usize,
    prose: usize,
    printed: usize,
}

impl Work {
    fn of(text: &str) -> Self {
        let mut work = Self::default();
        let mut files: HashMap<String, String> = HashMap::new();
        let words = |text: &str| text.split_whitespace().count();
        let mut in_blocks = 0;
        for block in blocks(text) {
            in_blocks += words(&block.text) + block.words.len() + 1;
            if block.is("job") {
                let name = block.words.last().cloned().unwrap_or_default();
                let before = files.insert(name, block.text.clone()).unwrap_or_default();
                let known: Vec<&str> = before.lines().collect();
                for line in block.text.lines().filter(|line| !known.contains(line)) {
                    work.lines += 1;
                    work.characters += line
                        .split_whitespace()
                        .map(|word| word.chars().count() + 1)
                        .sum::<usize>();
                }
            } else {
                for (command, printed) in block.commands() {
                    work.commands += 1;
                    work.characters += command.chars().count() + 1;
                    work.printed += words(&printed);
                }
            }
        }
        let fences = text.lines().filter(|line| line.trim() == "```").count();
        work.prose = words(text) - in_blocks - fences;
        work
    }

    #[allow(clippy::cast_precision_loss)] // counts of a page of text
    fn minutes(&self) -> f64 {
        self.characters as f64 / TYPED
            + self.prose as f64 / READ
            + self.printed as f64 / LOOKED_OVER
    }
}

/// The tutorial on a fresh copy, every command and every line typed, takes less than three
/// quarters of an hour. Counted, not timed with a person.
#[test]
fn the_tutorial_takes_less_than_45_minutes() {
    let text = std::fs::read_to_string(root().join("notebooks/TUTORIAL.md")).expect("the page");
    let work = Work::of(&text);
    let minutes = work.minutes();
    println!("{work:?}: {minutes:.1} minutes");
    assert!(work.commands >= 15 && work.lines >= 60, "{work:?}");
    assert!(minutes < 45.0, "{minutes:.1} minutes: {work:?}");
}
