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

#[cfg(unix)]
mod on_disk {
    use super::*;
    use std::os::unix::fs::{PermissionsExt, symlink};

    #[test]
    fn permission_bits_stay_and_a_link_stays_a_link() {
        let folder = Folder::of(&[("real.job", "a = 1 mm\n")]);
        std::fs::create_dir(folder.path("elsewhere")).expect("a folder");
        std::fs::rename(folder.path("real.job"), folder.path("elsewhere/real.job")).expect("moved");
        symlink("elsewhere/real.job", folder.path("link.job")).expect("a link");
        for mode in [0o600, 0o640, 0o664, 0o755] {
            let real = folder.path("elsewhere/real.job");
            std::fs::set_permissions(&real, std::fs::Permissions::from_mode(mode)).expect("set");
            let change = format!("a={mode} mm");
            let ran = folder.run(&["set", "link.job", &change]);
            assert_eq!(ran.status, 0, "{ran:?}");
            assert_eq!(
                folder.read("elsewhere/real.job"),
                format!("a = {mode} mm\n")
            );
            let link = std::fs::symlink_metadata(folder.path("link.job")).expect("there");
            assert!(link.file_type().is_symlink());
            let kept = std::fs::metadata(&real)
                .expect("there")
                .permissions()
                .mode();
            assert_eq!(kept & 0o7777, mode);
        }
        let left = std::fs::read_dir(folder.path("elsewhere"))
            .expect("there")
            .count();
        assert_eq!(left, 1, "nothing is left beside the file");
    }

    #[test]
    fn a_read_only_file_is_refused() {
        let folder = Folder::of(&[("a.job", "a = 1 mm\n")]);
        let file = folder.path("a.job");
        std::fs::set_permissions(&file, std::fs::Permissions::from_mode(0o444)).expect("set");
        let ran = folder.run(&["set", "a.job", "a=2 mm"]);
        assert_eq!(ran.status, 2, "{ran:?}");
        assert!(ran.err.contains("it is read-only"), "{}", ran.err);
        assert_eq!(folder.read("a.job"), "a = 1 mm\n");
    }

    #[test]
    fn two_at_once_lose_nothing() {
        let folder = Folder::of(&[("a.job", "a = 0 mm\nb = 0 mm\n")]);
        for pair in 1..=20 {
            let start = |name: &str| {
                folder
                    .command(&["set", "a.job", &format!("{name}={pair} mm")])
                    .stdout(std::process::Stdio::null())
                    .spawn()
                    .expect("it starts")
            };
            let mut both = [start("a"), start("b")];
            for one in &mut both {
                assert!(one.wait().expect("it ends").success());
            }
            assert_eq!(
                folder.read("a.job"),
                format!("a = {pair} mm\nb = {pair} mm\n")
            );
        }
        let left = std::fs::read_dir(folder.path("")).expect("there").count();
        assert_eq!(left, 1, "nothing is left beside the file");
    }

    /// The locks that others hold are waited for, and given up with a word.
    #[test]
    fn a_lock_that_another_program_holds_is_waited_for() {
        let folder = Folder::of(&[("a.job", "a = 0 mm\n")]);
        let lock = std::fs::File::create(folder.path(".setover.lock")).expect("made");
        lock.lock().expect("locked");
        let child = folder
            .command(&["set", "a.job", "a=1 mm"])
            .stderr(std::process::Stdio::piped())
            .spawn()
            .expect("it starts");
        let output = child.wait_with_output().expect("it ends");
        assert_eq!(output.status.code(), Some(2));
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(said.contains("another program is writing"), "{said}");
        assert_eq!(folder.read("a.job"), "a = 0 mm\n");
        drop(lock);
        assert_eq!(folder.run(&["set", "a.job", "a=1 mm"]).status, 0);
        assert_eq!(folder.read("a.job"), "a = 1 mm\n");
        assert!(!folder.path(".setover.lock").exists());
    }

