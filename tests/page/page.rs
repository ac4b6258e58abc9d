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
        for reference in ["http", "url(", "src=", "@import", "<link", "<base"] {
            assert!(!page.contains(reference), "{name} has {reference}");
        }
        let leaves = page
            .split("href=\"")
            .skip(1)
            .find(|link| !link.starts_with('#'));
        assert_eq!(leaves, None, "{name} has a link that leaves it");
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
            .any(|row| row.kind == setover::internals::sheet::RowKind::Op);
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
        "<input type=\"checkbox\" aria-label=\"op 1 done\">",
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
fn cautions_are_gathered_at_the_head() {
    let found = page("x = table_offset(14 mm, 16 mm)\n");
    let at = |words: &str| {
        found
            .find(words)
            .unwrap_or_else(|| panic!("{words} in {found}"))
    };
    assert!(at("conventional milling") > at("Cautions"));
    assert!(at("conventional milling") < at("22.000"));
    assert!(!found.contains("At the ops below"));
}

/// What stands at an op is folded at the head, and not printed twice.
#[test]
fn a_caution_at_an_op_is_folded_at_the_head() {
    let found = page("off = table_offset(14 mm, 16 mm)\nop Move X to {off}.\n");
    let head = found.split("class=\"op\"").next().unwrap();
    let (_, folded) = head.split_once("At the ops below: 1 caution").unwrap();
    assert!(folded.contains("conventional milling"));
    assert!(found.contains(".cautions details,footer{display:none}"));
}

/// The relative luminance of a colour `#rgb` or `#rrggbb` (WCAG 2.2).
fn luminance(colour: &str) -> f64 {
    let digits = colour.trim_start_matches('#');
    let part = |index: usize| {
        let text = if digits.len() == 3 {
            digits[index..=index].repeat(2)
        } else {
            digits[2 * index..2 * index + 2].to_owned()
        };
        let value = f64::from(u8::from_str_radix(&text, 16).expect("a colour")) / 255.0;
        if value <= 0.04045 {
            value / 12.92
        } else {
            ((value + 0.055) / 1.055).powf(2.4)
        }
    };
    0.2126 * part(0) + 0.7152 * part(1) + 0.0722 * part(2)
}

#[test]
fn all_letters_stand_out_from_the_paper() {
    let found = page("a = 3 mm\n");
    let mut schemes = 0;
    for scheme in found.split(":root{").skip(1) {
        let scheme = scheme.split('}').next().unwrap();
        let colour = |name: &str| {
            let (_, rest) = scheme.split_once(&format!("--{name}:")).expect(name);
            luminance(rest.split(';').next().unwrap())
        };
        let paper = colour("paper");
        for name in ["ink", "faint", "well", "edge", "ill"] {
            let (low, high) = (colour(name).min(paper), colour(name).max(paper));
            let contrast = (high + 0.05) / (low + 0.05);
            // WCAG 2.2, 1.4.6: 7:1.
            assert!(contrast >= 7.0, "{name}: {contrast}");
        }
        schemes += 1;
    }
    assert_eq!(schemes, 2, "light and dark");
}

#[test]
fn what_fails_is_said_first() {
    let text = "title Pin\nmaterial = \"brass\"\nnumber_off = 2\nd = 8 mm ±0.1\nmeasured d = 8.2 mm\n\
                check d > 9 mm # shoulder\ncheck d > 1 mm\n";
    let found = page(text);
    let head = found
        .split("<h2")
        .next()
        .unwrap()
        .split("<section")
        .next()
        .unwrap();
    for wanted in [
        "Material</dt><dd>brass",
        "Number off</dt><dd>2",
        "2 not well",
        "outside",
        "fails",
        "shoulder",
    ] {
        assert!(head.contains(wanted), "{wanted} in {head}");
    }
    // Each has a link to its row.
    for link in head.split("href=\"#").skip(1) {
        let id = link.split('"').next().unwrap();
        assert_eq!(found.matches(&format!("id=\"{id}\"")).count(), 1, "{id}");
    }
}

