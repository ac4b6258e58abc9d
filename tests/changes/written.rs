//! `setover set`: the new expression is in the file and every other byte as it was.

use std::path::Path;

use proptest::prelude::*;
use setover::internals::notebook::{Workspace, with_expression};

use crate::generated::{FILES, Notebooks, tries};
use crate::program::Folder;

/// A cell's expression: what stands before its tolerance, and the tolerance.
fn old_expression() -> impl Strategy<Value = (String, String)> {
    let tolerance = prop::sample::select(&[" H7", " ±0.05", " +-0.05", "  (0/-0.013)", " h6"][..]);
    prop_oneof![
        (1_u32..60, tolerance).prop_map(|(n, t)| (format!("{n} mm"), t.to_owned())),
        prop::sample::select(
            &[
                "12 mm",
                "12mm",
                "1 3/8 in",
                "(3 mm + 2 mm) * 2",
                "max(1 mm,2 mm)",
                "\"M8 # x\"",
                "[1, 2,\n   3] mm",
                "(1 mm +   # the first\n 2 mm)",
                "1 mm +\n\t2 mm",
                "if 1 < 2 then 3 mm else 4 mm",
            ][..]
        )
        .prop_map(|text| (text.to_owned(), String::new())),
    ]
}

/// What is written instead: the expression, its own tolerance, and whether it must
/// stand in brackets before a tolerance.
fn new_expression() -> impl Strategy<Value = (String, String, bool)> {
    prop_oneof![
        (1_u32..60).prop_map(|n| (format!("{n}.5 mm"), String::new(), false)),
        (1_u32..60).prop_map(|n| (format!("{n} mm"), " g6".to_owned(), false)),
        (1_u32..60).prop_map(|n| (format!("{n} mm"), " ±0.2".to_owned(), false)),
        Just(("3 mm + 2 mm".to_owned(), String::new(), true)),
        Just(("max(9 mm, 8 mm)".to_owned(), String::new(), true)),
        Just(("(9 mm - 8 mm)".to_owned(), String::new(), false)),
    ]
}

/// A line that is no cell of ours.
fn other_line() -> impl Strategy<Value = String> {
    prop::sample::select(
        &[
            "",
            "   ",
            "\t",
            "# a remark = 3",
            "[Holes]",
            "title  Clutch  lever ",
            "lengths mm,inch",
            "table t\n| x  |  y = x*2 |\n|  1 mm| |  # hub",
            "check   1 mm<2 mm # holds",
            "op  Turn to {1 mm+2 mm} .",
            "## Half of it.\n## source: common practice, no source\nhalf(x)=x/2",
            "other_µ = 3 mm   # straße",
            "vary  c0 over 1 mm,2 mm   show c0",
        ][..],
    )
    .prop_map(str::to_owned)
}

#[derive(Clone, Debug)]
struct Part {
    others: Vec<String>,
    indent: String,
    before: String,
    after: String,
    expression: (String, String),
    remark: String,
}

fn part() -> impl Strategy<Value = Part> {
    let blank =
        || prop::sample::select(&["", " ", "   ", "\t", " \t "][..]).prop_map(str::to_owned);
    let remark =
        prop::sample::select(&["", "  ", " # note = 3", "\t#c1 = 9 mm", "   # \"quoted"][..]);
    (
        prop::collection::vec(other_line(), 0..3),
        blank(),
        blank(),
        blank(),
        old_expression(),
        remark.prop_map(str::to_owned),
    )
        .prop_map(|(others, indent, before, after, expression, remark)| Part {
            others,
            indent,
            before,
            after,
            expression,
            remark,
        })
}

