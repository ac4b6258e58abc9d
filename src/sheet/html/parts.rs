//! Checks, ops, pictures, errors and cautions of a page.

use maud::{Markup, PreEscaped, html as markup};

use super::clean;
use crate::sheet::model::{Row, Sheet};

/// The sign before a state, for those who don't see the colour.
fn mark(status: &str) -> (&'static str, &'static str) {
    if ["measured", "aim", "possible", "at the drawn"]
        .iter()
        .any(|word| status.starts_with(word))
    {
        ("", "")
    } else if status.starts_with("may fail")
        || status.starts_with("not known")
        || status.starts_with("not measured")
    {
        ("!", "edge")
    } else if status.starts_with("holds") || status.starts_with("inside") {
        ("✓", "well")
    } else if status.starts_with("waiting") {
        ("?", "edge")
    } else {
        ("✗", "ill")
    }
}

/// A state with its sign and its words.
pub fn state(status: &str) -> Markup {
    let (sign, class) = mark(status);
    // The word of the state stands out; what it adds does not.
    let end = status.find([';', ',', ':']).unwrap_or(status.len());
    let (word, more) = status.split_at_checked(end).unwrap_or((status, ""));
    markup! {
        span class={"state " (class)} {
            @if !sign.is_empty() { span.sign { (sign) } " " }
            (clean(word))
        }
        @if !more.is_empty() { span.more { (clean(more)) } }
    }
}

/// A remark in small letters.
pub fn remark(note: &str) -> Markup {
    markup! {
        @if !note.is_empty() {
            span.note { (clean(note)) }
        }
    }
}

/// Checks, one a line.
pub fn checks(rows: &[Row]) -> Markup {
    markup! {
        ul.checks {
            @for row in rows {
                li {
                    (state(&row.status)) " "
                    span.condition { (clean(&row.name)) }
                    " " (remark(&row.note))
                }
            }
        }
    }
}

/// Ops, numbered, each with a box to tick.
pub fn ops(rows: &[Row]) -> Markup {
    markup! {
        ul.ops {
            @for row in rows {
                li {
                    label {
                        input type="checkbox";
                        span.number { (clean(&row.name)) }
                        span.words {
                            @if row.parts.is_empty() {
                                (clean(&row.text))
                                @if row.text.is_empty() { (state(&row.status)) }
                            }
                            @for part in &row.parts {
                                @if part.value { b { (clean(&part.text)) } } @else { (clean(&part.text)) }
                            }
                            " " (remark(&row.note))
                        }
                    }
                }
            }
        }
    }
}

/// A picture with what stands under it.
pub fn picture(row: &Row) -> Markup {
    markup! {
        figure {
            @match &row.picture {
                Some(picture) => {
                    (PreEscaped(picture.svg(&row.name)))
                    figcaption {
                        @if !row.note.is_empty() { b { (clean(&row.note)) } " " }
                        (clean(&picture.caption()))
                    }
                }
                None => {
                    figcaption { "No picture of " (clean(&row.name)) ": " (state(&row.status)) }
                }
            }
        }
    }
}

/// What is wrong with the notebook.
pub fn errors(sheet: &Sheet) -> Markup {
    markup! {
        @if !sheet.errors.is_empty() {
            section.errors {
                h2 { "To be put right" }
                @for report in &sheet.errors {
                    pre class=(if report.severity == "error" { "ill" } else { "edge" }) {
                        (report.shown)
                    }
                }
            }
        }
    }
}

/// What to mind.
pub fn cautions(sheet: &Sheet) -> Markup {
    markup! {
        @if !sheet.cautions.is_empty() {
            section.cautions {
                h2 { "Cautions" }
                ul {
                    @for caution in &sheet.cautions {
                        li { (clean(&caution.caution)) " " span.note { (clean(&caution.function)) } }
                    }
                }
            }
        }
    }
}
