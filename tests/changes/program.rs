//! The program itself, run on files of a temporary folder.

use std::path::PathBuf;
use std::process::Command;

/// A folder of notebooks that goes when it is dropped.
pub struct Folder {
    folder: tempfile::TempDir,
}

/// What a run of the program came to.
#[derive(Debug)]
pub struct Ran {
    pub status: i32,
    pub out: String,
    pub err: String,
}

impl Folder {
    pub fn of(files: &[(&str, &str)]) -> Self {
        let folder = tempfile::tempdir().expect("a temporary folder");
        for (name, text) in files {
            std::fs::write(folder.path().join(name), text).expect("a notebook is written");
        }
        Self { folder }
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).expect("the notebook is there")
    }

    pub fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_setover"));
        command
            .args(arguments)
            .current_dir(self.folder.path())
            .env("COLUMNS", "120")
            .env("NO_COLOR", "1");
        command
    }

    pub fn run(&self, arguments: &[&str]) -> Ran {
        let output = self.command(arguments).output().expect("it runs");
        Ran {
            status: output.status.code().unwrap_or(-1),
            out: String::from_utf8_lossy(&output.stdout).into_owned(),
            err: String::from_utf8_lossy(&output.stderr).into_owned(),
        }
    }

    pub fn json(&self, arguments: &[&str]) -> serde_json::Value {
        let ran = self.run(arguments);
        serde_json::from_str(&ran.out).unwrap_or_else(|error| panic!("{error}: {ran:?}"))
    }
}
