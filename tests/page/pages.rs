//! Pages of small notebooks, and the pictures in them.

use std::path::{Path, PathBuf};

use setover::internals::notebook::{Workspace, problems};

use setover::internals::sheet::{Colophon, Sheet, html};

use crate::markup::Picture;
use crate::texts::Texts;

/// The sheet of a text.
pub fn sheet(text: &str) -> Sheet {
    Sheet::of(&Workspace::of_text(
        Path::new("part.job"),
        text,
        &Texts(&[]),
    ))
}

/// What is wrong with a text: the messages with their advice.
pub fn wrong(text: &str) -> Vec<(String, Option<String>)> {
    let workspace = Workspace::of_text(Path::new("part.job"), text, &Texts(&[]));
    problems(&workspace)
        .into_iter()
        .map(|problem| (problem.diagnostic.message, problem.diagnostic.advice))
        .collect()
}

/// The page of a sheet, as if computed at a fixed time.
pub fn page_of(sheet: &Sheet) -> String {
    html(
        sheet,
        &Colophon {
            computed: "2031-05-09 14:05 UTC".to_owned(),
            version: "0.0.0".to_owned(),
        },
    )
}

/// The page of a text; the text must be well.
#[track_caller]
pub fn page(text: &str) -> String {
    assert_eq!(wrong(text), [], "{text}");
    page_of(&sheet(text))
}

/// The `svg` elements of a page, as text.
pub fn pictures(page: &str) -> Vec<String> {
    let parts = page.split("<svg").skip(1);
    parts
        .map(|part| {
            let end = part.find("</svg>").expect("the svg element is closed");
            format!("<svg{}</svg>", &part[..end])
        })
        .collect()
}

/// The one picture of a text.
#[track_caller]
pub fn drawn(text: &str) -> Picture {
    let found = pictures(&page(text));
    assert_eq!(found.len(), 1, "{text}");
    Picture::of(&found[0])
}

/// Every notebook that a page is written of: those of these tests and the demos.
pub fn notebooks() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut found = Vec::new();
    for folder in ["tests/page/notebooks", "notebooks"] {
        let Ok(entries) = std::fs::read_dir(root.join(folder)) else {
            continue;
        };
        found.extend(
            entries
                .filter_map(|entry| Some(entry.ok()?.path()))
                .filter(|path| path.extension().is_some_and(|extension| extension == "job")),
        );
    }
    found.sort();
    found
}

/// The page of a notebook on disk.
pub fn page_of_file(path: &Path) -> (Sheet, String) {
    let workspace = Workspace::open(path, &setover::internals::cli::Files).expect("it can be read");
    let sheet = Sheet::of(&workspace);
    let page = page_of(&sheet);
    (sheet, page)
}
