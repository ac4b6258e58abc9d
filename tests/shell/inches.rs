//! A notebook in inches: not one millimetre is printed, by any writer.

use crate::builder::Shell;

/// A lever of the mount as someone with inch machines writes it.
const LEVER: &str = include_str!("inch-lever.job");

/// The words of a text that are a metric length, with what is before them.
fn metric(text: &str) -> Vec<String> {
    let apart = |c: char| c.is_whitespace() || "()[],;:/|\"<>=".contains(c);
    let words: Vec<&str> = text.split(apart).filter(|word| !word.is_empty()).collect();
    let units = ["mm", "cm", "um", "µm"];
    let found = words.iter().enumerate().filter(|(_, word)| {
        let unit = word.trim_start_matches(|c: char| c.is_ascii_digit() || "+-.".contains(c));
        units.contains(&unit.trim_end_matches('.'))
    });
    found
        .map(|(at, _)| words[at.saturating_sub(4)..=at].join(" "))
        .collect()
}

/// What a reader sees of a page: the text between its tags, without its style.
fn seen(page: &str) -> String {
    let body = page.split("</style>").last().unwrap_or(page);
    let mut text = String::new();
    let mut inside = false;
    for c in body.chars() {
        match c {
            '<' => inside = true,
            '>' => {
                inside = false;
                text.push(' ');
            }
            _ if !inside => text.push(c),
            _ => {}
        }
    }
    text
}

#[test]
fn a_notebook_in_inches_prints_no_millimetre() {
    let run = |arguments: &[&str]| {
        let run = Shell::new(arguments).file("lever.job", LEVER).outcome();
        assert_eq!((run.stderr.as_str(), run.status), ("", Some(0)));
        run.stdout
    };
    assert!(!LEVER.contains(" mm\n") && metric("0.5 mm").len() == 1);
    let sheet = run(&["run", "lever.job"]);
    // (9/8 + 5/8) / 2 in
    assert!(sheet.contains("move X to 0.8750 in"), "{sheet}");
    for (what, text) in [
        ("the sheet", sheet),
        ("CSV", run(&["run", "lever.job", "--as", "csv"])),
        ("the page", seen(&run(&["sheet", "lever.job"]))),
        ("an explanation", run(&["explain", "lever.job", "swing"])),
        (
            "a trial",
            run(&["run", "lever.job", "--with", "boss=1 1/4 in"]),
        ),
    ] {
        let found = metric(&text);
        assert!(found.is_empty(), "{what} has {found:?}:\n{text}");
    }
}
