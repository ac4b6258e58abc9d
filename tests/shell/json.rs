//! `--as json` and `--as csv`: their shape, and numbers that are not rounded.

use serde_json::{Value, json};

use crate::builder::Shell;

const PART: &str = "\
title Test part
[Sizes]
bore = 1/3 in     # reamed
angle = 2°51'27\"
label = \"M8x1\"
truth = 1 < 2
sizes = [1, 2] mm
both = record(a: 1 mm, b: \"x\")
nothing = none
find skim between 0 mm and 1 mm so that 2 * skim = 0.5 mm

[Work]
table holes
| hole | x    | y = 2 * x |
| \"a\"  | 3 mm |           |
check bore < 1 in
op Bore {bore}.
2 * 3
bad = 1 / 0
worse = bad
";

fn sheet() -> Value {
    let run = Shell::new(&["run", "--as", "json", "part.job"])
        .file("part.job", PART)
        .outcome();
    assert_eq!(run.status, Some(2));
    serde_json::from_str(&run.stdout).expect("JSON")
}

fn row<'a>(sheet: &'a Value, name: &str) -> &'a Value {
    let sections = sheet["sections"].as_array().expect("sections");
    let mut rows = sections
        .iter()
        .flat_map(|section| section["rows"].as_array().expect("rows"));
    rows.find(|row| row["name"] == name)
        .unwrap_or_else(|| panic!("no row {name}"))
}

#[test]
fn a_sheet_has_its_parts_in_file_order() {
    let sheet = sheet();
    assert_eq!(sheet["title"], "Test part");
    let headings: Vec<&Value> = sheet["sections"]
        .as_array()
        .expect("sections")
        .iter()
        .map(|section| &section["heading"])
        .collect();
    assert_eq!(headings, ["Sizes", "Work"]);
    let kinds = |section: usize| -> Vec<&str> {
        let rows = sheet["sections"][section]["rows"].as_array().expect("rows");
        rows.iter()
            .map(|row| row["kind"].as_str().expect("a kind"))
            .collect()
    };
    assert_eq!(
        kinds(0),
        [
            "cell", "cell", "cell", "cell", "cell", "cell", "cell", "find"
        ]
    );
    assert_eq!(kinds(1), ["table", "check", "op", "cell", "cell", "cell"]);
    for section in sheet["sections"].as_array().expect("sections") {
        for row in section["rows"].as_array().expect("rows") {
            for key in [
                "name", "kind", "value", "unit", "si", "low", "high", "text", "formula", "note",
                "status", "hidden",
            ] {
                assert!(row.get(key).is_some(), "{key} is missing in {row}");
            }
        }
    }
}

/// 1/3 in is 25.4/3 mm = 8.466… mm; 2°51'27" is 10287/3600 degrees.
#[test]
fn numbers_are_not_rounded() {
    let sheet = sheet();
    let bore = row(&sheet, "bore");
    let number = |value: &Value| value.as_f64().expect("a number");
    // Twelve significant digits, `si` exact.
    assert!((number(&bore["value"]) - 1.0 / 3.0).abs() < 1e-12);
    assert!((number(&bore["si"]) - 0.0254 / 3.0).abs() < 1e-17);
    assert_eq!(
        (&bore["unit"], &bore["low"], &bore["high"]),
        (&json!("in"), &Value::Null, &Value::Null)
    );
    assert_eq!(
        (&bore["text"], &bore["formula"], &bore["note"]),
        (&json!("0.3333 in"), &json!("1/3 in"), &json!("reamed"))
    );
    let angle = row(&sheet, "angle");
    assert!((number(&angle["value"]) - 10_287.0 / 3600.0).abs() < 1e-11);
    assert_eq!(
        (&angle["unit"], &angle["text"]),
        (&json!("deg"), &json!("2°51'27\""))
    );
    assert!((number(&row(&sheet, "skim")["si"]) - 0.000_25).abs() < 1e-15);
}

