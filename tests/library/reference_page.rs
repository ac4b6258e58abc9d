//! The reference: library/FUNCTIONS.md is what the library says, and the program
//! shows it.

use std::path::Path;
use std::process::{Command, Output};

use setover::internals::language::library;
use setover::internals::notebook::{Shelf, Workspace};
use setover::internals::sheet::Sheet;
use setover::internals::sheet::reference::{Entry, markdown};

const PAGE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/library/FUNCTIONS.md");

/// No other notebook is in use.
struct NoShelf;

impl Shelf for NoShelf {
    fn text(&self, _: &Path) -> Result<String, String> {
        Err("there is none".to_owned())
    }

    fn beside(&self, _: &Path) -> Vec<String> {
        Vec::new()
    }
}

fn page() -> String {
    let entries = library().all().iter().map(Entry::in_full);
    let entries = entries.collect::<Result<Vec<_>, _>>();
    markdown(&entries.expect("documentation that can be read"))
}

/// With SETOVER_WRITE=1 the page is rewritten instead.
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
        "top_slide_angle(25 mm, 20 mm, 50 mm) = 2.862 deg\n    worked: 2.8624 deg",
        "exactly at centre height",
    ] {
        assert!(text.contains(part), "no `{part}` in\n{text}");
    }
}

/// An example's value is printed as `calc` prints it; the worked one follows where it has
/// more digits or another unit.
#[test]
fn examples_are_printed_as_the_program_prints_them() {
    let page = page();
    for line in [
        "- Example: `best_wire(\"1/4-20 UNC\") = 0.733 mm` (worked: 0.02887 in)",
        "- Example: `milling_feed(0.05 mm/tooth, 4, 600 rpm) = 120 mm/min`\n",
        "- Example: `materials()[2] = \"mild steel\"`\n",
        "- Example: `drill(\"#7\").diameter = 5.105 mm` (worked: 0.2010 in)",
    ] {
        assert!(page.contains(line), "no `{line}`");
    }
    let (mut compared, mut texts) = (0, 0);
    let examples = page
        .lines()
        .filter_map(|line| line.strip_prefix("- Example: `"));
    for example in examples.filter_map(|line| line.split('`').next()) {
        let (expression, printed) = example.rsplit_once(" = ").expect("an answer");
        if printed.starts_with('"') {
            texts += 1;
            continue;
        }
        // What a notebook of one line without a name prints, by the other way to print.
        let workspace = Workspace::default().with_expression(expression, &NoShelf);
        let sheet = Sheet::of(&workspace);
        let row = sheet.rows().next().expect("a row");
        assert_eq!(row.text, printed, "{expression}");
        compared += 1;
    }
    assert!(compared >= 300 && texts < 30, "{compared} and {texts}");
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
