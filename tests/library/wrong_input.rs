//! Wrong input is refused, with words that say which argument and why.

use crate::evaluated::value;
use crate::rows::rows;

const CALLS: &str = include_str!("../reference/wrong_input.csv");

#[test]
fn every_wrong_call_is_refused_in_the_words_expected() {
    let rows = rows(CALLS);
    let mut wrong = Vec::new();
    for row in &rows {
        let (call, words) = (row.text("expression"), row.text("expected_words"));
        match value(call) {
            Ok(found) => wrong.push(format!("{call} comes to {found}")),
            Err(message) if !message.contains(words) => {
                wrong.push(format!("{call} does not say `{words}`: {message}"));
            }
            Err(_) => {}
        }
    }
    println!("{} wrong calls", rows.len());
    assert!(rows.len() > 1000);
    assert!(
        wrong.is_empty(),
        "{} of them\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}
