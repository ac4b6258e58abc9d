//! The one place that writes files: in one step, under a lock, and only over the
//! text that the change was made from.

use std::fs::{self, File, TryLockError};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::thread::sleep;
use std::time::{Duration, Instant};

use super::files::{self, folder_of, is_held, reason};
use crate::repl::Refused;

/// How long another program that writes in the same folder is waited for.
const PATIENCE: Duration = Duration::from_secs(5);
/// How long a file that another program holds open is tried again: virus scanners and
/// programs that copy files elsewhere let go of one within a moment.
const HELD: Duration = Duration::from_secs(1);
/// How long to wait between two tries.
const PAUSE: Duration = Duration::from_millis(5);
/// The file that is locked while something is written in its folder. A lock on the
/// written file itself would guard nothing: it is replaced by renaming.
const LOCK: &str = ".setover.lock";
/// What the name of a text begins and ends with before it is renamed into its place.
const BESIDE: (&str, &str) = (".setover-", ".tmp");

/// What must be on disk for a text to be written there.
#[derive(Clone, Copy, Debug)]
pub enum Expected<'a> {
    /// No file of that name.
    Nothing,
    /// A file that holds this text.
    Text(&'a str),
    /// Whatever is there, or nothing.
    Whatever,
}

/// Writes a text in one step: beside the file, to disk, then in its place.
///
/// Whatever happens meanwhile, the file holds its old text or the new one. Its
/// permission bits stay, its owner and extended attributes where they may be set, and
/// a symbolic link stays a link. What killed programs left beside it is cleared away.
///
/// # Errors
/// When something else is on disk than is expected, the place holds no regular file,
/// the folder can't be written to or the disk is full; nothing is changed then.
pub fn save(path: &Path, text: &str, expected: Expected) -> Result<(), Refused> {
    let refused = |error: io::Error| Refused::Unable(reason(&error));
    let target = target(path, expected)?;
    let folder = folder_of(&target);
    // Nothing is made beside what is refused anyway.
    if let Ok(old) = fs::symlink_metadata(&target) {
        replaceable(&target, &old)?;
    }
    let lock = Lock::take(folder)?;
    let old = match fs::symlink_metadata(&target) {
        Ok(data) => Some(data),
        Err(error) if error.kind() == io::ErrorKind::NotFound => None,
        Err(error) => return Err(refused(error)),
    };
    compare(&target, old.is_some(), expected)?;
    if let Some(old) = &old {
        replaceable(&target, old)?;
    }
    if lock.0.is_some() {
        clear(folder);
    }
    let mut beside =
        private_beside(folder, old.is_some()).map_err(|error| no_room(&error, folder))?;
    beside.write_all(text.as_bytes()).map_err(refused)?;
    if let Some(old) = &old {
        keep_attributes(beside.as_file(), &target, old).map_err(refused)?;
    }
    beside.as_file().sync_all().map_err(refused)?;
    put(beside, &target, old.is_none())?;
    // The new name is on disk once the folder is.
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
    Ok(())
}

/// Returns the file that is to be written: what a link stands for.
fn target(path: &Path, expected: Expected) -> Result<PathBuf, Refused> {
    let unable = |why: &str| Err(Refused::Unable(why.to_owned()));
    match fs::symlink_metadata(path) {
        Ok(_) if matches!(expected, Expected::Nothing) => Err(Refused::Exists),
        Ok(data) if data.is_symlink() => match fs::metadata(path) {
            Ok(data) if data.is_file() => {
                fs::canonicalize(path).map_err(|error| Refused::Unable(reason(&error)))
            }
            Ok(_) => unable("it is a link to something that is not an ordinary file"),
            Err(_) => unable("it is a link to a file that is not there"),
        },
        Ok(data) if data.is_dir() => unable("it is a folder"),
        Ok(_) => Ok(path.to_owned()),
        Err(error) if error.kind() == io::ErrorKind::NotFound => match expected {
            Expected::Text(_) => Err(Refused::Gone),
            Expected::Nothing | Expected::Whatever => Ok(path.to_owned()),
        },
        Err(error) => unable(&reason(&error)),
    }
}

/// Holds what is on disk against what is expected there; any doubt is a difference.
fn compare(target: &Path, exists: bool, expected: Expected) -> Result<(), Refused> {
    match (expected, exists) {
        (Expected::Whatever, _) | (Expected::Nothing, false) => Ok(()),
        (Expected::Nothing, true) => Err(Refused::Exists),
        (Expected::Text(_), false) => Err(Refused::Gone),
        (Expected::Text(expected), true) => match files::read(target) {
            Ok(now) if now == expected => Ok(()),
            Ok(_) => Err(Refused::Changed),
            Err(why) => Err(Refused::Unreadable(why)),
        },
    }
}

/// Refuses what is no file that may be replaced by another.
fn replaceable(target: &Path, old: &fs::Metadata) -> Result<(), Refused> {
    let unable = |why: &str| Err(Refused::Unable(why.to_owned()));
    if old.is_dir() {
        return unable("it is a folder");
    }
    if !old.is_file() {
        return unable("it is not an ordinary file");
    }
    if old.permissions().readonly() {
        return unable("it is read-only");
    }
    if names_of(target, old) > 1 {
        return unable(
            "it has a second name (a hard link), which would keep the old text; copy it to a file of its own",
        );
    }
    Ok(())
}

#[cfg(unix)]
fn names_of(_: &Path, old: &fs::Metadata) -> u64 {
    std::os::unix::fs::MetadataExt::nlink(old)
}

#[cfg(not(unix))]
const fn names_of(_: &Path, _: &fs::Metadata) -> u64 {
    1
}

