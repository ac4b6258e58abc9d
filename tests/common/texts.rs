//! Notebooks for tests, held in memory.

use std::path::Path;

use setover::internals::notebook::Shelf;

/// A shelf of notebooks by file name; most tests need none.
#[derive(Default)]
pub struct Texts<'a>(pub &'a [(&'a str, &'a str)]);

impl Shelf for Texts<'_> {
    fn text(&self, path: &Path) -> Result<String, String> {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let found = self.0.iter().find(|(known, _)| *known == name);
        let found = found.map(|(_, text)| (*text).to_owned());
        found.ok_or_else(|| "there is no such file".to_owned())
    }

    fn beside(&self, _: &Path) -> Vec<String> {
        let names = self.0.iter();
        names
            .map(|(name, _)| name.trim_end_matches(".job").to_owned())
            .collect()
    }
}
