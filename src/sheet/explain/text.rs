//! An explanation as text for a terminal.

use comfy_table::{Cell, CellAlignment, ContentArrangement, Row as TableRow, Table, presets};

use super::{Explanation, Placed, Used};
use crate::sheet::TerminalStyle;
use crate::sheet::narrow::wrapped;

/// The longest bar of a share, where there is room.
const BAR: f64 = 20.0;

/// An explanation for a terminal.
#[must_use]
pub fn explanation_text(explained: &Explanation, look: TerminalStyle) -> String {
    let mut out = Out {
        text: String::new(),
        look,
    };
    out.line(&format!(
        "{}  ({}, line {})",
        look.bold(&explained.name),
        explained.file.trim_matches(['(', ')']),
        explained.line
    ));
    if !explained.note.is_empty() {
        out.words(&explained.note);
    }
    out.text.push('\n');
    formula(&mut out, explained);
    let rows = explained.needs.iter().map(|needed| {
        vec![
            Cell::new(&needed.name),
            Cell::new(&needed.text),
            Cell::new(&needed.limits),
        ]
    });
    out.table("Needs", rows.collect());
    limits(&mut out, explained);
    check(&mut out, explained);
    needed_by(&mut out, explained);
    for used in &explained.functions {
        function(&mut out, used);
    }
    out.text
}

struct Out {
    text: String,
    look: TerminalStyle,
}

impl Out {
    fn line(&mut self, line: &str) {
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }

    /// Words broken to the terminal's width, indented by a blank.
    fn words(&mut self, words: &str) {
        let width = usize::from(self.look.width.max(20));
        wrapped(&mut self.text, words, width, 1, 3);
    }

    fn heading(&mut self, heading: &str) {
        self.text.push('\n');
        let heading = self.look.bold(heading);
        self.line(&heading);
    }

    fn table(&mut self, heading: &str, rows: Vec<Vec<Cell>>) {
        if rows.is_empty() {
            return;
        }
        if !heading.is_empty() {
            self.heading(heading);
        }
        let mut table = Table::new();
        table
            .load_style(presets::NOTHING)
            .set_content_arrangement(ContentArrangement::Dynamic)
            .set_width(self.look.width.max(20));
        for row in rows {
            table.add_row(TableRow::from(row));
        }
        for line in table.lines() {
            self.line(&format!(" {line}"));
        }
    }
}

fn formula(out: &mut Out, explained: &Explanation) {
    let lead = match explained.kind {
        "cell" | "find" if !explained.name.contains(char::is_whitespace) => explained.name.as_str(),
        _ => "",
    };
    let mut rows: Vec<(&str, String)> = Vec::new();
    let formula = explained
        .formula
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    rows.push((lead, formula));
    if let Some(numbers) = &explained.with_numbers {
        rows.push(("", numbers.clone()));
    }
    rows.push(("", explained.text.clone()));
    let sign = if explained.kind == "cell" { "=" } else { "" };
    let mut table = Vec::new();
    for (index, (name, text)) in rows.into_iter().enumerate() {
        let sign = if index == 0 && lead.is_empty() {
            ""
        } else {
            sign
        };
        table.push(vec![Cell::new(name), Cell::new(sign), Cell::new(text)]);
    }
    out.table("", table);
}

fn limits(out: &mut Out, explained: &Explanation) {
    let right = |text: &str| Cell::new(text).set_alignment(CellAlignment::Right);
    if let Some(limits) = &explained.limits {
        let [worst, root] = &limits.texts;
        let rows = vec![
            vec![Cell::new("worst case"), Cell::new(worst)],
            vec![Cell::new("root-sum-square"), Cell::new(root)],
        ];
        out.table("Limits", rows);
        out.words(&format!("{}; {}", limits.course, known(limits.known)));
        let ends = ["least", "greatest"].into_iter().zip(&limits.places);
        for (end, places) in ends {
            out.table(&format!("It is {end} at"), placed(places));
        }
    }
    let bars = out.look.width >= 70;
    let longest = if out.look.width >= 90 { BAR } else { BAR / 2.0 };
    let rows = explained.sources.iter().map(|source| {
        let mut row = vec![
            Cell::new(&source.name),
            Cell::new(&source.size),
            right(&source.at_low),
            right(&source.at_high),
            right(&format!("{:.0} %", source.percent)),
        ];
        if bars {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // from 0 to 20
            let length = (source.percent / 100.0 * longest).round() as usize;
            row.push(Cell::new("█".repeat(length)));
        }
        row
    });
    let mut rows: Vec<Vec<Cell>> = rows.collect();
    if !rows.is_empty() {
        let heading = ["size", "", "at low limit", "at high limit", "share", ""];
        let columns = if bars { 6 } else { 5 };
        let heading = heading.into_iter().take(columns).enumerate();
        let heading = heading.map(|(place, word)| {
            if place < 2 {
                Cell::new(word)
            } else {
                right(word)
            }
        });
        rows.insert(0, heading.collect());
    }
    out.table("Where the limits come from", rows);
}

