//! The index by jobs: every call in it is worked out, and it leaves hardly a function
//! of the trade out.

use std::collections::HashSet;

use setover::internals::language::{STEPS, library};
use setover::internals::notebook::Workspace;

use super::shell::root;

#[test]
fn every_call_is_worked_out_and_every_topic_is_there() {
    let text = std::fs::read_to_string(root().join("library/JOBS.md")).expect("the page");
    let workspace = Workspace::default();
    let (mut calls, mut named) = (0, HashSet::new());
    for line in text.lines().filter(|line| line.starts_with("| ")) {
        for code in line.split('`').skip(1).step_by(2) {
            let value = workspace.evaluate(code, &[], STEPS);
            assert!(value.is_ok(), "{code}: {value:?}");
            calls += 1;
            let words = code.split(|c: char| !(c.is_alphanumeric() || c == '_'));
            named.extend(words.map(str::to_owned));
        }
    }
    assert!(calls >= 150, "{calls} calls");
    let trade = library().all().iter();
    let trade = trade.filter(|function| function.topic != "Mathematics");
    let (there, missing): (Vec<_>, Vec<_>) =
        trade.partition(|function| named.contains(function.name));
    let topics = |functions: &[&setover::internals::language::Function]| -> HashSet<&str> {
        functions.iter().map(|function| function.topic).collect()
    };
    for topic in topics(&missing) {
        assert!(topics(&there).contains(topic), "nothing of {topic}");
    }
    // A function may be new; that many may not.
    let names: Vec<&str> = missing.iter().map(|function| function.name).collect();
    assert!(missing.len() <= 12, "not in the page: {names:?}");
}
