//! Walking through a document: its notebooks are written, its commands are run one
//! after the other in the same folder, and what they print is compared.

use std::path::Path;

use super::blocks::{Block, blocks};
use super::shell::{folder, root, run};

#[test]
#[cfg_attr(windows, ignore = "typed in a shell, and Windows has no sh")]
fn readme() {
    if root().join("README.md").exists() {
        walk("README.md");
    }
}

#[test]
#[cfg_attr(windows, ignore = "typed in a shell, and Windows has no sh")]
fn language_reference() {
    let (notebooks, commands) = walk("library/LANGUAGE.md");
    assert!(notebooks >= 15, "{notebooks} notebooks");
    assert!(commands >= 15, "{commands} commands");
}

#[test]
#[cfg_attr(windows, ignore = "typed in a shell, and Windows has no sh")]
fn tutorial() {
    let (notebooks, commands) = walk("notebooks/TUTORIAL.md");
    assert!(notebooks >= 5, "{notebooks} notebooks");
    assert!(commands >= 10, "{commands} commands");
}

#[test]
#[cfg_attr(windows, ignore = "typed in a shell, and Windows has no sh")]
fn drawing_in_inches() {
    let (notebooks, commands) = walk("library/INCHES.md");
    assert!(notebooks >= 1, "{notebooks} notebooks");
    assert!(commands >= 8, "{commands} commands");
}

/// Walks through a document; gives the number of its notebooks and commands.
///
/// A block `job` is a whole notebook without errors, `job error` one with an error;
/// `job NAME.job` is also written as that file for the commands that follow. A block
/// `console` has lines `$ setover …` and `$ cp …`, each with what it prints; other
/// programs are not run. A block `session` shows the line editor: what stands behind
/// its prompts is typed, the rest is what it prints.
fn walk(document: &str) -> (usize, usize) {
    let path = root().join(document);
    let text = std::fs::read_to_string(&path).expect(document);
    let folder = folder();
    let (mut notebooks, mut commands) = (0, 0);
    let mut written = text.clone();
    for block in blocks(&text) {
        let place = format!("{document}:{}", block.line);
        if block.is("job") {
            notebook(&block, folder.path(), &place);
            notebooks += 1;
        } else if block.is("console") {
            let now = console(&block, folder.path());
            commands += block.commands().len();
            if writing() {
                let old = format!("```console\n{}```", block.text);
                written = written.replacen(&old, &format!("```console\n{now}```"), 1);
            } else {
                assert_eq!(
                    block.text, now,
                    "\n{place} is stale: SETOVER_WRITE=1 cargo test --test documents"
                );
            }
        } else if block.is("session") {
            session(&block, folder.path(), &place);
            commands += 1;
        }
    }
    if writing() {
        std::fs::write(&path, written).expect(document);
    }
    println!("{document}: {notebooks} notebooks and {commands} commands run");
    (notebooks, commands)
}

fn writing() -> bool {
    std::env::var_os("SETOVER_WRITE").is_some()
}

/// Runs the notebook of a block.
fn notebook(block: &Block, folder: &Path, place: &str) {
    let named = block.words.iter().find(|word| word.ends_with(".job"));
    let name = named.map_or("block.job", String::as_str);
    std::fs::write(folder.join(name), &block.text).expect("the notebook written");
    let done = run(&format!("setover run {name}"), folder);
    if block.words.iter().any(|word| word == "error") {
        assert_eq!(done.status, 2, "{place} has no error:\n{}", done.printed);
    } else {
        assert!(
            done.status == 0 || done.status == 1,
            "{place} has an error:\n{}",
            done.printed
        );
    }
    if named.is_none() {
        std::fs::remove_file(folder.join(name)).expect("the notebook removed");
    }
}

/// Runs the commands of a block; gives the block as it should be.
fn console(block: &Block, folder: &Path) -> String {
    let mut now = String::new();
    for (command, shown) in block.commands() {
        now.push_str(&format!("$ {command}\n"));
        if ["setover ", "cp "]
            .iter()
            .any(|ours| command.starts_with(ours))
        {
            now.push_str(&run(&command, folder).printed);
        } else {
            now.push_str(&shown);
        }
    }
    now
}

/// Types what a block shows behind the prompts of the line editor, and compares what
/// it prints.
fn session(block: &Block, folder: &Path, place: &str) {
    let (mut typed, mut shown) = (String::new(), String::new());
    for line in block.text.lines() {
        match line.split_once("> ") {
            Some((prompt, line)) if prompt.starts_with("setover") => {
                typed += &format!("{line}\n");
            }
            _ => shown += &format!("{line}\n"),
        }
    }
    std::fs::write(folder.join("typed"), typed).expect("what is typed");
    let done = run("setover < typed", folder);
    assert_eq!(shown, done.printed, "{place}");
}
