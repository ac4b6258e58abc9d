//! What `setover set` leaves of a file besides its text: its bits, its links, its name.

use std::io::Write;
use std::os::unix::fs::{PermissionsExt, symlink};

use crate::program::Folder;

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

/// The locks that others hold are waited for, and given up with a word, by what is set
/// from the shell and what is written from the prompt alike.
#[test]
fn a_lock_that_another_program_holds_is_waited_for() {
    let folder = Folder::of(&[("a.job", "a = 0 mm\n")]);
    let hold = || {
        let lock = std::fs::File::create(folder.path(".setover.lock")).expect("made");
        lock.lock().expect("locked");
        lock
    };
    let start = |arguments: &[&str], typed: &str| {
        let mut child = folder
            .command(arguments)
            .env("SETOVER_DATA", folder.path("data"))
            .stdin(std::process::Stdio::piped())
            .stdout(std::process::Stdio::null())
            .stderr(std::process::Stdio::piped())
            .spawn()
            .expect("it starts");
        let mut input = child.stdin.take().expect("a pipe");
        input.write_all(typed.as_bytes()).expect("typed");
        child
    };
    let written = || folder.read("a.job");
    // Held for longer than anybody waits.
    let lock = hold();
    let set = start(&["set", "a.job", "a=1 mm"], "");
    let prompt = start(&["try", "a.job"], "a = 2 mm\nwrite\n");
    for (child, status) in [(set, 2), (prompt, 2)] {
        let output = child.wait_with_output().expect("it ends");
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(status), "{said}");
        assert!(said.contains("another program is writing"), "{said}");
        assert_eq!(written(), "a = 0 mm\n");
    }
    drop(lock);
    // Let go in time, first by set and then by the prompt.
    for (arguments, typed, now) in [
        (&["set", "a.job", "a=1 mm"] as &[&str], "", "a = 1 mm\n"),
        (&["try", "a.job"], "a = 2 mm\nwrite\n", "a = 2 mm\n"),
    ] {
        let lock = hold();
        let child = start(arguments, typed);
        std::thread::sleep(std::time::Duration::from_millis(500));
        assert_ne!(written(), now);
        drop(lock);
        let output = child.wait_with_output().expect("it ends");
        assert!(output.status.success(), "{output:?}");
        assert_eq!(written(), now);
    }
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
