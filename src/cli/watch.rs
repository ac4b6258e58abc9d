//! `setover watch`: recalculates at each save and shows what moved.

use std::collections::HashSet;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::{Duration, Instant};

use notify::{Event, EventKind, RecursiveMode, Watcher};

use super::files::folder_of;
use super::form::Form;
use super::status::{WELL, WRONG};
use super::{Files, change, output, run};
use crate::diagnostic::Severity;
use crate::notebook::{PageId, Workspace, problems};
use crate::sheet::{Sheet, terminal};

/// How long it must be quiet after a change before it counts as saved: editors
/// write in bursts, and some write another file and rename it.
const QUIET: Duration = Duration::from_millis(80);
/// How long saves may follow one another before the last of them is looked at all
/// the same.
const PATIENCE: Duration = Duration::from_secs(1);

enum Signal {
    Touched(Vec<PathBuf>),
    Stop,
}

/// Prints the sheet, then what moves at each save, until Ctrl-C.
pub fn watch(file: &Path) -> u8 {
    let Some(mut good) = run::open(file) else {
        return WRONG;
    };
    let (sender, signals) = channel();
    let touched = sender.clone();
    let watcher = notify::recommended_watcher(move |event: notify::Result<Event>| {
        if let Ok(event) = event
            && !matches!(event.kind, EventKind::Access(_))
        {
            let _ = touched.send(Signal::Touched(event.paths));
        }
    });
    let mut watcher = match watcher {
        Ok(watcher) => watcher,
        Err(error) => {
            output::error(&format!("this system can't watch files: {error}\n"));
            return WRONG;
        }
    };
    let _ = ctrlc::set_handler(move || {
        let _ = sender.send(Signal::Stop);
    });
    let mut folders = HashSet::new();
    watch_folders(&mut watcher, &good, &mut folders);
    output::print(&terminal(&Sheet::to_read(&good), output::look()));
    output::diagnose_all(&good);
    output::print(&format!("\nwatching {}; Ctrl-C ends\n", file.display()));
    let mut said = warnings(&good);
    let mut last = texts(&good);
    let mut shown = good.clone();
    while wait(&signals, &shown) {
        let after = match Workspace::open(file, &Files) {
            Ok(after) => after,
            Err(why) => {
                let file = file.display();
                output::error(&format!("{} {file} can't be read: {why}\n", now()));
                // When it is back, that is said even if it is as it was.
                last.clear();
                continue;
            }
        };
        let texts = texts(&after);
        if texts == last {
            continue;
        }
        last = texts;
        watch_folders(&mut watcher, &after, &mut folders);
        shown = after.clone();
        output::print(&format!("\n{}\n", now()));
        let errors = diagnose_new(&after, &said);
        said = warnings(&after);
        if errors > 0 {
            output::print(" the values are those of the last good state\n");
            continue;
        }
        change::show(&good, &after, Form::Text);
        good = after;
    }
    let left = problems(&good).len();
    output::print("\nstopped watching\n");
    if left == 0 || !Sheet::to_read(&good).has_errors() {
        WELL
    } else {
        WRONG
    }
}

/// Returns what may be said once only: the warnings, by their words and their notebook.
fn warnings(workspace: &Workspace) -> HashSet<(PageId, String)> {
    let problems = problems(workspace).into_iter();
    let warnings = problems.filter(|problem| problem.diagnostic.severity == Severity::Warning);
    warnings
        .map(|problem| (problem.page, problem.diagnostic.message))
        .collect()
}

/// Says all errors, and the warnings that were not said; gives the number of errors.
fn diagnose_new(workspace: &Workspace, said: &HashSet<(PageId, String)>) -> usize {
    let mut new = problems(workspace);
    new.retain(|problem| {
        problem.diagnostic.severity == Severity::Error
            || !said.contains(&(problem.page, problem.diagnostic.message.clone()))
    });
    output::diagnose_each(workspace, &new)
}

fn texts(workspace: &Workspace) -> Vec<(PathBuf, std::sync::Arc<str>)> {
    workspace
        .pages
        .iter()
        .map(|page| (page.path.clone(), page.text.clone()))
        .collect()
}

/// Returns the files of a workspace: as they are named, and what links among them stand
/// for.
fn files(workspace: &Workspace) -> HashSet<PathBuf> {
    let named = workspace.pages.iter().map(|page| page.path.clone());
    let mut files: HashSet<PathBuf> = named.collect();
    let real: Vec<PathBuf> = files
        .iter()
        .filter_map(|file| std::fs::canonicalize(file).ok())
        .collect();
    files.extend(real);
    files
}

/// Watches the folder of every notebook: a file that is replaced by renaming keeps
/// its name but not its identity.
fn watch_folders(watcher: &mut impl Watcher, workspace: &Workspace, known: &mut HashSet<PathBuf>) {
    for file in files(workspace) {
        let folder = folder_of(&file);
        let folder = std::fs::canonicalize(folder).unwrap_or_else(|_| folder.to_owned());
        if known.insert(folder.clone())
            && let Err(error) = watcher.watch(&folder, RecursiveMode::NonRecursive)
        {
            output::error(&format!("{} can't be watched: {error}\n", folder.display()));
        }
    }
}

/// Waits for a save; false when it is time to stop.
fn wait(signals: &Receiver<Signal>, workspace: &Workspace) -> bool {
    let files = files(workspace);
    let ours: HashSet<_> = files.iter().filter_map(|file| file.file_name()).collect();
    let mut since: Option<Instant> = None;
    loop {
        let signal = match since {
            Some(since) if since.elapsed() >= PATIENCE => return true,
            Some(_) => signals.recv_timeout(QUIET),
            None => signals.recv().map_err(|_| RecvTimeoutError::Disconnected),
        };
        match signal {
            Ok(Signal::Stop) | Err(RecvTimeoutError::Disconnected) => return false,
            Ok(Signal::Touched(paths)) => {
                let names = paths.iter().filter_map(|path| path.file_name());
                if names.into_iter().any(|name| ours.contains(name)) {
                    since.get_or_insert_with(Instant::now);
                }
            }
            Err(RecvTimeoutError::Timeout) => return true,
        }
    }
}

/// Returns the time of day.
fn now() -> String {
    jiff::Zoned::now().strftime("%H:%M:%S").to_string()
}
