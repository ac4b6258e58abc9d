//! One run of the program in a folder of its own.

use std::fs;
use std::path::PathBuf;
use std::process::{Command, Output, Stdio};

use tempfile::TempDir;

/// A run of the program, and what is expected of it.
pub struct Shell {
    folder: TempDir,
    command: Command,
    stdout: String,
    stderr: String,
    status: i32,
}

/// What a run brought.
#[derive(Debug, PartialEq, Eq)]
pub struct Outcome {
    pub stdout: String,
    pub stderr: String,
    pub status: Option<i32>,
}

impl Shell {
    /// A run with these arguments, in an empty folder.
    pub fn new(arguments: &[&str]) -> Self {
        let folder = TempDir::new().expect("a temporary folder");
        let mut command = Command::new(env!("CARGO_BIN_EXE_setover"));
        command
            .args(arguments)
            .current_dir(folder.path())
            .stdin(Stdio::null())
            .env_clear()
            .env("HOME", folder.path());
        Self {
            folder,
            command,
            stdout: String::new(),
            stderr: String::new(),
            status: 0,
        }
    }

    /// A file in the folder.
    #[must_use]
    pub fn file(self, name: &str, content: impl AsRef<[u8]>) -> Self {
        fs::write(self.path(name), content).expect("a file written");
        self
    }

    /// A folder in the folder.
    #[must_use]
    pub fn folder(self, name: &str) -> Self {
        fs::create_dir(self.path(name)).expect("a folder made");
        self
    }

    /// A variable of the environment, which is empty otherwise.
    #[must_use]
    pub fn env(mut self, name: &str, value: &str) -> Self {
        self.command.env(name, value);
        self
    }

    /// What standard output should be; nothing where this is not called.
    #[must_use]
    pub fn stdout(mut self, text: &str) -> Self {
        text.clone_into(&mut self.stdout);
        self
    }

    /// What standard error should be; nothing where this is not called.
    #[must_use]
    pub fn stderr(mut self, text: &str) -> Self {
        text.clone_into(&mut self.stderr);
        self
    }

    /// What the exit status should be; 0 where this is not called.
    #[must_use]
    pub const fn status(mut self, status: i32) -> Self {
        self.status = status;
        self
    }

    /// The path of a file in the folder.
    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// The command, to be started by hand.
    pub fn command(&mut self) -> &mut Command {
        &mut self.command
    }

    /// Runs it and gives what it brought.
    pub fn outcome(mut self) -> Outcome {
        let Output {
            status,
            stdout,
            stderr,
        } = self.command.output().expect("the program runs");
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("UTF-8");
        Outcome {
            stdout: text(stdout),
            stderr: text(stderr),
            status: status.code(),
        }
    }

    /// Runs it and fails unless all is as expected.
    #[track_caller]
    pub fn check(self) {
        let expected = Outcome {
            stdout: self.stdout.clone(),
            stderr: self.stderr.clone(),
            status: Some(self.status),
        };
        let found = self.outcome();
        assert!(
            found == expected,
            "status {:?}, expected {:?}\n--- stdout\n{}--- expected stdout\n{}--- stderr\n{}--- expected stderr\n{}---",
            found.status,
            expected.status,
            found.stdout,
            expected.stdout,
            found.stderr,
            expected.stderr
        );
    }
}
