//! The head of a part's page: what it is, and whether all is well.

use maud::{Markup, html as markup};

use super::parts::{PageRow, called, clean, marked, remark, state};
use crate::sheet::model::{Mark, Row, RowKind, RowState, Sheet};

/// What the head tells where the notebook has a cell of that name.
const FACTS: &[(&str, &[&str])] = &[
    ("Material", &["material", "metal"]),
    ("Number off", &["number_off"]),
    ("Drawing", &["drawing"]),
    ("Date", &["date"]),
    ("General tolerance", &["general_tolerance"]),
];

/// Returns how the page is shown and printed: whole, or what stands by the machine.
pub fn views() -> Markup {
    markup! {
        form.views aria-label="what is shown and printed" {
            label { input type="radio" name="view" value="record" id="view-record" checked; " full record" }
            " "
            label { input type="radio" name="view" value="card" id="view-card"; " shop card: pictures, settings, ops" }
        }
    }
}

/// Returns the list of the parts of a page.
pub fn contents(sheets: &[Sheet]) -> Markup {
    markup! {
        nav aria-label="parts" {
            h1 { (crate::quantity::count(sheets.len(), "part")) }
            ul.contents {
                @for (index, sheet) in sheets.iter().enumerate() {
                    @let (failing, doubtful) = counts(sheet);
                    li {
                        a href={"#p" (index + 1) "-part"} { (clean(called(sheet))) } " "
                        (verdict(sheet, failing, doubtful))
                    }
                }
            }
        }
    }
}

/// Returns what the rows of a page say of themselves that its reader must know first.
fn is_said_first(row: &Row) -> bool {
    let judged = matches!(row.kind, RowKind::Check | RowKind::Measured | RowKind::Op);
    let broken = matches!(row.state, RowState::Wrong | RowState::Waiting);
    (judged || broken) && matches!(row.state.mark(), Mark::Ill | Mark::Edge)
}

/// Returns how many checks fail, or readings lie outside; and how many hold at the drawing
/// size only.
fn counts(sheet: &Sheet) -> (usize, usize) {
    let of = |wanted: Mark| {
        let rows = sheet.rows().filter(|row| is_said_first(row));
        rows.filter(|row| row.state.mark() == wanted).count()
    };
    (of(Mark::Ill), of(Mark::Edge))
}

fn verdict(sheet: &Sheet, failing: usize, doubtful: usize) -> Markup {
    let checks = sheet
        .rows()
        .filter(|row| row.kind == RowKind::Check)
        .count();
    let errors = sheet
        .errors
        .iter()
        .filter(|report| report.severity == "error")
        .count();
    markup! {
        @if errors > 0 { (marked(Mark::Ill, &crate::quantity::count(errors, "error"))) " " }
        @if failing > 0 { (marked(Mark::Ill, &format!("{failing} not well"))) " " }
        @if doubtful > 0 { (marked(Mark::Edge, &format!("{doubtful} to be looked at"))) " " }
        @if errors + failing + doubtful == 0 {
            @match checks {
                0 => span.note { "no checks" },
                1 => (marked(Mark::Well, "the check holds")),
                _ => (marked(Mark::Well, &format!("all {checks} checks hold"))),
            }
        }
    }
}

/// Returns the head of a part.
pub fn head(sheet: &Sheet, title: &str, sections: &[(&str, Vec<PageRow>)]) -> Markup {
    let rows = || sections.iter().flat_map(|(_, rows)| rows);
    let facts: Vec<(&str, String)> = FACTS
        .iter()
        .filter_map(|(label, names)| {
            let found = rows().find(|placed| {
                placed.row.kind == RowKind::Cell && names.contains(&placed.row.name.as_str())
            })?;
            Some((*label, found.row.text.clone()))
        })
        .collect();
    let (failing, doubtful) = counts(sheet);
    let mut first: Vec<&PageRow> = rows().filter(|placed| is_said_first(placed.row)).collect();
    first.sort_by_key(|placed| placed.row.state.mark() != Mark::Ill);
    markup! {
        header {
            h1 { (clean(title)) }
            p.file { (clean(&sheet.file)) }
            @if !facts.is_empty() {
                dl.facts {
                    @for (label, text) in &facts {
                        div { dt { (label) } dd { (clean(text)) } }
                    }
                }
            }
            p.verdict { (verdict(sheet, failing, doubtful)) }
            @if !first.is_empty() {
                ul.first {
                    @for placed in first {
                        li class=[(placed.row.state.mark() == Mark::Edge).then_some("doubtful")] {
                            (state(placed.row.state, &placed.row.status)) " "
                            a href={"#" (placed.id)} {
                                @if placed.row.kind == RowKind::Op { "op " }
                                (clean(&placed.row.name))
                            }
                            " " (remark(&placed.row.note))
                        }
                    }
                }
            }
        }
    }
}
