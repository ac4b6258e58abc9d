//! What each fuzz target does with a text, shared with the test that replays the
//! corpus on the stable toolchain (tests/corpus.rs).

use std::path::Path;

use setover::internals::diagnostic::{Source, render as render_diagnostic};
use setover::internals::language::Value;
use setover::internals::notebook::{Shelf, Workspace, problems, with_expression};
use setover::internals::repl::{Analysis, Bench, Refused, Session, complete, highlight, hint};
use setover::internals::sheet::{Colophon, Sheet, TerminalStyle, csv, html, terminal};
use setover::internals::syntax::{
    parse_document, parse_expression, parse_statement, print_expression, print_statement, split,
};

/// A target: its name, and what it does with a text.
pub type Target = (&'static str, fn(&str));

/// All targets, each with a folder of its name in tests/fuzz/corpus.
pub const TARGETS: [Target; 6] = [
    ("parse", parse),
    ("evaluate", evaluate),
    ("render", render),
    ("split_print", split_print),
    ("edit", edit),
    ("session", session),
];

/// Longer texts only make the same finds slower.
const LONGEST: usize = 4096;

/// Runs a target over bytes taken for text.
pub fn run(target: fn(&str), bytes: &[u8]) {
    if bytes.len() <= LONGEST {
        target(&String::from_utf8_lossy(bytes));
    }
}

/// One other notebook to be used, and nothing else.
pub struct Workshop;

impl Shelf for Workshop {
    fn text(&self, path: &Path) -> Result<String, String> {
        if path.file_name().is_some_and(|name| name == "workshop.job") {
            Ok("use part\nspeeds = [45, 80, 125] rpm\ncutter = 12 mm h6\n".to_owned())
        } else {
            Err("there is no such file".to_owned())
        }
    }

    fn beside(&self, _: &Path) -> Vec<String> {
        vec!["workshop".to_owned()]
    }
}

impl Bench for Workshop {
    fn write(&self, _: &Path, _: &str, _: Option<&str>) -> Result<(), Refused> {
        Err(Refused::Unable("nothing is written here".to_owned()))
    }

    fn exists(&self, _: &Path) -> bool {
        false
    }
}

pub fn notebook(text: &str) -> Workspace {
    Workspace::of_text(Path::new("part.job"), text, &Workshop)
}

pub const LOOK: TerminalStyle = TerminalStyle {
    width: 60,
    colour: false,
};

/// What can be read is printed in a form that reads the same.
pub fn parse(text: &str) {
    let _ = parse_statement(text);
    if let Ok(formula) = parse_expression(text)
        && formula.bindings.is_empty()
    {
        let printed = print_expression(&formula.expression);
        let again = parse_expression(&printed);
        assert_eq!(
            again.map(|again| again.expression),
            Ok(formula.expression),
            "{printed}"
        );
    }
    for statement in parse_document(text).statements {
        match statement.parsed {
            Ok(tree) => {
                let printed = print_statement(&tree);
                if printed.len() < 60_000 {
                    assert_eq!(parse_statement(&printed).as_ref(), Ok(&tree), "{printed}");
                }
            }
            Err(wrong) => assert!(!wrong.is_empty()),
        }
    }
}

/// Values are finite, whatever is worked out.
fn evaluate(text: &str) {
    let workspace = notebook(text);
    for outcome in &workspace.values {
        if let Ok(Value::Quantity(quantity)) = outcome {
            assert!(quantity.si.is_finite(), "{quantity:?}");
        }
    }
    let _ = notebook("").with_expression(text, &Workshop);
}

/// Every way of writing a sheet, and every message.
pub fn render(text: &str) {
    let workspace = notebook(text);
    let sheet = Sheet::of(&workspace);
    for width in [20, 80] {
        let _ = terminal(
            &sheet,
            TerminalStyle {
                width,
                colour: width == 80,
            },
        );
    }
    let _ = csv(&sheet);
    serde_json::to_string(&sheet).expect("a sheet as JSON");
    let colophon = Colophon {
        computed: "today".to_owned(),
        version: "1".to_owned(),
    };
    let page = html(&sheet, &colophon);
    assert!(
        page.ends_with("</html>\n") || page.ends_with("</html>"),
        "{page}"
    );
    for problem in problems(&workspace).iter().take(50) {
        let Some(page) = workspace.pages.get(problem.page.index()) else {
            continue;
        };
        let span = problem.diagnostic.span;
        assert!(
            page.text
                .get(span.start as usize..span.end as usize)
                .is_some(),
            "{problem:?}"
        );
        let shown = render_diagnostic(
            Source {
                name: &page.name,
                text: &page.text,
            },
            &problem.diagnostic,
            false,
        );
        assert!(
            !shown.contains(|c: char| c.is_control() && c != '\n' && c != '\t'),
            "{shown:?}"
        );
    }
}

/// Cutting a text into statements loses nothing, and each statement by itself reads
/// as it does in its place.
pub fn split_print(text: &str) {
    let document = parse_document(text);
    let mut end = 0;
    for (piece, statement) in split(text).iter().zip(&document.statements) {
        let (start, stop) = (piece.span.start as usize, piece.span.end as usize);
        assert!(
            end <= start && start < stop && stop <= text.len(),
            "{piece:?}"
        );
        let own = &text[start..stop];
        end = stop;
        assert_eq!(piece, &statement.piece);
        if let Ok(tree) = &statement.parsed {
            assert_eq!(parse_statement(own).as_ref(), Ok(tree), "{own}");
        }
    }
    for line in text.lines() {
        let analysis = Analysis::of(line);
        let joined: String = analysis
            .tokens
            .iter()
            .map(|token| analysis.text_of(token))
            .collect();
        assert!(joined.len() <= line.len());
    }
}

/// An edit changes one expression and no other byte. The first line of the text is
/// the new expression; the rest is the notebook.
fn edit(text: &str) {
    let (expression, text) = text
        .split_once('\n')
        .unwrap_or((text, "bore = 12 mm H7 # a note\n"));
    let workspace = notebook(text);
    let Some(page) = workspace.main() else { return };
    for name in page.names.keys().take(8) {
        let Ok(edited) = with_expression(&workspace, page, name, expression) else {
            continue;
        };
        let same = |a: &mut dyn Iterator<Item = u8>, b: &mut dyn Iterator<Item = u8>| {
            a.zip(b).take_while(|(a, b)| a == b).count()
        };
        let head = same(&mut text.bytes(), &mut edited.bytes());
        let tail = same(&mut text.bytes().rev(), &mut edited.bytes().rev());
        let lines = |text: &str| text.matches('\n').count();
        // What lies between is within one statement.
        let changed = text.len().saturating_sub(head + tail);
        let longest = split(text)
            .iter()
            .map(|piece| (piece.span.end - piece.span.start) as usize)
            .max()
            .unwrap_or(0);
        assert!(changed <= longest, "{name}: {edited}");
        assert!(lines(&edited) <= lines(text), "{name}: {edited}");
    }
}

/// Lines typed into a session, with completion, hints and colours at each.
fn session(text: &str) {
    let mut session = Session::new(Box::new(Workshop), LOOK);
    for line in text.lines().take(20) {
        let analysis = Analysis::within(&session, line);
        for cursor in [0, line.len() / 2, line.len()] {
            if line.is_char_boundary(cursor) {
                let (start, _) = complete(&session, &analysis, cursor);
                assert!(start <= cursor);
                let _ = hint(&session, &analysis, cursor, 40);
            }
        }
        assert_eq!(without_styles(&highlight(&session, &analysis, true)), line);
        let _ = session.typed(line);
    }
}

/// A text without the escape sequences that style it.
fn without_styles(text: &str) -> String {
    let mut parts = text.split("\u{1b}[");
    let first = parts.next().unwrap_or("").to_owned();
    parts.fold(first, |so_far, part| {
        so_far + part.split_once('m').map_or(part, |(_, rest)| rest)
    })
}
