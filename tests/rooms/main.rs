//! Data flows one way: a room imports only from rooms below it.

mod circles;

use std::fs;
use std::path::{Path, PathBuf};

/// The rooms from the top to the bottom.
const ROOMS: &[&str] = &[
    "cli",
    "repl",
    "sheet",
    "notebook",
    "language",
    "trade",
    "syntax",
    "quantity",
    "diagnostic",
];

fn rust_files(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("the folder of the sources") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            rust_files(&path, found);
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            found.push(path);
        }
    }
}

/// The room that a source file belongs to.
fn room_of(path: &Path) -> Option<usize> {
    let first = path
        .strip_prefix("src")
        .ok()?
        .components()
        .next()?
        .as_os_str()
        .to_string_lossy()
        .into_owned();
    let name = first.trim_end_matches(".rs").to_owned();
    ROOMS.iter().position(|room| **room == name)
}

/// What a source text names behind `crate::`, in a path or in `crate::{…}`.
fn rooms_named(text: &str) -> Vec<String> {
    let code: String = text
        .lines()
        .filter(|line| !line.trim_start().starts_with("//"))
        .collect::<Vec<_>>()
        .join("\n");
    let mut named = Vec::new();
    for (place, start) in code.match_indices("crate::") {
        let rest = &code[place + start.len()..];
        let word = |text: &str| -> String {
            text.trim_start()
                .chars()
                .take_while(|sign| sign.is_alphanumeric() || *sign == '_')
                .collect()
        };
        let Some(group) = rest.strip_prefix('{') else {
            named.push(word(rest));
            continue;
        };
        named.push(word(group));
        let mut depth = 0_usize;
        for (at, sign) in group.char_indices() {
            match sign {
                '{' => depth += 1,
                '}' if depth == 0 => break,
                '}' => depth -= 1,
                ',' if depth == 0 => named.push(word(&group[at + 1..])),
                _ => {}
            }
        }
    }
    named
}

#[test]
fn imports_are_seen_in_every_form() {
    let text = "use crate::sheet::Sheet;\nuse crate::{\n    cli::{run, x::{y, z}},\n    repl::Session,\n};\n// crate::trade\n";
    assert_eq!(rooms_named(text)[..3], ["sheet", "cli", "repl"]);
    assert!(!rooms_named(text).iter().any(|name| name == "trade"));
}

#[test]
fn rooms_import_only_downwards() {
    let mut files = Vec::new();
    rust_files(Path::new("src"), &mut files);
    let mut checked = 0;
    let mut wrong = Vec::new();
    for file in files {
        let Some(room) = room_of(&file) else { continue };
        let text = fs::read_to_string(&file).expect("a source file");
        for name in rooms_named(&text) {
            if ROOMS[..room].contains(&&*name) {
                wrong.push(format!(
                    "{}: {} imports from {name}",
                    file.display(),
                    ROOMS[room]
                ));
            }
        }
        checked += 1;
    }
    assert!(checked > 60, "only {checked} files were looked at");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn only_the_command_line_and_the_repl_print() {
    let mut files = Vec::new();
    rust_files(Path::new("src"), &mut files);
    let mut wrong = Vec::new();
    for file in files {
        if room_of(&file).is_none_or(|room| room < 2) {
            continue;
        }
        let text = fs::read_to_string(&file).expect("a source file");
        for (number, line) in text.lines().enumerate() {
            let prints = ["println!", "print!(", "std::fs", "std::env", "std::io"];
            if prints.iter().any(|word| line.contains(word)) && !line.trim_start().starts_with("//")
            {
                wrong.push(format!(
                    "{}:{}: {}",
                    file.display(),
                    number + 1,
                    line.trim()
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Names that stand for a device on Windows, with any ending ("Naming Files, Paths,
/// and Namespaces", Windows documentation), and signs that no name may hold there.
#[test]
fn no_file_has_a_name_that_windows_reserves() {
    fn names(folder: &Path, found: &mut Vec<PathBuf>) {
        for entry in fs::read_dir(folder).expect("a folder of the project") {
            let path = entry.expect("an entry").path();
            let name = path.file_name().unwrap_or_default();
            if name == ".git" || name == "target" || name == "artifacts" {
                continue;
            }
            if path.is_dir() {
                names(&path, found);
            }
            found.push(path);
        }
    }
    let mut found = Vec::new();
    names(Path::new("."), &mut found);
    assert!(found.len() > 300, "only {} names", found.len());
    let reserved = |path: &&PathBuf| {
        let name = path
            .file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .to_ascii_lowercase();
        let stem = name.split('.').next().unwrap_or("").trim_end();
        let device = ["con", "prn", "aux", "nul", "conin$", "conout$"].contains(&stem)
            || ["com", "lpt"].iter().any(|port| {
                stem.strip_prefix(port)
                    .is_some_and(|rest| rest.chars().count() == 1 && !rest.starts_with('0'))
            });
        device
            || name.ends_with([' ', '.'])
            || name.contains(['<', '>', ':', '"', '|', '?', '*', '\\'])
    };
    let wrong: Vec<&PathBuf> = found.iter().filter(reserved).collect();
    assert!(wrong.is_empty(), "{wrong:?}");
}

/// Files that need one another can only be understood together: three are the most.
#[test]
fn no_circle_of_imports_has_more_than_three_files() {
    let mut files = Vec::new();
    rust_files(Path::new("src"), &mut files);
    let read = |file: PathBuf| {
        let text = fs::read_to_string(&file).expect("a source file");
        (file, text)
    };
    let files: Vec<(PathBuf, String)> = files.into_iter().map(read).collect();
    let circles = circles::circles(&files);
    let large = |(circle, _): &&(Vec<PathBuf>, Vec<String>)| circle.len() > 3;
    let wrong: Vec<String> = circles
        .iter()
        .filter(large)
        .map(|(circle, ties)| format!("{} files:\n  {}", circle.len(), ties.join("\n  ")))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
