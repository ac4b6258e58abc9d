//! What a sheet says and what it keeps back: working, empty fields, choices that were not
//! taken, digits beyond their use.
//!
//! The figures are common arithmetic, no source; what is kept off is our own rule.

use std::collections::HashMap;

use serde_json::Value as Json;

use crate::builder::Shell;

const PART: &str = "\
[Sizes]
length = 40 mm
_third = length / 3
over   = _third * 2 + 1 mm
_wall  = 3 mm
check _wall >= 4 mm
measured _tip = 8.03 mm
_tip   = 8 mm ±0.01
_odd   = _third + 30 deg

[_Working]
spare  = over - _third
check spare > 0 mm
op Mark off {spare}.
table marks
| n | at |
| 1 | 0 mm |
| 2 | over |
";

fn run(arguments: &[&str], part: &str) -> (String, Option<i32>) {
    let outcome = Shell::new(arguments)
        .file("part.job", part)
        .file("other.job", "use part\ntwice = part._third * 2\n")
        .outcome();
    (outcome.stdout, outcome.status)
}

/// A text with single blanks in place of gaps.
pub fn words(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_leading_underscore_keeps_a_row_off_the_sheet_and_nothing_else() {
    let (text, status) = run(&["run", "part.job"], PART);
    assert_eq!(status, Some(2), "the wrong cell is wrong all the same");
    assert!(!text.contains("  _third"), "{text}");
    assert!(!text.contains("  spare"), "{text}");
    assert!(!text.contains("  marks"), "{text}");
    assert!(text.contains("  over "), "{text}");
    // 40 / 3 * 2 + 1 = 27.667, less 13.333 is 14.333: an op is no working.
    assert!(text.contains("1  Mark off 14.333 mm."), "{text}");
    assert!(
        !text.contains("holds"),
        "a check that holds in working: {text}"
    );
    assert!(
        text.contains("6 rows of working kept off: `--all` shows it"),
        "{text}"
    );
    let (all, _) = run(&["run", "part.job", "--all"], PART);
    for shown in [
        "\nWorking\n",
        "  _third",
        "  spare",
        "  marks",
        "holds",
        "  _wall",
    ] {
        assert!(all.contains(shown), "{shown} is lost: {all}");
    }
    assert!(!all.contains("kept off"), "{all}");
    let (text, _) = run(&["run", "other.job"], PART);
    assert!(text.contains("twice  26.667  mm"), "{text}");
    let (text, _) = run(&["explain", "part.job", "_third"], PART);
    assert!(text.contains("13.333 mm"), "{text}");
    let (text, _) = run(&["calc", "--in", "part.job", "_third * 3"], PART);
    assert_eq!(text, "40.000 mm\n");
}

#[test]
fn errors_failing_checks_and_readings_outside_always_show() {
    let (text, _) = run(&["run", "part.job"], PART);
    assert!(
        text.contains("fails  _wall >= 4 mm  misses by 1.000 mm"),
        "{text}"
    );
    assert!(text.contains("outside, 0.020 mm too large"), "{text}");
    assert!(text.contains("_odd"), "{text}");
    let failing = "a = 3 mm\n[_Working]\ncheck a > 4 mm\nb = c\n";
    let (text, _) = run(&["run", "part.job"], failing);
    assert!(text.contains("Working\n"), "{text}");
    assert!(text.contains("fails  a > 4 mm"), "{text}");
    assert!(words(&text).contains("b ?; waiting: needs c"), "{text}");
}

#[test]
fn json_and_csv_carry_what_is_hidden() {
    let (text, _) = run(&["run", "part.job", "--as", "json"], PART);
    let json: Json = serde_json::from_str(&text).expect("JSON");
    let mut hidden = HashMap::new();
    for section in json["sections"].as_array().expect("sections") {
        for row in section["rows"].as_array().expect("rows") {
            let name = row["name"].as_str().unwrap_or_default().to_owned();
            hidden.insert(name, row["hidden"].as_bool().expect("hidden"));
        }
    }
    for name in ["_third", "_wall", "spare", "marks", "spare > 0 mm"] {
        assert!(hidden[name], "{name}");
    }
    for name in ["length", "over", "_odd", "_wall >= 4 mm", "1"] {
        assert!(!hidden[name], "{name}");
    }
    let (csv, _) = run(&["run", "part.job", "--as", "csv"], PART);
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let place = reader.headers().expect("a heading").iter();
    let place = place.into_iter().position(|name| name == "hidden");
    let place = place.expect("a column `hidden`");
    for record in reader.records() {
        let record = record.expect("a record");
        let name = record[1].split(['[', '.']).next().unwrap_or_default();
        if let Some(known) = hidden.get(&record[1]).or(hidden.get(name)) {
            let said = record[place].parse::<bool>().expect("true or false");
            // A reading and its size share a name.
            assert!(said == *known || name == "_tip", "{record:?}");
        }
    }
}

#[test]
fn a_record_prints_the_fields_that_say_something() {
    let (text, _) = run(&["run", "part.job"], "screw = thread(\"M8\")\n");
    assert!(text.contains("designation"), "{text}");
    for silent in ["class", "note", "left_hand", "tpi"] {
        assert!(!text.contains(silent), "{silent}: {text}");
    }
    let (all, _) = run(&["run", "part.job", "--all"], "screw = thread(\"M8\")\n");
    for field in ["class", "note", "left_hand", "tpi"] {
        assert!(all.contains(field), "{field}: {all}");
    }
    let (left, _) = run(&["run", "part.job"], "screw = thread(\"M8 LH\")\n");
    assert!(left.contains("left_hand"), "{left}");
    // What is true or false says something where the record is no thread.
    let (dial, _) = run(&["run", "part.job"], "dial = thread_dial(1 mm, 3 mm, 30)\n");
    assert!(dial.contains("keep_closed  false"), "{dial}");
}

#[test]
fn a_record_in_an_op_prints_its_point_only() {
    let part = "\
op Tap {thread(\"M8\")}.
op Drill {tapping_drill(\"M8\")}.
op Ream {taper(\"MT2\")}.
op Set {record(a: 1 mm, b: \"\", c: 2)}.
";
    let (text, _) = run(&["run", "part.job"], part);
    assert!(text.contains("  1  Tap M8.\n"), "{text}");
    assert!(text.contains("  2  Drill 6.800 mm.\n"), "{text}");
    assert!(text.contains("  3  Ream MT2.\n"), "{text}");
    assert!(text.contains("  4  Set a 1.000 mm; c 2.\n"), "{text}");
}

#[test]
fn of_choices_the_one_that_is_taken_shows() {
    let trains = "trains = change_gears(0.635 mm, 3 mm, [20, 25, 30, 32, 35, 40, 45, 50, 60, 63, 65, 70, 75, 80, 100, 120, 127])\n";
    let (all, _) = run(&["run", "part.job", "--all"], trains);
    let count = all.lines().filter(|line| line.contains("  0.635 ")).count();
    assert!(count > 4, "{all}");
    let (text, _) = run(&["run", "part.job"], trains);
    assert!(text.contains(&format!("(the first of {count})")), "{text}");
    assert_eq!(text.matches("0.635 mm").count(), 1, "{text}");
    // The second is taken: it shows, and the record says that it is that row.
    let taken = format!("{trains}taken = trains[2]\n");
    let (text, _) = run(&["run", "part.job"], &taken);
    assert!(text.contains(&format!("(row 2 of {count})")), "{text}");
    assert!(words(&text).contains("taken row 2 of trains"), "{text}");
    let (text, _) = run(
        &["run", "part.job"],
        &format!("{trains}ratio = trains[3].pitch\n"),
    );
    assert!(text.contains(&format!("(row 3 of {count})")), "{text}");
    let (all, _) = run(&["run", "part.job", "--all"], &taken);
    assert!(!all.contains("row 2 of trains"), "{all}");
    // A table of one's own is no list of choices.
    let own = "table holes\n| x |\n| 1 mm |\n| 2 mm |\n";
    let (text, _) = run(&["run", "part.job"], own);
    assert!(text.contains("1.000") && text.contains("2.000"), "{text}");
}

#[test]
fn numbers_have_the_digits_that_their_use_needs() {
    let part = "\
slender = 101 mm / (13 mm)
turns   = 20.978 mm / (0.635 mm)
whole   = 57 / 3
error   = -0.006200014 %
share   = 0.768554 as %
tilt    = 0.00286479 deg
light   = weight_round(20 mm, 100 mm, \"mild steel\")
heavy   = weight_round(50 mm, 100 mm, \"mild steel\")
feed    = 0.1 mm/rev * 400 rpm
per_mm  = 1 / (2 mm)
limits  = (40 mm ±0.5) / (12 mm)
";
    let (text, _) = run(&["run", "part.job"], part);
    let row = |name: &str| {
        let mut lines = text.lines().map(str::trim);
        let line = lines.find(|line| line.starts_with(name));
        let line = line.unwrap_or_else(|| panic!("no {name} in {text}"));
        line.split_whitespace()
            .skip(1)
            .collect::<Vec<_>>()
            .join(" ")
    };
    assert_eq!(row("slender"), "7.769");
    assert_eq!(row("turns"), "33.036");
    assert_eq!(row("whole"), "19");
    assert_eq!(row("error"), "-0.0062 %");
    assert_eq!(row("share"), "76.9 %");
    assert_eq!(row("tilt"), "0.00286 deg");
    // Steel of 7.85 g/cm3: pi / 4 * 2^2 * 10 cm3 are 31.416 cm3, so 246.6 g.
    assert_eq!(row("light"), "246.6 g");
    // pi / 4 * 5^2 * 10 cm3 are 196.35 cm3, so 1.541 kg.
    assert_eq!(row("heavy"), "1.541 kg");
    assert_eq!(row("feed"), "40 mm/min");
    assert_eq!(row("per_mm"), "0.5 1/mm");
    // From 39.5 / 12 = 3.29167 to 40.5 / 12 = 3.375, rounded outward.
    assert_eq!(row("limits"), "3.333 3.291 to 3.375");
    let (all, _) = run(&["run", "part.job", "--all"], part);
    assert!(all.contains("7.76923"), "nothing is lost: {all}");
    let (calc, _) = run(&["calc", "101 mm / (13 mm)"], "");
    assert_eq!(calc, "7.76923\n");
}

#[test]
fn a_wide_table_breaks_into_two_blocks_of_columns() {
    let columns: Vec<String> = (1..=12).map(|n| format!("long_name_{n}")).collect();
    let row: Vec<String> = (1..=12).map(|n| format!("{n}2.5 mm")).collect();
    let bar = |cells: &[String]| format!("| {} |\n", cells.join(" | "));
    let part = format!("table wide\n{}{}{}", bar(&columns), bar(&row), bar(&row));
    let (text, _) = run(&["run", "part.job"], &part);
    assert!(!text.contains(';'), "no paragraphs: {text}");
    let with = |cell: &str| {
        let lines = text.lines();
        lines
            .filter(|line| line.split_whitespace().any(|word| word == cell))
            .count()
    };
    assert_eq!(with("12.500"), 4, "two rows in two blocks: {text}");
    assert_eq!(with("122.500"), 2, "{text}");
    assert!(
        text.lines().all(|line| line.chars().count() <= 80),
        "{text}"
    );
}

#[test]
fn minus_signs_and_degrees_have_one_style() {
    let part = "\
hole  = 12 mm H7
shaft = 12 mm g6
draw fit(hole: hole, shaft: shaft)
draw taper(big: 25 mm, small: 20 mm, length: 50 mm, travel: 40 mm)
";
    let (text, _) = run(&["run", "part.job"], part);
    assert!(!text.contains('−'), "{text}");
    assert!(
        text.contains("-0.006") && text.contains("2.862 deg"),
        "{text}"
    );
    assert!(!text.contains("2.862°"), "{text}");
}

#[test]
fn what_to_mind_at_an_op_for_each_row_is_said_once() {
    let part = "\
passes = roughing_passes(20 mm, 16 mm, 1 mm)
op for cut over passes: Turn to {cut.diameter}.
";
    let (text, _) = run(&["run", "part.job"], part);
    assert!(text.contains("1.2  Turn to"), "{text}");
    assert_eq!(text.matches("caution:").count(), 1, "{text}");
    let (page, _) = run(&["sheet", "part.job", "-o", "-"], part);
    let (ops, _) = page.split_once("<footer").unwrap_or((&page, ""));
    let said = "a grip of at least the work";
    let at_ops = ops.matches(said).count();
    assert!(
        (1..=2).contains(&at_ops),
        "at the op, and gathered: {at_ops}"
    );
}
