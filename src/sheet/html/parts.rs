//! What the parts of a page share; its checks, pictures, errors and cautions.

use maud::{Markup, PreEscaped, html as markup};

use crate::sheet::model::{Caution, Mark, Row, RowState, Sheet};

/// A row with its place on the page.
#[derive(Clone)]
pub struct PageRow<'a> {
    /// Its `id`.
    pub id: String,
    /// The row.
    pub row: &'a Row,
}

/// Returns what a part is called: its title, else its file.
pub fn called(sheet: &Sheet) -> &str {
    let title = sheet.title.as_deref();
    title
        .filter(|title| !title.is_empty())
        .unwrap_or(&sheet.file)
}

/// Returns a text with true minus signs before its numbers.
pub fn minus(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut before = ' ';
    let mut signs = text.chars().peekable();
    while let Some(sign) = signs.next() {
        let number = signs.peek().is_some_and(char::is_ascii_digit);
        let free = matches!(before, ' ' | '(' | '/' | '[');
        out.push(if sign == '-' && number && free {
            '−'
        } else {
            sign
        });
        before = sign;
    }
    out
}

/// Returns text without control characters, which no page may hold; escaping is maud's.
pub fn clean(text: &str) -> String {
    text.chars().filter(|c| !c.is_control()).collect()
}

/// Returns the sign of a mark, for those who don't see the colour, and its class.
const fn sign(mark: Mark) -> (&'static str, &'static str) {
    match mark {
        Mark::None => ("", ""),
        Mark::Well => ("✓", "well"),
        Mark::Edge => ("!", "edge"),
        Mark::Ill => ("✗", "ill"),
    }
}

/// Returns words with their mark.
pub fn marked(mark: Mark, words: &str) -> Markup {
    let (sign, class) = sign(mark);
    markup! {
        span class={"state " (class)} {
            @if !sign.is_empty() { span.sign { (sign) } " " }
            (clean(words))
        }
    }
}

/// Returns a state with its sign and its words.
pub fn state(state: RowState, status: &str) -> Markup {
    // The word of the state stands out; what it adds does not.
    let end = status.find([';', ',', ':']).unwrap_or(status.len());
    let (word, more) = status.split_at_checked(end).unwrap_or((status, ""));
    markup! {
        (marked(state.mark(), word))
        @if !more.is_empty() { span.more { (clean(&minus(more))) } }
    }
}

/// Returns a remark in small letters.
pub fn remark(note: &str) -> Markup {
    markup! {
        @if !note.is_empty() {
            span.note { (clean(note)) }
        }
    }
}

/// Returns checks, one a line.
pub fn checks(rows: &[PageRow]) -> Markup {
    markup! {
        ul.checks {
            @for PageRow { id, row } in rows {
                li id=(id) {
                    (state(row.state, &row.status)) " "
                    span.condition { (clean(&row.name)) }
                    " " (remark(&row.note))
                }
            }
        }
    }
}

/// Returns a picture with what stands under it.
pub fn picture(PageRow { id, row }: &PageRow) -> Markup {
    let Some(picture) = &row.picture else {
        return markup! {
            figure id=(id) {
                figcaption { "No picture of " (clean(&row.name)) ": " (state(row.state, &row.status)) }
            }
        };
    };
    let drawing = picture.drawn();
    let tall = if drawing.tall { " tall" } else { "" };
    markup! {
        figure id=(id) class={"w" (drawing.centimetres) (tall)} {
            @match &drawing.svg {
                Ok(svg) => div class={"canvas w" (drawing.centimetres)} { (PreEscaped(svg)) },
                Err(why) => p { "No picture of " (clean(&row.name)) ": " (clean(why)) ". " (clean(&picture.words())) },
            }
            figcaption {
                @if !row.note.is_empty() { b { (clean(&row.note)) } " " }
                @if let Some(scale) = &drawing.scale {
                    span class={"scale w" (drawing.centimetres)} {
                        span.true { "Scale " (clean(scale)) ", " }
                        span.shrunk { "Not to scale here (printed: " (clean(scale)) "), " }
                    }
                }
                (clean(&drawing.caption))
            }
        }
        @if let Some((headings, rows)) = &drawing.table {
            div.grid.long.coordinates tabindex="0" role="region" aria-label="coordinates" {
                table.cells {
                    thead { tr { @for heading in headings { th.number scope="col" { (clean(heading)) } } } }
                    tbody {
                        @for row in rows { tr { @for cell in row { td.number { (clean(cell)) } } } }
                    }
                }
            }
        }
    }
}

/// Returns what is wrong with the notebook.
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

/// Returns what to mind, gathered once. Those that stand at ops are folded: on paper they are
/// read there.
pub fn cautions(sheet: &Sheet) -> Markup {
    let (at_ops, others): (Vec<&Caution>, Vec<&Caution>) =
        sheet.cautions.iter().partition(|caution| {
            let mut said = sheet.rows().flat_map(|row| &row.cautions);
            said.any(|said| *said == caution.caution)
        });
    let listed = |cautions: &[&Caution]| {
        markup! {
            ul {
                @for caution in cautions {
                    li { (clean(&caution.caution)) " " span.note { (clean(&caution.function)) } }
                }
            }
        }
    };
    markup! {
        @if !sheet.cautions.is_empty() {
            section.cautions {
                h2 { "Cautions" }
                @if !others.is_empty() { (listed(&others)) }
                @if !at_ops.is_empty() {
                    details {
                        summary { "At the ops below: " (crate::quantity::count(at_ops.len(), "caution")) }
                        (listed(&at_ops))
                    }
                }
            }
        }
    }
}
