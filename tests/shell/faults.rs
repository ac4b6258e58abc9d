//! Files that can't be read, and readers that go away.

use std::io::Read;
use std::process::Stdio;

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
    std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o000))
        .expect("permissions set");
    if std::fs::read(&path).is_ok() {
        println!("this user may read everything: nothing to try");
        return;
    }
    unreadable(shell, "its permissions forbid it");
}

/// A link may lead to a notebook in another folder, not to any file.
#[cfg(unix)]
#[test]
fn a_link_out_of_the_folder() {
    use std::os::unix::fs::symlink;
    let outside = tempfile::tempdir().expect("a folder");
    let secret = outside.path().join("secret.txt");
    let shared = outside.path().join("workshop.job");
    std::fs::write(&secret, "password = swordfish\n").expect("written");
    std::fs::write(&shared, "speed = 90 rpm\nhidden_word = = 1\n").expect("written");
    let shell = Shell::new(&["run", "part.job"]).file("part.job", "use secret\na = secret.pass\n");
    symlink(&secret, shell.path("secret.job")).expect("a link");
    let run = shell.outcome();
    assert!(
        run.stderr.contains("does not end in .job"),
        "{}",
        run.stderr
    );
    let shell = Shell::new(&["run", "part.job"]).file(
        "part.job",
        "use workshop\na = workshop.speed\nb = workshop.hidden_wor\n",
    );
    symlink(&shared, shell.path("workshop.job")).expect("a link");
    let run = shell.outcome();
    assert_eq!(run.status, Some(2));
    assert!(run.stdout.contains("90"), "{}", run.stdout);
    assert!(
        run.stderr.contains("line 2 of workshop.job"),
        "{}",
        run.stderr
    );
    for said in [&run.stdout, &run.stderr] {
        assert!(!said.contains("hidden_word"), "{said}");
        assert!(!said.contains("swordfish"), "{said}");
    }
}

/// Two names of one file are one notebook: sizes of it cancel.
#[cfg(unix)]
#[test]
fn a_notebook_is_the_file_and_not_its_name() {
    let shell = Shell::new(&["run", "--as", "json", "part.job"])
        .file("shaft.job", "j = 12 mm ±0.2\n")
        .file(
            "part.job",
            "use shaft\nuse axle\ngap = shaft.j - axle.j + 1 mm\n",
        );
    std::os::unix::fs::symlink("shaft.job", shell.path("axle.job")).expect("a link");
    let run = shell.outcome();
    let sheet: serde_json::Value = serde_json::from_str(&run.stdout).expect("JSON");
    let row = &sheet["sections"][0]["rows"][0];
    assert_eq!(row["name"], "gap", "{}", run.stderr);
    for limit in ["low", "high"] {
        let limit = row[limit].as_f64().unwrap_or(1.0);
        assert!((limit - 1.0).abs() < 1e-9, "{row}");
    }
}

/// A disk that knows no case finds a file by a name in other letters: the name is
/// refused, as one that tells them apart refuses it.
#[test]
fn a_name_in_other_letters() {
    let run = Shell::new(&["run", "part.job"])
        .file("Shaft.job", "j = 12 mm\n")
        .file("part.job", "use shaft as s\na = s.j\n")
        .outcome();
    assert_eq!(run.status, Some(2));
    let said = &run.stderr;
    assert!(said.contains("Shaft"), "{said}");
    let run = Shell::new(&["run", "PART.JOB"])
        .file("PART.JOB", "a = 1\n")
        .outcome();
    assert_eq!((run.status, run.stderr.as_str()), (Some(0), ""));
}

#[test]
fn wildcards_that_the_shell_leaves_are_filled_in() {
    let run = Shell::new(&["run", "lever-*.job"])
        .file("lever-a.job", "a = 1\n")
        .file("lever-b.job", "b = 2\n")
        .file("other.job", "c = 3\n")
        .outcome();
    assert_eq!(run.status, Some(0), "{}", run.stderr);
    assert!(run.stdout.contains("a  1") && run.stdout.contains("b  2"));
    assert!(!run.stdout.contains("c  3"));
    Shell::new(&["calc", "2*3"])
        .file("2x3", "")
        .stdout("6\n")
        .check();
}

/// Windows keeps these names for devices.
#[test]
fn names_that_no_file_can_have_everywhere() {
    for name in ["con", "nul", "COM1", "aux.job", "what?"] {
        let run = Shell::new(&["new", name]).outcome();
        assert_eq!(run.status, Some(2), "{name}");
        assert!(run.stderr.contains("on Windows"), "{name}: {}", run.stderr);
    }
    let run = Shell::new(&["new", "clutch lever"]).outcome();
    let advice = "`setover run \"clutch lever.job\"`";
    assert!(run.stdout.contains(advice), "{}", run.stdout);
}

#[test]
fn an_expression_from_standard_input() {
    use std::io::Write;
    let asked = |bytes: &[u8]| {
        let mut shell = Shell::new(&["calc"]);
        let mut child = shell
            .command()
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("it starts");
        let mut input = child.stdin.take().expect("a pipe");
        input.write_all(bytes).expect("written");
        drop(input);
        child.wait_with_output().expect("it ends")
    };
    // ISO 261: the coarse pitch of M8 is 1.25 mm.
    let given = asked(b"thread(\"M8\").pitch\r\n");
    assert_eq!(String::from_utf8_lossy(&given.stdout), "1.250 mm\n");
    let refused = asked(b"30 \xb0");
    assert_eq!(refused.status.code(), Some(2));
    let said = String::from_utf8_lossy(&refused.stderr).into_owned();
    assert!(said.contains("not UTF-8"), "{said}");
}

/// The shell took the quotes off the designation.
#[test]
fn an_expression_without_its_quotes_gets_advice() {
    let run = Shell::new(&["calc", "tapping_drill(M8)"]).outcome();
    assert_eq!(run.status, Some(2));
    let advice = if cfg!(windows) {
        "`setover calc \"tapping_drill(\\\"M8\\\")\"`"
    } else {
        "`setover calc 'tapping_drill(\"M8\")'`"
    };
    assert!(run.stderr.contains(advice), "{}", run.stderr);
}

/// Texts that a table program would take for formulas.
#[test]
fn no_text_in_csv_is_run_by_a_table_program() {
    let run = Shell::new(&["run", "--as", "csv", "part.job"])
        .file(
            "part.job",
            "a = \"=1+2\" # @note\nb = -0.5 mm\nc = \"-1+A1\"\n",
        )
        .outcome();
    assert_eq!(run.status, Some(0), "{}", run.stderr);
    let mut reader = csv::Reader::from_reader(run.stdout.as_bytes());
    let mut fields = 0;
    for record in reader.records() {
        for field in &record.expect("a record") {
            let runs = field.starts_with(['=', '+', '-', '@']);
            assert!(!runs || field.starts_with("-0."), "{field}");
            fields += usize::from(field.starts_with('\''));
        }
    }
    assert!(fields >= 4, "{}", run.stdout);
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
