//! Several notebooks: named on the command line, and using one another.

use crate::builder::Shell;

#[test]
fn one_broken_file_does_not_stop_the_others() {
    Shell::new(&["run", "a.job", "gone.job", "b.job"])
        .file("a.job", "x = 1\n")
        .file("b.job", "y = 2\n")
        .stdout("a.job\n\n  x  1\n\nb.job\n\n  y  2\n")
        .stderr("gone.job can't be read: there is no such file\n")
        .status(2)
        .check();
    let run = Shell::new(&["check", "a.job", "b.job"])
        .file("a.job", "check 1 > 2\n")
        .file("b.job", "check 2 > 1\n")
        .outcome();
    assert_eq!(run.status, Some(1));
    // What is wrong weighs more than a check that fails, whichever comes first.
    let run = Shell::new(&["check", "a.job", "b.job"])
        .file("a.job", "x = = 1\n")
        .file("b.job", "check 1 > 2\n")
        .outcome();
    assert_eq!(run.status, Some(2));
    let run = Shell::new(&["run", "--as", "json", "a.job", "gone.job"])
        .file("a.job", "x = 1\n")
        .outcome();
    assert_eq!(run.status, Some(2));
    assert_eq!(
        serde_json::from_str::<serde_json::Value>(&run.stdout)
            .expect("JSON")
            .as_array()
            .map(Vec::len),
        Some(1)
    );
}

#[test]
fn a_notebook_sees_the_one_it_uses() {
    Shell::new(&["run", "jobs/lever.job"])
        .folder("jobs")
        .file("jobs/lever.job", "use declination-shaft as shaft\nuse workshop\nbore = shaft.journal + 0.1 mm\nrpm = workshop.speeds[2]\n")
        .file("jobs/declination-shaft.job", "journal = 12 mm\n")
        .file("jobs/workshop.job", "speeds = [100, 200] rpm\n")
        .stdout("jobs/lever.job\n\n  bore   12.100  mm\n  rpm   200      rpm\n")
        .check();
}

#[test]
fn a_notebook_that_is_missing_marks_what_needs_it() {
    Shell::new(&["run", "lever.job"])
        .file(
            "lever.job",
            "use workshp as shop\na = shop.speed * 2\nb = 3\n",
        )
        .file("workshop.job", "speed = 2\n")
        .stdout("lever.job\n\n  a        ?; waiting: needs shop.speed\n  b  3\n\nTo look at\n  no value  line 2  a\n")
        .stderr(
            "\
lever.job, line 1
    use workshp as shop
        ~~~~~~~
  the notebook `workshp` can't be read: there is no such file
  did you mean `workshop`?

",
        )
        .status(2)
        .check();
}

#[test]
fn a_name_that_the_other_notebook_lacks() {
    let run = Shell::new(&["run", "a.job"])
        .file("a.job", "use b\nx = b.lenght\n")
        .file("b.job", "length = 2 mm\n")
        .outcome();
    assert_eq!(run.status, Some(2));
    assert!(
        run.stderr.contains(
            "a.job, line 2\n    x = b.lenght\n          ~~~~~~\n  there is no `lenght` in b.job\n"
        ),
        "{}",
        run.stderr
    );
    assert!(
        run.stderr.contains("did you mean `length`?"),
        "{}",
        run.stderr
    );
}

#[test]
fn what_is_wrong_in_a_notebook_in_use_is_shown_there() {
    let run = Shell::new(&["run", "a.job"])
        .file("a.job", "use b\nx = b.y + 1\nz = 2\n")
        .file("b.job", "q = 1\ny = 1 / 0\n")
        .outcome();
    assert_eq!(run.status, Some(2));
    assert!(
        run.stderr
            .contains("b.job, line 2\n    y = 1 / 0\n        ~"),
        "{}",
        run.stderr
    );
    assert!(
        run.stdout.contains("x        ?; waiting: needs b.y") && run.stdout.contains("z  2"),
        "{}",
        run.stdout
    );
}

#[test]
fn notebooks_that_use_one_another_show_their_path() {
    let run = Shell::new(&["run", "a.job"])
        .file("a.job", "use b\nx = b.y\nok = 1\n")
        .file("b.job", "use c\ny = c.z\n")
        .file("c.job", "use a\nz = a.x\n")
        .outcome();
    assert_eq!(run.status, Some(2));
    assert!(
        run.stderr
            .contains("c.job, line 1\n    use a\n        ~\n  these notebooks use one another: a → b → c → a\n"),
        "{}",
        run.stderr
    );
    assert!(run.stdout.contains("ok  1"), "{}", run.stdout);
    let run = Shell::new(&["run", "a.job"])
        .file("a.job", "use a as me\nx = me.y\ny = 1\n")
        .outcome();
    assert_eq!(run.status, Some(2));
    assert!(
        run.stderr.contains(
            "a.job, line 1\n    use a as me\n        ~\n  these notebooks use one another: a → a\n"
        ),
        "{}",
        run.stderr
    );
}

#[test]
fn a_chain_of_many_notebooks_ends() {
    let mut shell = Shell::new(&["run", "n0.job"]);
    for place in 0..100 {
        shell = shell.file(
            &format!("n{place}.job"),
            format!("use n{} as next\nx = next.x\n", place + 1),
        );
    }
    let run = shell.outcome();
    assert_eq!(run.status, Some(2));
    assert!(
        run.stderr
            .contains("notebooks use one another more than 64 deep"),
        "{}",
        run.stderr
    );
}

/// A notebook reads nothing but the `.job` files beside it.
#[test]
fn a_notebook_reads_nothing_elsewhere() {
    for other in [
        "\"../outside\"",
        "\"/etc/passwd\"",
        "\"sub/part\"",
        "\".hidden\"",
        "\"..\"",
        "\"\"",
        "\"a\\\\b\"",
        "\"a\u{0}b\"",
    ] {
        let run = Shell::new(&["run", "a.job"])
            .file("a.job", format!("use {other} as x\n"))
            .outcome();
        assert_eq!(run.status, Some(2), "{other}");
        assert!(
            run.stderr.contains("is in the same folder as this one"),
            "{other}: {}",
            run.stderr
        );
    }
}
