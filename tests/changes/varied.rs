//! `vary`: what-if tables as text, JSON and CSV.

use crate::program::Folder;

const PART: &str = "cutter = 12 mm
teeth = 3
wall = 20 mm - cutter
table holes
| x    | y = x + cutter |
| 1 mm |                |
| 2 mm |                |
check wall >= 9 mm
";

/// The rows of the only what-if table of a notebook, from its JSON.
fn rows(statement: &str) -> Vec<serde_json::Value> {
    let folder = Folder::of(&[("part.job", &format!("{PART}{statement}\n"))]);
    let sheet = folder.json(&["run", "part.job", "--as", "json"]);
    let rows = sheet["sections"].as_array().into_iter().flatten();
    let mut rows = rows.flat_map(|section| section["rows"].as_array().into_iter().flatten());
    let row = rows.find(|row| row["kind"] == "vary").expect("a table");
    row["value"].as_array().cloned().unwrap_or_default()
}

/// The JSON of a notebook's sheet.
fn sheet(text: &str) -> serde_json::Value {
    Folder::of(&[("part.job", text)]).json(&["run", "part.job", "--as", "json"])
}

fn numbers(rows: &[serde_json::Value], column: &str) -> Vec<f64> {
    rows.iter()
        .map(|row| row[column].as_f64().unwrap_or(f64::NAN))
        .collect()
}

fn assert_close(found: &[f64], exact: &[f64]) {
    assert_eq!(found.len(), exact.len(), "{found:?} {exact:?}");
    for (found, exact) in found.iter().zip(exact) {
        assert!(
            (found - exact).abs() <= 1e-11 * exact.abs(),
            "{found} {exact}"
        );
    }
}

/// Expected values: plain arithmetic on the formulas above.
#[test]
fn lists_and_ranges_both_ways() {
    let list = rows("vary cutter over 8 mm, 10 mm, 14 mm show wall");
    assert_close(&numbers(&list, "cutter"), &[8.0, 10.0, 14.0]);
    assert_close(&numbers(&list, "wall"), &[12.0, 10.0, 6.0]);
    let in_list = rows("vary cutter over [8, 10, 14] mm show wall");
    assert_eq!(in_list, list);
    let up = rows("vary cutter from 1 mm to 2 mm by 0.1 mm show wall");
    assert_eq!(up.len(), 11, "both ends belong to a range");
    assert_close(&numbers(&up, "cutter")[10..], &[2.0]);
    let down = rows("vary cutter from 14 mm to 10 mm by 2 mm show wall");
    assert_close(&numbers(&down, "cutter"), &[14.0, 12.0, 10.0]);
    assert_close(&numbers(&down, "wall"), &[6.0, 8.0, 10.0]);
    let down = rows("vary teeth from 5 to 0 by -2 show cutter / teeth");
    assert_close(&numbers(&down, "teeth"), &[5.0, 3.0, 1.0]);
    assert_close(&numbers(&down, "cutter / teeth"), &[2.4, 4.0, 12.0]);
    let inch = rows("vary cutter from 1/4 in to 1/2 in by 1/8 in show wall as mm");
    assert_close(&numbers(&inch, "cutter"), &[0.25, 0.375, 0.5]);
    assert_close(
        &numbers(&inch, "wall as mm"),
        &[20.0 - 6.35, 20.0 - 9.525, 20.0 - 12.7],
    );
}

#[test]
fn two_names_make_a_grid_and_the_second_changes_fastest() {
    let grid = rows("vary cutter over 8 mm, 14 mm and teeth from 2 to 6 by 2 show cutter / teeth");
    assert_close(
        &numbers(&grid, "cutter"),
        &[8.0, 8.0, 8.0, 14.0, 14.0, 14.0],
    );
    assert_close(&numbers(&grid, "teeth"), &[2.0, 4.0, 6.0, 2.0, 4.0, 6.0]);
    let each = [4.0, 2.0, 8.0 / 6.0, 7.0, 3.5, 14.0 / 6.0];
    assert_close(&numbers(&grid, "cutter / teeth"), &each);
}

/// With one thing shown, the second name goes across.
#[test]
fn a_grid_is_printed_crosswise() {
    let text =
        format!("{PART}vary cutter over 8 mm, 14 mm and teeth over 2, 4 show cutter / teeth\n");
    let folder = Folder::of(&[("part.job", &text)]);
    let ran = folder.run(&["run", "part.job"]);
    let lines: Vec<Vec<&str>> = ran
        .out
        .lines()
        .map(|line| line.split_whitespace().collect())
        .collect();
    for wanted in [
        "cutter (mm) teeth teeth",
        "2 4",
        "(mm) (mm)",
        "8.000 4.000 2.000",
        "14.000 7.000 3.500 fails wall >= 9 mm",
    ] {
        let wanted: Vec<&str> = wanted.split_whitespace().collect();
        assert!(lines.contains(&wanted), "{wanted:?}: {}", ran.out);
    }
    // What fails only with one of the values of the second name says with which.
    let text = "a = 1\nb = 1\ncheck a + b < 5\nvary a over 1, 2 and b over 2, 3 show a * b\n";
    let folder = Folder::of(&[("part.job", text)]);
    let ran = folder.run(&["run", "part.job"]);
    assert!(ran.out.contains("fails a + b < 5 at 3"), "{}", ran.out);
}

