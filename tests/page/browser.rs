//! Pages in a browser, as their readers see them: Debian's chromium, driven by
//! tests/page/browser/look.mjs. Where it or what it needs of npm is missing, the test
//! says so and does nothing; .ci/run installs both.

use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;

use crate::pages::{notebooks, page_of_file};

/// The most sheets of A4 and of US letter that the full record of a notebook takes, and
/// the most sides of its shop card on either. Where a notebook is not named, the others' bound
/// holds.
///
/// A shop card is one side. The shaft alone takes both sides of its sheet: twenty ops
/// with four tables of settings leave no room for letters that can be read.
const SHEETS: &[(&str, [u64; 3])] = &[
    ("clutch-lever", [2, 2, 1]),
    ("saddle-dovetail", [2, 3, 1]),
    ("counterweight", [2, 2, 1]),
    ("worm-shaft", [2, 2, 1]),
    ("workshop", [1, 1, 1]),
    ("declination-shaft", [5, 5, 2]),
    ("declination", [7, 8, 1]),
];
const SHEETS_ELSE: [u64; 3] = [4, 4, 1];
/// Notebooks of these tests that no one would print.
const NOT_PRINTED: &[&str] = &["crowded", "grids"];

/// What is missing for the test; nothing where all is there.
fn missing(driver: &Path) -> Option<&'static str> {
    if !driver.join("node_modules/playwright-core").exists() {
        return Some("`npm ci` in tests/page/browser");
    }
    let chromium = std::env::var("CHROMIUM").unwrap_or_else(|_| "/usr/bin/chromium".to_owned());
    if !Path::new(&chromium).exists() {
        return Some("chromium");
    }
    let node = Command::new("node").arg("--version").output();
    node.is_err().then_some("node")
}

#[test]
fn pages_serve_on_a_phone_a_screen_and_paper() {
    let driver = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/page/browser");
    if let Some(missing) = missing(&driver) {
        println!("skipped: no {missing}");
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    let files: Vec<PathBuf> = notebooks()
        .iter()
        .map(|notebook| {
            let name = notebook.file_stem().unwrap().to_string_lossy().into_owned();
            let file = folder.path().join(format!("{name}.html"));
            std::fs::write(&file, page_of_file(notebook).1).unwrap();
            file
        })
        .collect();
    let done = Command::new("node")
        .arg(driver.join("look.mjs"))
        .args(&files)
        .output()
        .expect("node runs");
    let said = String::from_utf8_lossy(&done.stdout).into_owned();
    assert!(
        done.status.success(),
        "{}",
        String::from_utf8_lossy(&done.stderr)
    );
    let found: Vec<Value> = said
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect();
    assert_eq!(found.len(), files.len());
    for page in &found {
        looked_at(page);
    }
}

fn looked_at(page: &Value) {
    let file = PathBuf::from(page["file"].as_str().unwrap());
    let name = file.file_stem().unwrap().to_string_lossy().into_owned();
    for (width, seen) in page["widths"].as_object().unwrap() {
        assert_eq!(
            seen["beyond"], 0,
            "{name} scrolls sideways at {width}: {}",
            seen["wide"]
        );
        assert_eq!(seen["overlaps"], serde_json::json!([]), "{name} at {width}");
        assert_eq!(
            seen["cut"],
            serde_json::json!([]),
            "{name} cuts numbers at {width}"
        );
        for wrong in ["spilled", "squeezed"] {
            assert_eq!(
                seen[wrong],
                serde_json::json!([]),
                "{name}, {wrong} at {width}"
            );
        }
        let (text, setting) = (
            seen["text"].as_f64().unwrap(),
            seen["setting"].as_f64().unwrap(),
        );
        // A setting is read from a step away: at least twice the text, less what the
        // smaller letters of a phone take.
        assert!(
            setting == 0.0 || setting >= 1.89 * text,
            "{name}: {setting} beside {text}"
        );
    }
    assert_eq!(
        page["asked"],
        serde_json::json!([]),
        "{name} asks for something"
    );
    assert_eq!(
        page["invalid"],
        serde_json::json!([]),
        "{name} is not valid"
    );
    assert_eq!(
        page["squeezed"],
        serde_json::json!([]),
        "{name} squeezes texts on paper"
    );
    assert_eq!(
        page["spilled"],
        serde_json::json!([]),
        "{name} prints one column over another"
    );
    if page["ops"].as_u64().unwrap() > 0 {
        assert_eq!(page["kept"], true, "{name} loses a tick at a reload");
        assert_eq!(
            page["keptThoughChanged"], false,
            "{name} keeps the tick of a changed op"
        );
        let why = page["why"].as_str().unwrap_or_default();
        assert!(
            why.contains("has changed since"),
            "{name} does not say why: {why}"
        );
    }
    if NOT_PRINTED.contains(&name.as_str()) {
        return;
    }
    let bound = SHEETS.iter().find(|bound| bound.0 == name);
    let [a4, letter, card] = bound.map_or(SHEETS_ELSE, |bound| bound.1);
    let printed = |form: &str| page["printed"][form].as_u64().unwrap();
    for (form, most) in [
        ("a4", a4),
        ("letter", letter),
        ("card", card),
        ("card-letter", card),
    ] {
        let sheets = printed(form);
        assert!(
            (1..=most).contains(&sheets),
            "{name}, {form}: {sheets} sheets"
        );
    }
    assert_eq!(page["small"], serde_json::json!([]), "{name}: hard to read");
    running_head(
        &name,
        &file.with_file_name(format!("{name}-a4.pdf")),
        printed("a4"),
    );
}

/// Each printed sheet says which of how many it is (read by pdftotext of poppler).
fn running_head(name: &str, pdf: &Path, sheets: u64) {
    let read = Command::new("pdftotext")
        .arg("-layout")
        .arg(pdf)
        .arg("-")
        .output();
    let Ok(read) = read else {
        println!("running heads are not looked at: no pdftotext");
        return;
    };
    let text = String::from_utf8_lossy(&read.stdout).into_owned();
    for sheet in 1..=sheets {
        let head = format!("sheet {sheet} of {sheets}");
        assert!(text.contains(&head), "{name}: no `{head}`");
    }
}
