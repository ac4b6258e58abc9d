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
            "a = 1.00001 mm\nb = 12 mm ±0.00004\ncheck a <= 1 mm\ncheck b <= 12 mm\n",
        )
        .outcome();
    assert_eq!(run.status, Some(1));
    for line in run.stdout.lines().filter(|line| line.contains("misses by")) {
        let amount = line.split("misses by ").nth(1).expect("an amount");
        let number = amount.split(' ').next().expect("a number");
        assert!(number.parse::<f64>().expect("a number") > 0.0, "{line}");
    }
}

/// Cautions stand in the order of the statements, each once.
#[test]
fn cautions_stand_in_the_order_of_the_ops() {
    let run = Shell::new(&["run", "part.job"])
        .file(
            "part.job",
            "op Turn the table {table_turns(25 deg).turns} turns.\n\
             op Run at {rpm}.\nrpm = spindle_speed(30 m/min, 25 mm)\n\
             again = spindle_speed(30 m/min, 20 mm)\n",
        )
        .env("COLUMNS", "200")
        .outcome();
    let cautions = run.stdout.split("Cautions\n").nth(1).expect("cautions");
    let functions: Vec<&str> = cautions
        .lines()
        .filter_map(|line| line.split_whitespace().next())
        .collect();
    assert_eq!(functions, ["table_turns", "spindle_speed"], "{cautions}");
}
