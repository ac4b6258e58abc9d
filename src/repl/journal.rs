//! The journal of a session: every change is on disk before the next prompt, so
//! that a crash loses nothing and the next start can offer to bring it back.

use std::fs::{self, File, OpenOptions};
use std::io::{self, BufRead, BufReader, Read, Write};
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::folder::{Folder, private};
use super::step::{State, Step};

/// The largest journal that is read.
const LARGEST: u64 = 256 * 1024 * 1024;

/// A line of a journal.
#[derive(Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
enum Record {
    /// What the session began with.
    Began {
        path: Option<PathBuf>,
        text: String,
        time: String,
    },
    /// A change.
    Step(Step),
    /// The text was written to its file.
    Written,
}

/// The journal of a running session; its file is locked while the session lives.
#[derive(Debug)]
pub struct Journal {
    path: PathBuf,
    file: Option<File>,
}

impl Journal {
    /// Returns a journal in the data folder; its file is made with the first change.
    #[must_use]
    pub fn new(folder: &Folder) -> Self {
        Self {
            path: folder
                .journals()
                .join(format!("{}.journal", std::process::id())),
            file: None,
        }
    }

    /// Returns whether something is written down.
    #[must_use]
    pub const fn is_begun(&self) -> bool {
        self.file.is_some()
    }

    /// Begins a journal with the state before the first change; `time` is the time of
    /// day for the user to read.
    ///
    /// # Errors
    /// When the file can't be made.
    pub fn begin(&mut self, state: &State, time: &str) -> io::Result<()> {
        if let Some(folder) = self.path.parent() {
            fs::create_dir_all(folder)?;
            private(folder, 0o700)?;
        }
        let file = self.new_file()?;
        private(&self.path, 0o600)?;
        // A file that some system can't lock is still a journal.
        let _ = file.try_lock();
        self.file = Some(file);
        self.put(&Record::Began {
            path: state.path.clone(),
            text: state.text.to_string(),
            time: time.to_owned(),
        })
    }

    /// Makes the file; one that a dead session of the same number left stays.
    fn new_file(&mut self) -> io::Result<File> {
        let id = std::process::id();
        let mut tries = 1..1_000_u32;
        loop {
            let made = OpenOptions::new()
                .create_new(true)
                .write(true)
                .open(&self.path);
            match (made, tries.next()) {
                (Err(error), Some(next)) if error.kind() == io::ErrorKind::AlreadyExists => {
                    self.path.set_file_name(format!("{id}-{next}.journal"));
                }
                (made, _) => return made,
            }
        }
    }

    /// Writes a change down.
    ///
    /// # Errors
    /// When the disk is full.
    pub fn step(&mut self, step: &Step) -> io::Result<()> {
        self.put(&Record::Step(step.clone()))
    }

    /// Writes down that the text is in its file.
    ///
    /// # Errors
    /// When the disk is full.
    pub fn written(&mut self) -> io::Result<()> {
        self.put(&Record::Written)
    }

    fn put(&mut self, line: &Record) -> io::Result<()> {
        let Some(file) = &mut self.file else {
            return Ok(());
        };
        let text = serde_json::to_string(line).map_err(io::Error::other)?;
        file.write_all(format!("{text}\n").as_bytes())?;
        file.sync_data()
    }

    /// Ends the session in good order: nothing is left to bring back.
    pub fn end(&mut self) {
        if self.file.take().is_some() {
            let _ = fs::remove_file(&self.path);
        }
    }
}

/// What a session that died left behind.
#[derive(Debug)]
pub struct Left {
    /// The journal's file.
    pub journal: PathBuf,
    /// When the session made its first change, for the user to read.
    pub time: String,
    /// What it began with.
    pub began: State,
    /// Its changes, in order.
    pub steps: Vec<Step>,
    /// What it held when it died.
    pub state: State,
    /// What it held when it was last written, or began.
    pub written: State,
    /// Keeps other sessions from bringing it back too.
    lock: File,
}

impl Left {
    /// Forgets it.
    pub fn remove(self) {
        let _ = fs::remove_file(&self.journal);
        drop(self.lock);
    }
}

