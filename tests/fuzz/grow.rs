//! Notebooks grown from the project's own by chance: statements of the notebooks, the
//! library and the cases, cut, joined and changed where the language allows it and
//! where it does not.

use std::fs;
use std::path::{Path, PathBuf};

use rand::rngs::StdRng;
use rand::{RngExt, SeedableRng};
use setover::internals::syntax::split;

/// Numbers as they are written, and some that no one writes.
const NUMBERS: &[&str] = &[
    "0",
    "1",
    "2",
    "3",
    "12",
    "0.1",
    "0.05",
    "1/2",
    "1 3/8",
    "1000000",
    "1e300",
    "1e-300",
    "0.0005",
    "7",
    "64",
    "999999999",
    "2°51'27\"",
];
const UNITS: &[&str] = &[
    "mm", "in", "thou", "deg", "rad", "rev", "rpm", "m/min", "ft/min", "mm/rev", "N", "N*m", "kg",
    "degC", "K", "%", "MPa", "s", "mm^2", "W",
];
const SIGNS: &[&str] = &[
    "+", "-", "*", "/", "^", "=", "<", "<=", ">", ">=", "(", ")", "[", "]", ",", ".", ":", "±",
    "\"", "|", "{", "}", "#", "##", "\n", " ",
];
const WORDS: &[&str] = &[
    "if", "then", "else", "and", "or", "not", "as", "where", "over", "show", "from", "to", "by",
    "between", "so", "that", "check", "op", "table", "vary", "find", "draw", "measured", "use",
    "title", "lengths", "readout", "angles", "pi", "none",
];
const TOLERANCES: &[&str] = &[
    " H7",
    " f7",
    " ±0.05",
    " (+0.02/-0.01)",
    " (0/-0.013)",
    " JS7",
    " ±1/64",
    " zc11",
    " H99",
];
/// What stands round an expression.
const FRAMES: &[(&str, &str)] = &[
    ("(", ")"),
    ("max(", ", 3 mm)"),
    ("[", ", 2]"),
    ("-", ""),
    ("if 1 < 2 then ", " else 3 mm"),
    ("round(", ", 0.01 mm)"),
    ("sqrt(", ")"),
    ("1 / ", ""),
    ("2 * ", ""),
    ("", " as inch"),
    ("", "[1]"),
    ("", ".low"),
    ("", ".aim"),
    ("limits(", ", \"H7\")"),
    ("sum([", "])"),
];
/// The longest notebook that is grown, in bytes.
const LONGEST: usize = 6_000;

/// What notebooks are grown from.
pub struct Ground {
    statements: Vec<String>,
    expressions: Vec<String>,
}

impl Ground {
    /// The statements of the project's own notebooks, library and cases.
    pub fn of_project() -> Self {
        let root = Path::new(env!("CARGO_MANIFEST_DIR"));
        let mut texts = Vec::new();
        for folder in ["notebooks", "library/functions", "tests/page/notebooks"] {
            texts.extend(files(&root.join(folder), "job"));
        }
        texts.extend(files(&root.join("library"), "job"));
        for text in files(&root.join("tests/language/cases"), "txt") {
            let lines = text.lines().filter(|line| {
                !line.starts_with("=>") && !line.starts_with("---") && !line.starts_with("//")
            });
            texts.push(lines.collect::<Vec<_>>().join("\n"));
        }
        let mut statements = Vec::new();
        let mut expressions = Vec::new();
        for text in &texts {
            for example in text
                .lines()
                .filter_map(|line| line.split_once("## example:"))
            {
                let call = example.1.split(" = ").next().unwrap_or("").trim();
                expressions.push(call.to_owned());
            }
            for piece in split(text) {
                let statement = &text[piece.span.start as usize..piece.span.end as usize];
                if statement.len() < 1_000 {
                    statements.push(statement.to_owned());
                }
                if let Some((_, expression)) = statement.split_once('=')
                    && statement.len() < 200
                {
                    expressions.push(expression.trim().to_owned());
                }
            }
        }
        assert!(statements.len() > 500 && expressions.len() > 300);
        Self {
            statements,
            expressions,
        }
    }

    /// The notebook of a seed.
    pub fn notebook(&self, seed: u64) -> String {
        let mut random = StdRng::seed_from_u64(seed);
        let count = random.random_range(1..20);
        let mut names: Vec<String> = vec!["bore".into(), "a".into(), "b".into()];
        let mut text = String::new();
        for _ in 0..count {
            let mut statement = self.statement(&mut random, &names);
            for _ in 0..random.random_range(0..3) {
                statement = self.changed(&mut random, &statement, &names);
            }
            if let Some((name, _)) = statement.split_once('=') {
                let name = name.trim();
                let word = |c: char| c.is_alphanumeric() || c == '_';
                if !name.is_empty() && name.chars().all(word) {
                    names.push(name.to_owned());
                }
            }
            text += &statement;
            text += if random.random_ratio(1, 12) {
                "\r\n"
            } else {
                "\n"
            };
            if text.len() > LONGEST {
                break;
            }
        }
        if random.random_ratio(1, 30) {
            text.insert(0, '\u{feff}');
        }
        text
    }