#[test]
fn columns_of_tables_and_checks_are_shown_and_failing_rows_marked() {
    let shown = rows("vary cutter over 8 mm, 14 mm show holes[2].y, sum(holes.y), wall >= 9 mm");
    assert_close(&numbers(&shown, "holes[2].y"), &[10.0, 16.0]);
    assert_close(&numbers(&shown, "sum(holes.y)"), &[19.0, 31.0]);
    assert_eq!(shown[0]["wall >= 9 mm"], true);
    assert_eq!(shown[1]["wall >= 9 mm"], false);
    assert_eq!(shown[0]["fails"], serde_json::Value::Null);
    assert_eq!(shown[1]["fails"], "fails wall >= 9 mm");
}

#[test]
fn a_row_without_a_value_says_why_and_the_others_stand() {
    let rows = rows("vary teeth over 0, 4 show cutter / teeth");
    let why = rows[0]["cutter / teeth"].as_str().unwrap_or_default();
    assert!(why.contains("divided by zero"), "{why}");
    assert_close(&numbers(&rows, "cutter / teeth")[1..], &[3.0]);
}

#[test]
fn the_notebook_itself_is_unchanged() {
    let text = format!("{PART}vary cutter over 8 mm, 14 mm show wall\n");
    let folder = Folder::of(&[("part.job", &text)]);
    let ran = folder.run(&["run", "part.job"]);
    assert_eq!(
        ran.status, 1,
        "the check fails at the drawing size: {ran:?}"
    );
    assert!(ran.out.contains("12.000  mm"), "{}", ran.out);
    let line = |start: &str| {
        let mut lines = ran.out.lines().map(str::trim);
        lines
            .find(|line| line.starts_with(start))
            .unwrap_or_default()
    };
    assert!(
        line("14.000").ends_with("fails wall >= 9 mm"),
        "{}",
        ran.out
    );
    assert!(!line("8.000").contains("fails"), "{}", ran.out);
    assert_eq!(folder.read("part.job"), text);
}

#[test]
fn csv_has_a_line_for_each_value() {
    let text = format!("{PART}vary cutter over 8 mm, 14 mm show wall\n");
    let folder = Folder::of(&[("part.job", &text)]);
    let ran = folder.run(&["run", "part.job", "--as", "csv"]);
    let mut reader = csv::Reader::from_reader(ran.out.as_bytes());
    let records: Vec<csv::StringRecord> = reader
        .records()
        .map(|record| record.expect("a record"))
        .filter(|record| &record[2] == "vary")
        .collect();
    let of = |end: &str, field: usize| {
        let found = records.iter().find(|record| record[1].ends_with(end));
        found.map(|record| record[field].to_owned())
    };
    assert_eq!(records.len(), 6, "{}", ran.out);
    assert_eq!(of("[1].wall", 3).as_deref(), Some("12.0"));
    assert_eq!(of("[2].wall", 3).as_deref(), Some("6.0"));
    assert_eq!(of("[2].wall", 4).as_deref(), Some("mm"));
    assert_eq!(of("[2].fails", 3).as_deref(), Some("fails wall >= 9 mm"));
}

#[test]
fn cells_of_used_notebooks_vary_and_a_find_follows() {
    let folder = Folder::of(&[
        ("shaft.job", "journal = 12 mm h6\nlength = journal * 3\n"),
        (
            "lever.job",
            "use shaft\nfind skim between 0 mm and 20 mm so that 2 * skim + shaft.length = 60 mm\n\
             vary shaft.journal over 12 mm, 14 mm show shaft.length, skim\n",
        ),
    ]);
    let sheet = folder.json(&["run", "lever.job", "--as", "json"]);
    let rows = &sheet["sections"][0]["rows"];
    let table = rows
        .as_array()
        .into_iter()
        .flatten()
        .find(|row| row["kind"] == "vary");
    let table = table
        .and_then(|row| row["value"].as_array())
        .expect("a table");
    // The middle of h6 (0/-11 µm, ISO 286-2) of 12 and 14 mm, times 3.
    assert_close(&numbers(table, "shaft.length"), &[35.9835, 41.9835]);
    // 2 skim = 60 mm - 3 journal
    assert_close(&numbers(table, "skim"), &[12.008_25, 9.008_25]);
}

