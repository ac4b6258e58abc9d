//! The user's data folder: where it is, what it may be read by, and the settings
//! in it.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// The keys that the line editor answers to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Keys {
    /// As in emacs; also the arrows, Home and End.
    #[default]
    Emacs,
    /// As in vi.
    Vi,
}

/// The folder of what the line editor keeps between sessions.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Folder {
    path: PathBuf,
}

impl Folder {
    /// Returns the folder that the environment names: `SETOVER_DATA`, else
    /// `XDG_DATA_HOME/setover`, else `setover` in the platform's folder for data that
    /// stay on this computer. `variable` gives the value of a variable of the
    /// environment.
    #[must_use]
    pub fn of_environment(variable: impl Fn(&str) -> Option<String>) -> Option<Self> {
        let set = |name: &str| variable(name).filter(|value| !value.is_empty());
        let path = if let Some(own) = set("SETOVER_DATA") {
            PathBuf::from(own)
        } else if let Some(data) = set("XDG_DATA_HOME") {
            Path::new(&data).join("setover")
        } else {
            let platform = directories::BaseDirs::new()?;
            platform.data_local_dir().join("setover")
        };
        Some(Self { path })
    }

    /// Makes the folder, for its owner's eyes only.
    ///
    /// # Errors
    /// When it can't be made.
    pub fn make(&self) -> io::Result<()> {
        fs::create_dir_all(&self.path)?;
        private(&self.path, 0o700)
    }

    /// Returns the file of what was typed before.
    #[must_use]
    pub fn history(&self) -> PathBuf {
        self.path.join("history")
    }

    /// Returns the folder of the sessions' journals.
    #[must_use]
    pub fn journals(&self) -> PathBuf {
        self.path.join("journals")
    }

    /// Returns the keys that the settings ask for: `SETOVER_KEYS`, else the line
    /// `keys vi` or `keys emacs` of the file `settings`.
    #[must_use]
    pub fn keys(&self, variable: impl Fn(&str) -> Option<String>) -> Keys {
        let file = fs::read_to_string(self.path.join("settings")).unwrap_or_default();
        let written = file
            .lines()
            .filter_map(|line| line.trim().strip_prefix("keys"))
            .next_back()
            .map(|value| value.trim_start_matches(['=', ' ', '\t']).trim().to_owned());
        match variable("SETOVER_KEYS").or(written).as_deref() {
            Some("vi") => Keys::Vi,
            _ => Keys::Emacs,
        }
    }
}

/// Lets only the owner at a file or folder.
///
/// # Errors
/// When its permission bits can't be set.
#[cfg(unix)]
pub fn private(path: &Path, mode: u32) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    fs::set_permissions(path, fs::Permissions::from_mode(mode))
}

/// Lets only the owner at a file or folder, where the system knows how.
///
/// # Errors
/// None.
#[cfg(not(unix))]
pub fn private(_: &Path, _: u32) -> io::Result<()> {
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_environment_names_the_folder() {
        let of = |pairs: &'static [(&str, &str)]| {
            Folder::of_environment(|name| {
                let found = pairs.iter().find(|(known, _)| *known == name);
                found.map(|(_, value)| (*value).to_owned())
            })
            .map(|folder| folder.path)
        };
        assert_eq!(
            of(&[("XDG_DATA_HOME", "/data")]),
            Some(Path::new("/data").join("setover"))
        );
        assert_eq!(
            of(&[("SETOVER_DATA", "/own"), ("XDG_DATA_HOME", "/data")]),
            Some("/own".into())
        );
        let platform = of(&[]).expect("this computer has a folder for data");
        let place = if cfg!(windows) {
            "AppData\\Local\\setover"
        } else if cfg!(target_os = "macos") {
            "Library/Application Support/setover"
        } else {
            "setover"
        };
        assert!(platform.ends_with(place), "{}", platform.display());
    }

    #[test]
    fn keys_come_from_the_environment_or_the_settings() {
        let place = tempfile::tempdir().unwrap();
        let folder = Folder {
            path: place.path().to_owned(),
        };
        assert_eq!(folder.keys(|_| None), Keys::Emacs);
        fs::write(place.path().join("settings"), "# mine\nkeys vi\n").unwrap();
        assert_eq!(folder.keys(|_| None), Keys::Vi);
        assert_eq!(folder.keys(|_| Some("emacs".to_owned())), Keys::Emacs);
    }
}
