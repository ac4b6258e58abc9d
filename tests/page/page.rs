//! The page as a whole.

use crate::markup::tags;
use crate::pages::{notebooks, page, page_of, page_of_file, pictures, sheet};

/// The largest page, in bytes.
const LARGEST: usize = 200 * 1024;

#[test]
fn pages_need_nothing_from_outside() {
    let mut seen = 0;
    for notebook in notebooks() {
        let (_, page) = page_of_file(&notebook);
        let name = notebook.display();
        for reference in [
            "http", "url(", "src=", "href", "@import", "<link", "<script", "<base",
        ] {
            assert!(!page.contains(reference), "{name} has {reference}");
        }
        assert!(page.len() < LARGEST, "{name} takes {} bytes", page.len());
        tags(&page);
        for picture in pictures(&page) {
            roxmltree::Document::parse(&picture).unwrap_or_else(|error| panic!("{name}: {error}"));
        }
        seen += 1;
    }
    assert!(seen > 0);
}

#[test]
fn the_demonstration_notebooks_have_pictures() {
    for notebook in notebooks() {
        let (sheet, page) = page_of_file(&notebook);
        let drawn = pictures(&page).len();
        // A notebook of sizes that others use has no ops and needs no picture.
        let works = sheet
            .rows()
            .any(|row| row.kind == setover::sheet::RowKind::Op);
        assert!(drawn > 0 || !works, "{} has no picture", notebook.display());
    }
}

#[test]
fn the_page_has_what_a_machinist_takes_along() {
    let text = "title Clutch lever\n\
                a = 12 mm (+0.018/0) # reamed\n\
                measured a = 12.012 mm\n\
                b = 3/8 in\n\
                check a > 11 mm # wall\n\
                check a > 13 mm\n\
                op Move X to {a / 2}, lock it.\n\
                op Drill.\n\
                vary b over 1 mm, 2 mm show 2 * b\n\
                c = bad_name + 1 mm\n";
    let found = page_of(&sheet(text));
    for wanted in [
        "<title>Clutch lever</title>",
        "<h1>Clutch lever</h1>",
        "part.job, computed 2031-05-09 14:05 UTC, setover 0.0.0",
        "<b>6.006 mm</b>",
        "<input type=\"checkbox\">",
        "<span class=\"number\">1</span>",
        "<span class=\"number\">2</span>",
        "<span class=\"sign\">✓</span> holds",
        "<span class=\"sign\">✗</span> fails",
        "next reading <span class=\"blank\">",
        "12.000 to 12.018",
        "reamed",
        "vary b over 1 mm, 2 mm show 2 * b",
        "To be put right",
        "unknown name `bad_name`",
    ] {
        assert!(found.contains(wanted), "{wanted} in {found}");
    }
    tags(&found);
}

#[test]
fn cautions_stand_at_the_end() {
    let found = page("x = table_offset(14 mm, 16 mm)\n");
    let at = |words: &str| {
        found
            .find(words)
            .unwrap_or_else(|| panic!("{words} in {found}"))
    };
    assert!(at("Cautions") > at("22.000"));
    assert!(at("conventional milling") > at("Cautions"));
}
