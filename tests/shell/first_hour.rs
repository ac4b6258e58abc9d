//! The first hour: what the program says of itself, and notebooks to start from.

use std::fs;
use std::path::Path;

use crate::builder::{Outcome, Shell};

/// The words of library/sections, by its files.
fn words() -> Vec<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("library/sections");
    let mut words: Vec<String> = fs::read_dir(folder)
        .expect("the sections")
        .map(|entry| entry.expect("an entry").path())
        .map(|path| path.file_stem().expect("a name").to_string_lossy().into())
        .collect();
    words.sort();
    words
}

/// Adds sections to a notebook and runs it.
fn with_sections(words: &[String]) -> (Vec<Outcome>, Outcome) {
    let folder = tempfile::tempdir().expect("a folder");
    let run = |arguments: &[&str]| {
        let mut shell = Shell::new(arguments);
        shell.command().current_dir(folder.path());
        shell.outcome()
    };
    fs::write(folder.path().join("part.job"), "title Part\n").expect("a notebook");
    let added = words.iter().map(|word| run(&["add", "part.job", word]));
    let added: Vec<Outcome> = added.collect();
    (added, run(&["run", "part.job"]))
}

#[test]
fn every_section_runs_alone_and_all_together() {
    let words = words();
    assert!(words.len() >= 14, "{words:?}");
    let every = words.iter().map(|word| vec![word.clone()]);
    let twice = words.iter().chain(&words).cloned().collect();
    for words in every.chain([words.clone(), twice]) {
        let (added, run) = with_sections(&words);
        for (word, added) in words.iter().zip(&added) {
            assert_eq!(added.status, Some(0), "{word}: {}", added.stderr);
        }
        assert_eq!(
            (run.status, run.stderr.as_str()),
            (Some(0), ""),
            "{words:?}"
        );
        for bad in ["fails", "wrong: ", "waiting", "?;"] {
            assert!(!run.stdout.contains(bad), "{words:?} {bad}\n{}", run.stdout);
        }
        assert!(run.stdout.contains("holds"), "{words:?} checks nothing");
    }
}

#[test]
fn sections_are_listed_with_a_line_each() {
    let list = Shell::new(&["add"]).outcome();
    assert_eq!(list.status, Some(0));
    for word in words() {
        let line = list.stdout.lines().find(|line| {
            let mut parts = line.split_whitespace();
            parts.next() == Some(word.as_str()) && parts.count() >= 3
        });
        assert!(line.is_some(), "{word} in\n{}", list.stdout);
    }
    Shell::new(&["add", "part.job", "tapr"])
        .file("part.job", "a = 1\n")
        .stderr("there is no section `tapr`\n  did you mean `taper`?\n")
        .status(2)
        .check();
    Shell::new(&["add", "none", "taper"])
        .stderr("there is no notebook none.job\n  `setover new none` starts it\n")
        .status(2)
        .check();
}

#[test]
fn a_new_notebook_runs_in_millimetres_and_in_inches() {
    for (arguments, unit) in [
        (&["new", "worm-shaft"] as &[&str], " 60.000 "),
        (&["new", "worm-shaft", "--inch"], " 2.3750 "),
    ] {
        let mut shell = Shell::new(arguments);
        let file = shell.path("worm-shaft.job");
        assert_eq!(shell.command().status().expect("a run").code(), Some(0));
        let text = fs::read_to_string(&file).expect("a notebook");
        let run = Shell::new(&["run", "worm-shaft.job"])
            .file("worm-shaft.job", &text)
            .outcome();
        assert_eq!((run.status, run.stderr.as_str()), (Some(0), ""));
        let values = run.stdout.split("Cautions").next().expect("a sheet");
        let length = values
            .lines()
            .find(|line| line.trim_start().starts_with("length "));
        assert!(length.is_some_and(|line| line.contains(unit)), "{values}");
    }
}