/// How limits are known, in words.
fn known(word: &str) -> &'static str {
    match word {
        "proven" => "proven",
        "enclosed" => "no value lies outside, but it may come less far",
        "searched" => "the worst that was seen: a look-up leaves no proof",
        _ => "not known",
    }
}

fn placed(places: &[Placed]) -> Vec<Vec<Cell>> {
    let row = |place: &Placed| vec![Cell::new(&place.name), Cell::new(&place.at)];
    places.iter().map(row).collect()
}

fn check(out: &mut Out, explained: &Explanation) {
    let said = |holds: bool, text: &str| {
        let amount = text.trim_start_matches(['+', '-']);
        if holds {
            format!("{amount} to spare")
        } else {
            format!("misses by {amount}")
        }
    };
    for margin in &explained.margins {
        let heading = if explained.margins.len() > 1 {
            format!("Margin of {}", margin.comparison)
        } else {
            "Margin".to_owned()
        };
        let rows = [
            ("as aimed", &margin.at_size),
            ("at the worst limits", &margin.worst),
            ("by root-sum-square", &margin.root_sum_square),
        ];
        let rows = rows.into_iter().zip(margin.holds);
        let rows =
            rows.map(|((word, text), holds)| vec![Cell::new(word), Cell::new(said(holds, text))]);
        out.table(&heading, rows.collect());
    }
    out.table("A part that fails it", placed(&explained.counterexample));
    let rows = explained.tighten.iter().map(|one| {
        let to = match &one.to {
            Some(to) => format!("to {to}"),
            None => "can't do it alone".to_owned(),
        };
        vec![Cell::new(&one.name), Cell::new(&one.now), Cell::new(to)]
    });
    out.table(
        "To make it hold at the limits, tighten one of",
        rows.collect(),
    );
}

/// Returns what a statement is called: a picture or a what-if table by its first
/// words, anything else by its name.
#[must_use]
pub fn first_words(name: &str) -> String {
    let end = match name.split_whitespace().next() {
        Some("draw") => name.find(['(', ',']).or_else(|| name.find(" with ")),
        Some("vary") => name.find(" over "),
        _ => None,
    };
    let words = name.get(..end.unwrap_or(name.len())).unwrap_or(name);
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn needed_by(out: &mut Out, explained: &Explanation) {
    if explained.needed_by.is_empty() {
        return;
    }
    out.heading("Needed by");
    for name in &explained.needed_by {
        out.words(&first_words(name));
    }
    if explained.further > 0 {
        out.words(&format!("and {} more through these", explained.further));
    }
}

fn function(out: &mut Out, used: &Used) {
    out.heading(&format!("Function {}", used.name));
    let mut rows: Vec<(&str, &str)> = Vec::new();
    if !used.description.is_empty() {
        rows.push(("", &used.description));
    }
    rows.push(("formula", &used.definition));
    if used.definition.trim_end().ends_with("= native") {
        rows.pop();
    }
    if !used.source.is_empty() {
        rows.push(("source", &used.source));
    }
    rows.extend(
        used.cautions
            .iter()
            .map(|caution| ("caution", caution.as_str())),
    );
    let rows = rows.into_iter();
    let rows = rows.map(|(word, text)| vec![Cell::new(word), Cell::new(text)]);
    out.table("", rows.collect());
}
