//! A sheet as one page of HTML: to print, or to prop up by the machine.
//!
//! The page needs nothing else: its style stands in it, its pictures are inline,
//! there is no script. Whatever a notebook says is escaped.

mod parts;
mod style;
mod tables;

use maud::{DOCTYPE, Markup, PreEscaped, html as markup};

use super::model::{Row, RowKind, Section, Sheet};
use super::pictures::FONT;

/// What stands at the foot of a page.
#[derive(Clone, Debug)]
pub struct Colophon {
    /// When the notebook was computed.
    pub computed: String,
    /// The program's version.
    pub version: String,
}

/// Writes a sheet as a page.
#[must_use]
pub fn html(sheet: &Sheet, colophon: &Colophon) -> String {
    let title = sheet
        .title
        .as_deref()
        .filter(|title| !title.is_empty())
        .unwrap_or(&sheet.file);
    let page = markup! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (clean(title)) }
                style { (PreEscaped(style::style(FONT))) }
            }
            body {
                header {
                    h1 { (clean(title)) }
                    p.file { (clean(&sheet.file)) }
                }
                main {
                    @for section in sheet.sections.iter().filter(|section| !section.rows.is_empty()) {
                        (section_markup(section))
                    }
                    (parts::errors(sheet))
                    (parts::cautions(sheet))
                }
                footer {
                    p {
                        (clean(&sheet.file)) ", computed " (clean(&colophon.computed))
                        ", setover " (clean(&colophon.version))
                    }
                }
            }
        }
    };
    page.into_string() + "\n"
}

/// A section: runs of values as one table, everything else in its place.
fn section_markup(section: &Section) -> Markup {
    markup! {
        section {
            @if !section.heading.is_empty() {
                h2 { (clean(&section.heading)) }
            }
            @for run in runs(&section.rows) {
                (run_markup(run))
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

/// Neighbouring rows that are laid out alike.
fn runs(rows: &[Row]) -> Vec<(Layout, &[Row])> {
    rows.chunk_by(|a, b| layout(a) == layout(b))
        .filter_map(|run| Some((layout(run.first()?), run)))
        .collect()
}

fn run_markup((layout, rows): (Layout, &[Row])) -> Markup {
    match layout {
        Layout::Value => tables::values(rows),
        Layout::Check => parts::checks(rows),
        Layout::Op => parts::ops(rows),
        Layout::Grid => markup! { @for row in rows { (tables::grid(row)) } },
        Layout::Picture => markup! { @for row in rows { (parts::picture(row)) } },
    }
}

/// Text without control characters, which no page may hold; escaping is maud's.
fn clean(text: &str) -> String {
    text.chars().filter(|c| !c.is_control()).collect()
}
