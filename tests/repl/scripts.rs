//! Session scripts: `> ` begins a line that is typed, what follows is what must be
//! printed, whatever the width of the gaps. The numbers come from the source that the
//! script names.

use std::fs;
use std::path::Path;

use super::piped_through;

/// Runs one script and compares what it prints, line by line.
fn check(path: &Path) -> usize {
    let text = fs::read_to_string(path).expect("a script");
    let source = text.lines().any(|line| line.starts_with("# Source: "));
    assert!(source, "{}: a script names its source", path.display());
    let (mut typed, mut expected, mut status) = (String::new(), String::new(), 0);
    for line in text.lines() {
        if let Some(line) = line.strip_prefix("> ") {
            typed += &format!("{line}\n");
        } else if line == ">" {
            typed.push('\n');
        } else if let Some(wanted) = line.strip_prefix("# Status: ") {
            status = wanted.parse().expect("a status");
        } else if !line.starts_with('#') {
            expected += &format!("{line}\n");
        }
    }
    let folder = tempfile::tempdir().expect("a folder");
    let output = piped_through(folder.path(), &[], &typed);
    let printed = String::from_utf8_lossy(&output.stdout);
    let errors = String::from_utf8_lossy(&output.stderr);
    let words = |line: &str| line.split_whitespace().collect::<Vec<_>>().join(" ");
    let got: Vec<String> = printed.lines().map(words).collect();
    let wanted: Vec<String> = expected.lines().map(words).collect();
    assert!(
        got == wanted,
        "{}:\n--- wanted\n{}\n--- printed\n{}\n--- errors\n{errors}",
        path.display(),
        wanted.join("\n"),
        got.join("\n")
    );
    assert_eq!(
        output.status.code(),
        Some(status),
        "{}: {errors}",
        path.display()
    );
    wanted.len()
}

#[test]
fn scripts_print_what_their_sources_say() {
    let mut count = 0;
    let mut lines = 0;
    for entry in fs::read_dir("tests/repl/sessions").expect("the scripts") {
        let path = entry.expect("an entry").path();
        if path
            .extension()
            .is_some_and(|extension| extension == "session")
        {
            lines += check(&path);
            count += 1;
        }
    }
    println!("{count} scripts, {lines} lines compared");
    assert!(count >= 4 && lines >= 30);
}
