//! What the program says of itself and of a notebook keeps to the terminal: nothing is
//! wider than 40 columns, and no word or number is broken.

use std::collections::HashSet;
use std::io::Write;
use std::process::Stdio;

use crate::builder::Shell;

/// Runs a command in the folder of notebooks; `typed` is its input.
fn said(arguments: &[&str], columns: &str, typed: &str) -> String {
    let notebooks = concat!(env!("CARGO_MANIFEST_DIR"), "/notebooks");
    let mut shell = Shell::new(arguments);
    let mut child = shell
        .command()
        .current_dir(notebooks)
        .env("COLUMNS", columns)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program runs");
    let mut stdin = child.stdin.take().expect("its input");
    stdin.write_all(typed.as_bytes()).expect("it takes input");
    drop(stdin);
    let output = child.wait_with_output().expect("it ends");
    assert_eq!(output.status.code(), Some(0), "{arguments:?} {typed}");
    String::from_utf8(output.stdout).expect("UTF-8")
}

/// The words of a text; a formula may be broken behind an opening bracket.
fn words(text: &str) -> HashSet<&str> {
    let words = text.split_whitespace();
    words
        .flat_map(|word| word.split_inclusive('('))
        .map(|word| word.trim_end_matches([',', ';']))
        .collect()
}

#[track_caller]
fn keeps_to(columns: usize, arguments: &[&str], typed: &str) {
    let narrow = said(arguments, &columns.to_string(), typed);
    let wide = said(arguments, "200", typed);
    assert!(!narrow.trim().is_empty(), "{arguments:?} {typed}");
    for line in narrow.lines() {
        assert!(
            line.chars().count() <= columns,
            "{arguments:?} {typed}, {columns} columns: {line}\n{narrow}"
        );
    }
    let known = words(&wide);
    for word in words(&narrow) {
        // Of the sources, the grid's headings stand in the lines.
        assert!(
            known.contains(word),
            "{arguments:?} {typed}, {columns} columns, broken: {word}\n{narrow}"
        );
    }
}

#[test]
fn what_the_program_says_of_itself() {
    for columns in [40, 60, 80] {
        for arguments in [
            &["help"] as &[&str],
            &["--help"],
            &["help", "draw"],
            &["help", "lever"],
            &["help", "graph"],
            &["help", "checks"],
            &["help", "units"],
            &["help", "sizes"],
            &["help", "bounds"],
            &["functions"],
            &["functions", "tapers"],
            &["functions", "pin"],
            &["functions", "taper"],
            &["functions", "pitch_circle"],
            &["functions", "wire_constant"],
            &["functions", "speed_for"],
            &["add"],
            &["run"],
        ] {
            keeps_to(columns, arguments, "");
        }
    }
}

#[test]
fn explanations_of_the_notebooks() {
    for (notebook, names) in [
        ("worm-shaft.job", &["float", "lost", "bearing_1"] as &[&str]),
        ("azimuth-screw.job", &["cut_rpm", "flank_size", "dial"]),
        ("counterweight.job", &["blank_kg", "drill_rpm"]),
        ("declination-shaft.job", &["crest", "bar_mass", "profile"]),
        ("clutch-lever.job", &["holes", "swing"]),
        ("worm-wheel.job", &["blank_rpm", "arc"]),
    ] {
        for name in names {
            for columns in [40, 60] {
                keeps_to(columns, &["explain", notebook, name], "");
            }
        }
    }
}

#[test]
fn the_words_of_the_line_editor() {
    for typed in [
        "help\n",
        "help draw\n",
        "depends float\n",
        "depends bearing_1\n",
        "depends journal\n",
        "explain float\n",
        "describe taper\n",
        "describe\n",
    ] {
        keeps_to(40, &["try", "worm-shaft.job"], typed);
    }
}