    #[test]
    fn a_second_name_is_not_cut_off() {
        let folder = Folder::of(&[("a.job", "a = 0 mm\n")]);
        std::fs::hard_link(folder.path("a.job"), folder.path("b.job")).expect("linked");
        let ran = folder.run(&["set", "a.job", "a=1 mm"]);
        assert_eq!(ran.status, 2, "{ran:?}");
        assert!(ran.err.contains("a second name"), "{}", ran.err);
        assert_eq!(folder.read("b.job"), "a = 0 mm\n");
    }

    #[test]
    fn owner_and_extended_attributes_stay_where_they_may() {
        use std::os::unix::fs::MetadataExt;
        let folder = Folder::of(&[("a.job", "a = 0 mm\n")]);
        let file = folder.path("a.job");
        let owned = std::os::unix::fs::chown(&file, Some(12_345), Some(12_345)).is_ok();
        let noted = xattr::set(&file, "user.drawing", b"A3").is_ok();
        if !owned && !noted {
            println!("skipped: neither owner nor attributes can be set here");
        }
        assert_eq!(folder.run(&["set", "a.job", "a=1 mm"]).status, 0);
        let data = std::fs::metadata(&file).expect("there");
        assert!(!owned || (data.uid(), data.gid()) == (12_345, 12_345));
        if noted {
            let kept = xattr::get(&file, "user.drawing").expect("readable");
            assert_eq!(kept.as_deref(), Some(&b"A3"[..]));
        }
    }

    #[test]
    fn what_killed_programs_left_is_cleared() {
        let folder = Folder::of(&[("a.job", "a = 0 mm\n")]);
        for name in [".setover-one.tmp", ".setover-two.tmp", ".setover.lock"] {
            std::fs::write(folder.path(name), "half").expect("written");
        }
        std::fs::write(folder.path(".other.tmp"), "mine").expect("written");
        assert_eq!(folder.run(&["set", "a.job", "a=1 mm"]).status, 0);
        let mut names: Vec<String> = std::fs::read_dir(folder.path(""))
            .expect("there")
            .map(|entry| {
                let name = entry.expect("an entry").file_name();
                name.to_string_lossy().into_owned()
            })
            .collect();
        names.sort();
        assert_eq!(names, [".other.tmp", "a.job"]);
    }

    /// Pages and new notebooks are written as `set` writes: only over regular files.
    #[test]
    fn only_regular_files_are_replaced() {
        let folder = Folder::of(&[("a.job", "a = 1 mm\n"), ("page.html", "old")]);
        let page = folder.path("page.html");
        std::fs::set_permissions(&page, std::fs::Permissions::from_mode(0o640)).expect("set");
        symlink("page.html", folder.path("link.html")).expect("a link");
        symlink("nowhere.html", folder.path("lost.html")).expect("a link");
        symlink("nowhere.job", folder.path("lost.job")).expect("a link");
        let fifo = std::process::Command::new("mkfifo")
            .arg(folder.path("pipe.html"))
            .status();
        let ran = folder.run(&["sheet", "a.job", "-o", "link.html"]);
        assert_eq!(ran.status, 0, "{ran:?}");
        assert!(folder.read("page.html").contains("</html>"));
        let mode = std::fs::metadata(&page)
            .expect("there")
            .permissions()
            .mode();
        assert_eq!(mode & 0o777, 0o640);
        let link = std::fs::symlink_metadata(folder.path("link.html")).expect("there");
        assert!(link.file_type().is_symlink());
        let mut refused = vec![
            ("lost.html", "a link to a file that is not there"),
            ("/dev/null", "not an ordinary file"),
            ("/dev/stdout", "ordinary file"),
        ];
        if fifo.is_ok_and(|status| status.success()) {
            refused.push(("pipe.html", "not an ordinary file"));
        }
        for (to, why) in refused {
            let ran = folder.run(&["sheet", "a.job", "-o", to]);
            assert_eq!(ran.status, 2, "{to}: {ran:?}");
            assert!(ran.err.contains(why), "{to}: {}", ran.err);
        }
        std::fs::set_permissions(&page, std::fs::Permissions::from_mode(0o444)).expect("set");
        let ran = folder.run(&["sheet", "a.job", "-o", "page.html"]);
        assert!(ran.status == 2 && ran.err.contains("read-only"), "{ran:?}");
        let ran = folder.run(&["new", "lost"]);
        assert!(
            ran.status == 2 && ran.err.contains("of that name"),
            "{ran:?}"
        );
        assert!(!folder.path("nowhere.job").exists());
        assert!(!std::path::Path::new("/dev/.setover.lock").exists());
    }

