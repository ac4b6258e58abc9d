//! The list of tables names every table with its source, as its heading does.

use std::fs;

/// The texts of a heading remark, in order.
fn remarks(text: &str, key: &str) -> Vec<String> {
    let heading = text.lines().take_while(|line| line.starts_with('#'));
    let said =
        heading.filter_map(|line| line.trim_start_matches('#').trim_start().strip_prefix(key));
    said.filter_map(|rest| rest.strip_prefix(':'))
        .map(|rest| rest.trim().to_owned())
        .collect()
}

#[test]
fn every_table_is_listed_with_its_source() {
    let list = fs::read_to_string("library/TABLES.md").expect("the list of tables");
    let mut tables = 0;
    for entry in fs::read_dir("library/tables").expect("the tables") {
        let path = entry.expect("an entry").path();
        let name = path
            .file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
        let text = fs::read_to_string(&path).expect("a table");
        let part = list
            .split("## ")
            .find(|part| part.starts_with(&format!("{name}\n")));
        let part = part.unwrap_or_else(|| panic!("library/TABLES.md does not list {name}"));
        for key in ["source", "provenance", "caution"] {
            for said in remarks(&text, key) {
                assert!(
                    part.contains(&said),
                    "library/TABLES.md says another {key} for {name} than: {said}"
                );
            }
        }
        assert!(
            !remarks(&text, "source").is_empty(),
            "{name} names no source"
        );
        tables += 1;
    }
    assert_eq!(list.matches("\n## ").count(), tables);
    println!("{tables} tables");
}
