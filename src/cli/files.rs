//! Reading notebooks from disk.

use std::fs;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use super::output;
use crate::notebook::{Shelf, is_notebook};

/// The largest notebook that is read.
const LARGEST: u64 = 64 * 1024 * 1024;

/// Notebooks as files.
#[derive(Clone, Copy, Debug, Default)]
pub struct Files;

impl Shelf for Files {
    fn text(&self, path: &Path) -> Result<String, String> {
        if !is_notebook(path) {
            return Err("a notebook's file name ends in .job".to_owned());
        }
        if let Some(name) = in_other_letters(path) {
            return Err(format!("its name is written {name}"));
        }
        // What a link stands for, in another folder perhaps, is a notebook too.
        if let Ok(real) = fs::canonicalize(path)
            && !is_notebook(&real)
        {
            return Err("it is a link to a file whose name does not end in .job".to_owned());
        }
        read(path)
    }

    fn identity(&self, path: &Path) -> PathBuf {
        fs::canonicalize(path).unwrap_or_else(|_| path.to_owned())
    }

    fn is_elsewhere(&self, path: &Path) -> bool {
        match (fs::canonicalize(folder_of(path)), fs::canonicalize(path)) {
            (Ok(named), Ok(real)) => folder_of(&real) != named,
            _ => false,
        }
    }

    fn beside(&self, path: &Path) -> Vec<String> {
        let Ok(entries) = fs::read_dir(folder_of(path)) else {
            return Vec::new();
        };
        let names = entries
            .filter_map(Result::ok)
            .map(|entry| entry.file_name().to_string_lossy().into_owned());
        let mut stems: Vec<String> = names
            .filter(|name| is_notebook(Path::new(name)) && !name.starts_with('.'))
            .filter_map(|name| name.get(..name.len() - 4).map(str::to_owned))
            .take(1000)
            .collect();
        stems.sort();
        stems
    }
}

/// Returns the folder of a file, `.` where its name has none.
pub fn folder_of(path: &Path) -> &Path {
    path.parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        .unwrap_or(Path::new("."))
}

/// Returns how a file's name is written on a disk that finds it by a name in other
/// letters too; nothing where it is written as given.
fn in_other_letters(path: &Path) -> Option<String> {
    let given = path.file_name()?.to_str()?;
    let folder = folder_of(path);
    // A disk that tells letters apart finds no such file, and is not searched.
    let swapped: String = given.chars().map(other_case).collect();
    if swapped == given || !folder.join(swapped).exists() {
        return None;
    }
    let entries = fs::read_dir(folder).ok()?;
    let names = entries
        .filter_map(Result::ok)
        .map(|entry| entry.file_name());
    let mut found = None;
    for name in names.filter_map(|name| name.into_string().ok()) {
        // Its ending may be in any letters.
        let stem = |name: &str| name.rsplit_once('.').map(|(stem, _)| stem.to_owned());
        let same_letters = stem(&name) == stem(given);
        if name.to_lowercase() == given.to_lowercase() {
            if same_letters {
                return None;
            }
            found = Some(name);
        }
    }
    found
}

fn other_case(c: char) -> char {
    if c.is_lowercase() {
        c.to_uppercase().next().unwrap_or(c)
    } else {
        c.to_lowercase().next().unwrap_or(c)
    }
}

/// Returns the text of a notebook's file, whatever its name.
///
/// # Errors
/// Why it can't be read, in the user's words.
pub fn read(path: &Path) -> Result<String, String> {
    // Looked at before it is opened: opening a pipe would wait for its writer.
    let kind = fs::metadata(path).map_err(|error| reason(&error))?;
    if kind.is_dir() {
        return Err("it is a folder".to_owned());
    }
    if !kind.is_file() {
        return Err("it is not an ordinary file".to_owned());
    }
    let file = fs::File::open(path).map_err(|error| reason(&error))?;
    let mut bytes = Vec::new();
    file.take(LARGEST + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| reason(&error))?;
    if bytes.len() as u64 > LARGEST {
        return Err(format!("it is larger than {} MiB", LARGEST / 1024 / 1024));
    }
    let text = String::from_utf8(bytes).map_err(|error| {
        let good = error.utf8_error().valid_up_to();
        let line = error
            .as_bytes()
            .iter()
            .take(good)
            .filter(|byte| **byte == b'\n')
            .count()
            + 1;
        format!("line {line} is not UTF-8 text; save the file as UTF-8")
    })?;
    output::will_show(&text);
    Ok(text)
}

/// Returns the files that are meant by names with `*` and `?` in them, which some shells
/// leave to the program; a name that fits no file stays as it is.
#[must_use]
pub fn expand(names: Vec<PathBuf>) -> Vec<PathBuf> {
    let options = glob::MatchOptions {
        case_sensitive: !cfg!(windows),
        require_literal_separator: true,
        require_literal_leading_dot: true,
    };
    let fits = |name: PathBuf| {
        let pattern = name.to_string_lossy().into_owned();
        let wild = pattern.contains(['*', '?']) && !name.exists();
        // Brackets are no wildcards in the shells that leave this to the program.
        let pattern = pattern.replace('[', "[[]");
        let found = wild
            .then(|| glob::glob_with(&pattern, options).ok())
            .flatten();
        let found: Vec<PathBuf> = found.into_iter().flatten().filter_map(Result::ok).collect();
        if found.is_empty() { vec![name] } else { found }
    };
    names.into_iter().flat_map(fits).collect()
}

/// Returns whether another program keeps a file from being read or replaced: on
/// Windows a sharing or lock violation.
#[must_use]
pub fn is_held(error: &io::Error) -> bool {
    cfg!(windows) && matches!(error.raw_os_error(), Some(32 | 33))
}

/// Returns why a file can't be used, in the user's words.
pub fn reason(error: &io::Error) -> String {
    match error.kind() {
        _ if is_held(error) => "another program has it open".to_owned(),
        io::ErrorKind::NotFound => "there is no such file".to_owned(),
        io::ErrorKind::PermissionDenied => "its permissions forbid it".to_owned(),
        io::ErrorKind::ReadOnlyFilesystem => "its disk is read-only".to_owned(),
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => "the disk is full".to_owned(),
        _ => error.to_string(),
    }
}
