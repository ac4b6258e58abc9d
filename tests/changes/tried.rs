//! `setover run --with`: what would move, and nothing is written.

use crate::program::Folder;

const SHAFT: &str = "journal = 12 mm h6\nshoulder = journal + 4 mm\n";
const LEVER: &str = "use shaft
bore = shaft.journal H7
boss = 26 mm
wall = (boss - bore) / 2
half = wall / 2
other = boss * 2
check wall >= 6.5 mm
check boss < 30 mm
";

fn names(moved: &serde_json::Value) -> Vec<&str> {
    let rows = moved["moved"].as_array().into_iter().flatten();
    rows.filter_map(|row| row["name"].as_str()).collect()
}

fn folder() -> Folder {
    Folder::of(&[("lever.job", LEVER), ("shaft.job", SHAFT)])
}

#[test]
fn what_moves_is_printed_checks_first_then_in_dependency_order() {
    let folder = folder();
    let moved = folder.json(&["run", "lever.job", "--with", "bore=14 mm", "--as", "json"]);
    assert_eq!(
        names(&moved),
        ["check wall >= 6.5 mm", "bore", "wall", "half"]
    );
    let rows = &moved["moved"];
    assert_eq!(
        (&rows[0]["was"], &rows[0]["now"]),
        (&"holds".into(), &"fails".into())
    );
    // (26 - 12.009) / 2 = 6.9955, (26 - 14.009) / 2 = 5.9955; H7 is 0/+18 µm (ISO 286-2).
    assert_eq!(
        (&rows[2]["was"], &rows[2]["now"]),
        (&"6.996 mm".into(), &"5.996 mm".into())
    );
    assert_eq!(rows[2]["change"], "-1.000 mm");
    assert_eq!(
        (folder.read("lever.job"), folder.read("shaft.job")),
        (LEVER.to_owned(), SHAFT.to_owned())
    );
    let ran = folder.run(&["run", "lever.job", "--with", "bore=14 mm"]);
    assert_eq!(ran.status, 1, "a check fails: {ran:?}");
}

#[test]
fn a_cell_of_a_used_notebook_may_be_tried() {
    let folder = folder();
    let moved = folder.json(&[
        "run",
        "lever.job",
        "--with",
        "shaft.journal=12.7 mm",
        "--as",
        "json",
    ]);
    // The shaft's journal moves the shoulder, the lever's bore and its walls.
    let mut all = names(&moved);
    all.sort_unstable();
    assert_eq!(
        all,
        ["bore", "half", "shaft.journal", "shaft.shoulder", "wall"]
    );
    let place = |name: &str| names(&moved).iter().position(|known| *known == name);
    assert!(place("shaft.journal") < place("bore") && place("bore") < place("wall"));
    assert!(place("wall") < place("half"));
}

#[test]
fn several_changes_count_together() {
    let folder = folder();
    let ran = folder.run(&[
        "run",
        "lever.job",
        "--with",
        "bore=13 mm",
        "--with",
        "boss=27 mm",
    ]);
    assert_eq!(ran.status, 0, "{ran:?}");
    // The wall stays (27 - 13) / 2 = 7 mm and does not stand in the table.
    assert!(!ran.out.contains("wall"), "{}", ran.out);
    assert!(ran.out.contains("54.000 mm"), "{}", ran.out);
    let ran = folder.run(&["run", "lever.job", "--with", "bore=12 mm"]);
    assert!(!ran.out.contains("wall"), "{}", ran.out);
}

#[test]
fn what_cannot_be_tried_is_refused_with_its_place() {
    let folder = folder();
    for (change, message) in [
        ("bors=12 mm", "did you mean `bore`"),
        ("shaft.jurnal=12 mm", "did you mean `journal`?"),
        ("shaft=12 mm", "`shaft` is a notebook, not a cell"),
        ("bore=12 mm +", "value"),
        ("bore=12 furlong", "furlong"),
        ("bore=nobody + 1 mm", "unknown name `nobody`"),
        ("bore=2 * wall", "depend on one another in a ring"),
        ("bore=hypotenuse_of(3)", "there is no function"),
        ("bore", "name=expression"),
    ] {
        let ran = folder.run(&["run", "lever.job", "--with", change]);
        assert_eq!(ran.status, 2, "{change}: {ran:?}");
        assert!(ran.err.contains(message), "{change}: {}", ran.err);
    }
    // The place of an unknown name is in what was tried, not in the file.
    let ran = folder.run(&["run", "lever.job", "--with", "bore=nobody + 1 mm"]);
    assert!(ran.err.contains("nobody + 1 mm"), "{}", ran.err);
    assert!(!ran.err.contains("lever.job, line 2"), "{}", ran.err);
}