#[test]
fn run_without_a_file_lists_the_notebooks() {
    Shell::new(&["run"])
        .file("lever.job", "title Clutch lever   # by hand\na = 1\n")
        .file("shaft.job", "a = 1\n")
        .stdout(
            "notebooks of this folder\n\n  lever.job  Clutch lever\n  shaft.job\n\n\
             `setover run lever.job` computes one\n",
        )
        .check();
    Shell::new(&["run"])
        .stderr("there is no notebook in this folder\n  `setover new worm-shaft` starts one\n")
        .status(2)
        .check();
}

/// The commands of the help are typed as they stand.
#[test]
#[cfg_attr(windows, ignore = "typed in a shell, and Windows has no sh")]
fn every_example_of_the_overview_runs() {
    let overview = Shell::new(&["--help"]).outcome().stdout;
    let folder = tempfile::tempdir().expect("a folder");
    let mut tried = 0;
    for line in overview
        .lines()
        .filter(|line| line.starts_with("  setover "))
    {
        let command = line.trim().split("   ").next().expect("a command");
        let command = command.split(" works one").next().expect("a command");
        let command = command.split("  ").next().expect("a command");
        if command.contains("watch") || command.contains("compare") {
            continue;
        }
        let program = Path::new(env!("CARGO_BIN_EXE_setover"));
        let command = command.replacen("setover", &program.to_string_lossy(), 1);
        let command = command.replace("bore=", "journal=");
        let command = command.replace(".job bore", ".job journal");
        let output = std::process::Command::new("sh")
            .args(["-c", &format!("{command} </dev/null")])
            .current_dir(folder.path())
            .output()
            .expect("a shell");
        // 1: the change makes a check fail, which is what it is for.
        assert!(
            matches!(output.status.code(), Some(0 | 1)),
            "{command}: {}",
            String::from_utf8_lossy(&output.stderr)
        );
        tried += 1;
    }
    assert!(tried >= 14, "{tried} commands tried");
}

#[test]
fn the_documents_are_inside_the_program() {
    for (words, expected) in [
        (&["help"] as &[&str], "Sizes with limits"),
        (&["help", "draw"], "ISO 5455"),
        (&["help", "lever"], "big_bore"),
        (&["help", "holes"], "datum"),
        (&["help", "graph"], "vary"),
        (&["help", "units"], "0.45359237"),
        (&["help", "tapping_drill"], "tapping_drill(designation"),
        (&["help", "run"], "--with"),
    ] {
        let run = Shell::new(words).env("COLUMNS", "60").outcome();
        assert_eq!(run.status, Some(0), "{words:?}");
        assert!(run.stdout.contains(expected), "{words:?}\n{}", run.stdout);
        assert!(!run.stdout.contains("|--"), "{words:?}\n{}", run.stdout);
    }
    Shell::new(&["help", "untis"])
        .stderr("there is no topic `untis`\n  did you mean `setover help units`?\n")
        .status(2)
        .check();
}

#[test]
fn functions_come_by_topic_and_by_whole_words() {
    let topics = Shell::new(&["functions"]).outcome().stdout;
    assert!(topics.lines().count() < 50, "{topics}");
    let place = |topic: &str| topics.find(topic).expect(topic);
    assert!(place("Tapers") < place("Mathematics"));
    let pins = Shell::new(&["functions", "pin"]).outcome().stdout;
    assert!(
        pins.contains("pin_shear") && !pins.contains("spindle"),
        "{pins}"
    );
    let gears = Shell::new(&["functions", "gear"]).outcome().stdout;
    assert!(gears.contains("spur_gear") && !gears.contains("change_gears"));
    // What the records hold, and what may be asked for.
    let speed = Shell::new(&["functions", "speed_for"]).outcome().stdout;
    for word in [
        ".low",
        ".high",
        "\"countersink\"",
        "\"centre drill\"",
        "\"PTFE\"",
    ] {
        assert!(speed.contains(word), "{word}\n{speed}");
    }
}

