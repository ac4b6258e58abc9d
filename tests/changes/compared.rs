//! `setover compare`: what came, went, was reworded and moved.

use crate::program::Folder;

const OLD: &str = "bore = 14 mm H7
boss = 28 mm
gone = 3 mm
wall = (boss - bore) / 2
check wall >= 6.8 mm
op Bore to {bore}.
";
const NEW: &str = "boss = 28 mm
bore = 15 mm H7   # for the new shaft
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
    assert_eq!(row("bore"), of("14 H7 mm", "15 H7 mm", "+1.000 mm"));
    // (28 - 14.009) / 2 = 6.9955, (28 - 15.009) / 2 = 6.4955; H7 is 0/+18 µm (ISO 286-2).
    assert_eq!(row("wall"), of("6.996 mm", "6.496 mm", "-0.500 mm"));
    assert_eq!(row("fresh"), of("", "3.248 mm", "new"));
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
        (&"a".into(), &"rewritten".into())
    );
}

#[test]
fn two_versions_that_say_the_same() {
    let folder = Folder::of(&[("old.job", OLD), ("new.job", OLD)]);
    let ran = folder.run(&["compare", "old.job", "new.job"]);
    assert_eq!((ran.status, ran.out.trim()), (0, "nothing changed"));
    let ran = folder.run(&["compare", "old.job", "missing.job"]);
    assert_eq!(ran.status, 2);
    assert!(ran.err.contains("missing.job"), "{}", ran.err);
}

/// A size may keep its value and change its limits; what depends on it then has other
/// limits, and a check may hold for other parts than before.
///
/// Source of the deviations: ISO 286-2 for 80 mm: H8 0/+46, f7 -60/-30, g6 -29/-10 µm.
#[test]
fn limits_and_verdicts_that_move_are_listed() {
    let text = "spigot = 80 mm f7\ntube = 80 mm H8\nplay = tube - spigot\nother = 3 mm ±0.1\n\
                check play >= 0.02 mm\ncheck tube >= 80 mm\n";
    let folder = Folder::of(&[("cap.job", text)]);
    let rows = |change: &str| -> Vec<Vec<String>> {
        let ran = folder.run(&["run", "cap.job", "--with", change]);
        let split = |line: &str| line.split("  ").map(|w| w.trim().to_owned()).collect();
        let rows = ran.out.lines().skip(1).map(split);
        let rows = rows.map(|row: Vec<String>| row.into_iter().filter(|w| !w.is_empty()).collect());
        rows.collect()
    };
    assert_eq!(
        rows("spigot=80 mm g6"),
        [
            vec!["check play >= 0.02 mm", "holds", "may fail"],
            vec!["spigot", "80 f7 mm", "80 g6 mm", "limits"],
            // 80.023 - 79.955 and 80.023 - 79.9805, the middles of the limits.
            vec!["play", "0.068 mm", "0.043 mm", "-0.026 mm"],
            vec!["0.030 to 0.106", "0.010 to 0.075"],
        ]
    );
    // Only the fit's loose end moves: the check holds as before.
    assert_eq!(
        rows("tube=80 mm (+0.2/0)"),
        [
            vec!["tube", "80 H8 mm", "80 (+0.2/0) mm", "limits"],
            vec!["play", "0.068 mm", "0.145 mm", "+0.077 mm"],
            vec!["0.030 to 0.106", "0.030 to 0.260"],
        ]
    );
    // That parts within their limits may fail is an answer of its own.
    let wanted = ["check tube >= 80 mm", "holds", "may fail"];
    assert!(rows("tube=80 mm ±0.02").contains(&wanted.map(str::to_owned).to_vec()));
    // Where the value moves, that is said.
    assert_eq!(
        rows("other=4 mm ±0.1"),
        [["other", "3 ±0.1 mm", "4 ±0.1 mm", "+1.000 mm"]]
    );
}

/// A reading takes the place of a size's limits, also where it is the size itself.
#[test]
fn a_reading_that_settles_a_check_is_listed() {
    let text = "bore = 12 mm ±0.1\ncheck bore >= 12 mm\n";
    let read = format!("{text}measured bore = 12 mm\n");
    let folder = Folder::of(&[("old.job", text), ("new.job", &read)]);
    let compared = folder.json(&["compare", "old.job", "new.job", "--as", "json"]);
    let rows = compared["moved"].as_array().expect("a list");
    assert_eq!(rows.len(), 2, "{rows:?}");
    assert_eq!(rows[0]["was"], "may fail");
    assert_eq!(rows[0]["now"], "holds");
    assert_eq!(rows[1]["now"], "12 ±0.1 mm; measured 12.000 mm");
}
