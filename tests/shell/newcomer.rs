//! A newcomer's first lines, slips and all: each ends with an answer, or with advice
//! that works when it is typed as given.

use std::io::Write;
use std::process::Stdio;

use crate::builder::{Outcome, Shell};

/// What a line brings.
enum Brings {
    /// An answer that contains this.
    Answer(&'static str),
    /// Advice; the line as a newcomer then types it.
    Then(&'static str),
}
use Brings::{Answer, Then};

/// The lines. Answers are worked by hand or stand in the standard named.
const LINES: &[(&str, Brings)] = &[
    // Plain arithmetic, as on a pocket calculator.
    ("12 mm + 3 mm", Answer("15.000 mm")),
    ("12mm+3mm", Answer("15.000 mm")),
    ("1/2 in", Answer("0.5000 in")),
    ("3/8 in as mm", Answer("9.525 mm")),
    ("12 mm in inch", Then("12 mm as inch")),
    ("1 in to mm", Then("1 in as mm")),
    ("what is 12 mm in inches?", Then("12 mm as inches")),
    ("=2+3", Then("2+3")),
    ("2+3=", Then("2+3")),
    ("3 x 4 mm", Then("3 * 4 mm")),
    ("12 ÷ 4", Then("12 / 4")),
    ("2 ** 3", Then("2 ^ 3")),
    ("√2", Then("sqrt(2)")),
    ("sqrt 2", Then("sqrt(2)")),
    ("sin 30", Then("sin(30 deg)")),
    ("sin(30)", Then("sin(30 deg)")),
    ("Sin(30 deg)", Then("sin(30 deg)")),
    ("30 deg 15 min", Then("30°15'")),
    ("(1 + 2", Then("(1 + 2)")),
    ("12,5 mm", Then("12.5 mm")),
    ("12 MM", Then("12 mm")),
    ("25 millimeters", Then("25 mm")),
    ("1200 RPM", Then("1200 rpm")),
    ("30 deg + 2", Then("30 deg + 2 deg")),
    // Sizes and their names.
    ("bore = 12 mm H7", Answer("12.000 to 12.018")), // ISO 286-2, table 6
    ("bore: 12 mm", Then("bore = 12 mm")),
    ("bore 12 mm H7", Then("bore = 12 mm H7")),
    ("let bore = 12 mm", Then("bore = 12 mm")),
    ("bore = 12 H7", Then("bore = 12 mm H7")),
    ("12 mm H7/g6", Then("fit(12 mm, \"H7/g6\")")),
    ("set bore = 12 mm H7", Then("bore = 12 mm H7")),
    ("limits(\"12 H7\")", Then("limits(12 mm, \"H7\")")),
    ("fit(\"12 H7/g6\")", Then("fit(12 mm, \"H7/g6\")")),
    ("limits(\"twelve\", \"H7\")", Then("limits(12 mm, \"H7\")")),
    ("(1 + 2) mm", Then("(1 + 2) * 1 mm")),
    ("[10, 20] + 3 mm", Then("[10, 20] mm + 3 mm")),
    ("wall + 3 mm", Then("wall = 12 mm")),
    ("foo(3)", Then("foo(x) = 2 * x")),
    // What the trade asks for.
    ("tapping_drill(\"M8\")", Answer("6.800 mm")), // ISO 2306
    ("tapping_drill(M8)", Then("tapping_drill(\"M8\")")),
    ("tapping drill M8", Then("tapping_drill(\"M8\")")),
    ("M8 tapping drill", Then("tapping_drill(\"M8\")")),
    ("tapping_dril(\"M8\")", Then("tapping_drill(\"M8\")")),
    ("M8", Then("thread(\"M8\")")),
    (
        "spindle_speed(30, 25 mm)",
        Then("spindle_speed(30 m/min, 25 mm)"),
    ),
    (
        "speed_for(mild steel, HSS, turn)",
        Then("speed_for(\"mild steel\", \"HSS\", \"turn\")"),
    ),
    (
        "speed_for(\"milde steel\", \"HSS\", \"turn\")",
        Then("speed_for(\"mild steel\", \"HSS\", \"turn\")"),
    ),
    (
        "speed_for(\"mild steel\")",
        Then("speed_for(\"mild steel\", \"HSS\", \"turn\")"),
    ),
    (
        "spindel_speed(30 m/min, 25 mm)",
        Then("spindle_speed(30 m/min, 25 mm)"),
    ),
    // Words.
    ("help", Answer("leave")),
    ("?", Answer("the word here is `help`")),
    (".help", Then("help")),
    ("help taper", Answer("taper(designation)")),
    ("rpm for 25 mm mild steel", Then("help rpm")),
    ("taper angle", Then("help taper angle")),
    ("explan bore", Then("explain")),
    ("wall", Then("wall = 12 mm")),
    ("functions", Answer("Tapers")),
    ("functions pin", Answer("pin_shear")),
    ("run", Answer("(this session)")),
    ("setover functions", Then("help")),
    ("quit", Answer("")),
];

/// Types lines at the prompt.
fn typed(lines: &str) -> Outcome {
    let mut shell = Shell::new(&[]);
    let mut child = shell
        .command()
        .env("COLUMNS", "200")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program runs");
    let mut stdin = child.stdin.take().expect("its input");
    let text = format!("{lines}\n");
    stdin.write_all(text.as_bytes()).expect("it takes input");
    drop(stdin);
    let output = child.wait_with_output().expect("it ends");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("UTF-8");
    Outcome {
        stdout: text(output.stdout),
        stderr: text(output.stderr),
        status: output.status.code(),
    }
}

/// What an error says to write: the quoted pieces of its last line.
fn advised(errors: &str) -> Vec<String> {
    let advice = errors.trim_end().lines().last().unwrap_or("");
    let pieces = advice.split('`').skip(1).step_by(2);
    pieces.map(str::to_owned).collect()
}

/// No sign of another program's way of showing errors.
#[track_caller]
fn of_its_own_look(errors: &str) {
    for line in errors.lines() {
        let gutter = line.trim_start().starts_with("| ") || line.trim() == "|";
        assert!(
            !line.contains("-->") && !line.contains("= help:") && !gutter,
            "{line}\nin\n{errors}"
        );
        assert!(!line.starts_with("error"), "{line}");
    }
}

#[test]
fn forty_first_lines_at_the_prompt() {
    assert!(LINES.len() >= 40, "{} lines", LINES.len());
    for (line, brings) in LINES {
        let run = typed(line);
        of_its_own_look(&run.stderr);
        match brings {
            Answer(expected) => {
                assert_eq!((run.status, run.stderr.as_str()), (Some(0), ""), "{line}");
                assert!(run.stdout.contains(expected), "{line}\n{}", run.stdout);
            }
            Then(next) => {
                assert!(!run.stderr.is_empty(), "{line}: {}", run.stdout);
                let pieces = advised(&run.stderr);
                assert!(
                    pieces.iter().any(|piece| next.contains(piece.as_str())),
                    "{line}: {pieces:?} in\n{}",
                    run.stderr
                );
                if line.starts_with("explan") {
                    continue; // Of a command only the word is advised.
                }
                let then = typed(next);
                assert_eq!((then.status, then.stderr.as_str()), (Some(0), ""), "{next}");
            }
        }
    }
}

/// A name that nothing defines is told once, with what to write.
#[test]
fn an_unknown_name_is_told_once() {
    let run = typed("a = 1 mm + wall\nb = a + wall");
    assert_eq!(run.stderr.matches("`wall`\n").count(), 2, "{}", run.stderr);
    let advice = run.stderr.matches("`wall = 12 mm` on a line of its own");
    assert_eq!(advice.count(), 2, "{}", run.stderr);
    let run = typed("a = 1 mm + wall");
    assert_eq!(run.stderr.matches("`wall`\n").count(), 1, "{}", run.stderr);
}

/// The same slips in a file, as formulas of cells.
#[test]
fn the_same_slips_in_a_file() {
    let mut tried = 0;
    for (line, brings) in LINES {
        let Then(next) = brings else { continue };
        let command = ["help", "explain"]
            .iter()
            .any(|word| next.starts_with(word));
        let unknown = *line == "wall";
        if command || unknown {
            continue;
        }
        let cell = |text: &str| {
            if text.contains('=') && !text.starts_with('=') && !text.ends_with('=')
                || text.contains("bore")
            {
                format!("{text}\n")
            } else {
                format!("size = {text}\n")
            }
        };
        let run = |text: &str| {
            Shell::new(&["run", "part.job"])
                .file("part.job", cell(text))
                .outcome()
        };
        let wrong = run(line);
        of_its_own_look(&wrong.stderr);
        assert_eq!(wrong.status, Some(2), "{line}: {}", wrong.stdout);
        assert!(
            wrong.stderr.starts_with("part.job, line 1\n"),
            "{line}: {}",
            wrong.stderr
        );
        let pieces = advised(&wrong.stderr);
        let followed = cell(next);
        assert!(
            pieces.iter().any(|piece| followed.contains(piece.as_str())),
            "{line}: {pieces:?} in\n{}",
            wrong.stderr
        );
        let right = run(next);
        assert_eq!(
            (right.status, right.stderr.as_str()),
            (Some(0), ""),
            "{next}"
        );
        tried += 1;
    }
    assert!(tried >= 25, "{tried} slips tried");
}

/// Every command with something wrong: none shows errors in another program's way,
/// and none asks for a point before a word.
#[test]
fn no_command_shows_errors_in_another_programs_way() {
    for arguments in [
        &["run", "part.job"] as &[&str],
        &["check", "part.job"],
        &["sheet", "part.job"],
        &["explain", "part.job", "none"],
        &["set", "part.job", "b=("],
        &["run", "part.job", "--with", "b=("],
        &["compare", "part.job", "part.job"],
        &["calc", "1 mm +", "--in", "part.job"],
        &["run", "gone.job"],
        &["functions", "zzqq"],
        &["help", "zzqq"],
        &["add", "part.job", "zzqq"],
        &["frobnicate"],
        &["run", "--zzqq"],
    ] {
        let run = Shell::new(arguments)
            .file("part.job", "a = 1 +\nb = a + unknown\ncheck b >\n")
            .outcome();
        let text = format!("{}{}", run.stdout, run.stderr);
        assert!(!text.is_empty(), "{arguments:?}");
        if arguments != ["sheet", "part.job"] {
            of_its_own_look(&text);
        }
        assert!(
            !text.contains("= help:") && !text.contains("\n --> "),
            "{arguments:?}\n{text}"
        );
    }
    let help = typed("help").stdout;
    assert!(help.contains("undo"), "{help}");
    assert!(
        !help.lines().any(|line| line.trim_start().starts_with('.')),
        "{help}"
    );
}
