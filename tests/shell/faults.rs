//! Files that can't be read, readers that go away, and hostile notebooks.

use std::fs;
use std::io::Read;
use std::process::Stdio;
use std::time::{Duration, Instant};

use crate::builder::Shell;

#[track_caller]
fn unreadable(shell: Shell, why: &str) {
    shell
        .stderr(&format!("part.job can't be read: {why}\n"))
        .status(2)
        .check();
}

#[test]
fn a_file_that_is_missing() {
    unreadable(Shell::new(&["run", "part.job"]), "there is no such file");
    unreadable(Shell::new(&["check", "part.job"]), "there is no such file");
    unreadable(
        Shell::new(&["calc", "--in", "part.job", "1"]),
        "there is no such file",
    );
}

#[test]
fn a_folder_is_no_notebook() {
    unreadable(
        Shell::new(&["run", "part.job"]).folder("part.job"),
        "it is a folder",
    );
}

#[test]
fn a_file_of_another_kind() {
    Shell::new(&["run", "part.txt"])
        .file("part.txt", "a = 1\n")
        .stderr("part.txt can't be read: a notebook's file name ends in .job\n")
        .status(2)
        .check();
}

#[test]
fn text_that_is_not_utf_8_names_its_line() {
    let why = "line 3 is not UTF-8 text; save the file as UTF-8";
    unreadable(
        Shell::new(&["run", "part.job"]).file("part.job", b"a = 1\nb = 2\nc = \"\xe4\"\n"),
        why,
    );
    let run = Shell::new(&["run", "a.job"])
        .file("a.job", "use b\nx = 1\n")
        .file("b.job", b"\xff")
        .outcome();
    assert_eq!(run.status, Some(2));
    assert!(
        run.stderr
            .contains("the notebook `b` can't be read: line 1 is not UTF-8"),
        "{}",
        run.stderr
    );
    assert!(run.stdout.contains("x  1"));
}

#[cfg(unix)]
#[test]
fn a_file_without_permission() {
    use std::os::unix::fs::PermissionsExt;
    let shell = Shell::new(&["run", "part.job"]).file("part.job", "a = 1\n");
    let path = shell.path("part.job");
    fs::set_permissions(&path, fs::Permissions::from_mode(0o000)).expect("permissions set");
    if fs::read(&path).is_ok() {
        println!("this user may read everything: nothing to try");
        return;
    }
    unreadable(shell, "its permissions forbid it");
}

/// A pipe would make the program wait for its writer.
#[cfg(unix)]
#[test]
fn a_pipe_in_place_of_a_file() {
    let shell = Shell::new(&["run", "part.job"]);
    let made = std::process::Command::new("mkfifo")
        .arg(shell.path("part.job"))
        .status();
    if !made.is_ok_and(|status| status.success()) {
        println!("there is no mkfifo: nothing to try");
        return;
    }
    unreadable(shell, "it is not an ordinary file");
}

/// The reader goes away before anything is written, or after the first lines.
#[test]
fn a_closed_pipe_is_no_fault() {
    let big: String = (0..3_000)
        .map(|place| format!("a{place} = {place} mm # a remark of some length to fill the pipe\n"))
        .collect();
    for read in [0, 100] {
        for form in ["text", "json", "csv"] {
            let mut shell = Shell::new(&["run", "--as", form, "part.job"]).file("part.job", &big);
            let mut child = shell
                .command()
                .stdout(Stdio::piped())
                .stderr(Stdio::piped())
                .spawn()
                .expect("the program runs");
            let mut out = child.stdout.take().expect("a pipe");
            out.read_exact(&mut vec![0; read]).expect("so much output");
            drop(out);
            let mut said = String::new();
            child
                .stderr
                .take()
                .expect("a pipe")
                .read_to_string(&mut said)
                .expect("UTF-8");
            assert_eq!(child.wait().expect("an end").code(), Some(0), "{form}");
            assert_eq!(said, "", "{form}");
        }
    }
}

