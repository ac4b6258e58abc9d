//! Hostile notebooks: each ends, with an error at its place.

use std::time::{Duration, Instant};

use crate::builder::Shell;

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
    // Also where a change brings them.
    let text = "p = [1 mm, 2 mm]\n".to_owned() + &"op for one over p\n".repeat(200);
    let with = Shell::new(&["run", "part.job", "--with", "p=7 mm"]).file("part.job", &text);
    let prompt = Shell::new(&["try", "part.job"]).file("part.job", &text);
    let mut prompt = prompt.file("typed.txt", "p = 7 mm\n");
    let typed = std::fs::File::open(prompt.path("typed.txt")).expect("what is typed");
    prompt.command().stdin(typed);
    for run in [with.outcome(), prompt.outcome()] {
        assert_eq!(run.stderr.matches("has no rows").count(), 50);
        let end = run.stderr.trim_end();
        assert!(end.ends_with("and 150 more"), "{}", run.stderr);
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

/// Lists of lists share their parts, and a few lines may name millions of values: what
/// would have to be printed is bounded.
#[test]
fn values_in_all_are_bounded() {
    use std::fmt::Write;
    let mut text = "a = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10]\n".to_owned();
    for (list, of) in [("b", "a"), ("c", "b"), ("d", "c")] {
        let _ = writeln!(text, "{list} = [{}]", [of; 10].join(", "));
    }
    for list in 0..100 {
        let _ = writeln!(text, "e{list} = [d, d, d, d, d, d, d, d, d]");
    }
    for form in ["text", "json", "csv"] {
        let run = Shell::new(&["run", "--as", form, "part.job"])
            .file("part.job", &text)
            .outcome();
        assert_eq!(run.status, Some(2));
        let said = "have more than 120000 values in all";
        assert!(run.stderr.contains(said), "{}", run.stderr);
        // Not the 9,000,000 values that it names.
        assert!(run.stdout.len() < 50_000_000, "{}", run.stdout.len());
    }
}

#[test]
fn samples_of_many_values_are_bounded() {
    let mut text = "a = 10 mm ±0.1\ntable holes\n| x | y = x + a |\n".to_owned();
    text += &"| 1 mm | |\n".repeat(2_000);
    let run = Shell::new(&["run", "--samples", "1000000", "part.job"])
        .file("part.job", &text)
        .outcome();
    assert_eq!(run.status, Some(2));
    assert!(
        run.stderr.contains("has so much to work out"),
        "{}",
        run.stderr
    );
    let run = Shell::new(&["run", "--samples", "1000000000", "part.job"])
        .file("part.job", &text)
        .outcome();
    assert!(run.stderr.contains("from 1 to"), "{}", run.stderr);
}

/// Few values, but each check goes through the whole list in each sample: without a bound
/// these 10,000 take some minutes.
#[test]
fn samples_of_many_steps_are_bounded() {
    let list: Vec<String> = (1..=2_000).map(|number| number.to_string()).collect();
    let mut text = format!("a = 1 mm ±0.1\nl = a * [{}]\n", list.join(", "));
    text += &"check l > 0.1 mm\n".repeat(300);
    let run = Shell::new(&["run", "--samples", "10000", "part.job"])
        .file("part.job", &text)
        .outcome();
    assert_eq!(run.status, Some(2));
    let said = "--samples 10000 can't be done: part.job has so much to work out that ";
    assert!(run.stderr.contains(said), "{}", run.stderr);
    assert!(run.stdout.is_empty());
}

/// Sizes at the end of what numbers can hold: words where there is no number.
#[test]
fn what_is_no_number_is_said_in_words() {
    let text = "a = 1.7e308 mm ±1e307\nb = a - 1.7e308 mm\nc = a * 2\ne = 1e-320 mm ±1e-321\n\
        find x between -1.7e308 mm and 1.7e308 mm so that x = b\ndraw fit(hole: a, shaft: c)\n";
    let mut said = Vec::new();
    for name in ["a", "b", "c", "e", "x"] {
        said.push(Shell::new(&["explain", "part.job", name]));
    }
    said.push(Shell::new(&["run", "part.job"]));
    said.push(Shell::new(&["run", "--as", "csv", "part.job"]));
    let mut words = 0;
    for shell in said {
        let run = shell.file("part.job", text).outcome();
        let numbers = run.stdout.split(|c: char| !c.is_alphanumeric());
        let none = numbers.filter(|word| ["NaN", "inf", "Infinity"].contains(word));
        assert_eq!(none.count(), 0, "{}", run.stdout);
        words += run.stdout.matches("no number").count();
    }
    assert!(words > 4, "{words}");
}

/// What-if tables share the values that they may hold, and what is shown of long texts
/// is bounded too.
#[test]
fn what_if_tables_and_texts_are_bounded() {
    use std::fmt::Write;
    let mut grids = "a = 1 mm\nb = 1 mm\n".to_owned();
    for grid in 0..50 {
        let _ = writeln!(
            grids,
            "vary a from 1 mm to 100 mm by 1 mm and b from 1 mm to 100 mm by 1 mm show a * b + {grid} mm^2"
        );
    }
    let mut texts = "a0 = \"0123456789abcdef\"\n".to_owned();
    for text in 1..=8 {
        let _ = writeln!(texts, "a{text} = a{} + a{}", text - 1, text - 1);
    }
    for text in 0..3_000 {
        let _ = writeln!(texts, "b{text} = a8 + \"{text}\"");
    }
    let rows = "vary a from 1 to 10000 by 1 show p\n";
    let lists = format!("a = 1\np = pitch_circle(200, a * 1 mm)\n{rows}");
    for (text, said) in [
        (
            grids,
            "the what-if tables and graphs of a notebook share 120000 values, 2400 each",
        ),
        (texts, "have more than 120000 values in all"),
        (lists, ""),
    ] {
        let run = Shell::new(&["run", "part.job"])
            .file("part.job", &text)
            .outcome();
        assert_eq!(
            run.status,
            Some(if said.is_empty() { 0 } else { 2 }),
            "{}",
            run.stderr
        );
        assert!(run.stderr.contains(said), "{said}: {}", run.stderr);
        let many = "no value: the what-if tables of the notebook hold too many values";
        assert!(
            !said.is_empty() || run.stdout.contains(many),
            "{}",
            run.stdout
        );
        assert!(run.stdout.len() < 20_000_000, "{}", run.stdout.len());
    }
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
