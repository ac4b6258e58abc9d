//! The reference: library/FUNCTIONS.md is what the library says, and the program
//! shows it.

use std::process::{Command, Output};

use setover::internals::language::library;
use setover::internals::sheet::reference::{Entry, markdown};

const PAGE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/library/FUNCTIONS.md");

fn page() -> String {
    let entries = library().all().iter().map(Entry::in_full);
    let entries = entries.collect::<Result<Vec<_>, _>>();
    markdown(&entries.expect("documentation that can be read"))
}

/// With SETOVER_WRITE=1 the page is written anew instead.
#[test]
fn the_page_says_what_the_library_says() {
    let page = page();
    if std::env::var("SETOVER_WRITE").is_ok_and(|value| value == "1") {
        std::fs::write(PAGE, &page).expect("the page can be written");
    }
    let kept = std::fs::read_to_string(PAGE).unwrap_or_default();
    let differs = kept
        .lines()
        .zip(page.lines())
        .find(|(kept, made)| kept != made);
    assert!(
        kept == page,
        "library/FUNCTIONS.md is stale ({differs:?}): run SETOVER_WRITE=1 cargo test --test library"
    );
}

#[test]
fn the_page_has_every_function_once() {
    let page = page();
    for function in library().all() {
        let heading = format!("\n### {}\n", function.name);
        assert_eq!(page.matches(&heading).count(), 1, "{}", function.name);
    }
}

fn functions(words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_setover"))
        .arg("functions")
        .args(words)
        .env("COLUMNS", "100")
        .output()
        .expect("the program runs")
}

#[test]
fn a_name_shows_the_function_in_full() {
    let found = functions(&["top_slide_angle"]);
    assert_eq!(found.status.code(), Some(0));
    let text = String::from_utf8(found.stdout).expect("text");
    for part in [
        "top_slide_angle(big, small, length)",
        "length > 0 mm",
        "the big end is smaller than the small end",
        "atan((big - small) / (2 * length))",
        "Machinery's Handbook",
        "top_slide_angle(25 mm, 20 mm, 50 mm) = 2.8624 deg",
        "exactly at centre height",
    ] {
        assert!(text.contains(part), "no `{part}` in\n{text}");
    }
}

#[test]
fn without_a_word_the_topics_are_listed_and_each_lists_its_functions() {
    let found = functions(&[]);
    assert_eq!(found.status.code(), Some(0));
    let topics = String::from_utf8(found.stdout).expect("text");
    let mut listed = std::collections::HashMap::new();
    for function in library().all() {
        let topic = function.topic;
        assert!(topics.contains(topic), "{topic} is not listed");
        let text = listed.entry(topic).or_insert_with(|| {
            let words: Vec<&str> = topic.split(' ').collect();
            String::from_utf8(functions(&words).stdout).expect("text")
        });
        let name = function.name;
        assert!(text.contains(name), "{name} is not in {topic}");
    }
}

#[test]
fn what_is_not_found_is_an_error_with_advice() {
    let found = functions(&["top_slide_angel"]);
    assert_eq!(found.status.code(), Some(2));
    assert!(found.stdout.is_empty());
    let text = String::from_utf8(found.stderr).expect("text");
    assert!(text.contains("`top_slide_angel`"), "{text}");
    assert!(text.contains("did you mean `top_slide_angle`?"), "{text}");
}