    /// A file system of 256 KiB, where this user may mount one.
    struct Small(tempfile::TempDir);

    impl Small {
        fn mounted() -> Option<Self> {
            let folder = tempfile::tempdir().ok()?;
            let mounted = std::process::Command::new("mount")
                .args(["-t", "tmpfs", "-o", "size=256k", "small"])
                .arg(folder.path())
                .output();
            mounted
                .is_ok_and(|output| output.status.success())
                .then_some(Self(folder))
        }
    }

    impl Drop for Small {
        fn drop(&mut self) {
            let _ = std::process::Command::new("umount")
                .arg(self.0.path())
                .status();
        }
    }

    #[test]
    fn a_full_disk_leaves_the_old_text() {
        let Some(small) = Small::mounted() else {
            println!("skipped: this user can't mount a file system");
            return;
        };
        let file = small.0.path().join("a.job");
        let text = format!("a = 1 mm\n# {}\n", "x".repeat(150_000));
        std::fs::write(&file, &text).expect("it fits once");
        let folder = Folder::of(&[]);
        let ran = folder.run(&["set", &file.to_string_lossy(), "a=2 mm"]);
        assert_eq!(ran.status, 2, "{ran:?}");
        assert!(ran.err.contains("can't be written"), "{}", ran.err);
        assert_eq!(std::fs::read_to_string(&file).expect("there"), text);
        assert_eq!(std::fs::read_dir(small.0.path()).expect("there").count(), 1);
        assert!(
            std::fs::write(&file, "x".repeat(300_000)).is_err(),
            "it is full"
        );
        let full = small.0.path().join("b.job");
        let ran = folder.run(&["new", &full.to_string_lossy()]);
        assert!(ran.status == 2 && ran.err.contains("full"), "{ran:?}");
        assert!(!full.exists(), "`new` leaves nothing");
    }

    #[test]
    fn a_result_that_can_not_be_written_is_told() {
        let Ok(full) = std::fs::File::options().write(true).open("/dev/full") else {
            println!("skipped: there is no /dev/full");
            return;
        };
        let folder = Folder::of(&[("a.job", "a = 1 mm ±0.1\ncheck a > 0 mm\n")]);
        for arguments in [
            &["run", "a.job"][..],
            &["run", "--as", "json", "a.job"],
            &["run", "--as", "csv", "a.job"],
            &["run", "--samples", "100", "a.job"],
            &["run", "a.job", "--with", "a=2 mm"],
            &["sheet", "a.job"],
            &["check", "a.job"],
            &["calc", "1 + 1"],
            &["explain", "a.job", "a"],
            &["set", "a.job", "a=2 mm"],
            &["compare", "a.job", "a.job"],
            &["functions"],
            &["help"],
            &["manual"],
        ] {
            let output = folder
                .command(arguments)
                .stdout(full.try_clone().expect("a handle"))
                .output()
                .expect("it runs");
            assert_eq!(output.status.code(), Some(2), "{arguments:?}");
            let said = String::from_utf8_lossy(&output.stderr).into_owned();
            assert_eq!(said.matches("the disk is full").count(), 1, "{said}");
        }
    }

    #[test]
    fn an_error_is_held_against_its_own_statement() {
        let text = "x = 1 mm\na = y * 3\nb = x * 2\n";
        let folder = Folder::of(&[("a.job", text)]);
        let ran = folder.run(&["set", "a.job", "b=y*2"]);
        assert_eq!(ran.status, 2, "{ran:?}");
        assert!(ran.err.contains("unknown name `y`"), "{}", ran.err);
        assert_eq!(folder.read("a.job"), text);
        let ran = folder.run(&["run", "--with", "b=y*2", "a.job"]);
        assert_eq!(ran.status, 2, "{ran:?}");
        // What was wrong before is no hindrance.
        assert_eq!(folder.run(&["set", "a.job", "b=x*3"]).status, 0);
    }
}
