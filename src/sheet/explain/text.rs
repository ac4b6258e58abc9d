//! An explanation as text for a terminal.

use comfy_table::Cell;
use unicode_width::UnicodeWidthStr;

use super::{Explanation, NAMED, Needed, PlacedSize, Used};
use crate::diagnostic::one_line;
use crate::sheet::TerminalStyle;
use crate::sheet::narrow::{self, words_text, wrapped};
use crate::sheet::terminal_grid::aligned;
use crate::sheet::terminal_style::{plain_table, push_table};

/// The longest bar of a share, where there is room.
const BAR: f64 = 20.0;

/// Returns an explanation for a terminal.
#[must_use]
pub fn explanation_text(explained: &Explanation, look: TerminalStyle) -> String {
    let mut out = Out {
        text: String::new(),
        look,
    };
    let file = explained.file.trim_matches(['(', ')']);
    let place = format!("({file}, line {})", explained.line);
    let name = look.bold(&explained.name);
    if explained.name.width() + 2 + place.width() <= usize::from(look.width) {
        out.line(&format!("{name}  {place}"));
    } else {
        out.line(&name);
        out.words(&place);
    }
    if !explained.note.is_empty() {
        out.words(&explained.note);
    }
    out.text.push('\n');
    formula(&mut out, explained);
    let rows = explained.needs.iter().map(|needed| {
        let Needed { name, text, limits } = needed;
        [name, text, limits].map(String::clone)
    });
    out.table("Needs", rows);
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

    /// Returns words broken to the terminal's width, indented by a blank.
    fn words(&mut self, words: &str) {
        let width = usize::from(self.look.width.max(20));
        wrapped(&mut self.text, words, width, 1, 3);
    }

    fn heading(&mut self, heading: &str) {
        self.text.push('\n');
        let heading = self.look.bold(heading);
        self.line(&heading);
    }

    fn table<const N: usize>(
        &mut self,
        heading: &str,
        rows: impl IntoIterator<Item = [String; N]>,
    ) {
        let mut rows = rows.into_iter().peekable();
        if rows.peek().is_none() {
            return;
        }
        if !heading.is_empty() {
            self.heading(heading);
        }
        self.text += &words_text(rows, self.look);
    }
}

fn formula(out: &mut Out, explained: &Explanation) {
    let lead = match explained.kind {
        "cell" | "find" if !explained.name.contains(char::is_whitespace) => explained.name.as_str(),
        _ => "",
    };
    let mut rows: Vec<(&str, String)> = Vec::new();
    rows.push((lead, one_line(&explained.formula)));
    if let Some(numbers) = &explained.with_numbers {
        rows.push(("", numbers.clone()));
    }
    rows.push(("", explained.text.clone()));
    let sign = if explained.kind == "cell" { "=" } else { "" };
    let rows = rows.into_iter().enumerate().map(|(index, (name, text))| {
        let unnamed = index == 0 && lead.is_empty();
        let sign = if unnamed { "" } else { sign };
        [name.to_owned(), sign.to_owned(), text]
    });
    out.table("", rows);
}

fn limits(out: &mut Out, explained: &Explanation) {
    if let Some(limits) = &explained.limits {
        let [worst, root] = &limits.texts;
        let rows = [("worst case", worst), ("root-sum-square", root)]
            .map(|(word, text)| [word.to_owned(), text.to_owned()]);
        out.table("Limits", rows);
        out.words(&format!("{}; {}", limits.course, known(limits.known)));
        let ends = ["least", "greatest"].into_iter().zip(&limits.places);
        for (end, places) in ends {
            out.table(&format!("It is {end} at"), placed(places));
        }
    }
    sources(out, explained);
}

/// Writes where the limits come from: the shares of the sizes as a grid with bars, on a narrow
/// terminal one below the other.
fn sources(out: &mut Out, explained: &Explanation) {
    /// The narrowest terminal for the bars, and for long ones.
    const BARS: u16 = 70;
    const LONG_BARS: u16 = 90;
    if explained.sources.is_empty() {
        return;
    }
    out.heading("Where the limits come from");
    let width = out.look.width;
    if width < BARS {
        for source in &explained.sources {
            let size = [
                source.name.clone(),
                format!("{}, {:.0} %", source.size, source.percent),
                format!(
                    "{} at low limit, {} at high limit",
                    source.at_low, source.at_high
                ),
            ];
            narrow::stacked(&mut out.text, &size, usize::from(width));
        }
        return;
    }
    let longest = if width >= LONG_BARS { BAR } else { BAR / 2.0 };
    let right = |text: &str| aligned(text, true);
    let mut table = plain_table(out.look);
    table.add_row([
        Cell::new("size"),
        Cell::new(""),
        right("at low limit"),
        right("at high limit"),
        right("share"),
        Cell::new(""),
    ]);
    for source in &explained.sources {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // from 0 to 20
        let length = (source.percent / 100.0 * longest).round() as usize;
        table.add_row([
            Cell::new(&source.name),
            Cell::new(&source.size),
            right(&source.at_low),
            right(&source.at_high),
            right(&format!("{:.0} %", source.percent)),
            Cell::new("█".repeat(length)),
        ]);
    }
    push_table(&mut out.text, &table);
}

/// Returns how limits are known, in words.
fn known(word: &str) -> &'static str {
    match word {
        "proven" => "proven",
        "enclosed" => "no value lies outside, but it may come less far",
        "searched" => "the worst of the parts tried, which is no proof",
        _ => "not known",
    }
}

fn placed(places: &[PlacedSize]) -> impl Iterator<Item = [String; 2]> {
    let places = places.iter();
    places.map(|place| [place.name.clone(), place.at.clone()])
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
        let rows = rows.map(|((word, text), holds)| [word.to_owned(), said(holds, text)]);
        out.table(&heading, rows);
    }
    out.table("A part that fails it", placed(&explained.counterexample));
    let rows = explained.tighten.iter().map(|one| {
        let to = match &one.to {
            Some(to) => format!("to {to}"),
            None => "can't do it alone".to_owned(),
        };
        [one.name.clone(), one.now.clone(), to]
    });
    out.table("To make it hold at the limits, tighten one of", rows);
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
    one_line(name.get(..end.unwrap_or(name.len())).unwrap_or(name))
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
        let through = match explained.needed_by.len() {
            NAMED.. => "more",
            _ => "more through these",
        };
        out.words(&format!("and {} {through}", explained.further));
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
    let rows = rows.map(|(word, text)| [word.to_owned(), text.to_owned()]);
    out.table("", rows);
}
