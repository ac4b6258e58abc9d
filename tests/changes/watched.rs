//! `setover watch`, seen from outside: every way of saving is noticed, a used
//! notebook's too, and an error keeps the last good state.
#![cfg(unix)]

use std::io::Read;
use std::process::{Child, Command, Stdio};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use crate::program::Folder;

const PATIENCE: Duration = Duration::from_secs(30);

struct Watch {
    child: Child,
    seen: Arc<Mutex<String>>,
    read: usize,
}

impl Watch {
    fn start(folder: &Folder, file: &str) -> Self {
        let mut child = folder
            .command(&["watch", file])
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("it starts");
        let seen = Arc::new(Mutex::new(String::new()));
        let pipes: [Box<dyn Read + Send>; 2] = [
            Box::new(child.stdout.take().expect("a pipe")),
            Box::new(child.stderr.take().expect("a pipe")),
        ];
        for mut pipe in pipes {
            let seen = seen.clone();
            std::thread::spawn(move || {
                let mut part = [0; 4096];
                while let Ok(count @ 1..) = pipe.read(&mut part) {
                    let text = String::from_utf8_lossy(&part[..count]).into_owned();
                    seen.lock().expect("no panic").push_str(&text);
                }
            });
        }
        let mut watch = Self {
            child,
            seen,
            read: 0,
        };
        watch.wait_for(&["Ctrl-C"]);
        watch
    }

    /// Waits until all of these have been printed since the last wait; gives what
    /// was printed.
    fn wait_for(&mut self, texts: &[&str]) -> String {
        let deadline = Instant::now() + PATIENCE;
        loop {
            let new = self.seen.lock().expect("no panic")[self.read..].to_owned();
            if texts.iter().all(|text| new.contains(text)) {
                self.read += new.len();
                return new;
            }
            assert!(
                Instant::now() < deadline,
                "{texts:?} never came, but: {new}"
            );
            std::thread::sleep(Duration::from_millis(5));
        }
    }

    /// Presses Ctrl-C; gives the exit status and the rest of what was printed.
    fn stop(mut self) -> (Option<i32>, String) {
        let id = self.child.id().to_string();
        let sent = Command::new("kill").args(["-INT", &id]).status();
        assert!(sent.is_ok_and(|status| status.success()));
        let rest = self.wait_for(&["stopped watching"]);
        let deadline = Instant::now() + PATIENCE;
        loop {
            if let Some(status) = self.child.try_wait().expect("it runs") {
                return (status.code(), rest);
            }
            assert!(Instant::now() < deadline, "it does not end");
            std::thread::sleep(Duration::from_millis(5));
        }
    }
}

