//! Sheets as one page of HTML: to print, or to prop up by the machine.
//!
//! The page needs nothing else: its style stands in it, its pictures are inline,
//! and all can be read without its one script, which keeps the ticks of ops.
//! Whatever a notebook says is escaped.

mod grids;
mod head;
mod ops;
mod parts;
mod script;
mod style;

use maud::{DOCTYPE, Markup, PreEscaped, html as markup};

use parts::{PageRow, called, clean};

use super::model::{Row, RowKind, Sheet};
use super::pictures::FONT;

/// What stands at the foot of a page.
#[derive(Clone, Debug)]
pub struct Colophon {
    /// When the notebook was computed.
    pub computed: String,
    /// The program's version.
    pub version: String,
}

impl Colophon {
    /// Returns what is said of a sheet.
    fn of(&self, sheet: &Sheet) -> String {
        format!(
            "{}, computed {}, setover {}",
            sheet.file, self.computed, self.version
        )
    }
}

/// What marks a page as written by this program.
pub const MADE: &str = "<meta name=\"generator\" content=\"setover\">";

/// Writes a sheet as a page.
#[must_use]
pub fn html(sheet: &Sheet, colophon: &Colophon) -> String {
    pages(std::slice::from_ref(sheet), colophon)
}

/// Writes several sheets as one page with a list of the parts at its head.
#[must_use]
pub fn pages(sheets: &[Sheet], colophon: &Colophon) -> String {
    let title = match sheets {
        [only] => called(only).to_owned(),
        several => crate::quantity::count(several.len(), "part"),
    };
    let page = markup! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                (PreEscaped(MADE))
                title { (clean(&title)) }
                style { (PreEscaped(style::style(FONT))) (PreEscaped(running_heads(sheets, colophon))) }
            }
            body {
                (head::views())
                @if sheets.len() > 1 { (head::contents(sheets)) }
                @for (index, sheet) in sheets.iter().enumerate() {
                    (part(sheet, index, sheets.len(), colophon))
                }
                script { (PreEscaped(script::SCRIPT)) }
            }
        }
    };
    page.into_string() + "\n"
}

/// Returns the running head and foot of each printed sheet: the part's name, the sheet's number
/// (in the style), and when it was computed of what.
fn running_heads(sheets: &[Sheet], colophon: &Colophon) -> String {
    let heads = sheets.iter().enumerate().map(|(index, sheet)| {
        let name = style::string(called(sheet));
        let foot = style::string(&colophon.of(sheet));
        format!(
            "@page part{index}{{@top-left{{content:{name}}}@bottom-left{{content:{foot}}}}}.part{index}{{page:part{index}}}\n"
        )
    });
    heads.collect()
}

/// Returns one part.
fn part(sheet: &Sheet, index: usize, parts: usize, colophon: &Colophon) -> Markup {
    let mut number = 0;
    let prefix = if parts > 1 {
        format!("p{}-", index + 1)
    } else {
        String::new()
    };
    let mut sections = Vec::new();
    for section in &sheet.sections {
        let rows: Vec<PageRow> = section
            .rows
            .iter()
            .map(|row| {
                number += 1;
                PageRow {
                    id: format!("{prefix}r{number}"),
                    row,
                }
            })
            .collect();
        if !rows.is_empty() {
            sections.push((section.heading.as_str(), rows));
        }
    }
    markup! {
        article class={"part part" (index)} id={(prefix) "part"} data-file=(clean(&sheet.file)) {
            (head::head(sheet, called(sheet), &sections))
            (parts::cautions(sheet))
            @for (heading, rows) in &sections { (section_markup(heading, rows)) }
            (parts::errors(sheet))
            footer {
                p { (clean(&colophon.of(sheet))) }
            }
        }
    }
}

/// Returns a section: runs of values as one table, everything else in its place. Where a
/// section has ops, its single values are working, and folded away; so is what the
/// notebook marks as working.
fn section_markup(heading: &str, all: &[PageRow]) -> Markup {
    let (kept_off, rows): (Vec<PageRow>, Vec<PageRow>) =
        all.iter().cloned().partition(|placed| placed.row.hidden);
    let rows = rows.as_slice();
    let has = |kind: Layout| rows.iter().any(|placed| layout(placed.row) == kind);
    let works = has(Layout::Op);
    let class = if works {
        "work"
    } else if has(Layout::Picture) {
        "record shown"
    } else {
        "record"
    };
    markup! {
        section class=(class) {
            @if !heading.is_empty() {
                h2 { (clean(heading)) }
            }
            // The ops of a section stand beside its pictures.
            @if works {
                @for placed in rows.iter().filter(|placed| layout(placed.row) == Layout::Picture) {
                    (parts::picture(placed))
                }
            }
            @for run in runs(rows).into_iter().filter(|run| !works || run.0 != Layout::Picture) {
                (run_markup(run, works))
            }
            @if !kept_off.is_empty() {
                (grids::folded(&kept_off, false, &markup! {
                    div.fold { @for run in runs(&kept_off) { (run_markup(run, false)) } }
                }))
            }
        }
    }
}

/// What a row is laid out with.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Layout {
    Value,
    Check,
    Op,
    Grid,
    Picture,
}

fn layout(row: &Row) -> Layout {
    match row.kind {
        RowKind::Check => Layout::Check,
        RowKind::Op => Layout::Op,
        RowKind::Draw => Layout::Picture,
        RowKind::Vary => Layout::Grid,
        _ if row.grid.is_some() => Layout::Grid,
        _ => Layout::Value,
    }
}

/// Returns neighbouring rows that are laid out alike.
fn runs<'a, 'b>(rows: &'b [PageRow<'a>]) -> Vec<(Layout, &'b [PageRow<'a>])> {
    rows.chunk_by(|a, b| layout(a.row) == layout(b.row))
        .filter_map(|run| Some((layout(run.first()?.row), run)))
        .collect()
}

fn run_markup((layout, rows): (Layout, &[PageRow]), works: bool) -> Markup {
    match layout {
        Layout::Value if works => grids::working(rows),
        Layout::Value => grids::values(rows),
        Layout::Check => parts::checks(rows),
        Layout::Op => ops::ops(rows),
        Layout::Grid => markup! { @for placed in rows { (grids::grid(placed)) } },
        Layout::Picture => markup! { @for placed in rows { (parts::picture(placed)) } },
    }
}