    /// An expression, for an edit.
    pub fn expression(&self, random: &mut StdRng) -> String {
        let names = ["bore".to_owned(), "a".to_owned()];
        let expression = pick(random, &self.expressions).clone();
        if random.random_ratio(1, 2) {
            self.changed(random, &expression, &names)
        } else {
            expression
        }
    }

    fn statement(&self, random: &mut StdRng, names: &[String]) -> String {
        let number = *pick(random, NUMBERS);
        let unit = *pick(random, UNITS);
        let name = pick(random, names).clone();
        let other = pick(random, names).clone();
        let fresh = format!("n{}", random.random_range(0..30));
        let tolerance = *pick(random, TOLERANCES);
        let expression = pick(random, &self.expressions).clone();
        match random.random_range(0..14) {
            0 => format!("{fresh} = {number} {unit}{tolerance}"),
            1 => format!("{fresh} = {name} + {other}"),
            2 => format!("{fresh} = {name} / {other} * {number}"),
            3 => format!("{fresh} = {expression}"),
            4 => format!("check {name} < {other} + {number} {unit}"),
            5 => format!("measured {name} = {number} {unit}"),
            6 => format!("op Turn to {{{name}}}, then {{{expression}}}."),
            7 => format!("vary {name} over {number} {unit}, 2 {unit} show {other}"),
            8 => format!("find {fresh} between 0 {unit} and 9 {unit} so that {fresh} * 2 = {name}"),
            9 => format!("table {fresh}\n| x | y = x * 2 |\n| {name} | |\n| {number} {unit} | |"),
            _ => pick(random, &self.statements).clone(),
        }
    }

    /// A text with one thing in it changed.
    fn changed(&self, random: &mut StdRng, text: &str, names: &[String]) -> String {
        let tokens = tokens(text);
        let Some(at) = (!tokens.is_empty()).then(|| random.random_range(0..tokens.len())) else {
            return pick(random, &self.statements).clone();
        };
        let (start, end) = tokens[at];
        let token = &text[start..end];
        let first = token.chars().next().unwrap_or(' ');
        let new = match random.random_range(0..10) {
            0 => String::new(),
            1 => format!("{token}{token}"),
            2 => (*pick(random, SIGNS)).to_owned(),
            3 => (*pick(random, WORDS)).to_owned(),
            4 => pick(random, &self.expressions).clone(),
            5 => {
                let (before, after) = *pick(random, FRAMES);
                format!("{before}{token}{after}")
            }
            6 => format!("{token}{}", pick(random, TOLERANCES)),
            _ if first.is_ascii_digit() => (*pick(random, NUMBERS)).to_owned(),
            _ if UNITS.contains(&token) => (*pick(random, UNITS)).to_owned(),
            _ if first.is_alphabetic() => pick(random, names).clone(),
            _ => (*pick(random, SIGNS)).to_owned(),
        };
        format!("{}{new}{}", &text[..start], &text[end..])
    }
}

fn pick<'a, T>(random: &mut StdRng, from: &'a [T]) -> &'a T {
    &from[random.random_range(0..from.len())]
}

/// Where numbers, words and signs stand in a text.
fn tokens(text: &str) -> Vec<(usize, usize)> {
    let kind = |c: char| match c {
        c if c.is_whitespace() => 0,
        c if c.is_alphabetic() || c == '_' => 1,
        c if c.is_ascii_digit() || c == '.' => 2,
        _ => 3,
    };
    let mut found: Vec<(usize, usize)> = Vec::new();
    let mut last = 0;
    for (place, c) in text.char_indices() {
        let end = place + c.len_utf8();
        match found.last_mut() {
            Some(token) if last == kind(c) && last != 3 => token.1 = end,
            _ => found.push((place, end)),
        }
        last = kind(c);
    }
    found.retain(|(start, end)| !text[*start..*end].trim().is_empty());
    found
}

fn files(folder: &Path, ending: &str) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap_or_else(|why| panic!("{}: {why}", folder.display()));
    let mut paths: Vec<PathBuf> = entries
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| {
            path.extension()
                .is_some_and(|extension| extension == ending)
        })
        .collect();
    paths.sort();
    let read = |path: PathBuf| fs::read_to_string(path).expect("a text");
    paths.into_iter().map(read).collect()
}