proptest! {
    #![proptest_config(tries(300))]

    #[test]
    fn only_the_expression_changes(
        parts in prop::collection::vec(part(), 1..6),
        chosen in 0_usize..6,
        (new, tolerance, bracket) in new_expression(),
        windows in any::<bool>(),
        mark in any::<bool>(),
        last_line_ends in any::<bool>(),
    ) {
        let chosen = chosen % parts.len();
        let end = if windows { "\r\n" } else { "\n" };
        let mut text = String::from(if mark { "\u{feff}" } else { "" });
        let mut wanted = text.clone();
        for (number, part) in parts.iter().enumerate() {
            let (size, old_tolerance) = &part.expression;
            let start = part.others.iter().fold(String::new(), |lines, line| lines + line + "\n")
                + &format!("{}c{number}{}={}", part.indent, part.before, part.after);
            let start = start.replace('\n', end);
            let old = format!("{size}{old_tolerance}").replace('\n', end);
            let rest = format!("{}{}", part.remark, if number + 1 < parts.len() || last_line_ends { end } else { "" });
            text += &format!("{start}{old}{rest}");
            let kept = if tolerance.is_empty() { old_tolerance } else { &tolerance };
            let written = if bracket && !kept.is_empty() {
                format!("({new}){kept}")
            } else {
                format!("{new}{kept}")
            };
            wanted += &format!("{start}{}{rest}", if number == chosen { &written } else { &old });
        }
        let shelf = Notebooks { lines: [vec![], vec![], vec![]] };
        let workspace = Workspace::of_text(Path::new(FILES[0]), &text, &shelf);
        let given = format!(" {new}{tolerance} ");
        let name = format!("c{chosen}");
        let made = with_expression(&workspace, &workspace.pages[0], &name, &given);
        prop_assert_eq!(made.as_ref().map_err(|wrong| &wrong.message), Ok(&wanted));
        // What is written is read back as the cell with that expression.
        let again = Workspace::of_text(Path::new(FILES[0]), &wanted, &shelf);
        prop_assert_eq!(again.pages[0].items.len(), workspace.pages[0].items.len());
        prop_assert!(again.find(&name).and_then(|slot| again.value(slot)).is_some());
    }
}

const LEVER: &str = "title Clutch lever\r\nbore\t=  12 mm H7   # runs on the shaft\r\nwall = (26 mm - bore) / 2\r\ncheck wall >= 6 mm";

#[test]
fn the_file_keeps_every_other_byte_and_what_moved_is_printed() {
    let folder = Folder::of(&[("lever.job", LEVER)]);
    let ran = folder.run(&["set", "lever.job", "bore=12.7 mm"]);
    assert_eq!(ran.status, 0, "{ran:?}");
    assert_eq!(
        folder.read("lever.job"),
        LEVER.replace("12 mm H7", "12.7 mm H7")
    );
    // H7 is 0/+18 µm (ISO 286-2): (26 - 12.709) / 2 = 6.6455.
    for moved in ["12.7 H7 mm", "+0.700 mm", "6.646 mm", "-0.350 mm"] {
        assert!(ran.out.contains(moved), "{moved}: {}", ran.out);
    }
    let ran = folder.run(&["set", "lever.job", "bore=14.5 mm g6", "--anyway"]);
    assert_eq!(ran.status, 1, "a check fails: {ran:?}");
    assert_eq!(
        folder.read("lever.job"),
        LEVER.replace("12 mm H7", "14.5 mm g6")
    );
}

#[test]
fn what_would_break_the_notebook_is_refused_with_a_reason() {
    let folder = Folder::of(&[
        (
            "lever.job",
            "use shaft\nbore = shaft.journal H7\nwall = 26 mm - bore\nop Bore to {bore}.\n",
        ),
        ("shaft.job", "journal = 12 mm h6\n"),
    ]);
    let before = folder.read("lever.job");
    for (change, reason) in [
        ("bore=12 mm +", "value"),
        ("bore=(12 mm", "closed"),
        ("bore=2 * wall", "depend on one another"),
        ("bore=30 deg", "can't have the class H7"),
        ("bore=nobody", "unknown name `nobody`"),
        ("bors=12 mm", "did you mean `bore`?"),
        ("bore", "name=expression"),
        ("bore=", "value"),
        ("bore=12 mm\nwall = 3 mm", "`wall` comes where"),
        ("bore=12 mm # a remark", "#"),
        ("shaft.journal=12.7 mm", "setover set shaft.job journal"),
        ("shaft=12.7 mm", "`shaft` is a notebook, not a cell"),
    ] {
        let ran = folder.run(&["set", "lever.job", change]);
        assert_eq!(ran.status, 2, "{change}: {ran:?}");
        assert!(ran.err.contains(reason), "{change}: {}", ran.err);
        assert!(
            ran.err.contains("nothing was written"),
            "{change}: {}",
            ran.err
        );
        assert_eq!(folder.read("lever.job"), before, "{change}");
    }
    // One bad change among good ones: none is written.
    let ran = folder.run(&["set", "lever.job", "bore=13 mm", "wall=1 deg + 1 mm"]);
    assert_eq!((ran.status, folder.read("lever.job")), (2, before.clone()));
    // All the same, where it can be read at all.
    let ran = folder.run(&["set", "lever.job", "bore=30 deg", "--anyway"]);
    assert_eq!(ran.status, 2, "{ran:?}");
    assert!(
        folder.read("lever.job").contains("bore = 30 deg H7\n"),
        "{}",
        folder.read("lever.job")
    );
    // A notebook that is wrong already may be mended, and other cells changed.
    let ran = folder.run(&["set", "lever.job", "bore=12.5 mm"]);
    assert_eq!(ran.status, 0, "{ran:?}");
    assert!(folder.read("lever.job").contains("bore = 12.5 mm H7\n"));
}

