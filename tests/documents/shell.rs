//! Running commands as a document shows them.

use std::path::{Path, PathBuf};
use std::process::Command;

/// What a command did.
#[derive(Debug)]
pub struct Done {
    /// What it printed, results and errors in the order in which they came.
    pub printed: String,
    /// Its exit status.
    pub status: i32,
}

/// A folder with the repository's notebooks, for the commands of one document.
pub fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let inside = folder.path().join("notebooks");
    std::fs::create_dir(&inside).expect("a folder");
    for notebook in notebooks() {
        let name = notebook.file_name().expect("a name");
        std::fs::copy(&notebook, inside.join(name)).expect("a copy");
    }
    folder
}

/// The repository's notebooks.
pub fn notebooks() -> Vec<PathBuf> {
    let folder = root().join("notebooks");
    let mut found: Vec<PathBuf> = std::fs::read_dir(folder)
        .expect("notebooks/")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|end| end == "job"))
        .collect();
    found.sort();
    found
}

/// The root of the repository.
pub fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Runs a line of shell in a folder, 80 columns wide and without colour.
pub fn run(line: &str, folder: &Path) -> Done {
    let program = Path::new(env!("CARGO_BIN_EXE_setover"));
    let programs = program.parent().expect("the program's folder");
    let path = std::env::var_os("PATH").unwrap_or_default();
    let path = std::env::join_paths(
        std::iter::once(programs.to_owned()).chain(std::env::split_paths(&path)),
    );
    let output = Command::new("sh")
        .arg("-c")
        .arg(format!("exec 2>&1\n{line}"))
        .current_dir(folder)
        .env("PATH", path.expect("a path"))
        .env("COLUMNS", "80")
        .env("NO_COLOR", "1")
        .output()
        .expect("a shell");
    Done {
        printed: String::from_utf8(output.stdout).expect("text"),
        status: output.status.code().unwrap_or(-1),
    }
}
