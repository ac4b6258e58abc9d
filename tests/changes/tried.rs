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
