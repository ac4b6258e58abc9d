//! The line editor: sessions as scripts through the binary, and the binary at a
//! pseudo-terminal.

mod piped;
mod scripts;
#[cfg(unix)]
mod terminal;

use std::path::Path;
use std::process::{Command, Output, Stdio};

/// The program, with a data folder of its own and nothing else of the user's.
pub fn program(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_setover"));
    command
        .current_dir(folder)
        .env("SETOVER_DATA", folder.join("data"))
        .env("COLUMNS", "80")
        .env("LC_ALL", "C.UTF-8")
        .env_remove("SETOVER_KEYS");
    command
}

/// Pipes an input through a session.
pub fn piped_through(folder: &Path, arguments: &[&str], input: &str) -> Output {
    use std::io::Write;
    let mut child = program(folder)
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program runs");
    let mut stdin = child.stdin.take().expect("its input");
    stdin.write_all(input.as_bytes()).expect("it takes input");
    drop(stdin);
    child.wait_with_output().expect("it ends")
}
