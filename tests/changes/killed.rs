//! `setover set` killed at any instant: the file holds its old or its new text.
#![cfg(unix)]

use std::process::Stdio;
use std::time::{Duration, Instant};

use rand::rngs::StdRng;
use rand::{RngExt, SeedableRng};

use crate::program::Folder;

const KILLS: usize = 200;

fn notebook(bore: u32) -> String {
    let mut text = format!("title Clutch lever\nbore = {bore} mm H7\n");
    for cell in 0..100 {
        text += &format!("c{cell} = bore / 2 + {cell} mm   # one of many\n");
    }
    text
}

#[test]
fn the_file_is_always_the_old_or_the_new_text() {
    let mut random = StdRng::seed_from_u64(12);
    let folder = Folder::of(&[("lever.job", &notebook(10))]);
    let start = Instant::now();
    assert_eq!(folder.run(&["set", "lever.job", "bore=11 mm"]).status, 0);
    let whole = start.elapsed();
    let mut bore = 11;
    let (mut old, mut new, mut left) = (0, 0, 0);
    for kill in 0..KILLS {
        let next = bore + 1;
        let change = format!("bore={next} mm");
        let mut child = folder
            .command(&["set", "lever.job", &change])
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("it starts");
        if kill % 2 == 0 {
            // Any instant of the whole run.
            std::thread::sleep(whole.mul_f64(random.random_range(0.0..1.1)));
        } else {
            // Soon after the new text begins to be written.
            let deadline = Instant::now() + Duration::from_secs(20);
            while beside(&folder) <= left
                && child.try_wait().expect("it runs").is_none()
                && Instant::now() < deadline
            {
                std::hint::spin_loop();
            }
            let instant = Instant::now() + Duration::from_micros(random.random_range(0..3_000));
            while Instant::now() < instant {
                std::hint::spin_loop();
            }
        }
        child.kill().expect("it is killed");
        child.wait().expect("it ends");
        let text = folder.read("lever.job");
        if text == notebook(bore) {
            old += 1;
        } else {
            assert_eq!(text, notebook(next), "kill {kill}");
            new += 1;
            bore = next;
        }
        left = beside(&folder);
    }
    println!("{KILLS} kills: {old} left the old text, {new} the new one, {left} files beside it");
    assert_eq!(old + new, KILLS);
    // What is left beside the notebook harms nothing.
    assert_eq!(folder.run(&["run", "lever.job"]).status, 0);
    assert_eq!(folder.run(&["set", "lever.job", "bore=5 mm"]).status, 0);
    assert_eq!(folder.read("lever.job"), notebook(5));
    let missing = folder.run(&["calc", "--in", "leve.job", "1"]);
    assert!(!missing.err.contains(".tmp"), "{}", missing.err);
}

/// The files beside the notebook.
fn beside(folder: &Folder) -> usize {
    let entries = std::fs::read_dir(folder.path("")).expect("the folder is there");
    entries.count() - 1
}
