//! How much of a sheet the frozen notebooks take, and that nothing is lost.

use std::collections::HashMap;
use std::path::{Path, PathBuf};

use serde_json::Value as Json;
use setover::internals::notebook::{Shelf, Workspace};
use setover::internals::sheet::{RowKind, Sheet, TerminalStyle, terminal};
use setover::internals::syntax::split;

use super::needed::words;

/// The frozen notebooks: those of commit d99cd4f8, the last of the first round, byte for
/// byte, with the lines of cells, records and tables that the program of that commit
/// printed. Measured with its debug build, `COLUMNS=80 setover run`, on the notebooks
/// without their `check`, `op` and `draw` statements: what is printed then, without title,
/// file name, headings, blank lines and cautions, is cells, records and tables.
const BEFORE: [(&str, usize); 10] = [
    ("azimuth-screw.job", 151),
    ("clutch-lever.job", 46),
    ("counterweight.job", 40),
    ("declination-shaft.job", 109),
    ("holding-arbor.job", 72),
    ("saddle-dovetail.job", 47),
    ("setting-circle.job", 56),
    ("workshop.job", 29),
    ("worm-shaft.job", 19),
    ("worm-wheel.job", 66),
];

fn frozen() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/frozen")
}

/// The frozen notebooks, without ops, checks and pictures, some names marked as working.
struct Frozen {
    working: HashMap<String, Vec<String>>,
}

impl Frozen {
    /// With the marks of `working.txt`, or without any.
    fn new(marked: bool) -> Self {
        let text = std::fs::read_to_string(frozen().join("working.txt")).expect("the list");
        let lines = text.lines().filter(|line| marked && !line.starts_with('#'));
        let working = lines.filter_map(|line| {
            let mut words = line.split_whitespace().map(str::to_owned);
            Some((words.next()?, words.collect()))
        });
        Self {
            working: working.collect(),
        }
    }

    fn notebook(&self, name: &str) -> String {
        let text = std::fs::read_to_string(frozen().join(name)).expect("a frozen notebook");
        let mut kept = String::new();
        let mut end = 0;
        for piece in split(&text) {
            let (from, to) = (piece.span.start as usize, piece.span.end as usize);
            let word = text[from..to].split([' ', '(']).next().unwrap_or_default();
            kept.push_str(&text[end..from]);
            if !["check", "op", "draw"].contains(&word) {
                kept.push_str(&text[from..to]);
            }
            end = to;
        }
        kept.push_str(&text[end..]);
        let names = self.working.get(name).map_or(&[][..], Vec::as_slice);
        kept.lines()
            .map(|line| marked(line, names) + "\n")
            .collect()
    }
}

/// A line with a `_` in front of some names, where they stand in formulas.
fn marked(line: &str, names: &[String]) -> String {
    if ["title", "use", "["]
        .iter()
        .any(|word| line.starts_with(word))
    {
        return line.to_owned();
    }
    let letter = |c: char| c.is_alphanumeric() || c == '_';
    let (mut out, mut rest, mut quoted) = (String::new(), line, false);
    while let Some(first) = rest.chars().next() {
        let word = rest.find(|c| !letter(c)).unwrap_or(rest.len());
        if word == 0 || quoted {
            let remark = first == '#' && !quoted;
            quoted ^= first == '"';
            let end = if remark { rest.len() } else { first.len_utf8() };
            out.push_str(&rest[..end]);
            rest = &rest[end..];
            continue;
        }
        let (name, after) = rest.split_at(word);
        let calls = after.starts_with('(') || after.starts_with(':');
        if names.iter().any(|known| known == name) && !out.ends_with('.') && !calls {
            out.push('_');
        }
        out.push_str(name);
        rest = after;
    }
    out
}

impl Shelf for Frozen {
    fn text(&self, path: &Path) -> Result<String, String> {
        let name = path.file_name().and_then(|name| name.to_str());
        Ok(self.notebook(name.unwrap_or_default()))
    }

    fn beside(&self, _path: &Path) -> Vec<String> {
        let names = BEFORE.iter().map(|(name, _)| name.trim_end_matches(".job"));
        names.map(str::to_owned).collect()
    }
}

fn sheet(frozen: &Frozen, name: &str) -> Sheet {
    let workspace = Workspace::of_text(Path::new(name), &frozen.notebook(name), frozen);
    let sheet = Sheet::of(&workspace);
    assert!(!sheet.has_errors(), "{name}: {:?}", sheet.errors);
    let other = |kind| matches!(kind, RowKind::Check | RowKind::Op | RowKind::Draw);
    assert!(!sheet.rows().any(|row| other(row.kind)), "{name}");
    sheet
}

/// The lines of cells, records and tables at 80 columns.
fn lines(sheet: &Sheet) -> Vec<String> {
    let style = TerminalStyle {
        width: 80,
        colour: false,
    };
    let mut sheet = sheet.clone();
    sheet.cautions.clear();
    sheet.to_look_at.clear();
    let headings: Vec<&str> = sheet.sections.iter().map(|s| s.heading.as_str()).collect();
    let text = terminal(&sheet, style);
    let lines = text.lines().skip(2).filter(|line| {
        !line.is_empty() && !headings.contains(line) && !line.contains("of working kept off")
    });
    lines.map(str::to_owned).collect()
}

#[test]
fn cells_records_and_tables_take_at_most_three_fifths_of_the_lines() {
    let count = |frozen: &Frozen| {
        let counts = BEFORE
            .iter()
            .map(|(name, _)| lines(&sheet(frozen, name)).len());
        counts.collect::<Vec<usize>>()
    };
    let before: usize = BEFORE.iter().map(|(_, lines)| lines).sum();
    let plain = count(&Frozen::new(false));
    let marked = count(&Frozen::new(true));
    let (plain_sum, marked_sum) = (plain.iter().sum::<usize>(), marked.iter().sum::<usize>());
    println!("before {before}, as they are {plain_sum} {plain:?}, marked {marked_sum} {marked:?}");
    // Without a mark it is the layout, the empty fields and the choices alone.
    assert!(plain_sum * 100 <= before * 84, "{plain_sum} of {before}");
    assert!(marked_sum * 100 <= before * 60, "{marked_sum} of {before}");
}

#[test]
fn nothing_is_lost_under_all() {
    let marks = Frozen::new(true);
    let mut hidden = 0;
    for (name, _) in BEFORE {
        let short = sheet(&marks, name);
        hidden += short.rows().filter(|row| row.hidden).count();
        let all = short.clone().in_full();
        assert_eq!(short.rows().count(), all.rows().count(), "{name}");
        let text = words(&lines(&all).join("\n"));
        for row in all.rows() {
            assert!(!row.hidden, "{name}: {}", row.name);
            assert!(
                text.contains(&words(&row.name)),
                "{name}: {} is lost",
                row.name
            );
            let Some(grid) = &row.grid else { continue };
            let data = row.data.as_ref().expect("of a sheet for programs");
            let size = match &data.value {
                Json::Array(rows) => rows.len(),
                Json::Object(fields) => fields.len(),
                _ => continue,
            };
            if row.kind != RowKind::Vary {
                assert_eq!(grid.rows.len(), size, "{name}: {}", row.name);
            }
            let names = grid.rows.iter().map(|row| row[0].unit.clone());
            let names: Vec<String> = match grid.columns.is_empty() {
                true => names.collect(),
                false => grid.columns.clone(),
            };
            for column in names {
                let parts = column.split('_').all(|part| text.contains(part));
                assert!(parts, "{name}: {}.{column} is lost", row.name);
            }
        }
    }
    assert!(hidden > 80, "{hidden}");
}