/// Makes the file that takes the text before it gets its name; as private as the old
/// one until it has the old one's permissions, else as the user wants new files.
fn private_beside(folder: &Path, private: bool) -> io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(BESIDE.0).suffix(BESIDE.1);
    #[cfg(unix)]
    if !private {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    let _ = private;
    builder.tempfile_in(folder)
}

/// Gives the new file what the old one had besides its text: its permission bits, and
/// owner, group and extended attributes where this user may set them.
#[cfg(unix)]
fn keep_attributes(new: &File, target: &Path, old: &fs::Metadata) -> io::Result<()> {
    use std::os::unix::fs::{MetadataExt, fchown};
    use xattr::FileExt;
    let made = new.metadata()?;
    // Each by itself: a member of the group may set that and not the owner.
    if made.gid() != old.gid() {
        let _ = fchown(new, None, Some(old.gid()));
    }
    if made.uid() != old.uid() {
        let _ = fchown(new, Some(old.uid()), None);
    }
    new.set_permissions(old.permissions())?;
    for name in xattr::list(target).into_iter().flatten() {
        if let Ok(Some(value)) = xattr::get(target, &name) {
            let _ = new.set_xattr(&name, &value);
        }
    }
    Ok(())
}

#[cfg(not(unix))]
fn keep_attributes(new: &File, _: &Path, old: &fs::Metadata) -> io::Result<()> {
    new.set_permissions(old.permissions())
}

/// Renames the new file into its place; where another program has the old one open,
/// again for about a second.
fn put(beside: tempfile::NamedTempFile, target: &Path, new: bool) -> Result<(), Refused> {
    let deadline = Instant::now() + HELD;
    let mut beside = beside;
    loop {
        let put = if new {
            beside.persist_noclobber(target)
        } else {
            beside.persist(target)
        };
        match put {
            Ok(_) => return Ok(()),
            Err(error) if new && error.error.kind() == io::ErrorKind::AlreadyExists => {
                return Err(Refused::Exists);
            }
            Err(error) if may_come_free(&error.error) && Instant::now() < deadline => {
                beside = error.file;
                sleep(PAUSE);
            }
            Err(error) if may_come_free(&error.error) => {
                return Err(Refused::Unable(
                    "another program has it open; close it there and try again".to_owned(),
                ));
            }
            Err(error) => return Err(Refused::Unable(reason(&error.error))),
        }
    }
}

/// Returns whether the place of a file may come free in a moment: another program has it open,
/// or Windows denies access to a file that is not read-only while it is being deleted.
fn may_come_free(error: &io::Error) -> bool {
    is_held(error) || cfg!(windows) && error.kind() == io::ErrorKind::PermissionDenied
}

/// Says why nothing can be made in a folder.
fn no_room(error: &io::Error, folder: &Path) -> Refused {
    let named = fs::canonicalize(folder).unwrap_or_else(|_| folder.to_owned());
    Refused::Unable(match error.kind() {
        io::ErrorKind::NotFound => format!("there is no folder {}", folder.display()),
        io::ErrorKind::PermissionDenied => {
            format!("no files can be made in the folder {}", named.display())
        }
        _ => reason(error),
    })
}

/// Clears away what killed programs left in a folder. Who writes there holds the lock,
/// so nobody is writing any of these.
fn clear(folder: &Path) {
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let name = entry.file_name();
        let name = name.to_string_lossy();
        let ours = name.starts_with(BESIDE.0) && name.ends_with(BESIDE.1);
        if ours && entry.file_type().is_ok_and(|kind| kind.is_file()) {
            let _ = fs::remove_file(entry.path());
        }
    }
}

/// The lock of a folder; none where the file system knows no locks.
struct Lock(Option<(File, PathBuf)>);

impl Lock {
    /// Takes the lock of a folder, and waits for another program that has it, with a
    /// bound.
    fn take(folder: &Path) -> Result<Self, Refused> {
        let path = folder.join(LOCK);
        let deadline = Instant::now() + PATIENCE;
        loop {
            match Self::attempt(&path) {
                Ok(Some(file)) => return Ok(Self(Some((file, path)))),
                Ok(None) => {}
                Err(error) if may_come_free(&error) && Instant::now() < deadline => {}
                Err(error) if error.kind() == io::ErrorKind::Unsupported => {
                    return Ok(Self(None));
                }
                Err(error) => return Err(no_room(&error, folder)),
            }
            if Instant::now() >= deadline {
                return Err(Refused::Unable(format!(
                    "another program is writing in this folder (it locked {LOCK}); try again"
                )));
            }
            sleep(PAUSE);
        }
    }

    /// Takes the lock if nobody has it.
    fn attempt(path: &Path) -> io::Result<Option<File>> {
        // Looked at before it is opened: opening a pipe would wait for its reader, and
        // a link would make a file elsewhere.
        if fs::symlink_metadata(path).is_ok_and(|data| !data.is_file()) {
            let message = format!("{LOCK} beside it is not an ordinary file");
            return Err(io::Error::other(message));
        }
        let mut options = File::options();
        let made = options.create(true).truncate(false).write(true).open(path);
        // Another user's is locked without writing to it.
        let file = made.or_else(|error| match error.kind() {
            io::ErrorKind::PermissionDenied => File::open(path).map_err(|_| error),
            _ => Err(error),
        })?;
        match file.try_lock() {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => return Ok(None),
            Err(TryLockError::Error(error)) => return Err(error),
        }
        // Who had it before took the file away: a lock on that guards nothing.
        let handle = same_file::Handle::from_file(file.try_clone()?)?;
        let same = same_file::Handle::from_path(path).is_ok_and(|now| now == handle);
        Ok(same.then_some(file))
    }
}

impl Drop for Lock {
    fn drop(&mut self) {
        if let Some((_, path)) = &self.0 {
            let _ = fs::remove_file(path);
        }
    }
}
