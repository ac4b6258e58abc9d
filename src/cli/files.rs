//! Reading notebooks from disk.

use std::fs;
use std::io::{Read, Write};
use std::path::Path;

use crate::notebook::Shelf;

/// The largest notebook that is read.
const LARGEST: u64 = 64 * 1024 * 1024;

/// Notebooks as files.
#[derive(Clone, Copy, Debug, Default)]
pub struct Files;

impl Shelf for Files {
    fn text(&self, path: &Path) -> Result<String, String> {
        if path.extension().is_none_or(|extension| extension != "job") {
            return Err("a notebook's file name ends in .job".to_owned());
        }
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
        String::from_utf8(bytes).map_err(|error| {
            let good = error.utf8_error().valid_up_to();
            let line = error
                .as_bytes()
                .iter()
                .take(good)
                .filter(|byte| **byte == b'\n')
                .count()
                + 1;
            format!("line {line} is not UTF-8 text; save the file as UTF-8")
        })
    }

    fn beside(&self, path: &Path) -> Vec<String> {
        let folder = path
            .parent()
            .filter(|folder| !folder.as_os_str().is_empty())
            .unwrap_or(Path::new("."));
        let Ok(entries) = fs::read_dir(folder) else {
            return Vec::new();
        };
        let names = entries
            .filter_map(Result::ok)
            .map(|entry| entry.file_name().to_string_lossy().into_owned());
        let mut stems: Vec<String> = names
            .filter_map(|name| name.strip_suffix(".job").map(str::to_owned))
            .take(1000)
            .collect();
        stems.sort();
        stems
    }
}

/// Why a file can't be used, in the user's words.
pub fn reason(error: &std::io::Error) -> String {
    match error.kind() {
        std::io::ErrorKind::NotFound => "there is no such file".to_owned(),
        std::io::ErrorKind::PermissionDenied => "its permissions forbid it".to_owned(),
        _ => error.to_string(),
    }
}

/// Writes a text in one step: beside the file, to disk, then in its place.
///
/// Whatever happens meanwhile, the file holds its old text or the new one. Its
/// permission bits stay, and a symbolic link stays a link.
///
/// # Errors
/// When the folder can't be written to or the disk is full; the file then holds its
/// old text.
pub fn write(path: &Path, text: &str) -> std::io::Result<()> {
    let target = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    let folder = target
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    let permissions = fs::metadata(&target).ok().map(|data| data.permissions());
    if permissions.as_ref().is_some_and(fs::Permissions::readonly) {
        return Err(std::io::Error::new(
            std::io::ErrorKind::PermissionDenied,
            "the file is read-only",
        ));
    }
    let mut beside = tempfile::Builder::new()
        .prefix(".setover-")
        .suffix(".tmp")
        .tempfile_in(folder)?;
    beside.write_all(text.as_bytes())?;
    match permissions {
        Some(permissions) => beside.as_file().set_permissions(permissions)?,
        None => usual_permissions(beside.as_file())?,
    }
    beside.as_file().sync_all()?;
    beside.persist(&target).map_err(|error| error.error)?;
    // The new name is on disk once the folder is.
    if let Ok(folder) = fs::File::open(folder) {
        let _ = folder.sync_all();
    }
    Ok(())
}

/// Writes a new file.
///
/// # Errors
/// When there is one of that name, or it can't be written.
pub fn create(path: &Path, text: &str) -> std::io::Result<()> {
    let mut file = fs::OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(path)?;
    file.write_all(text.as_bytes())?;
    file.sync_all()
}

/// What a new file may be read by: temporary files are private, notebooks are not.
#[cfg(unix)]
fn usual_permissions(file: &fs::File) -> std::io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    file.set_permissions(fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn usual_permissions(_: &fs::File) -> std::io::Result<()> {
    Ok(())
}