#[test]
fn values_of_every_kind_have_their_shape() {
    let sheet = sheet();
    let parts = |name: &str| {
        let row = row(&sheet, name);
        (row["value"].clone(), row["unit"].clone(), row["si"].clone())
    };
    assert_eq!(parts("label"), (json!("M8x1"), Value::Null, Value::Null));
    assert_eq!(parts("truth"), (json!(true), Value::Null, Value::Null));
    assert_eq!(parts("nothing"), (Value::Null, Value::Null, Value::Null));
    assert_eq!(
        parts("sizes"),
        (
            json!([1.0, 2.0]),
            json!(["mm", "mm"]),
            json!([0.001, 0.002])
        )
    );
    assert_eq!(
        parts("both"),
        (
            json!({"a": 1.0, "b": "x"}),
            json!({"a": "mm", "b": null}),
            json!({"a": 0.001, "b": null})
        )
    );
    let (value, unit, si) = parts("holes");
    assert_eq!(value, json!([{"hole": "a", "x": 3.0, "y": 6.0}]));
    assert_eq!(unit, json!([{"hole": null, "x": "mm", "y": "mm"}]));
    assert_eq!(si, json!([{"hole": null, "x": 0.003, "y": 0.006}]));
    assert_eq!(row(&sheet, "bore < 1 in")["status"], "holds");
    assert_eq!(row(&sheet, "1")["text"], "Bore 0.3333 in.");
    assert_eq!(row(&sheet, "")["value"], 6.0);
}

#[test]
fn errors_are_listed_with_their_place() {
    let sheet = sheet();
    assert_eq!(
        sheet["errors"],
        json!([{"severity": "error", "file": "part.job", "line": 19, "column": 7, "message": "1 can't be divided by zero", "advice": null}])
    );
    assert_eq!(row(&sheet, "bad")["status"], "wrong: see the errors");
    assert_eq!(row(&sheet, "worse")["status"], "waiting: needs bad");
    assert_eq!(row(&sheet, "worse")["value"], Value::Null);
}

#[test]
fn several_notebooks_are_a_list() {
    let run = Shell::new(&["run", "--as", "json", "a.job", "b.job"])
        .file("a.job", "x = 1\n")
        .file("b.job", "x = 2\n")
        .outcome();
    let sheets: Value = serde_json::from_str(&run.stdout).expect("JSON");
    assert_eq!(sheets.as_array().map(Vec::len), Some(2));
    assert_eq!(
        (
            &sheets[0]["file"],
            &sheets[1]["sections"][0]["rows"][0]["value"]
        ),
        (&json!("a.job"), &json!(2.0))
    );
}

#[test]
fn csv_has_one_line_a_value() {
    let run = Shell::new(&["run", "--as", "csv", "part.job"])
        .file("part.job", "[Sizes]\nbore = 1/3 in # reamed, \"H7\"\nsizes = [1, 2] mm\nlabel = \"a,b\"\ntable t\n| x |\n| 1 |\n")
        .outcome();
    assert_eq!((run.status, run.stderr.as_str()), (Some(0), ""));
    let mut reader = csv::Reader::from_reader(run.stdout.as_bytes());
    let heading: Vec<String> = reader
        .headers()
        .expect("a heading")
        .iter()
        .map(str::to_owned)
        .collect();
    assert_eq!(
        heading,
        [
            "section", "name", "kind", "value", "unit", "si", "low", "high", "text", "formula",
            "note", "status", "hidden"
        ]
    );
    let rows: Vec<Vec<String>> = reader
        .records()
        .map(|row| row.expect("a row").iter().map(str::to_owned).collect())
        .collect();
    let names: Vec<&str> = rows.iter().map(|row| row[1].as_str()).collect();
    assert_eq!(names, ["bore", "sizes[1]", "sizes[2]", "label", "t[1].x"]);
    assert!((rows[0][3].parse::<f64>().expect("a number") - 1.0 / 3.0).abs() < 1e-12);
    assert_eq!(
        (rows[0][4].as_str(), rows[0][10].as_str()),
        ("in", "reamed, \"H7\"")
    );
    assert_eq!(
        (
            rows[2][3].as_str(),
            rows[2][4].as_str(),
            rows[2][5].as_str()
        ),
        ("2.0", "mm", "0.002")
    );
    // What is said of the whole stands once.
    assert_eq!(
        (rows[1][9].as_str(), rows[2][9].as_str()),
        ("[1, 2] mm", "")
    );
    assert_eq!(rows[3][3], "a,b");
}
