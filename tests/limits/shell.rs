//! `setover explain` and `setover run --samples` as a shell sees them.

use std::process::{Command, Output};

const STACK: &str = "a = 20 mm ±0.1\nb = 8 mm (0/-0.12)\ngap = a - b\ncheck gap >= 11.95 mm\n";

fn setover(arguments: &[&str]) -> Output {
    let folder = tempfile::tempdir().expect("a temporary folder");
    std::fs::write(folder.path().join("part.job"), STACK).expect("the notebook is written");
    Command::new(env!("CARGO_BIN_EXE_setover"))
        .current_dir(folder.path())
        .env("COLUMNS", "80")
        .args(arguments)
        .output()
        .expect("setover runs")
}

fn json(arguments: &[&str]) -> serde_json::Value {
    let output = setover(arguments);
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    serde_json::from_slice(&output.stdout).expect("JSON")
}

#[test]
fn explain_prints_text_and_json() {
    let output = setover(&["explain", "part.job", "gap"]);
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    // Source: arithmetic; 0.1 and 0.06 of 0.16 are 62.5 % and 37.5 %.
    for line in [
        "gap  (part.job, line 3)",
        "20.000 mm - 7.940 mm",
        "worst case       11.900 to 12.220 mm",
        "62 %",
        "check gap >= 11.95 mm",
    ] {
        assert!(text.contains(line), "{line}\n{text}");
    }
    let found = json(&["explain", "part.job", "gap", "--as", "json"]);
    assert_eq!(found["sources"][0]["name"], "a");
    let percent = found["sources"][0]["percent"].as_f64().expect("a share");
    assert!((percent - 62.5).abs() < 1e-6, "{percent}");
    assert_eq!(found["with_numbers"], "20.000 mm - 7.940 mm");
}

#[test]
fn an_unknown_name_is_offered_the_nearest() {
    let output = setover(&["explain", "part.job", "gpa"]);
    assert_eq!(output.status.code(), Some(2));
    let said = String::from_utf8_lossy(&output.stderr);
    assert_eq!(
        said,
        "there is no `gpa` in part.job\n  did you mean `gap`?\n"
    );
}

#[test]
fn samples_are_printed_as_text_csv_and_json() {
    let output = setover(&["run", "part.job", "--samples", "3000"]);
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(text.contains("3000 samples, seed 1"), "{text}");
    assert!(text.contains("gap >= 11.95 mm"), "{text}");
    let same = setover(&["run", "part.job", "--samples", "3000"]);
    assert_eq!(output.stdout, same.stdout);
    let other = setover(&["run", "part.job", "--samples", "3000", "--seed", "2"]);
    assert_ne!(output.stdout, other.stdout);

    let found = json(&[
        "run",
        "part.job",
        "--samples",
        "3000",
        "--spread",
        "even",
        "--as",
        "json",
    ]);
    let sampling = &found["sampling"];
    assert_eq!(
        (&sampling["samples"], &sampling["spread"]),
        (&3000.into(), &"even".into())
    );
    let gap = sampling["rows"]
        .as_array()
        .and_then(|rows| rows.iter().find(|row| row["name"] == "gap"));
    let mean = gap.and_then(|gap| gap["mean"].as_f64()).expect("a mean");
    // Source: the middles add: 20 - 7.94.
    assert!((mean - 12.06).abs() < 0.01, "{mean}");
    // A corner of the rectangle of sizes, 0.05 of 0.2 by 0.05 of 0.12, is cut off.
    let outside = sampling["checks"][0]["outside_ppm"]
        .as_f64()
        .expect("a share");
    let expected = 0.05 * 0.05 / 2.0 / (0.2 * 0.12) * 1e6;
    assert!(
        (outside - expected).abs() < 5.0 * (expected * 1e6 / 3000.0).sqrt(),
        "{outside}"
    );
    let csv = setover(&["run", "part.job", "--samples", "10", "--as", "csv"]);
    assert!(String::from_utf8_lossy(&csv.stdout).starts_with("name,unit,count,missing,mean"));
}

#[test]
fn wrong_counts_are_refused() {
    for count in ["0", "5000000000"] {
        let output = setover(&["run", "part.job", "--samples", count]);
        assert_eq!(output.status.code(), Some(2));
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(said.contains("from 1 to 100000000 samples"), "{said}");
    }
    assert_eq!(
        setover(&["run", "part.job", "--seed", "3"]).status.code(),
        Some(2)
    );
}
