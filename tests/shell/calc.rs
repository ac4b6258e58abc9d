//! `calc`: one expression worked out.

use crate::builder::Shell;

/// Values by hand; 1 in is 25.4 mm.
#[test]
fn an_expression_is_worked_out() {
    for (expression, expected) in [
        ("1 + 2 * 3", "7\n"),
        ("1 3/8 in as mm", "34.925 mm\n"),
        ("-2^2", "-4\n"),
        ("3 mm < 4 mm", "true\n"),
        ("2°51'27\"", "2°51'27\"\n"),
        ("c + 1 where c = 2", "3\n"),
        ("  2 mm  ", "2.000 mm\n"),
        ("\"M8\"", "M8\n"),
        // What would be another statement in a notebook.
        ("[1, 2, 3]", "1, 2, 3\n"),
        ("[2 in]", "2.0000 in\n"),
        ("2 = 2", "true\n"),
        ("pi = 3", "false\n"),
        ("find x between 0 and 1 so that 4 * x = 1", "0.25\n"),
        ("sqrt(9 mm^2)", "3.000 mm\n"),
    ] {
        let run = Shell::new(&["calc", expression]).outcome();
        assert_eq!(
            (run.stdout.as_str(), run.stderr.as_str(), run.status),
            (expected, "", Some(0)),
            "{expression}"
        );
    }
}

#[test]
fn what_is_wrong_is_shown_in_the_expression() {
    Shell::new(&["calc", "2 mm + x"])
        .stderr("the expression\n    2 mm + x\n           ~\n  unknown name `x`\n  write the value itself, or name its notebook with `--in FILE`\n\n")
        .status(2)
        .check();
    Shell::new(&["calc", "x = 2 mm"])
        .stderr(
            "the expression\n    x = 2 mm\n    ~\n  unknown name `x`\n  \
             an expression names no cell: leave the name and its `=` out\n\n",
        )
        .status(2)
        .check();
    Shell::new(&["calc", "(1 + 2"])
        .stderr("the expression\n    (1 + 2\n    ~\n  `(` is not closed\n  close it with `)`\n\n")
        .status(2)
        .check();
    for expression in [
        "",
        "  ",
        "a = 3",
        "f(x) = x",
        "title x",
        "1\n2",
        "#",
        "a # b",
        "\u{1b}[31m",
    ] {
        let run = Shell::new(&["calc", expression]).outcome();
        assert_eq!(
            (run.stdout.as_str(), run.status),
            ("", Some(2)),
            "{expression:?}: {}",
            run.stderr
        );
        assert!(
            run.stderr.starts_with("the expression") && !run.stderr.contains('\u{1b}'),
            "{}",
            run.stderr
        );
    }
}

#[test]
fn records_and_tables_are_shown_as_a_grid() {
    Shell::new(&["calc", "record(a: 1, b: 2 mm)"])
        .stdout("    a  1   b  2.000 mm\n")
        .check();
    // No field is lost, on a narrow terminal either.
    for columns in ["30", "80"] {
        let shell = Shell::new(&["calc", "taper(\"MT3\")"]).env("COLUMNS", columns);
        let text = shell.outcome().stdout;
        assert!(
            text.contains("designation  MT3") && text.contains("half_angle"),
            "{text}"
        );
    }
}

#[test]
fn the_names_of_a_notebook_may_be_used() {
    let part = "lengths mm, inch\nbore = 1 in\nhalf(x) = x / 2\nuse shop\nbad = 1 / 0\n";
    let shell = |expression| {
        Shell::new(&["calc", "--in", "part.job", expression])
            .file("part.job", part)
            .file("shop.job", "cutter = 16 mm\n")
    };
    shell("half(bore)")
        .stdout("12.700 mm  (0.5000 in)\n")
        .check();
    shell("shop.cutter + 1 mm")
        .stdout("17.000 mm  (0.6693 in)\n")
        .check();
    let run = shell("bad + 1").outcome();
    assert_eq!((run.stdout.as_str(), run.status), ("", Some(2)));
    assert!(
        run.stderr.contains("1 can't be divided by zero"),
        "{}",
        run.stderr
    );
    let run = shell("bor + 1 mm").outcome();
    assert!(
        run.stderr.contains("unknown name `bor`") && run.stderr.contains("did you mean `bore`?"),
        "{}",
        run.stderr
    );
}

#[test]
fn other_programs_get_json_and_csv() {
    let run = Shell::new(&["calc", "--as", "json", "1 in as mm"]).outcome();
    let row: serde_json::Value = serde_json::from_str(&run.stdout).expect("JSON");
    assert_eq!(
        (&row["value"], &row["unit"], &row["si"]),
        (&25.4.into(), &"mm".into(), &0.0254.into())
    );
    let run = Shell::new(&["calc", "--as", "csv", "1 in as mm"]).outcome();
    assert_eq!(run.stdout.lines().count(), 2);
    assert!(
        run.stdout.contains(",cell,25.4,mm,0.0254,"),
        "{}",
        run.stdout
    );
}

#[test]
fn an_expression_may_begin_with_a_minus() {
    Shell::new(&["calc", "-3 mm"]).stdout("-3.000 mm\n").check();
    Shell::new(&["calc", "--3"]).stdout("3\n").check();
}

/// ISO 286-2, tables 6, 17 and 19: 12 H7 0 to +18, 12 g6 -6 to -17, 20 H7 0 to +21,
/// 20 s6 +35 to +48 micrometres; the fits by subtraction.
#[test]
fn a_size_by_itself_answers_with_its_limits_and_two_with_their_fit() {
    for (expression, answer) in [
        ("12 mm H7", "12 H7 (12.000 to 12.018 mm, aim 12.009)\n"),
        (
            "12 mm H7 - 12 mm g6",
            "12 H7 (12.000 to 12.018 mm, aim 12.009)\n12 g6 (11.983 to 11.994 mm, aim 11.9885)\nclearance 0.006 to 0.035 mm\n",
        ),
        (
            "20 mm s6 - 20 mm H7",
            "20 s6 (20.035 to 20.048 mm, aim 20.0415)\n20 H7 (20.000 to 20.021 mm, aim 20.0105)\ninterference 0.014 to 0.048 mm\n",
        ),
        (
            "20 mm ±0.1 - 5 mm ±0.05",
            "20 ±0.1 (19.900 to 20.100 mm)\n5 ±0.05 (4.950 to 5.050 mm)\ndifference 14.850 to 15.150 mm\n",
        ),
    ] {
        Shell::new(&["calc", expression]).stdout(answer).check();
    }
    // Inside a formula it stays refused.
    let run = Shell::new(&["calc", "30 mm K7 + 1 mm"]).outcome();
    assert_eq!((run.status, run.stdout.as_str()), (Some(2), ""));
    assert!(
        run.stderr.contains("give the size a cell of its own"),
        "{}",
        run.stderr
    );
    // In an op as a whole.
    let run = Shell::new(&["run", "part.job"])
        .file("part.job", "op Bore to {12 mm H7}.\n")
        .outcome();
    assert!(
        run.stdout
            .contains("Bore to 12 H7 (12.000 to 12.018 mm, aim 12.009)."),
        "{}",
        run.stdout
    );
}

#[test]
fn cautions_are_printed_for_plain_values_too() {
    let run = Shell::new(&["calc", "spindle_speed(30 m/min, 25 mm)"]).outcome();
    // The value alone goes to standard output, for other programs.
    assert_eq!(run.stdout, "382 rpm\n");
    assert!(
        run.stderr.contains("chuck's marked maximum"),
        "{}",
        run.stderr
    );
}