/// Returns what sessions that died left in the data folder, oldest first; journals without
/// anything to bring back are cleared away.
#[must_use]
pub fn left(folder: &Folder) -> Vec<Left> {
    let Ok(entries) = fs::read_dir(folder.journals()) else {
        return Vec::new();
    };
    let mut paths: Vec<PathBuf> = entries
        .filter_map(Result::ok)
        .map(|entry| entry.path())
        .filter(|path| path.extension().is_some_and(|e| e == "journal"))
        .collect();
    paths.sort_by_key(|path| fs::metadata(path).and_then(|data| data.modified()).ok());
    let mut found = Vec::new();
    for path in paths {
        match read(&path) {
            Some(left) if left.state != left.written => found.push(left),
            Some(left) => left.remove(),
            None => {}
        }
    }
    found
}

/// Reads the journal of a session that is no longer alive. A last line cut short by
/// the crash is passed over.
fn read(path: &Path) -> Option<Left> {
    let file = File::open(path).ok()?;
    // Its session holds the lock for as long as it lives.
    if let Err(fs::TryLockError::WouldBlock) = file.try_lock() {
        return None;
    }
    let mut lines = BufReader::new((&file).take(LARGEST)).lines();
    let first = lines.next()?.ok()?;
    let Ok(Record::Began {
        path: at,
        text,
        time,
    }) = serde_json::from_str(&first)
    else {
        return None;
    };
    let began = State {
        path: at,
        text: text.into(),
    };
    let (mut state, mut written) = (began.clone(), began.clone());
    let mut steps = Vec::new();
    for line in lines {
        let parsed = line.ok().and_then(|line| serde_json::from_str(&line).ok());
        match parsed {
            Some(Record::Step(step)) => {
                let Some(next) = step.apply(&state) else {
                    break;
                };
                state = next;
                steps.push(step);
            }
            Some(Record::Written) => written = state.clone(),
            _ => break,
        }
    }
    Some(Left {
        journal: path.to_owned(),
        time,
        began,
        steps,
        state,
        written,
        lock: file,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn folder(place: &Path) -> Folder {
        let place = place.display().to_string();
        Folder::of_environment(|name| (name == "SETOVER_DATA").then(|| place.clone())).unwrap()
    }

    fn state(text: &str) -> State {
        State {
            path: Some("lever.job".into()),
            text: text.into(),
        }
    }

    #[test]
    fn what_a_dead_session_held_is_found() {
        let place = tempfile::tempdir().unwrap();
        let folder = folder(place.path());
        let mut journal = Journal::new(&folder);
        journal.begin(&state("a = 1\n"), "14:03").unwrap();
        let step = Step::between(&state("a = 1\n"), &state("a = 1\nb = 2\n"));
        journal.step(&step).unwrap();
        assert!(left(&folder).is_empty(), "its session is alive");
        let path = journal.path.clone();
        drop(journal);
        // The crash cut the next line short.
        let mut file = OpenOptions::new().append(true).open(&path).unwrap();
        file.write_all(b"{\"step\":{\"at\":1").unwrap();
        drop(file);
        let found = left(&folder);
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].state, state("a = 1\nb = 2\n"));
        assert_eq!(found[0].steps, [step]);
        assert_eq!(found[0].time, "14:03");
        for left in found {
            left.remove();
        }
        assert!(left(&folder).is_empty());
    }

    #[test]
    fn nothing_is_left_after_a_good_end_or_once_written() {
        let place = tempfile::tempdir().unwrap();
        let folder = folder(place.path());
        let mut journal = Journal::new(&folder);
        journal.begin(&state(""), "").unwrap();
        journal
            .step(&Step::between(&state(""), &state("a = 1\n")))
            .unwrap();
        journal.written().unwrap();
        let path = journal.path.clone();
        drop(journal);
        assert!(left(&folder).is_empty());
        assert!(!path.exists());
        let mut journal = Journal::new(&folder);
        journal.begin(&state(""), "").unwrap();
        journal.end();
        assert!(!path.exists());
    }

    #[test]
    fn any_file_is_read_or_passed_over() {
        let place = tempfile::tempdir().unwrap();
        let folder = folder(place.path());
        fs::create_dir_all(folder.journals()).unwrap();
        for (number, text) in ["", "{", "[]\n[]", "{\"step\":{}}", "\u{0}"]
            .iter()
            .enumerate()
        {
            fs::write(folder.journals().join(format!("{number}.journal")), text).unwrap();
        }
        assert!(left(&folder).is_empty());
    }
}
