//! What was typed before: each entry once, kept in the data folder as it is
//! entered, so that a crash loses none.

use std::borrow::Cow;
use std::fs::{File, OpenOptions};
use std::io::{self, BufRead, BufReader, Read, Write};
use std::path::{Path, PathBuf};

use rustyline::history::{History, SearchDirection, SearchResult};

use super::folder::private;

/// The most entries that are kept.
const MOST: usize = 5_000;
/// The largest history file that is read.
const LARGEST: u64 = 16 * 1024 * 1024;

/// The entries, oldest first, and the file that keeps them.
#[derive(Debug, Default)]
pub struct Kept {
    entries: Vec<String>,
    file: Option<File>,
}

impl Kept {
    /// Returns the history of a file, which is made where it is missing; a line of the file
    /// is one entry, its line breaks written `\n`. What can't be written is kept for
    /// this session.
    #[must_use]
    pub fn open(path: &Path) -> Self {
        let mut kept = Self::default();
        let mut lines = 0;
        if let Ok(old) = File::open(path) {
            for line in BufReader::new(old.take(LARGEST)).lines() {
                let Ok(line) = line else { break };
                lines += 1;
                kept.remember(&unescaped(&line));
            }
        }
        // Another session may have it open, so that it can't be replaced: it is shortened
        // another time.
        if lines > kept.entries.len() {
            let _ = rewrite(path, &kept.entries);
        }
        kept.file = OpenOptions::new().create(true).append(true).open(path).ok();
        let _ = private(path, 0o600);
        kept
    }

    /// Puts an entry at the end, and takes out the same entry further up.
    fn remember(&mut self, entry: &str) -> bool {
        if entry.trim().is_empty() || self.entries.last().is_some_and(|last| last == entry) {
            return false;
        }
        self.entries.retain(|known| known != entry);
        self.entries.push(entry.to_owned());
        if self.entries.len() > MOST {
            self.entries.remove(0);
        }
        true
    }

    fn found(
        &self,
        start: usize,
        direction: SearchDirection,
        test: impl Fn(&str) -> Option<usize>,
    ) -> Option<SearchResult<'_>> {
        let found = |(idx, entry): (usize, &'_ String)| test(entry).map(|pos| (idx, pos));
        let numbered = self.entries.iter().enumerate();
        let (idx, pos) = match direction {
            SearchDirection::Forward => numbered.skip(start).find_map(found),
            SearchDirection::Reverse => numbered.take(start + 1).rev().find_map(found),
        }?;
        Some(SearchResult {
            entry: Cow::Borrowed(self.entries.get(idx)?),
            idx,
            pos,
        })
    }
}

/// Writes a shorter history in one step.
fn rewrite(path: &Path, entries: &[String]) -> io::Result<()> {
    let folder: PathBuf = path.parent().unwrap_or(Path::new(".")).to_owned();
    let mut beside = tempfile::NamedTempFile::new_in(folder)?;
    for entry in entries {
        writeln!(beside, "{}", escaped(entry))?;
    }
    private(beside.path(), 0o600)?;
    beside.persist(path).map_err(|error| error.error)?;
    Ok(())
}

fn escaped(entry: &str) -> String {
    entry.replace('\\', "\\\\").replace('\n', "\\n")
}

fn unescaped(line: &str) -> String {
    let mut entry = String::with_capacity(line.len());
    let mut characters = line.chars();
    while let Some(c) = characters.next() {
        match c {
            '\\' => match characters.next() {
                Some('n') => entry.push('\n'),
                Some(other) => entry.push(other),
                None => entry.push('\\'),
            },
            c => entry.push(c),
        }
    }
    entry
}

impl History for Kept {
    fn get(&self, index: usize, _: SearchDirection) -> rustyline::Result<Option<SearchResult<'_>>> {
        Ok(self.entries.get(index).map(|entry| SearchResult {
            entry: Cow::Borrowed(entry),
            idx: index,
            pos: 0,
        }))
    }

    fn add(&mut self, line: &str) -> rustyline::Result<bool> {
        let line = line.trim_end();
        let added = self.remember(line);
        if added && let Some(file) = &mut self.file {
            // One write an entry, so that sessions side by side mix no lines.
            file.write_all(format!("{}\n", escaped(line)).as_bytes())?;
        }
        Ok(added)
    }

    fn add_owned(&mut self, line: String) -> rustyline::Result<bool> {
        self.add(&line)
    }

    fn len(&self) -> usize {
        self.entries.len()
    }

    fn is_empty(&self) -> bool {
        self.entries.is_empty()
    }

    fn set_max_len(&mut self, _: usize) -> rustyline::Result<()> {
        Ok(())
    }

    fn ignore_dups(&mut self, _: bool) -> rustyline::Result<()> {
        Ok(())
    }

    fn ignore_space(&mut self, _: bool) {}

    fn save(&mut self, _: &Path) -> rustyline::Result<()> {
        Ok(())
    }

    fn append(&mut self, _: &Path) -> rustyline::Result<()> {
        Ok(())
    }

    fn load(&mut self, _: &Path) -> rustyline::Result<()> {
        Ok(())
    }

    fn clear(&mut self) -> rustyline::Result<()> {
        self.entries.clear();
        Ok(())
    }

    fn search(
        &self,
        term: &str,
        start: usize,
        dir: SearchDirection,
    ) -> rustyline::Result<Option<SearchResult<'_>>> {
        if term.is_empty() {
            return Ok(None);
        }
        Ok(self.found(start, dir, |entry| entry.find(term)))
    }

    fn starts_with(
        &self,
        term: &str,
        start: usize,
        dir: SearchDirection,
    ) -> rustyline::Result<Option<SearchResult<'_>>> {
        Ok(self.found(start, dir, |entry| {
            entry.starts_with(term).then_some(term.len())
        }))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_entry_is_kept_once_as_it_is_entered() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("history");
        let mut kept = Kept::open(&path);
        for entry in [
            "bore = 12 mm",
            "wall = (boss -\n bore)",
            "bore = 12 mm",
            "a\\b",
        ] {
            kept.add(entry).unwrap();
        }
        assert!(!kept.add("a\\b").unwrap());
        // Not closed in any way: what a crash leaves.
        let kept = Kept::open(&path);
        assert_eq!(
            kept.entries,
            ["wall = (boss -\n bore)", "bore = 12 mm", "a\\b"]
        );
        let found = kept
            .search("bore", 2, SearchDirection::Reverse)
            .unwrap()
            .unwrap();
        assert_eq!((found.idx, found.pos), (1, 0));
    }

    #[test]
    fn what_was_typed_is_known_where_nothing_can_be_written() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("history");
        std::fs::write(&path, "a\nb\na\n").unwrap();
        // Neither a shorter file nor another entry can be written, whoever asks.
        assert!(rewrite(&folder.path().join("gone").join("history"), &[]).is_err());
        assert_eq!(Kept::open(&path).entries, ["b", "a"]);
        let mut kept = Kept::open(folder.path());
        assert!(kept.add("c").unwrap() && kept.entries == ["c"]);
    }

    #[cfg(unix)]
    #[test]
    fn only_the_owner_may_read_it() {
        use std::fs;
        use std::os::unix::fs::PermissionsExt;
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("history");
        let _ = Kept::open(&path);
        let mode = fs::metadata(&path).unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o600);
    }
}
