//! What `draw` says when it can't draw, and that its reference is true.

use std::path::Path;

use setover::internals::notebook::{FORMS, Subject};

use crate::pages::{page, wrong};

#[track_caller]
fn check(text: &str, message: &str, advice: &str) {
    let found = wrong(text);
    let first = found
        .first()
        .unwrap_or_else(|| panic!("nothing is wrong with {text}"));
    assert_eq!(first.0, message);
    assert_eq!(first.1.as_deref().unwrap_or(""), advice);
}

const HOLES: &str = "table t\n| x | y | size |\n| 1 mm | 2 mm | 3 mm |\n";

#[test]
fn a_picture_must_be_named() {
    let all = "the pictures are: holes, lever, turned profile, taper, rotary table, fit, shrink fit, length stack, dovetail, vee, dividing plate, change gears, thread, tailstock, sine bar, end view, gear, graph";
    check("draw\n", "`draw` does not say what to draw", all);
    check(
        "draw holles of t\n",
        "there is no picture called `holles`",
        "did you mean `holes`?",
    );
    check("draw a cat\n", "there is no picture called `a cat`", all);
}

#[test]
fn what_is_missing_is_named() {
    check(
        "draw holes\n",
        "`draw holes` does not say of what",
        "write it as in `draw holes of flange with chords`",
    );
    check(
        "table t\n| x | size |\n| 1 mm | 2 mm |\ndraw holes of t\n",
        "the table has no column `y`",
        "`draw holes` needs the columns x, y: distance from the datum along Y",
    );
    check(
        "table t\n| x | y |\n| 1 mm | |\ndraw holes of t\n",
        "row 1 of the table has no `y`",
        "",
    );
    check(
        "draw lever(big: 28 mm, small: 18 mm)\n",
        "`draw lever` needs `centres`, the distance between the centres of the ends",
        "write it as in `draw lever(big: 28 mm, small: 18 mm, centres: 70 mm, cutter: 16 mm)`",
    );
}

#[test]
fn what_does_not_fit_is_named() {
    check(
        "draw lever(big: 28 mm, smal: 18 mm, centres: 70 mm)\n",
        "`draw lever` has no setting `smal`",
        "did you mean `small`?",
    );
    check(
        "draw lever(28 mm, 18 mm, 70 mm, big: 3 mm)\n",
        "`big` is given twice",
        "",
    );
    check(
        "draw holes of 3 mm\n",
        "`draw holes` shows a table; this is 3.000 mm (a length)",
        "name a table with the columns x, y",
    );
    check(
        &format!("{HOLES}draw holes of t with cords\n"),
        "`draw holes` knows no `with cords`",
        "did you mean `chords`?",
    );
    check(
        &format!("{HOLES}draw holes of t with chords\n"),
        "one hole has no chords",
        "leave out `with chords`",
    );
    check(
        "draw lever of 3 mm\n",
        "`draw lever` takes its sizes in brackets",
        "write it as in `draw lever(big: 28 mm, small: 18 mm, centres: 70 mm, cutter: 16 mm)`",
    );
}

#[test]
fn sizes_that_can_not_be_are_refused() {
    check(
        "draw lever(big: -28 mm, small: 18 mm, centres: 70 mm)\n",
        "`big` must be more than 0.000 mm; it is -28.000 mm",
        "",
    );
    check(
        "draw lever(big: 28, small: 18 mm, centres: 70 mm)\n",
        "`big` must be a length; it is 28 (a plain number)",
        "give the number its unit, such as `28 mm`",
    );
    check(
        "draw lever(big: 10 mm, small: 16 mm, centres: 70 mm)\n",
        "the big end is smaller than the small one",
        "give the two the other way round",
    );
    check(
        "draw lever(big: 60 mm, small: 10 mm, centres: 20 mm)\n",
        "the small end lies inside the big one, so they have no flanks",
        "put the centres further apart",
    );
    check(
        "draw taper(20 mm, 20 mm, 50 mm)\n",
        "both ends have the same diameter, so this is not a taper",
        "",
    );
    check(
        "table t\n| diameter | length | bore |\n| 10 mm | 5 mm | 4 mm |\n| 8 mm | 5 mm | 8 mm |\ndraw turned profile of t\n",
        "row 2 of the table: the bore leaves no wall",
        "",
    );
    check(
        "table t\n| diameter | length |\n| 10 mm | 0 mm |\ndraw turned profile of t\n",
        "row 1 of the table: `length` must be more than 0.000 mm; it is 0.000 mm",
        "",
    );
    check(
        "draw fit(12 mm, 12 mm (0/-0.01))\n",
        "`hole` has no limits, so it has no tolerance zone",
        "give the size its class or its deviations, such as `12 mm H7`",
    );
}

#[test]
fn a_draw_that_fails_stops_nothing_else() {
    let text = "a = 3 mm\ndraw holes of nothing_there\nb = 4 mm\n";
    let sheet = crate::pages::sheet(text);
    let statuses: Vec<&str> = sheet.rows().map(|row| row.status.as_str()).collect();
    assert_eq!(
        statuses,
        ["computed", "waiting: needs nothing_there", "computed"]
    );
    assert!(crate::pages::page_of(&sheet).contains("No picture of holes of nothing_there"));
}

#[test]
fn a_cell_may_be_called_draw() {
    let found = page("draw = 3 mm\nb = 2 * draw\n");
    assert!(found.contains("6.000"));
}

/// The reference names all that the forms take, and its examples work.
#[test]
fn the_reference_is_true() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("library/DRAWING.md");
    let text = std::fs::read_to_string(path).unwrap();
    let blocks: Vec<&str> = text
        .split("```job\n")
        .skip(1)
        .map(|block| block.split("```").next().unwrap_or(""))
        .collect();
    assert!(blocks.len() >= FORMS.len());
    for block in &blocks {
        assert_eq!(wrong(block), [], "{block}");
    }
    for form in FORMS.iter() {
        let start = text
            .find(&format!("## draw {}", form.name))
            .unwrap_or_else(|| panic!("{} has no heading", form.name));
        let section = text[start..].split("\n## ").next().unwrap_or("");
        let mut names: Vec<&str> = form.parameters.iter().map(|p| &*p.name).collect();
        if let Subject::Table(columns) = &form.subject {
            names.extend(columns.iter().map(|column| &*column.name));
        }
        for name in names {
            assert!(
                section.contains(&format!("`{name}`")),
                "{}: {name}",
                form.name
            );
        }
        for option in &form.options {
            assert!(section.contains(&format!("`with {option}`")), "{option}");
        }
        let drawn = blocks
            .iter()
            .any(|block| block.contains(&format!("draw {}", form.name)));
        assert!(drawn, "{} has no example", form.name);
    }
}
