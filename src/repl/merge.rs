//! Putting the changes of a session on top of another version of its notebook.

use std::collections::HashMap;
use std::path::Path;

use super::place::{self, Entry, replaces};
use crate::notebook::{PageId, Shelf, Workspace};
use crate::syntax::{Role, parse_document};

/// A statement of a text, by what makes it the same statement in another version.
#[derive(Clone, Debug)]
struct Known {
    key: String,
    /// What it is called when it is spoken of.
    name: String,
    /// The heading above it.
    section: Option<String>,
    /// The statement with its documentation and its remark.
    written: String,
    entry: Option<Entry>,
}

/// Returns the statements of a text.
fn outline(text: &str) -> Vec<Known> {
    let mut found: Vec<Known> = Vec::new();
    let mut counts: HashMap<String, usize> = HashMap::new();
    let mut section = None;
    for statement in parse_document(text).statements {
        let piece = &statement.piece;
        let own = piece.span.of(text).to_owned();
        let parsed = statement.parsed.ok();
        let entry = parsed.map(|kind| Entry::of(text, piece, own.clone(), kind));
        let (mut key, name) = match &entry {
            Some(entry) => key_of(entry),
            None => (own.clone(), own.clone()),
        };
        let count = counts.entry(key.clone()).or_default();
        *count += 1;
        if *count > 1 {
            key = format!("{key} ({count})");
        }
        if let Some(Role::Section(heading)) = entry.as_ref().map(|entry| entry.kind.role()) {
            section = Some(heading.to_owned());
        }
        found.push(Known {
            key,
            name,
            section: section.clone(),
            written: entry.as_ref().map_or(own, Entry::written),
            entry,
        });
    }
    found
}

fn key_of(entry: &Entry) -> (String, String) {
    let own = entry.statement.as_str();
    let of = |word: &str, name: &str, called: String| (format!("{word} {name}"), called);
    match entry.kind.role() {
        Role::Defines(name) => of("cell", &name.text, name.text.to_string()),
        Role::Setting(word) => of("setting", word, word.to_owned()),
        Role::Use(alias) => of("setting", &alias.text, alias.text.to_string()),
        Role::Function(name) => of("function", &name.text, format!("{}(…)", name.text)),
        Role::Beside(name) => {
            let word = own.split_whitespace().next().unwrap_or("");
            of(word, &name.text, format!("{word} {}", name.text))
        }
        Role::Section(_) | Role::Alone => (own.to_owned(), own.to_owned()),
    }
}

/// Returns the statements that differ between two texts, by name; those that are gone too.
#[must_use]
pub fn changed(base: &str, mine: &str) -> Vec<String> {
    let (base, mine) = (outline(base), outline(mine));
    let mut names: Vec<String> = mine
        .iter()
        .filter(|new| !is_in(&base, new))
        .chain(base.iter().filter(|old| !has_key(&mine, &old.key)))
        .map(|known| known.name.clone())
        .collect();
    names.dedup();
    names
}

/// Returns the statements that `theirs` changed of `base` and that `mine` has as `base` had
/// them, by name: writing `mine` takes those changes back.
#[must_use]
pub fn taken_back(base: &str, theirs: &str, mine: &str) -> Vec<String> {
    let (base, theirs, mine) = (outline(base), outline(theirs), outline(mine));
    let as_before = |known: &&Known| match base.iter().find(|old| old.key == known.key) {
        Some(old) => is_in(&mine, old),
        None => !has_key(&mine, &known.key),
    };
    let changed = theirs.iter().filter(|new| !is_in(&base, new));
    let gone = base.iter().filter(|old| !has_key(&theirs, &old.key));
    let mut names: Vec<String> = changed
        .filter(as_before)
        .chain(gone.filter(|old| is_in(&mine, old)))
        .map(|known| known.name.clone())
        .collect();
    names.dedup();
    names
}

fn is_in(all: &[Known], wanted: &Known) -> bool {
    all.iter()
        .any(|known| known.key == wanted.key && known.written == wanted.written)
}

fn has_key(all: &[Known], key: &str) -> bool {
    all.iter().any(|known| known.key == key)
}

/// A text with the changes of another on top.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Merged {
    /// The text.
    pub text: String,
    /// What both versions changed; the changes of the session stand.
    pub both: Vec<String>,
    /// What was asked for and is not changed.
    pub missing: Vec<String>,
}

