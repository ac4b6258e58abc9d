//! Notebooks and edits made up at random.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use proptest::prelude::*;
use setover::internals::notebook::{Shelf, Workspace};

/// Whether a property has been tried for long enough: a notebook made up at random
/// may take all the steps that the bounds allow, which is slow without optimisation.
/// With `PROPTEST_CASES` all are tried.
pub fn enough(start: Instant) -> bool {
    const LONG: Duration = Duration::from_secs(20);
    std::env::var_os("PROPTEST_CASES").is_none() && start.elapsed() > LONG
}

/// So many tries of a property; more where the environment asks for them with
/// `PROPTEST_CASES`.
pub fn tries(count: u32) -> ProptestConfig {
    let asked = std::env::var("PROPTEST_CASES").ok();
    ProptestConfig {
        cases: asked.and_then(|asked| asked.parse().ok()).unwrap_or(count),
        max_shrink_iters: 2_000,
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

/// Notebooks in memory: the opened one, one it uses, and one that both use.
#[derive(Clone, Debug)]
pub struct Notebooks {
    /// The lines of each notebook.
    pub lines: [Vec<String>; 3],
}

/// The files of the notebooks.
pub const FILES: [&str; 3] = ["part.job", "shaft.job", "stock.job"];

/// The names that cells of a made-up notebook have.
pub const NAMES: [&str; 8] = ["a", "b", "c", "d", "e", "g", "h", "k"];

impl Notebooks {
    /// The text of one notebook.
    pub fn text(&self, file: usize) -> String {
        self.lines[file].join("\n") + "\n"
    }

    /// A workspace computed from the texts as they are now.
    pub fn afresh(&self) -> Workspace {
        Workspace::of_text(Path::new(FILES[0]), &self.text(0), self)
    }
}

impl Shelf for Notebooks {
    fn text(&self, path: &Path) -> Result<String, String> {
        let known: BTreeMap<PathBuf, usize> = FILES
            .iter()
            .enumerate()
            .map(|(number, file)| (PathBuf::from(file), number))
            .collect();
        let number = known.get(path).ok_or("there is no such file")?;
        Ok(self.text(*number))
    }

    fn beside(&self, _: &Path) -> Vec<String> {
        vec!["shaft".to_owned(), "stock".to_owned()]
    }
}

/// An edit of one notebook's lines; places count modulo the number of lines.
#[derive(Clone, Debug)]
pub enum Edit {
    /// A line comes in.
    Insert(usize, usize, String),
    /// A line goes.
    Remove(usize, usize),
    /// A line becomes another.
    Replace(usize, usize, String),
    /// Two lines change places.
    Swap(usize, usize, usize),
    /// A line is there twice.
    Duplicate(usize, usize, usize),
    /// A name becomes another, wherever it stands.
    Rename(usize, &'static str, &'static str),
    /// Something is put into a line (a bracket, a letter), so that it may break.
    Spoil(usize, usize, usize, &'static str),
    /// One edit is taken back.
    Undo,
}

/// Applies an edit; gives the number of the notebook it changed.
pub fn apply(notebooks: &mut Notebooks, edit: &Edit) -> usize {
    let place = |lines: &Vec<String>, place: usize| place % lines.len().max(1);
    match edit {
        Edit::Insert(file, at, line) => {
            let lines = &mut notebooks.lines[*file];
            let at = at % (lines.len() + 1);
            lines.insert(at, line.clone());
            *file
        }
        Edit::Remove(file, at) => {
            let lines = &mut notebooks.lines[*file];
            let at = place(lines, *at);
            if at < lines.len() {
                lines.remove(at);
            }
            *file
        }
        Edit::Replace(file, at, line) => {
            let lines = &mut notebooks.lines[*file];
            let at = place(lines, *at);
            if let Some(old) = lines.get_mut(at) {
                old.clone_from(line);
            }
            *file
        }
        Edit::Swap(file, a, b) => {
            let lines = &mut notebooks.lines[*file];
            let (a, b) = (place(lines, *a), place(lines, *b));
            if a.max(b) < lines.len() {
                lines.swap(a, b);
            }
            *file
        }
        Edit::Duplicate(file, from, to) => {
            let lines = &mut notebooks.lines[*file];
            let from = place(lines, *from);
            if let Some(line) = lines.get(from).cloned() {
                let to = to % (lines.len() + 1);
                lines.insert(to, line);
            }
            *file
        }
        Edit::Rename(file, from, to) => {
            for line in &mut notebooks.lines[*file] {
                *line = renamed(line, from, to);
            }
            *file
        }
        Edit::Spoil(file, at, column, what) => {
            let lines = &mut notebooks.lines[*file];
            let at = place(lines, *at);
            if let Some(line) = lines.get_mut(at) {
                let places: Vec<usize> = line
                    .char_indices()
                    .map(|(index, _)| index)
                    .chain([line.len()])
                    .collect();
                line.insert_str(places[column % places.len()], what);
            }
            *file
        }
        Edit::Undo => 0,
    }
}

/// A line with one whole word replaced by another.
fn renamed(line: &str, from: &str, to: &str) -> String {
    let mut out = String::new();
    let mut word = String::new();
    let flush = |word: &mut String, out: &mut String| {
        out.push_str(if word == from { to } else { word });
        word.clear();
    };
    for c in line.chars() {
        if c.is_alphanumeric() || c == '_' {
            word.push(c);
        } else {
            flush(&mut word, &mut out);
            out.push(c);
        }
    }
    flush(&mut word, &mut out);
    out
}

fn name() -> impl Strategy<Value = &'static str> {
    prop::sample::select(&NAMES[..])
}

/// A size or a plain value.
pub fn literal() -> impl Strategy<Value = String> {
    prop_oneof![
        6 => (1_u32..60).prop_map(|n| format!("{n} mm")),
        2 => (1_u32..60, 1_u32..9).prop_map(|(n, d)| format!("{n}.{d} mm")),
        2 => (2_u32..60).prop_map(|n| format!("{n} mm H7")),
        2 => (2_u32..60).prop_map(|n| format!("{n} mm ±0.05")),
        1 => (2_u32..60).prop_map(|n| format!("{n} mm (0/-0.1)")),
        1 => (1_u32..5).prop_map(|n| n.to_string()),
        1 => (1_u32..80).prop_map(|n| format!("{n} deg")),
        1 => Just("1/2 in".to_owned()),
        1 => Just("\"M8\"".to_owned()),
        1 => Just("[1, 2, 3] mm".to_owned()),
    ]
}

/// An expression over the names of a notebook and of those it uses.
pub fn expression() -> impl Strategy<Value = String> {
    let leaf = prop_oneof![
        5 => literal().prop_filter("tolerances stand at the top only", |text| {
            !text.contains(['±', '/']) && !text.ends_with("H7")
        }),
        8 => name().prop_map(str::to_owned),
        1 => name().prop_map(|name| format!("shaft.{name}")),
        1 => name().prop_map(|name| format!("stock.{name}")),
        1 => Just("grid.y".to_owned()),
        1 => Just("grid[1].x".to_owned()),
        1 => Just("thread(\"M8\").pitch".to_owned()),
    ];
    let nested = leaf.prop_recursive(2, 8, 3, |inner| {
        prop_oneof![
            3 => (inner.clone(), inner.clone()).prop_map(|(a, b)| format!("{a} + {b}")),
            2 => (inner.clone(), inner.clone()).prop_map(|(a, b)| format!("({a} - {b})")),
            2 => inner.clone().prop_map(|a| format!("({a}) * 2")),
            1 => (inner.clone(), inner.clone()).prop_map(|(a, b)| format!("max({a}, {b})")),
            1 => (inner.clone(), inner.clone(), inner.clone())
                .prop_map(|(a, b, c)| format!("(if {a} > 20 mm then {b} else {c})")),
            1 => inner.clone().prop_map(|a| format!("f({a})")),
            1 => inner.clone().prop_map(|a| format!("twice({a})")),
            1 => inner.clone().prop_map(|a| format!(
                "(find x between 0 mm and 90 mm so that x + 1 mm = {a})"
            )),
            1 => inner.prop_map(|a| format!("(x + {a} where x = 2 mm)")),
        ]
    });
    prop_oneof![3 => nested, 1 => literal(), 1 => name().prop_map(|name| format!("{name} H7"))]
}

/// One line of a notebook (a table is one line with its rows).
pub fn line() -> impl Strategy<Value = String> {
    let condition = (
        name(),
        prop::sample::select(&["<", ">=", "=", "!="][..]),
        expression(),
    );
    prop_oneof![
        24 => (name(), expression()).prop_map(|(name, value)| format!("{name} = {value}")),
        6 => (name(), literal()).prop_map(|(name, value)| format!("{name} = {value}  # a remark")),
        3 => condition.prop_map(|(a, sign, b)| format!("check {a} {sign} {b}")),
        2 => (expression(), name()).prop_map(|(a, b)| format!("op Turn to {{{a}}}, then {{{b}}}.")),
        2 => (expression(), name()).prop_map(|(a, b)| format!(
            "table grid\n| x | y = x + {b} | z |\n| {a} | | 1 |   # the first\n\n| 3 mm | | \"hub\" |"
        )),
        3 => (name(), name(), expression()).prop_map(|(name, other, value)| format!(
            "find {name} between 0 mm and 90 mm so that {other} = {value}"
        )),
        1 => (name(), name()).prop_map(|(name, low)| format!(
            "find {name} between {low} and 90 mm so that {name} = 30 mm"
        )),
        2 => (name(), name(), name()).prop_map(|(over, a, b)| format!(
            "vary {over} over 8 mm, 10 mm, 12 mm show {a}, {b} + 1 mm"
        )),
        1 => (name(), name(), name(), name()).prop_map(|(over, other, to, shown)| format!(
            "vary {over} from 1 mm to {to} by 5 mm and {other} over 2 mm, 3 mm show {shown}"
        )),
        2 => (name(), literal()).prop_map(|(name, value)| format!("measured {name} = {value}")),
        1 => (name(), name()).prop_map(|(name, other)| format!("measured {name} = {other} + 0.01 mm")),
        1 => expression(),
        1 => (name(), expression()).prop_map(|(over, value)| format!("f(x) = x + {over} + 0 * {value}")),
        1 => Just("## Twice a length.\n## source: common practice, no source\ntwice(x) = x * 2".to_owned()),
        1 => name().prop_map(|name| format!("g(x) = f(x) - {name}")),
        1 => Just("[Sizes]".to_owned()),
        1 => Just("# only a remark".to_owned()),
        1 => Just(String::new()),
        1 => prop::sample::select(&[
            "lengths inch", "lengths mm, inch", "angles dms", "readout 0.01 mm",
            "title Clutch lever", "use stock", "use shaft", "use shaft as stock", "use gone",
        ][..]).prop_map(str::to_owned),
        1 => prop::sample::select(&[
            "a = (", "b = 3 +* 2", "c d e", "= 4", "a = nothing_known + 1 mm", "b = hypot(1, 2)",
            "d = sin(a)", "pi = 3", "e = 1 mm + ", "a = b = c", "shaft = 3 mm", "k == 2",
        ][..]).prop_map(str::to_owned),
    ]
}

/// A notebook, one it uses, and one that both use.
pub fn notebooks() -> impl Strategy<Value = Notebooks> {
    let lines = |count| prop::collection::vec(line(), count);
    (lines(4..16), lines(1..6), lines(1..5)).prop_map(|(main, shaft, stock)| Notebooks {
        lines: [
            with_first(&["use shaft", "use stock", "f(x) = x + 1 mm"], main),
            with_first(&["use stock"], shaft),
            stock,
        ],
    })
}

fn with_first(first: &[&str], mut rest: Vec<String>) -> Vec<String> {
    let mut lines: Vec<String> = first.iter().map(|line| (*line).to_owned()).collect();
    lines.append(&mut rest);
    lines
}

/// A chain of edits, most of them in the opened notebook.
pub fn edits() -> impl Strategy<Value = Vec<Edit>> {
    prop::collection::vec(edit(), 1..10)
}

fn edit() -> impl Strategy<Value = Edit> {
    let file = || prop_oneof![5 => Just(0_usize), 2 => Just(1_usize), 1 => Just(2_usize)];
    let place = || 0_usize..64;
    prop_oneof![
        4 => (file(), place(), line()).prop_map(|(f, at, line)| Edit::Insert(f, at, line)),
        3 => (file(), place()).prop_map(|(f, at)| Edit::Remove(f, at)),
        5 => (file(), place(), line()).prop_map(|(f, at, line)| Edit::Replace(f, at, line)),
        3 => (file(), place(), place()).prop_map(|(f, a, b)| Edit::Swap(f, a, b)),
        1 => (file(), place(), place()).prop_map(|(f, a, b)| Edit::Duplicate(f, a, b)),
        2 => (file(), name(), name()).prop_map(|(f, a, b)| Edit::Rename(f, a, b)),
        2 => (file(), place(), place(), prop::sample::select(&["(", ")", "\"", " ", "1", "#", ","][..]))
            .prop_map(|(f, at, column, what)| Edit::Spoil(f, at, column, what)),
        3 => Just(Edit::Undo),
    ]
}
