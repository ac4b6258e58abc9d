//! Running commands as a document shows them.

use std::io::Read;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

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

/// Runs a line of shell in a folder, 80 columns wide and without colour. A line that is a
/// plain call of the program needs no shell, which Windows lacks.
pub fn run(line: &str, folder: &Path) -> Done {
    let program = Path::new(env!("CARGO_BIN_EXE_setover"));
    let of_the_shell = |c: char| "'\"|<>&$;*?(){}\n".contains(c);
    let plain = line.strip_prefix("setover ");
    let mut command = match plain.filter(|rest| !rest.contains(of_the_shell)) {
        Some(arguments) => {
            let mut command = Command::new(program);
            command.args(arguments.split_whitespace());
            command
        }
        None => {
            let programs = program.parent().expect("the program's folder");
            let path = std::env::var_os("PATH").unwrap_or_default();
            let path = std::iter::once(programs.to_owned()).chain(std::env::split_paths(&path));
            let mut command = Command::new("sh");
            command.arg("-c").arg(line);
            command.env("PATH", std::env::join_paths(path).expect("a path"));
            command
        }
    };
    let (mut printed, both) = std::io::pipe().expect("a pipe");
    command
        .current_dir(folder)
        .env("COLUMNS", "80")
        .env("NO_COLOR", "1")
        .stdin(Stdio::null())
        .stdout(both.try_clone().expect("a pipe"))
        .stderr(both);
    let mut running = command.spawn().expect("a shell");
    // It holds the ends that are written to.
    drop(command);
    let mut text = String::new();
    printed.read_to_string(&mut text).expect("text");
    let status = running.wait().expect("its end");
    Done {
        printed: text,
        status: status.code().unwrap_or(-1),
    }
}