/// The row of a name in what `--with` prints as JSON.
fn row(notebook: &str, with: &str, name: &str) -> serde_json::Value {
    let folder = Folder::of(&[("part.job", notebook)]);
    let moved = folder.json(&["run", "part.job", "--with", with, "--as", "json"]);
    let mut rows = moved["moved"].as_array().into_iter().flatten();
    let found = rows.find(|row| row["name"] == name);
    found.unwrap_or_else(|| panic!("{moved}")).clone()
}

const TONGUE: &str = "across = 60 mm (0/-0.05)\ntall = 11 mm ±0.05\nangle = 60 deg
over = dovetail_over_rolls(across, tall, angle, 8 mm)\nmeasured over = 69.13 mm\n";

#[test]
fn a_measured_result_says_when_its_reading_leaves_what_its_sizes_allow() {
    // Machinery's Handbook, measuring dovetail slides: w - 2 h cot a + d (1 + cot a/2),
    // at 60 deg 59.950 - 12.760 + 21.856 to 60.000 - 12.644 + 21.856 mm, at 66 deg
    // 59.950 - 9.840 + 20.319 to 60.000 - 9.750 + 20.319 mm.
    let moved = row(TONGUE, "angle=66 deg", "over");
    assert_eq!(
        moved["change"],
        "+1.369 mm; the reading counts; its reading lies outside what its sizes allow"
    );
    assert_eq!(moved["was_limits"], "69.046 to 69.213");
    assert_eq!(moved["now_limits"], "70.429 to 70.569");
    let back = TONGUE.replace("60 deg", "66 deg");
    let moved = row(&back, "angle=60 deg", "over");
    assert_eq!(
        moved["change"],
        "-1.369 mm; the reading counts; its reading is possible again"
    );
    // Wider limits of a size reach the reading, though nothing else moves.
    let near = TONGUE.replace("69.13 mm", "69.22 mm");
    let moved = row(&near, "tall=11 mm ±0.1", "over");
    assert_eq!(moved["change"], "its reading is possible again");
}

#[test]
fn a_definition_tried_over_a_reading_says_that_the_reading_counts() {
    let notebook = "height = 64 mm ±0.05\nmeasured height = 63.98 mm\nhalf = height / 2\n";
    assert_eq!(
        row(notebook, "height=64 mm", "height")["change"],
        "the reading counts"
    );
    assert_eq!(
        row(notebook, "height=64.02 mm", "height")["change"],
        "+0.020 mm; the reading counts"
    );
    assert_eq!(
        row(notebook, "height=64.1 mm", "height")["change"],
        "+0.100 mm; the reading counts; its reading lies outside"
    );
    let folder = Folder::of(&[("part.job", notebook)]);
    let text = folder.run(&["run", "part.job", "--with", "height=64 mm"]);
    assert!(!text.out.contains("nothing changed"), "{text:?}");
}

#[test]
fn a_value_measures_what_its_cell_measures() {
    let notebook = "height = 64 mm ±0.05\nroll = 8 mm\nhalf = height / 2\n";
    // A number takes the unit of a cell that is one literal.
    assert_eq!(
        row(notebook, "height=64.02", "height")["now"],
        "64.02 ±0.05 mm"
    );
    assert_eq!(row(notebook, "roll=6", "roll")["now"], "6.000 mm");
    let folder = Folder::of(&[("part.job", notebook)]);
    for (change, message) in [
        ("half=30", "write `30 mm`"),
        ("roll=5 N", "`roll` is a length; the value 5 N is a force"),
    ] {
        for arguments in [
            vec!["run", "part.job", "--with", change],
            vec!["set", "part.job", change],
        ] {
            let ran = folder.run(&arguments);
            assert_eq!(ran.status, 2, "{change}: {ran:?}");
            assert!(ran.err.contains(message), "{change}: {}", ran.err);
        }
    }
    assert_eq!(folder.read("part.job"), notebook);
    assert_eq!(folder.run(&["set", "part.job", "roll=6"]).status, 0);
    assert_eq!(folder.read("part.job"), notebook.replace("8 mm", "6 mm"));
    assert_eq!(
        folder
            .run(&["set", "part.job", "half=30 N", "--anyway"])
            .status,
        0
    );
    assert!(folder.read("part.job").ends_with("half = 30 N\n"));
}
