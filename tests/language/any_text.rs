//! No text whatsoever brings the program down: each gives a sheet or errors, and
//! both can be printed.

use std::path::Path;

use proptest::prelude::*;
use setover::internals::diagnostic::{Source, render};
use setover::internals::notebook::{Workspace, problems};
use setover::internals::sheet::{Sheet, TerminalStyle, csv, terminal};
use setover::internals::syntax::{
    parse_document, parse_expression, parse_statement, print_statement, split,
};

use crate::generated::statement;
use crate::support::{Texts, in_two_megabytes, notebook, trials};

/// Goes all the way from a text to what is printed.
pub fn all_the_way(text: &str) -> Workspace {
    let workspace = notebook(text);
    let sheet = Sheet::of(&workspace);
    let _ = terminal(
        &sheet,
        TerminalStyle {
            width: 80,
            colour: true,
        },
    );
    let _ = csv(&sheet);
    let _ = serde_json::to_string(&sheet).expect("a sheet as JSON");
    for problem in problems(&workspace).iter().take(20) {
        if let Some(page) = workspace.pages.get(problem.page.index()) {
            let shown = render(
                Source {
                    name: &page.name,
                    text: &page.text,
                },
                &problem.diagnostic,
                false,
            );
            assert!(!shown.is_empty());
        }
    }
    workspace
}

/// Words and signs of the language, and some that are none.
const WORDS: &[&str] = &[
    "title",
    "lengths",
    "angles",
    "readout",
    "use",
    "as",
    "measured",
    "check",
    "op",
    "table",
    "vary",
    "over",
    "from",
    "to",
    "by",
    "show",
    "find",
    "between",
    "and",
    "so",
    "that",
    "where",
    "if",
    "then",
    "else",
    "or",
    "not",
    "true",
    "false",
    "none",
    "pi",
    "record",
    "sin",
    "max",
    "f",
    "x",
    "y",
    "workshop",
    "mm",
    "in",
    "deg",
    "rpm",
    "fraction",
    "dms",
    "1",
    "2.5",
    "1 3/8",
    "0",
    "1e9",
    "1e308",
    "°",
    "'",
    "\"",
    "+",
    "-",
    "*",
    "/",
    "^",
    "±",
    "+-",
    "(",
    ")",
    "[",
    "]",
    "{",
    "}",
    "|",
    ",",
    ":",
    ".",
    "=",
    "!=",
    "<",
    "<=",
    "#",
    "##",
    "# ",
    "\n",
    "\n",
    "\n",
    "  ",
    "\t",
    "\\",
    "\0",
    "\u{a0}",
    "µ",
    "H7",
    "(0/-0.1)",
    "\"M8\"",
    "\r\n",
    "\u{feff}",
    "%",
    "= = ",
    "f(x) = ",
    "table t\n| a | b = a |\n| ",
    "op Turn {",
    "\u{202e}",
    "é",
    "−",
    "²",
];

fn soup() -> impl Strategy<Value = String> {
    let word = (
        prop::sample::select(WORDS),
        prop::sample::select(vec![" ", "", " ", "\n"]),
    );
    prop::collection::vec(word, 0..80).prop_map(|words| {
        words
            .into_iter()
            .map(|(word, gap)| format!("{word}{gap}"))
            .collect()
    })
}

/// A notebook that is right, before it is damaged.
const NOTEBOOK: &str = include_str!("whole_notebook.job");

fn mutated() -> impl Strategy<Value = String> {
    let change = (
        any::<prop::sample::Index>(),
        any::<prop::sample::Index>(),
        0_u8..5,
        prop::sample::select(WORDS),
    );
    prop::collection::vec(change, 1..6).prop_map(|changes| {
        let mut text: Vec<char> = NOTEBOOK.chars().collect();
        for (first, second, kind, word) in changes {
            let (a, b) = (first.index(text.len()), second.index(text.len()));
            let (a, b) = (a.min(b), a.max(b));
            match kind {
                0 => drop(text.drain(a..b.min(a + 30))),
                1 => drop(text.splice(a..a, word.chars())),
                2 => text.swap(a, b),
                3 => {
                    let piece: Vec<char> = text[a..b.min(a + 200)].to_vec();
                    text.splice(a..a, piece);
                }
                _ => text.truncate(b.max(1)),
            }
            if text.is_empty() {
                text.push(' ');
            }
        }
        text.into_iter().collect()
    })
}

proptest! {
    #![proptest_config(trials(200))]

    #[test]
    fn bytes_taken_for_text(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        all_the_way(&String::from_utf8_lossy(&bytes));
    }

    #[test]
    fn signs_of_all_kinds(text in "\\PC{0,200}") {
        all_the_way(&text);
        let _ = parse_expression(&text);
        let _ = parse_statement(&text);
    }

    #[test]
    fn words_of_the_language_in_any_order(text in soup()) {
        all_the_way(&text);
    }

    #[test]
    fn a_damaged_notebook(text in mutated()) {
        all_the_way(&text);
    }

    #[test]
    fn statements_at_random(statements in prop::collection::vec(statement(), 1..6)) {
        let text: Vec<String> = statements.iter().map(print_statement).collect();
        all_the_way(&text.join("\n"));
    }

    /// Every byte of a notebook is in a statement, in a remark, or blank.
    #[test]
    fn cutting_into_statements_loses_nothing(text in prop_oneof![soup(), mutated()]) {
        let pieces = split(&text);
        let mut end = 0;
        for piece in &pieces {
            let (start, stop) = (piece.span.start as usize, piece.span.end as usize);
            prop_assert!(end <= start && start < stop && stop <= text.len(), "{:?}", piece);
            prop_assert!(text.is_char_boundary(start) && text.is_char_boundary(stop));
            let before = &text[end..start];
            let remark = |line: &str| line.trim_start_matches('\u{feff}').trim().is_empty() || line.contains('#');
            prop_assert!(before.lines().all(remark), "{:?} lies between", before);
            prop_assert_eq!(text[..start].matches('\n').count() + 1, piece.line as usize);
            end = stop;
        }
        prop_assert_eq!(parse_document(&text).statements.len(), pieces.len());
    }

    /// The place of every error lies within the text.
    #[test]
    fn errors_have_a_place_in_the_text(text in prop_oneof![soup(), mutated()]) {
        let workspace = Workspace::of_text(Path::new("part.job"), &text, &Texts(&[]));
        for problem in problems(&workspace) {
            let span = problem.diagnostic.span;
            prop_assert!(span.start <= span.end && span.end as usize <= text.len(), "{:?}", problem);
            prop_assert!(text.get(span.start as usize..span.end as usize).is_some(), "{:?}", problem);
            let message = &problem.diagnostic.message;
            prop_assert!(!message.is_empty() && !message.ends_with('.'), "{message}");
        }
    }
}

#[test]
fn the_notebook_that_is_damaged_is_right() {
    let workspace = in_two_megabytes(|| all_the_way(NOTEBOOK));
    let wrong: Vec<_> = problems(&workspace)
        .into_iter()
        .filter(|problem| !problem.diagnostic.message.contains("can't be read"))
        .collect();
    assert_eq!(wrong, []);
}