#[test]
fn what_is_wrong_is_said_at_its_place() {
    for (statement, message) in [
        (
            "vary cutter from 1 mm to 2 mm by 0 mm show wall",
            "a step of 0 never arrives",
        ),
        (
            "vary cutter from 1 mm to 2 mm by 0.1 show wall",
            "plain number",
        ),
        (
            "vary cutter from 1 mm to 90 deg by 1 mm show wall",
            "an angle",
        ),
        ("vary cutter over 3, 4 show wall", "write `3 mm`"),
        (
            "vary cutter over 3 N show wall",
            "`cutter` is a length; the value 3 N is a force",
        ),
        ("vary cutter from 0 mm to 1 m by 1 um show wall", "10000"),
        ("vary nobody over 1 mm show wall", "unknown name `nobody`"),
        ("vary cutter over 1 mm show nobody", "unknown name `nobody`"),
        (
            "vary cutter over 1 mm, teeth over 2 show wall",
            "a second name comes after `and`",
        ),
        ("vary shaft over 1 mm show wall", "unknown name `shaft`"),
    ] {
        let folder = Folder::of(&[("part.job", &format!("{PART}{statement}\n"))]);
        let ran = folder.run(&["run", "part.job"]);
        assert_eq!(ran.status, 2, "{statement}: {ran:?}");
        assert!(ran.err.contains(message), "{statement}: {}", ran.err);
        assert!(
            ran.err.contains("part.job, line 9\n"),
            "{statement}: {}",
            ran.err
        );
    }
}

/// A `vary` that has a name is a table to work with. Worked by hand: 2 x 1, 2 x 2, 2 x 3.
#[test]
fn a_named_vary_is_a_table() {
    let text = "\
a = 1 mm
b = a * 2
tried = vary a from 1 mm to 3 mm by 1 mm show b, b * 3 mm
most = max(tried.b)
after = tried[3].a + 1 mm
small = pick(tried, tried.b < 5 mm)
check most = 6 mm
draw graph of tried.b over tried.a
sums = vary a over 1 mm, 5 mm show most
b2 = b
";
    let json = sheet(text);
    let row = |name: &str| {
        let rows = json["sections"].as_array().expect("sections").iter();
        let rows = rows.flat_map(|section| section["rows"].as_array().expect("rows"));
        let mut rows = rows.filter(|row| row["name"] == name);
        rows.next()
            .unwrap_or_else(|| panic!("no {name} in {json}"))
            .clone()
    };
    assert_eq!(row("tried")["kind"], "vary");
    assert_eq!(row("tried")["value"][2]["b"], 6.0);
    assert_eq!(row("most")["value"], 6.0);
    assert_eq!(row("after")["value"], 4.0);
    assert_eq!(row("small")["value"].as_array().expect("rows").len(), 2);
    assert_eq!(row("most = 6 mm")["status"], "holds");
    // It sweeps a itself, whatever a is.
    assert_eq!(row("sums")["value"][1]["most"], 6.0);
    assert!(
        json["errors"].as_array().expect("errors").is_empty(),
        "{json}"
    );
    // The notebook itself stays as it is.
    assert_eq!(row("b2")["value"], 2.0);
}

/// A table of which rows are missing for want of steps is none to work with: what rests
/// on it waits and claims nothing.
#[test]
fn a_named_vary_that_runs_out_of_steps_is_refused() {
    let text = "\
f(n) = if n < 1 then 1 else f(n - 1) + f(n - 1)
a = 1
c = a * f(15)
tried = vary a from 1 to 100 by 1 show c
most = max(tried.c)
check most > 1
";
    let json = sheet(text);
    let errors = json["errors"].as_array().expect("errors");
    assert_eq!(errors.len(), 1, "{json}");
    assert_eq!(
        errors[0]["message"],
        "the what-if tables of the notebook take too many steps"
    );
    assert_eq!(errors[0]["line"], 4);
    let rows = json["sections"][0]["rows"].as_array().expect("rows").iter();
    for row in rows.filter(|row| ["most", "most > 1"].iter().any(|name| row["name"] == *name)) {
        assert!(row["value"].is_null(), "{row}");
        assert_ne!(row["status"], "holds", "{row}");
    }
}

/// What a named `vary` shows can't rest on its own table.
#[test]
fn a_named_vary_in_its_own_sources_is_a_ring() {
    let json = sheet("a = 1 mm\nb = a + max(t.b)\nt = vary a over 1 mm, 2 mm show b\n");
    let errors = json["errors"].to_string();
    assert!(
        errors.contains("ring") || errors.contains("one another"),
        "{errors}"
    );
}

/// It is computed at plain values: where sizes have limits, those of what rests on it are
/// unknown, and a check that rests on it never holds.
#[test]
fn limits_from_a_named_vary_are_unknown() {
    let json = sheet(
        "w = 5 mm ±0.1\na = 1 mm\nb = a * 2 + w\nt = vary a over 1 mm, 2 mm show b\n\
         most = max(t.b)\nplay = most - w\ncheck most < 20 mm\nfree = b + 1 mm\n",
    );
    let rows = json["sections"][0]["rows"]
        .as_array()
        .expect("rows")
        .clone();
    let row = |name: &str| rows.iter().find(|row| row["name"] == name).expect("a row");
    assert_eq!(row("most")["value"], 9.0);
    for name in ["most", "play"] {
        assert_eq!(row(name)["limits"], "unknown", "{name}");
        assert_eq!(row(name)["low"], serde_json::Value::Null, "{name}");
    }
    assert_eq!(row("free")["limits"], "proven");
    let status = row("most < 20 mm")["status"].as_str().expect("a status");
    assert!(status.starts_with("not known"), "{status}");
}