impl Drop for Watch {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn save_in_place(folder: &Folder, name: &str, text: &str) {
    std::fs::write(folder.path(name), text).expect("saved");
}

/// Writes another file and renames it, as many editors do.
fn save_by_renaming(folder: &Folder, name: &str, text: &str) {
    let other = folder.path(&format!("{name}~"));
    std::fs::write(&other, text).expect("written");
    std::fs::rename(other, folder.path(name)).expect("renamed");
}

const SHAFT: &str = "journal = 12 mm ±0.01\n";
const LEVER: &str = "use shaft\nbore = shaft.journal ±0.02\nwall = (26 mm - bore) / 2\n";

#[test]
fn every_way_of_saving_is_noticed() {
    let folder = Folder::of(&[("shaft.job", SHAFT), ("lever.job", LEVER)]);
    let mut watch = Watch::start(&folder, "lever.job");
    save_in_place(&folder, "lever.job", &LEVER.replace("26 mm", "28 mm"));
    watch.wait_for(&["wall", "7.000 mm", "8.000 mm", "+1.000 mm"]);
    save_by_renaming(&folder, "lever.job", &LEVER.replace("26 mm", "30 mm"));
    watch.wait_for(&["wall", "9.000 mm"]);
    // A used notebook, both ways, and after it was replaced once.
    save_by_renaming(&folder, "shaft.job", "journal = 13 mm ±0.01\n");
    watch.wait_for(&["shaft.journal", "bore", "13 ±0.01 mm", "8.500 mm"]);
    save_in_place(&folder, "shaft.job", "journal = 14 mm ±0.01\n");
    watch.wait_for(&["shaft.journal", "14 ±0.01 mm", "8.000 mm"]);
    // Other files in the folder mean nothing.
    save_in_place(&folder, "other.job", "a = 1 mm\n");
    save_in_place(&folder, "lever.job", LEVER);
    let seen = watch.wait_for(&["wall", "6.000 mm"]);
    assert!(!seen.contains("other"), "{seen}");
    let (status, _) = watch.stop();
    assert_eq!(status, Some(0));
}

#[test]
fn an_error_keeps_the_last_good_state() {
    let folder = Folder::of(&[("shaft.job", SHAFT), ("lever.job", LEVER)]);
    let mut watch = Watch::start(&folder, "lever.job");
    save_in_place(&folder, "lever.job", &LEVER.replace("/ 2", "/"));
    watch.wait_for(&["where a value is expected", "last good state"]);
    // What moved counts from the last good state.
    save_in_place(&folder, "lever.job", &LEVER.replace("/ 2", "/ 4"));
    let seen = watch.wait_for(&["wall", "7.000 mm", "3.500 mm"]);
    assert!(!seen.contains("bore"), "{seen}");
    let (status, _) = watch.stop();
    assert_eq!(status, Some(0));
}

#[test]
fn an_old_warning_is_said_once() {
    let part = "speeds = [100, 200] rpm\nrpm = nearest_speed(20 rpm, speeds)\na = 1 mm\n";
    let folder = Folder::of(&[("part.job", part)]);
    let mut watch = Watch::start(&folder, "part.job");
    save_in_place(&folder, "part.job", &part.replace("a = 1", "a = 2"));
    watch.wait_for(&["1.000 mm", "2.000 mm"]);
    let all = watch.seen.clone();
    let (status, _) = watch.stop();
    assert_eq!(status, Some(0));
    let seen = all.lock().expect("no panic");
    assert_eq!(seen.matches("(a warning)").count(), 1, "{seen}");
}

#[test]
fn a_file_may_vanish_and_come_back() {
    let folder = Folder::of(&[("shaft.job", SHAFT), ("lever.job", LEVER)]);
    let mut watch = Watch::start(&folder, "lever.job");
    std::fs::remove_file(folder.path("lever.job")).expect("gone");
    watch.wait_for(&["lever.job can't be read: there is no such file"]);
    save_in_place(&folder, "lever.job", &LEVER.replace("26 mm", "24 mm"));
    watch.wait_for(&["wall", "6.000 mm"]);
    std::fs::remove_file(folder.path("shaft.job")).expect("gone");
    watch.wait_for(&["the notebook `shaft` can't be read", "last good state"]);
    save_by_renaming(&folder, "shaft.job", SHAFT);
    watch.wait_for(&["nothing changed"]);
    let (status, _) = watch.stop();
    assert_eq!(status, Some(0));
}

#[test]
fn a_burst_of_saves_is_one_change() {
    let folder = Folder::of(&[("shaft.job", SHAFT), ("lever.job", LEVER)]);
    let mut watch = Watch::start(&folder, "lever.job");
    // A busy machine may stretch a burst; one of a few tries is quick enough.
    for round in 0..20 {
        let start = Instant::now();
        for size in 0..10 {
            save_in_place(
                &folder,
                "lever.job",
                &LEVER.replace("26", &format!("{}", 100 + 20 * round + size)),
            );
        }
        let quick = start.elapsed() < Duration::from_millis(40);
        let last = format!("{:.3} mm", f64::from(100 + 20 * round + 9 - 12) / 2.0);
        let seen = watch.wait_for(&[&last]);
        if quick {
            assert_eq!(seen.matches("wall").count(), 1, "{seen}");
            let (status, _) = watch.stop();
            assert_eq!(status, Some(0));
            return;
        }
    }
    panic!("no burst of ten saves was done within 40 ms");
}

/// Saving without end does not keep what moved from being shown.
#[test]
fn saves_without_a_pause_are_shown_all_the_same() {
    let folder = Folder::of(&[("shaft.job", SHAFT), ("lever.job", LEVER)]);
    let watch = Watch::start(&folder, "lever.job");
    let deadline = Instant::now() + PATIENCE;
    let mut size = 30;
    loop {
        size += 1;
        save_by_renaming(
            &folder,
            "lever.job",
            &LEVER.replace("26", &size.to_string()),
        );
        if watch.seen.lock().expect("no panic")[watch.read..].contains("wall") {
            break;
        }
        assert!(
            Instant::now() < deadline,
            "nothing is shown while saves go on"
        );
        std::thread::sleep(Duration::from_millis(10));
    }
    let (status, _) = watch.stop();
    assert_eq!(status, Some(0));
}

/// A notebook that is a symbolic link: the file it stands for is what is saved.
#[test]
fn a_linked_notebook_is_watched_where_it_is() {
    let folder = Folder::of(&[]);
    std::fs::create_dir(folder.path("store")).expect("a folder");
    save_in_place(&folder, "store/lever-2.job", "wall = 3 mm\n");
    std::os::unix::fs::symlink("store/lever-2.job", folder.path("lever.job")).expect("a link");
    let mut watch = Watch::start(&folder, "lever.job");
    save_in_place(&folder, "store/lever-2.job", "wall = 4 mm\n");
    watch.wait_for(&["wall", "4.000 mm"]);
    save_by_renaming(&folder, "store/lever-2.job", "wall = 5 mm\n");
    watch.wait_for(&["wall", "5.000 mm"]);
    let (status, _) = watch.stop();
    assert_eq!(status, Some(0));
}