#[test]
fn an_op_shows_its_settings_with_the_words_that_name_them() {
    let found = page(
        "lengths mm, inch\nrpm = 440 rpm\ny = 19 mm\nop Move Y to {y}, lock it; drill at {rpm}, {3} turns of the handle.\n",
    );
    for wanted in [
        "<span class=\"what\">Move Y to</span> <b>19.000 mm</b> <span class=\"other\">0.7480 in</span>",
        "<span class=\"what\">speed</span> <b>440 rpm</b>",
        "<span class=\"what\">turns of the handle</span> <b>3</b>",
    ] {
        assert!(found.contains(wanted), "{wanted} in {found}");
    }
}

/// `to` and `and` name nothing: what follows does.
#[test]
fn a_setting_behind_a_link_is_named_by_what_follows() {
    let found = page("y = 19 mm\nop Drill the pilots, to {y} and {2 * y} deep at the point.\n");
    for wanted in [
        "<span class=\"what\">to</span> <b>19.000 mm</b>",
        "<span class=\"what\">and … deep at the point</span> <b>38.000 mm</b>",
    ] {
        assert!(found.contains(wanted), "{wanted} in {found}");
    }
}

/// The same words name one value only; what is counted behind `and` and what stands
/// behind a comma have names of their own.
#[test]
fn each_setting_has_a_name_of_its_own() {
    let found = page(
        "y = 4 mm\nop Declination: {2} holes on the {18} circle and {5} turns; lengths by the stop: {y}, floor to depth, {2 * y}.\n",
    );
    for wanted in [
        "<span class=\"what\">holes on the</span> <b>2</b>",
        "<span class=\"what\">circle</span> <b>18</b>",
        "<span class=\"what\">turns</span> <b>5</b>",
        "<span class=\"what\">lengths by the stop</span> <b>4.000 mm</b>",
        "<span class=\"what\">floor to depth</span> <b>8.000 mm</b>",
    ] {
        assert!(found.contains(wanted), "{wanted} in {found}");
    }
}

#[test]
fn a_caution_stands_at_the_first_op_that_rests_on_it() {
    let found = page(
        "off = table_offset(14 mm, 16 mm)\nop Clamp.\nop Move X to {off}.\nop Again to {off}.\n",
    );
    let ops: Vec<&str> = found.split("<li class=\"op\"").collect();
    let at = |op: usize| {
        ops[op]
            .split("</li><li")
            .next()
            .unwrap()
            .contains("conventional milling")
    };
    assert!(!ops[1].contains("conventional milling"));
    assert!(at(2));
    assert_eq!(found.matches("class=\"caution\"").count(), 1);
}

#[test]
fn a_picture_says_its_figures_to_those_who_can_not_see_it() {
    let found = page("draw lever(big: 28 mm, small: 18 mm, centres: 70 mm ±0.05)\n");
    // sqrt(70^2 - 5^2), and the angle whose sine is 5/70: Python.
    let label = "aria-label=\"lever: big 28 mm; small 18 mm; centres 70 ±0.05 mm; flank angle 4.096°; flank length 69.821 mm\"";
    assert!(found.contains(label), "{found}");
}

#[test]
fn what_a_sheet_keeps_off_is_folded_away() {
    let text = "screw = thread(\"M8\")\n_third = 40 mm / 3\nover = _third * 2\n\
                [_Working]\nspare = over - 1 mm\nwrong = over + 1 deg\n";
    let found = page_of(&sheet(text));
    let (_, fold) = found
        .split_once("Working: _third</summary>")
        .expect("a fold");
    let (fold, _) = fold.split_once("</details>").expect("its end");
    assert!(fold.contains("13.333"), "{fold}");
    let (_, fold) = found
        .split_once("Working: spare</summary>")
        .expect("a fold");
    assert!(
        !fold
            .split("</details>")
            .next()
            .unwrap_or_default()
            .contains("wrong"),
        "{fold}"
    );
    // All fields of a record stand in a fold below those that say something.
    let (shown, fold) = found.split_once("All fields</summary>").expect("a fold");
    assert!(!shown.contains("left_hand") && fold.contains("left_hand"));
}
