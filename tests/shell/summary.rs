//! What ends a sheet: what to look at, each with its line; and cautions.

use crate::builder::Shell;

const PART: &str = "\
bore = 12 mm H7
shaft = 12 mm g6
measured bore = 12.030 mm
play = bore - shaft
check play > 0.02 mm
check shaft > 12 mm
check shaft > 11.985 mm
lost = nobody + 1
twice = lost * 2
";

/// ISO 286-2, tables 6 and 17: 12 H7 is 12.000 to 12.018, 12 g6 is 11.983 to 11.994.
const TO_LOOK_AT: &str = "\
To look at
  outside   line 3  bore
  fails     line 6  shaft > 12 mm
  may fail  line 7  shaft > 11.985 mm
  no value  line 8  lost
  no value  line 9  twice
";

#[test]
fn a_sheet_ends_with_what_to_look_at() {
    for command in ["run", "check"] {
        let run = Shell::new(&[command, "part.job"])
            .file("part.job", PART)
            .outcome();
        assert!(
            run.stdout.ends_with(TO_LOOK_AT),
            "{command}\n{}",
            run.stdout
        );
        assert_eq!(run.status, Some(2));
    }
    let good = Shell::new(&["run", "part.job"])
        .file("part.job", "a = 1 mm\ncheck a > 0 mm\n")
        .outcome();
    assert!(!good.stdout.contains("To look at"), "{}", good.stdout);
}

#[test]
fn a_failed_check_never_misses_by_nothing() {
    let run = Shell::new(&["run", "part.job"])
        .file(
            "part.job",
            "a = 1.00001 mm\nb = 12 mm ±0.00004\nc = 1 in\nd = 30 deg\n\
             check a <= 1 mm\ncheck b <= 12 mm\ncheck c <= 0.9999528 in\n\
             check c <= 0.99999999 in\ncheck d <= 29.9999999999 deg\ncheck a <= 0.999 mm\n",
        )
        .env("COLUMNS", "200")
        .outcome();
    assert_eq!(run.status, Some(1));
    let said = run.stdout.lines().filter_map(|line| {
        let (_, amount) = line.split_once("misses by ")?;
        Some(amount.split(" at the limits").next().unwrap_or(amount))
    });
    assert_eq!(
        said.collect::<Vec<_>>(),
        [
            "less than 0.001 mm",
            "less than 0.001 mm",
            "less than 0.0001 in",
            "less than 0.0001 in",
            "less than 0.001 deg",
            "0.001 mm",
        ]
    );
    let explained = Shell::new(&["explain", "part.job", "check 1"])
        .file("part.job", "b = 12 mm ±0.00004\ncheck b <= 12 mm\n")
        .outcome();
    assert!(
        explained.stdout.contains("misses by less than 0.001 mm"),
        "{}",
        explained.stdout
    );
}

/// A caution comes before the ops of the first section that needs it, each once; what no
/// op rests on ends the sheet.
#[test]
fn cautions_come_before_the_ops_that_need_them() {
    let run = Shell::new(&["run", "part.job"])
        .file(
            "part.job",
            "[Table]\nop Turn the table {table_turns(25 deg).turns} turns.\n\
             [Mill]\nop Turn again {table_turns(25 deg).turns} turns, at {rpm}.\n\
             rpm = spindle_speed(30 m/min, 25 mm)\n\
             [Stock]\nblank = blank_length(20 mm)\nagain = spindle_speed(30 m/min, 20 mm)\n",
        )
        .env("COLUMNS", "300")
        .outcome();
    let shown = &run.stdout;
    let at = |what: &str| {
        let mut places = shown.match_indices(what);
        let place = places
            .next()
            .unwrap_or_else(|| panic!("no `{what}`: {shown}"));
        assert!(places.next().is_none(), "`{what}` twice: {shown}");
        place.0
    };
    // The words of the functions' cautions, which tests/library/cautions.rs asks for.
    let order = [
        "Table\n",
        "  caution: take up the backlash",
        "Turn the table",
        "Mill\n",
        "  caution: never faster",
        "Turn again",
        "Stock\n",
        "\nCautions\n",
        "  blank_length  sawn ends",
    ];
    let places: Vec<usize> = order.iter().map(|what| at(what)).collect();
    assert!(places.is_sorted(), "{places:?}\n{shown}");
    assert_eq!(run.status, Some(0));
    // In a narrow window no line is wider than that.
    let narrow = Shell::new(&["run", "part.job"])
        .file("part.job", "op Turn {table_turns(25 deg).turns} turns.\n")
        .env("COLUMNS", "40")
        .outcome();
    let wide = narrow.stdout.lines().find(|line| line.chars().count() > 40);
    assert_eq!(wide, None);
}

#[test]
fn of_many_statements_that_need_a_value_a_hundred_are_named() {
    let text = format!("a = 2 mm\n{}", "op Turn to {a}.\n".repeat(150));
    let run = |arguments: &[&str]| {
        let shell = Shell::new(arguments).file("many.job", &text);
        shell.outcome().stdout
    };
    let out = run(&["explain", "many.job", "a"]);
    assert!(out.contains("op 100\n"), "{out}");
    assert!(out.contains("and 50 more\n"), "{out}");
    assert!(!out.contains("op 101"), "{out}");
    // What moved names each by its number.
    let out = run(&["run", "many.job", "--with", "a=3 mm"]);
    assert!(out.contains("op 150 "), "{out}");
}