/// Puts what `mine` changes of `base` on top of `theirs`; `only` names the changes
/// to take, none taking all.
#[must_use]
pub fn merge(
    path: &Path,
    shelf: &dyn Shelf,
    (base, mine, theirs): (&str, &str, &str),
    only: &[String],
) -> Merged {
    let (old, new, other) = (outline(base), outline(mine), outline(theirs));
    let wanted = |known: &Known| only.is_empty() || only.contains(&known.name);
    let mut merged = Merged {
        missing: only.to_vec(),
        ..Merged::default()
    };
    let mut workspace = Workspace::of_text(path, theirs, shelf);
    for change in new.iter().filter(|new| !is_in(&old, new) && wanted(new)) {
        merged.missing.retain(|name| *name != change.name);
        if is_in(&other, change) {
            continue;
        }
        let theirs = other.iter().find(|known| known.key == change.key);
        if theirs.is_some_and(|theirs| !is_in(&old, theirs)) {
            merged.both.push(change.name.clone());
        }
        if let Some(text) = put(&workspace, change) {
            workspace.update_text(PageId::MAIN, &text, shelf);
        }
    }
    for gone in old
        .iter()
        .filter(|old| !has_key(&new, &old.key) && wanted(old))
    {
        merged.missing.retain(|name| *name != gone.name);
        let text = workspace.main().and_then(|page| {
            let entry = gone.entry.as_ref();
            let item = entry
                .and_then(|entry| replaces(&workspace, page, entry))
                .or_else(|| {
                    let statement = &entry?.statement;
                    page.items
                        .iter()
                        .find(|item| page.text_at(item.piece.span) == statement)
                });
            Some(crate::notebook::without(page, item?))
        });
        if let Some(text) = text {
            workspace.update_text(PageId::MAIN, &text, shelf);
        }
    }
    merged.text = workspace
        .main()
        .map_or_else(String::new, |page| page.text.to_string());
    merged
}

/// Returns the text with one changed statement in its place.
fn put(workspace: &Workspace, change: &Known) -> Option<String> {
    let page = workspace.main()?;
    let entry = change.entry.as_ref()?;
    let section = change.section.as_deref();
    let begins = matches!(entry.kind.role(), Role::Section(_));
    if begins && section.is_some_and(|section| place::has_section(page, section)) {
        return None;
    }
    let placed = place::put(workspace, page, section, entry, true);
    placed.ok().map(|placed| placed.text)
}

#[cfg(test)]
mod tests {
    use super::*;

    struct Nothing;

    impl Shelf for Nothing {
        fn text(&self, _: &Path) -> Result<String, String> {
            Err("there is none".to_owned())
        }
        fn beside(&self, _: &Path) -> Vec<String> {
            Vec::new()
        }
    }

    fn merged(base: &str, mine: &str, theirs: &str, only: &[String]) -> Merged {
        merge(Path::new("lever.job"), &Nothing, (base, mine, theirs), only)
    }

    const BASE: &str = "title Lever\n\n[Drawing]\nbore = 12 mm  # runs\nboss = 26 mm\n\n[Checks]\ncheck boss > bore\n";

    #[test]
    fn both_versions_changes_stand() {
        let mine = BASE
            .replace("bore = 12 mm", "bore = 12.5 mm")
            .replace("boss = 26 mm\n", "boss = 26 mm\nweb = 8 mm\n");
        let theirs = BASE
            .replace("26 mm", "27 mm")
            .replace("Lever", "Clutch lever");
        let result = merged(BASE, &mine, &theirs, &[]);
        assert_eq!(
            result.text,
            "title Clutch lever\n\n[Drawing]\nbore = 12.5 mm  # runs\nboss = 27 mm\nweb = 8 mm\n\n[Checks]\ncheck boss > bore\n"
        );
        assert!(result.both.is_empty());
    }

    #[test]
    fn what_both_changed_is_named_and_mine_stands() {
        let mine = BASE.replace("26 mm", "28 mm");
        let theirs = BASE.replace("26 mm", "27 mm");
        let result = merged(BASE, &mine, &theirs, &[]);
        assert_eq!(result.both, ["boss"]);
        assert_eq!(result.text, mine);
    }

    #[test]
    fn only_what_is_asked_for_is_taken() {
        let mine = BASE.replace("12 mm", "12.5 mm").replace("26 mm", "28 mm");
        let only = ["boss".to_owned(), "web".to_owned()];
        let result = merged(BASE, &mine, BASE, &only);
        assert_eq!(result.text, BASE.replace("26 mm", "28 mm"));
        assert_eq!(result.missing, ["web"]);
        let gone = BASE.replace("check boss > bore\n", "");
        assert_eq!(merged(BASE, &gone, BASE, &[]).text, gone);
        assert_eq!(changed(BASE, &gone), ["check boss > bore"]);
        assert_eq!(changed(BASE, &mine), ["bore", "boss"]);
    }
}
