//! `run` and `check`: what is printed where, and the exit status.

use crate::builder::Shell;

const PART: &str = "\
title Test part

[Sizes]
bore = 12.5 mm     # reamed
wall = 1/4 in
n = 6

[Work]
op Drill {n} holes at {bore}.
check wall >= 1/8 in   # metal left
";

#[test]
fn a_sheet_goes_to_standard_output() {
    Shell::new(&["run", "part.job"])
        .file("part.job", PART)
        .stdout(
            "\
Test part
part.job

Sizes
  bore  12.500   mm  reamed
  wall   0.2500  in
  n      6

Work
  holds  wall >= 1/8 in  metal left
  1  Drill 6 holes at 12.500 mm.
",
        )
        .check();
}

#[test]
fn a_check_that_fails_gives_status_1() {
    let part = "wall = 3 mm\ncheck wall >= 4 mm\ncheck wall > 1 mm\n";
    let fails = Shell::new(&["run", "part.job"])
        .file("part.job", part)
        .outcome();
    assert_eq!(fails.status, Some(1));
    assert_eq!(fails.stderr, "");
    // 4 mm less 3 mm.
    assert!(
        fails
            .stdout
            .contains("fails  wall >= 4 mm  misses by 1.000 mm\n"),
        "{}",
        fails.stdout
    );
    assert!(
        fails.stdout.contains("holds  wall > 1 mm\n"),
        "{}",
        fails.stdout
    );
}

#[test]
fn check_prints_only_the_checks() {
    Shell::new(&["check", "part.job"])
        .file("part.job", PART)
        .stdout("Test part\npart.job\n\nWork\n  holds  wall >= 1/8 in  metal left\n")
        .check();
    let fails = Shell::new(&["check", "part.job"])
        .file("part.job", "check 1 > 2\n")
        .outcome();
    assert_eq!(fails.status, Some(1));
}

#[test]
fn an_empty_notebook_is_well() {
    for text in ["", "\n\n", "# nothing\n", "\u{feff}"] {
        Shell::new(&["run", "part.job"])
            .file("part.job", text)
            .stdout("part.job\n")
            .check();
        Shell::new(&["check", "part.job"])
            .file("part.job", text)
            .stdout("part.job\n")
            .check();
    }
}

/// What is wrong goes to standard error with file, line and column; the rest stands.
#[test]
fn several_errors_are_reported_in_one_run() {
    Shell::new(&["run", "part.job"])
        .file("part.job", "length = 20 mm\na = lenght + 1 mm\nb = = 2\nc = a + 1 mm\nd = 3 + 2 mm\ne = length / 2\n")
        .stdout(
            "\
part.job

  length  20.000  mm
  a                   ?; waiting: needs lenght
  b                   ?; wrong: see the errors
  c                   ?; waiting: needs lenght
  d                   ?; wrong: see the errors
  e       10.000  mm

To look at
  no value  line 2  a
  wrong     line 3  b
  no value  line 4  c
  wrong     line 5  d
",
        )
        .stderr(
            "\
part.job, line 2
    a = lenght + 1 mm
        ~~~~~~
  unknown name `lenght`
  did you mean `length`?

part.job, line 3
    b = = 2
        ~
  `=` comes where a value is expected
  write `b = 2`

part.job, line 5
    d = 3 + 2 mm
        ~~~~~~~~
  3 (a plain number) can't be added to 2.000 mm (a length)
  give the number its unit, such as `3 mm`

",
        )
        .status(2)
        .check();
}

#[test]
fn a_place_counts_characters_not_bytes() {
    let run = Shell::new(&["run", "part.job"])
        .file("part.job", "größe = 2 mm\nb = \"±2°\" + größ\n")
        .outcome();
    assert!(
        run.stderr
            .contains("part.job, line 2\n    b = \"±2°\" + größ\n                ~~~~\n"),
        "{}",
        run.stderr
    );
}

#[test]
fn a_cell_that_fails_leaves_the_rest_standing() {
    let run = Shell::new(&["run", "part.job"])
        .file("part.job", "a = 1 / 0\nb = a + 1\nc = 2\ncheck b > 0\nop Set {b} and {c}.\ntable t\n| x | y = x + a |\n| 1 |           |\nd = t.y\ncheck c = 2\n")
        .outcome();
    assert_eq!(run.status, Some(2));
    assert_eq!(
        run.stderr.matches("part.job, line ").count(),
        1,
        "{}",
        run.stderr
    );
    for line in [
        "b        ?; waiting: needs a",
        "t        ?; waiting: needs a",
        "d        ?; waiting: needs a",
        "waiting  b > 0  needs a",
        "1  waiting: needs a",
        "holds    c = 2",
    ] {
        assert!(run.stdout.contains(line), "{line}\n{}", run.stdout);
    }
}

#[test]
fn rings_are_shown_whole() {
    let run = Shell::new(&["run", "part.job"])
        .file("part.job", "a = b\nb = c\nc = a\nd = 1\ne = a + d\n")
        .outcome();
    assert_eq!(run.status, Some(2));
    assert!(
        run.stderr.starts_with(
            "part.job, line 1\n    a = b\n    ~\n  these depend on one another in a ring: a → b → c → a\n"
        ),
        "{}",
        run.stderr
    );
    assert_eq!(run.stderr.matches("part.job, line ").count(), 1);
    assert!(run.stdout.contains("  d  1\n"), "{}", run.stdout);
    assert!(
        run.stdout.contains("e        ?; waiting: needs a"),
        "{}",
        run.stdout
    );
}

#[test]
fn the_command_line_explains_itself() {
    for arguments in [
        &["--help"] as &[&str],
        &["run", "--help"],
        &["calc", "--help"],
        &["check", "--help"],
        &["--version"],
    ] {
        let help = Shell::new(arguments).outcome();
        assert_eq!(
            (help.status, help.stderr.as_str()),
            (Some(0), ""),
            "{arguments:?}"
        );
        assert!(!help.stdout.is_empty());
    }
    for arguments in [
        &["check"] as &[&str],
        &["calc"],
        &["rn", "part.job"],
        &["run", "--as", "xml", "part.job"],
        &["run", "--wat", "part.job"],
    ] {
        let wrong = Shell::new(arguments).file("part.job", "a = 1\n").outcome();
        assert_eq!(
            (wrong.status, wrong.stdout.as_str()),
            (Some(2), ""),
            "{arguments:?}"
        );
        assert!(
            wrong.stderr.contains("\n  ") && !wrong.stderr.contains("Usage"),
            "{arguments:?}: {}",
            wrong.stderr
        );
    }
}

/// No colour without a terminal, NO_COLOR or not.
#[test]
fn no_colour_reaches_a_pipe() {
    for value in [None, Some("1"), Some("")] {
        let mut shell = Shell::new(&["run", "part.job"])
            .file("part.job", format!("{PART}check 1 > 2\na = = 1\n"));
        if let Some(value) = value {
            shell = shell
                .env("NO_COLOR", value)
                .env("TERM", "xterm-256color")
                .env("CLICOLOR_FORCE", "1");
        }
        let run = shell.outcome();
        assert!(!run.stdout.contains('\u{1b}') && !run.stderr.contains('\u{1b}'));
        assert!(run.stdout.contains("fails") && run.stderr.contains("comes where"));
    }
}