#[test]
fn two_changes_are_written_in_one_step() {
    let folder = Folder::of(&[("lever.job", "a = 1 mm\nb = a + 1 mm\n")]);
    let ran = folder.run(&["set", "lever.job", "a=5 mm", "b=a*3"]);
    assert_eq!(ran.status, 0, "{ran:?}");
    assert_eq!(folder.read("lever.job"), "a = 5 mm\nb = a*3\n");
}

/// A reading is added, replaced and struck out; no other byte changes, and the line
/// ends are those of the file.
#[test]
fn readings_are_written_too() {
    for end in ["\n", "\r\n"] {
        let lines = |lines: &[&str]| {
            lines
                .iter()
                .fold(String::new(), |all, line| all + line + end)
        };
        let cells = [
            "bore = 12 mm H7  # runs",
            "over = 3 mm + 1 mm",
            "",
            "[Checks]",
        ];
        let start = lines(&cells) + "check bore > 1 mm";
        let folder = Folder::of(&[("lever.job", &start)]);
        let set = |change: &str| {
            let ran = folder.run(&["set", "lever.job", change]);
            assert!(ran.status < 2, "{change}: {ran:?}");
            folder.read("lever.job")
        };
        let first = lines(&[cells[0], "measured bore = 12.011 mm"]) + &lines(&cells[1..]);
        let first = first + "check bore > 1 mm";
        assert_eq!(set("measured bore = 12.011 mm"), first);
        assert_eq!(
            set("measured bore=12.008"),
            first.replace("12.011 mm", "12.008 mm"),
            "a bare number gets the unit of the cell"
        );
        let over = first.replace(
            "12.011 mm",
            &format!("12.008 mm{end}measured over = 4.02 mm"),
        );
        assert_eq!(set("measured over = 4.02 mm"), over);
        let without = over.replace(&format!("measured over = 4.02 mm{end}"), "");
        assert_eq!(set("measured over = none"), without);
        assert_eq!(set("measured bore = none"), start);
        for (change, why) in [
            ("measured bore = none", "`bore` has no reading"),
            ("measured bors = 12 mm", "did you mean `bore`?"),
            ("measured bore = 12 mm +", "value"),
            ("measured bore = 12 mm # now", "#"),
        ] {
            let ran = folder.run(&["set", "lever.job", change]);
            assert_eq!(ran.status, 2, "{change}: {ran:?}");
            assert!(ran.err.contains(why), "{change}: {}", ran.err);
            assert_eq!(folder.read("lever.job"), start);
        }
        let ran = folder.run(&["run", "lever.job", "--with", "measured bore = 12.011 mm"]);
        assert!(ran.out.contains("12.011"), "{ran:?}");
        assert_eq!(folder.read("lever.job"), start);
    }
}

#[test]
fn what_moved_comes_as_json_and_csv_too() {
    let folder = Folder::of(&[("lever.job", LEVER)]);
    let json = folder.json(&["set", "lever.job", "bore=13 mm", "--as", "json"]);
    let rows = json["moved"].as_array().expect("a list");
    let names: Vec<&str> = rows.iter().filter_map(|row| row["name"].as_str()).collect();
    assert_eq!(names, ["bore", "wall"]);
    let ran = folder.run(&["set", "lever.job", "bore=12 mm", "--as", "csv"]);
    assert_eq!(ran.out.lines().count(), 3, "{}", ran.out);
}