/// A hostile notebook ends with an error that names the cell. The time is no
/// measurement: it only tells an end from none.
#[test]
fn hostile_notebooks_end() {
    let f = "f(n) = if n < 1 then 1 else f(n - 1) + f(n - 1)\n";
    for (text, words) in [
        (
            format!("{f}a = f(60)\n"),
            "part.job, line 2\n    a = f(60)\n        ~",
        ),
        (
            format!("{f}find x between 0 and 1 so that f(40) * x = 1\n"),
            "part.job, line 2",
        ),
        (
            format!("{f}table t\n| x | y = f(40) |\n{}", "| 1 | |\n".repeat(500)),
            "steps",
        ),
        (
            "a = ".to_owned() + &"(".repeat(60_000) + "\n",
            "part.job, line 1",
        ),
        (
            "a = \"\\\\\" + ".to_owned() + &"(".repeat(60_000) + "\n",
            "brackets nest",
        ),
        (
            "a = ".to_owned() + &"1 \"".repeat(500_000) + "\n",
            "the limit is 65536",
        ),
        ("\0".repeat(100_000) + "\n", "part.job, line 1"),
    ] {
        let start = Instant::now();
        let run = Shell::new(&["run", "part.job"])
            .file("part.job", &text)
            .outcome();
        assert_eq!(run.status, Some(2), "{}", run.stderr);
        assert!(run.stderr.contains(words), "{words}\n{}", run.stderr);
        assert!(start.elapsed() < Duration::from_secs(300));
        assert!(
            run.stderr.len() < 100_000,
            "{} bytes of errors",
            run.stderr.len()
        );
    }
}

#[test]
fn many_errors_are_cut_short() {
    let run = Shell::new(&["run", "part.job"])
        .file("part.job", "a = = 1\n".repeat(200))
        .outcome();
    assert_eq!(run.stderr.matches("part.job, line ").count(), 50);
    assert!(run.stderr.ends_with("and 150 more\n"), "{}", run.stderr);
}

/// Control characters of a notebook do not reach the terminal.
#[test]
fn no_control_characters_are_printed() {
    let text = "title \u{1b}[31mred\u{7}\n[Sec\u{1b}[0mtion]\na = \"x\u{1b}[2Jy\u{8}\"\nb = 1 \u{1b}\nop Say \u{1b}[1m.\ncheck \"\u{1b}\" = \"\" # note\u{1b}\n";
    for form in ["text", "json", "csv"] {
        let run = Shell::new(&["run", "--as", form, "part.job"])
            .file("part.job", text)
            .outcome();
        let control = |text: &str| text.chars().any(|c| c.is_control() && c != '\n');
        assert!(
            form != "text" || !control(&run.stdout),
            "{form}: {:?}",
            run.stdout
        );
        assert!(!control(&run.stderr), "{:?}", run.stderr);
    }
}

/// Limits that take too long to find out are not claimed: what depends on them says
/// so, and checks are decided before.
#[test]
fn limits_without_end_end() {
    use std::fmt::Write;
    let mut text = String::new();
    for size in 0..300 {
        let _ = writeln!(text, "s{size} = 10 mm ±0.1");
    }
    let all: Vec<String> = (0..300).map(|size| format!("s{size}")).collect();
    let _ = writeln!(text, "all = {}", all.join(" + "));
    for size in 0..300 {
        let _ = writeln!(
            text,
            "u{size} = all * s{size} / (all + s{})",
            (size + 1) % 300
        );
    }
    text += "check all < 4000 mm\n";
    let run = Shell::new(&["run", "part.job"])
        .file("part.job", &text)
        .outcome();
    assert_eq!(run.status, Some(0), "{}", run.stderr);
    let check = run.stdout.lines().find(|line| line.contains("all < 4000"));
    assert!(
        check.is_some_and(|line| line.contains("holds")),
        "{check:?}"
    );
    assert!(run.stdout.contains("limits take too many steps"));
}

/// Many checks, readings and what-if tables end too.
#[test]
fn long_notebooks_end() {
    let checks: String = (0..3_000).map(|n| format!("check x < {n} mm\n")).collect();
    let readings = "measured x = 1.002 mm\n".repeat(3_000);
    let f = "f(n) = if n < 1 then 1 else f(n - 1) + f(n - 1)\n";
    let tables = "vary x from 0 mm to 900 mm by 1 mm show c\n".repeat(20);
    for (text, words) in [
        (format!("x = 1 mm H7\n{checks}"), "check x < 2999 mm"),
        (format!("x = 1 mm H7\n{readings}"), "3000 readings"),
        (format!("{f}x = 1 mm\nc = x * f(8)\n{tables}"), "no value"),
    ] {
        let run = Shell::new(&["run", "part.job"])
            .file("part.job", &text)
            .outcome();
        let words = words.trim_start_matches("check ");
        assert!(run.stdout.contains(words), "{words}: {}", run.stderr);
    }
}
