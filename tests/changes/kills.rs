//! Programs killed while they write: what is on disk then.

use std::io::Write;
use std::process::Stdio;
use std::time::{Duration, Instant};

use rand::RngExt;
use rand::rngs::StdRng;

use super::program::Folder;

/// Something that writes a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Act {
    /// A new expression by `set`.
    Set,
    /// A reading by `set`.
    Reading,
    /// What was typed, written at the prompt.
    Write,
    /// A new notebook.
    New,
    /// A page.
    Page,
}

/// All of them.
pub const ACTS: [Act; 5] = [Act::Set, Act::Reading, Act::Write, Act::New, Act::Page];

/// What the kills left: the old state, the new one.
#[derive(Clone, Copy, Debug, Default)]
pub struct Left {
    pub old: u32,
    pub new: u32,
}

const NOTEBOOK: &str = "lever.job";

/// A notebook of some length with this bore.
fn notebook(bore: u32) -> String {
    let mut text = format!("title Clutch lever\nbore = {bore} mm\nmeasured bore = {bore} mm\n");
    for cell in 0..20 {
        text += &format!("c{cell} = bore / 2 + {cell} mm   # one of many\n");
    }
    text
}

impl Act {
    fn arguments(self, number: u32) -> Vec<String> {
        let words: Vec<String> = match self {
            Self::Set => vec!["set".into(), NOTEBOOK.into(), format!("bore={number} mm")],
            Self::Reading => {
                let change = format!("measured bore={number} mm");
                vec!["set".into(), NOTEBOOK.into(), change]
            }
            Self::Write => vec!["try".into(), NOTEBOOK.into()],
            Self::New => vec!["new".into(), format!("part{number}")],
            Self::Page => vec![
                "sheet".into(),
                NOTEBOOK.into(),
                "-o".into(),
                "page.html".into(),
            ],
        };
        words
    }

    fn file(self, number: u32) -> String {
        match self {
            Self::Set | Self::Reading | Self::Write => NOTEBOOK.to_owned(),
            Self::New => format!("part{number}.job"),
            Self::Page => "page.html".to_owned(),
        }
    }

    /// Whether a text is the whole new one.
    fn is_new(self, text: &str, old: &str, number: u32) -> bool {
        let line = |start: &str| {
            let lines: Vec<String> = old
                .lines()
                .map(|line| match line.starts_with(start) {
                    true if start == "bore" => format!("bore = {number} mm"),
                    true => format!("measured bore = {number} mm"),
                    false => line.to_owned(),
                })
                .collect();
            lines.join("\n") + "\n"
        };
        match self {
            Self::Set | Self::Write => text == line("bore"),
            Self::Reading => text == line("measured"),
            Self::New => {
                let starter = include_str!("../../library/starter.job");
                let title = starter.replacen("NAME", &format!("part{number}"), 1);
                text == title.replace("FILE", &format!("part{number}.job"))
            }
            Self::Page => {
                text.starts_with("<!DOCTYPE html>") && text.trim_end().ends_with("</html>")
            }
        }
    }
}

/// Kills the program at any instant of an act, so many times; fails where a file is
/// torn, and where the next act that ends leaves anything beside it.
pub fn kill(act: Act, count: u32, random: &mut StdRng) -> Left {
    let folder = Folder::of(&[(NOTEBOOK, &notebook(9))]);
    let run = |number: u32| {
        let arguments = act.arguments(number);
        let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
        let mut child = folder
            .command(&words)
            .stdin(Stdio::piped())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("it starts");
        let mut input = child.stdin.take().expect("a pipe");
        if act == Act::Write {
            // It may be gone before it has read all.
            let _ = write!(input, "bore = {number} mm\nwrite\n");
        }
        child
    };
    let start = Instant::now();
    assert!(run(10).wait().expect("it ends").success());
    let whole = start.elapsed();
    let mut left = Left::default();
    let mut leftovers = 0;
    for number in 11..11 + count {
        let file = act.file(number);
        let before = std::fs::read_to_string(folder.path(&file)).ok();
        if act == Act::Page {
            std::fs::write(folder.path(NOTEBOOK), notebook(number)).expect("written");
        }
        let mut child = run(number);
        if number % 2 == 0 {
            // Any instant of the whole run.
            std::thread::sleep(whole.mul_f64(random.random_range(0.0..1.1)));
        } else {
            // Soon after the new text begins to be written.
            let deadline = Instant::now() + Duration::from_secs(20);
            while beside(&folder) <= leftovers
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
        let text = std::fs::read_to_string(folder.path(&file)).ok();
        let old = before.as_deref().unwrap_or("");
        match &text {
            Some(text) if text != old && act.is_new(text, old, number) => left.new += 1,
            text => {
                assert_eq!(*text, before, "{act:?}, kill {number}");
                left.old += 1;
            }
        }
        leftovers = beside(&folder);
    }
    assert!(run(9).wait().expect("it ends").success());
    assert_eq!(
        beside(&folder),
        0,
        "{act:?} leaves something beside the file"
    );
    assert!(folder.run(&["run", NOTEBOOK]).status < 2);
    left
}

/// How many files of an unfinished write are in the folder.
fn beside(folder: &Folder) -> usize {
    let entries = std::fs::read_dir(folder.path("")).expect("the folder is there");
    entries
        .filter_map(Result::ok)
        .filter(|entry| entry.file_name().to_string_lossy().starts_with(".setover"))
        .count()
}
