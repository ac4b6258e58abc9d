//! `setover compare`: what came, went, was reworded and moved.

use crate::program::Folder;

const OLD: &str = "bore = 12 mm H7
boss = 26 mm
gone = 3 mm
wall = (boss - bore) / 2
check wall >= 6.8 mm
op Bore to {bore}.
";
const NEW: &str = "boss = 26 mm
bore = 12.7 mm H7   # for the new shaft
wall = (boss - bore) * 0.5
fresh = wall / 2
check wall >= 6.8 mm
op Bore to {bore}.
";

#[test]
fn what_came_went_and_moved_is_listed() {
    let folder = Folder::of(&[("old.job", OLD), ("new.job", NEW)]);
    let compared = folder.json(&["compare", "old.job", "new.job", "--as", "json"]);
    let rows = compared["moved"].as_array().expect("a list");
    let row = |name: &str| {
        let found = rows.iter().find(|row| row["name"] == name);
        let found = found.unwrap_or_else(|| panic!("{name} in {rows:?}"));
        let field = |field: &str| found[field].as_str().unwrap_or_default().to_owned();
        (field("was"), field("now"), field("change"))
    };
    let of =
        |was: &str, now: &str, change: &str| (was.to_owned(), now.to_owned(), change.to_owned());
    assert_eq!(
        rows[0]["name"], "check wall >= 6.8 mm",
        "a check that changed its answer leads"
    );
    assert_eq!(row("check wall >= 6.8 mm").0, "holds");
    assert_eq!(row("check wall >= 6.8 mm").1, "fails");
    assert_eq!(row("bore"), of("12.000 mm", "12.700 mm", "+0.700 mm"));
    // (26 - 12.7) / 2 = 6.65
    assert_eq!(row("wall"), of("7.000 mm", "6.650 mm", "-0.350 mm"));
    assert_eq!(row("fresh"), of("", "3.325 mm", "new"));
    assert_eq!(row("gone"), of("3.000 mm", "", "gone"));
    assert!(
        rows.iter().all(|row| row["name"] != "boss"),
        "what only changed its place did not move"
    );
}

#[test]
fn what_only_reads_otherwise_is_reworded() {
    let folder = Folder::of(&[
        ("old.job", "a = 2 mm + 3 mm\nb = a * 2\nc = 1 mm\n"),
        (
            "new.job",
            "a = 3 mm + 2 mm\nb   =   a * 2\nc = 1 mm   # a remark\n",
        ),
    ]);
    let compared = folder.json(&["compare", "old.job", "new.job", "--as", "json"]);
    let rows = compared["moved"].as_array().expect("a list");
    assert_eq!(
        rows.len(),
        1,
        "spacing and remarks are no wording: {rows:?}"
    );
    assert_eq!(
        (&rows[0]["name"], &rows[0]["change"]),
        (&"a".into(), &"reworded".into())
    );
}

#[test]
fn two_versions_that_say_the_same() {
    let folder = Folder::of(&[("old.job", OLD), ("new.job", OLD)]);
    let ran = folder.run(&["compare", "old.job", "new.job"]);
    assert_eq!((ran.status, ran.out.trim()), (0, "nothing moved"));
    let ran = folder.run(&["compare", "old.job", "missing.job"]);
    assert_eq!(ran.status, 2);
    assert!(ran.err.contains("missing.job"), "{}", ran.err);
}