#[test]
fn wrong_arguments_are_answered_in_words() {
    for (arguments, said) in [
        (
            &["foo"] as &[&str],
            "there is no command `foo`\n  `setover help` lists the commands; a notebook's file ends in .job\n",
        ),
        (
            &["rnu", "a.job"],
            "there is no command `rnu`\n  did you mean `setover run`? `setover help` lists the commands\n",
        ),
        (
            &["12 mm + 3 mm"],
            "there is no command `12 mm + 3 mm`\n  to work it out, write `setover calc '12 mm + 3 mm'`\n",
        ),
        (
            &["run", "a.job", "--wth", "a=1"],
            "`setover run` has no option `--wth`\n  did you mean `--with`?\n",
        ),
        (
            &["explain"],
            "`setover explain` needs FILE and NAME\n  write `setover explain FILE NAME`\n",
        ),
        (
            &["calc", "1", "mm"],
            "`setover calc` can't use `mm` as well\n  write `setover calc EXPRESSION`; quote what has blanks in it\n",
        ),
        (
            &["run", "a.job", "--as", "jsn"],
            "`--as` can't be `jsn`\n  did you mean `json`? it may be text, json, csv\n",
        ),
        (
            &["run", "a.job", "--samples", "many"],
            "`--samples` can't be `many`\n  write a whole number\n",
        ),
        (
            &["run", "a.job", "--with", "a=1", "--samples", "9"],
            "`--with` and `--samples` can't be given together\n  write `setover run FILE`\n",
        ),
    ] {
        Shell::new(arguments).stderr(said).status(2).check();
    }
}

/// What is meant by a name that nothing has, or a call that can't be understood.
#[test]
fn unknown_names_are_answered_with_what_to_write() {
    const PART: &str = "bore = 12 mm H7\npin = 12 mm g6\nplay = bore - pin\n";
    for (arguments, said) in [
        (
            &["set", "part.job", "zzz=3"] as &[&str],
            "the change\n    zzz=3\n    ~~~\n  there is no cell `zzz`\n  \
             its cells are `bore`, `pin`, `play`\n\nnothing was written\n",
        ),
        (
            &["set", "part.job", "measured zzz = 3 mm"],
            "the change\n    measured zzz = 3 mm\n    ~~~\n  there is no cell `zzz`\n  \
             its cells are `bore`, `pin`, `play`\n\nnothing was written\n",
        ),
        (
            &["run", "part.job", "--with", "zzz=3"],
            "--with\n    zzz=3\n    ~~~\n  there is no cell `zzz`\n  \
             its cells are `bore`, `pin`, `play`\n\n",
        ),
        (
            &["explain", "part.job", "zzz"],
            "there is no `zzz` in part.job\n  its cells are `bore`, `pin`, `play`\n",
        ),
        (
            &["calc", "zzz + 3 mm"],
            "the expression\n    zzz + 3 mm\n    ~~~\n  unknown name `zzz`\n  \
             write the value itself, or name its notebook with `--in FILE`\n\n",
        ),
        (
            &["calc", "foo(3)"],
            "the expression\n    foo(3)\n    ~~~\n  there is no function `foo`\n  \
             `foo(x) = 2 * x` would define one; `setover functions` lists the library's\n\n",
        ),
    ] {
        Shell::new(arguments)
            .file("part.job", PART)
            .stderr(said)
            .status(2)
            .check();
    }
    Shell::new(&["run", "part.job"])
        .file("part.job", "a = wall + 3 mm\n")
        .stdout(
            "part.job\n\n  a        ?; waiting: needs wall\n\nTo look at\n  no value  line 1  a\n",
        )
        .stderr(
            "part.job, line 1\n    a = wall + 3 mm\n        ~~~~\n  unknown name `wall`\n  \
             `wall = 12 mm` on a line of its own defines it\n\n",
        )
        .status(2)
        .check();
}

/// A notebook alone opens the prompt; here its input ends at once.
#[test]
fn a_notebook_alone_opens_the_prompt() {
    let run = Shell::new(&["lever.job"])
        .file("lever.job", "a = 1\n")
        .outcome();
    assert_eq!((run.status, run.stderr.as_str()), (Some(0), ""));
    let run = Shell::new(&["lever"])
        .file("lever.job", "a = 1\n")
        .outcome();
    assert_eq!((run.status, run.stderr.as_str()), (Some(0), ""));
}
