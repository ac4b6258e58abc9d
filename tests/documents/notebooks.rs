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
        assert!(!done.printed.contains("\nerror"), "{}", done.printed);
        // Worst case fails there, which is what the notebook is about.
        let lesson = name.starts_with("worm-shaft");
        assert!(done.status == 0 || lesson, "{name}:\n{}", done.printed);
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
        let rows = reader.records().map(|row| row.expect("a row")).count();
        assert!(rows > 5, "{name}: {rows} rows");
        let done = run(&format!("setover sheet notebooks/{name}"), folder.path());
        assert!(done.printed.contains("</html>"), "{name}");
    }
}
