//! The notebooks of the repository: no errors, every check holds, 80 columns are
//! enough, and other programs can read them.

use serde_json::Value as Json;

use super::shell::{folder, notebooks, run};

#[test]
fn every_notebook_runs_and_its_checks_hold() {
    let folder = folder();
    let all = notebooks();
    assert!(all.len() >= 9, "{} notebooks", all.len());
    for notebook in &all {
        let name = notebook.file_name().expect("a name").to_string_lossy();
        let done = run(&format!("setover run notebooks/{name}"), folder.path());
        assert!(!done.printed.contains("    ~"), "{}", done.printed);
        assert_eq!(done.status, 0, "{name}:\n{}", done.printed);
        for line in done.printed.lines() {
            let width = line.chars().count();
            assert!(width <= 80, "{name}: {width} columns:\n{line}");
        }
    }
    println!("{} notebooks run", all.len());
}

#[test]
fn every_notebook_as_json() {
    let folder = folder();
    for notebook in notebooks() {
        let name = notebook.file_name().expect("a name").to_string_lossy();
        let done = run(
            &format!("setover run --as json notebooks/{name}"),
            folder.path(),
        );
        let sheet: Json = serde_json::from_str(&done.printed).expect("JSON");
        assert!(sheet["title"].is_string(), "{name} has no title");
        let rows = sheet["sections"]
            .as_array()
            .expect("sections")
            .iter()
            .flat_map(|section| section["rows"].as_array().expect("rows"));
        let mut checks = 0;
        for row in rows {
            for field in ["name", "kind", "text", "formula", "status"] {
                assert!(row[field].is_string(), "{name}: {field} in {row}");
            }
            checks += usize::from(row["kind"] == "check");
        }
        assert!(checks > 0, "{name} checks nothing");
        assert_eq!(sheet["errors"].as_array().map(Vec::len), Some(0));
    }
}

#[test]
fn every_notebook_as_csv_and_as_a_page() {
    let folder = folder();
    for notebook in notebooks() {
        let name = notebook.file_name().expect("a name").to_string_lossy();
        let done = run(
            &format!("setover run --as csv notebooks/{name}"),
            folder.path(),
        );
        let mut reader = csv::Reader::from_reader(done.printed.as_bytes());
        let rows: Vec<_> = reader.records().map(|row| row.expect("a row")).collect();
        let rows = rows.len();
        assert!(rows > 5, "{name}: {rows} rows");
        let done = run(&format!("setover sheet notebooks/{name}"), folder.path());
        assert!(done.printed.contains("</html>"), "{name}");
    }
}

/// A lever as a machinist first writes it, with most statements in one notebook.
const LEVER: &str = r#"title   Clutch lever, declination axis
lengths mm, inch            # print lengths in both; the first leads
readout 0.005 mm            # resolution of the mill's digital readout
use     declination-shaft as shaft
use     workshop

[Drawing]
bore     = shaft.journal H7          # runs on the shaft
tip_bore = 5 mm H7
centres  = 70 mm ±0.05
boss     = 28 mm
tip      = 18 mm
web      = 9 mm

[Stock]
blank    = centres + boss/2 + tip/2 + 2 * 3 mm     # 3 mm a side to clean up
plate_kg = weight_flat(blank, boss + 6 mm, web, "mild steel")

[Holes]
table holes
| hole     | x       | y    | size     | pilot = reaming_drill(size) |
| "shaft"  | 0 mm    | 0 mm | bore     |                             |
| "tip"    | centres | 0 mm | tip_bore |                             |

[Rotary table]
cutter   = 16 mm
offset   = table_offset(boss/2, cutter)            # table centre to cutter centre
flank    = flank_angle(boss, tip, centres)         # each side of the centre line
rpm      = nearest_speed(spindle_speed(speed_for("mild steel", "HSS", "mill"), cutter), workshop.mill_speeds)
op Zero the readout on the table's centre; move X to {offset}, lock it.
op Turn the table {flank as dms} anticlockwise, lock it; along the first flank feed Y from {-flank_length(boss, tip, centres)} to 0.
op Turn the table clockwise through {180 deg + 2 * flank as dms} for the round end, at {rpm}.

[Checks]
check (boss - bore) / 2 >= 4 mm                    # metal left round the bore
measured bore = 14.011 mm                          # plug gauge, after reaming
vary cutter over 12 mm, 16 mm, 20 mm show offset, rpm
find skim between 0 mm and 1 mm so that web - 2 * skim = 8.6 mm
"#;

#[test]
fn most_statements_in_one_notebook() {
    let folder = folder();
    std::fs::write(folder.path().join("notebooks/lever.job"), LEVER).expect("the notebook");
    let done = run("setover run notebooks/lever.job", folder.path());
    assert_eq!(done.status, 0, "{}", done.printed);
    for line in [
        // asin(10 / 140) is 4°05'45.8", and 180° more twice that; 14 mm + 16 mm / 2: Python.
        "2  Turn the table 4°05'46\" anticlockwise, lock it;",
        "3  Turn the table clockwise through 188°11'32\"",
        "1  Zero the readout on the table's centre; move X to 22.000 mm (0.8661 in),",
        // 0 and +18 um: ISO 286-2:2010, table for H (from memory).
        "14.000 to 14.018  inside; +0.002 mm from the",
        // (9 - 8.6) / 2
        "skim   0.200  mm",
    ] {
        assert!(
            done.printed.contains(line),
            "no `{line}`:\n{}",
            done.printed
        );
    }
}
