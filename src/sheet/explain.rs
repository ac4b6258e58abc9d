//! Where a value comes from: its formula with the numbers in, what it needs, its
//! limits and what drives them, what depends on it, and the sources of the library's
//! functions in it.

mod limits;
mod numbers;
mod text;

use std::collections::HashSet;

use serde::Serialize;

pub use limits::{ExplainedLimits, ExplainedSource, Margin, PlacedSize, Tighten};
pub use text::{explanation_text, first_words};

use super::build::{formula_of, formula_text};
use super::formatted_value::Writer;
use super::model::{Data, Sheet, joined};
use super::record_rows::data_of;
use crate::diagnostic::one_line;
use crate::language::{Callee, Function, Record, ResolvedExpr, SlotId, Value};
use crate::notebook::{Definition, Page, PageId, Slot, ToleranceAnalysis, Workspace};
use crate::syntax::ItemKind;

/// So many of the statements that need a value are named.
const NAMED: usize = 100;

/// Something that a value needs.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Needed {
    /// Its name.
    pub name: String,
    /// Its value as it is printed.
    pub text: String,
    /// Its limits as they are printed.
    pub limits: String,
}

/// A function that the formula calls.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Used {
    /// Its name.
    pub name: String,
    /// Its definition; for a function that is no formula its first line.
    pub definition: String,
    /// What it does.
    pub description: String,
    /// The book, standard or practice it comes from; empty for one of the notebook.
    pub source: String,
    /// What to mind.
    pub cautions: Vec<String>,
}

/// Where a value comes from.
#[derive(Clone, Debug, Serialize)]
pub struct Explanation {
    /// Its name; the condition of a check.
    pub name: String,
    /// What it is: `cell`, `check`, `find`, `table`, `op` …
    pub kind: &'static str,
    /// The file it stands in.
    pub file: String,
    /// The line it stands on.
    pub line: u32,
    /// Its formula.
    pub formula: String,
    /// Its formula with the numbers in, where that says more.
    pub with_numbers: Option<String>,
    /// The remark behind it.
    pub note: String,
    /// The value as other programs get it.
    #[serde(flatten)]
    pub data: Data,
    /// The value as it is printed, or what the check comes to.
    pub text: String,
    /// What it needs.
    pub needs: Vec<Needed>,
    /// Its limits.
    pub limits: Option<ExplainedLimits>,
    /// The sizes that its limits come from, the one that acts most first.
    pub sources: Vec<ExplainedSource>,
    /// The margins of a check.
    pub margins: Vec<Margin>,
    /// The sizes of one part that fails a check though it holds as aimed.
    pub counterexample: Vec<PlacedSize>,
    /// What to tighten so that a check holds at the limits.
    pub tighten: Vec<Tighten>,
    /// What needs it directly, the first hundred of it.
    pub needed_by: Vec<String>,
    /// How many more need it, through those or directly.
    pub further: usize,
    /// The functions that the formula calls.
    pub functions: Vec<Used>,
}

/// Returns the slot of what a user calls by `name`: a cell by its path, a check by its
/// condition or as `check 2`, an op as `op 3`.
#[must_use]
pub fn slot_called(workspace: &Workspace, name: &str) -> Option<SlotId> {
    if let Some(slot) = workspace.find(name.trim()) {
        return Some(slot);
    }
    let wanted = one_line(name);
    let page = workspace.main()?;
    let mut checks = 0;
    for item in &page.items {
        let (number, word) = match item.kind {
            ItemKind::Check => {
                checks += 1;
                (checks, "check")
            }
            ItemKind::Op => (item.op, "op"),
            _ => continue,
        };
        let text = one_line(page.text_at(item.piece.span));
        let condition = ItemKind::Check.body(&text);
        if wanted == text || wanted == condition || wanted == format!("{word} {number}") {
            return item.slot;
        }
    }
    None
}

/// Explains one slot.
#[must_use]
pub fn explain(workspace: &Workspace, slot: SlotId) -> Option<Explanation> {
    let filled = workspace.slot(slot)?;
    let page = workspace.page(filled.page)?;
    let item = page.items.get(filled.item as usize)?;
    let statement = match &filled.redefined {
        Some(text) => text,
        None => page.text_at(item.piece.span),
    };
    let travel = ToleranceAnalysis::of(workspace);
    let writer = Writer::new(&page.settings);
    let context = limits::Context {
        workspace,
        travel: &travel,
        writer,
    };
    let mut data = Data::default();
    let mut text = "no value".to_owned();
    if let Some(found) = workspace.value(slot) {
        data = data_of(&writer, found);
        text = match found {
            Value::Table(_) => found.to_string(),
            Value::Size(_) => writer.sentence(found),
            Value::Record(record) if record.scalar_value.is_none() => {
                // All of it: a thread too is more here than its designation.
                let whole = Record::clone(record);
                writer.fields(&Record {
                    said_as: None,
                    ..whole
                })
            }
            other => writer.value(other).line(),
        };
    }
    let check = matches!(filled.content, Definition::Check(_));
    let kind = kind(filled);
    if filled.page == PageId::MAIN
        && matches!(filled.content, Definition::Check(_) | Definition::Op(_))
        && let Some(row) = Sheet::rows_of(workspace, &[filled.item]).pop()
    {
        text = row.text;
    }
    let (margins, tighten) = context.check(slot, statement);
    let (limits, sources) = context.limits(slot);
    let (needed_by, further) = needed_by(workspace, slot);
    Some(Explanation {
        name: if check {
            formula_text(page, item).to_owned()
        } else {
            workspace.name_of(slot)
        },
        kind,
        file: page.name.clone(),
        line: item.piece.line,
        formula: formula_of(page, item, filled).to_owned(),
        with_numbers: numbers::with_numbers(workspace, page, statement),
        note: page.note(item).to_owned(),
        data,
        text,
        needs: needs(&context, filled),
        limits,
        sources,
        margins,
        counterexample: context.counterexample(slot),
        tighten,
        needed_by,
        further,
        functions: functions(workspace, page, filled),
    })
}

fn kind(slot: &Slot) -> &'static str {
    match slot.content {
        Definition::Check(_) => "check",
        Definition::Find(_) => "find",
        Definition::Table(_) => "table",
        Definition::Op(_) | Definition::OpEach(_) => "op",
        Definition::Vary(_) => "vary",
        Definition::Function(_) => "function",
        _ => "cell",
    }
}

/// Returns what a slot needs, functions aside.
fn needs(context: &limits::Context, slot: &Slot) -> Vec<Needed> {
    let workspace = context.workspace;
    let mut found = Vec::new();
    for need in &slot.needs {
        let Some(needed) = workspace.slot(*need) else {
            continue;
        };
        if matches!(needed.content, Definition::Function(_)) {
            continue;
        }
        let text = match workspace.value(*need) {
            Some(value) => context.value_text(value),
            None => "no value".to_owned(),
        };
        let mut limits = context.limits_text(*need);
        let faces = workspace.value(*need).and_then(Value::size_faces);
        if let Some((size, reading)) = faces.and_then(|size| Some((size, size.reading?))) {
            let reading = context.writer.quantity(size.like(reading)).line();
            limits = joined(&[&limits, &format!("measured {reading}")]);
        }
        found.push(Needed {
            name: workspace.name_of(*need),
            text,
            limits,
        });
    }
    found
}

/// Returns what needs a slot directly, the first hundred of it, and how many more do, or
/// need it through those.
fn needed_by(workspace: &Workspace, slot: SlotId) -> (Vec<String>, usize) {
    let mut seen: HashSet<SlotId> = HashSet::from([slot]);
    let mut wave = vec![slot];
    let mut names = Vec::new();
    let mut further = 0;
    let mut first = true;
    while !wave.is_empty() {
        let mut next = Vec::new();
        for slot in wave {
            let dependents = workspace.slot(slot).map(|slot| slot.dependents.as_slice());
            for dependent in dependents.unwrap_or_default() {
                if seen.insert(*dependent) {
                    next.push(*dependent);
                    if first && names.len() < NAMED {
                        names.push(one_line(&workspace.name_of(*dependent)));
                    } else {
                        further += 1;
                    }
                }
            }
        }
        first = false;
        wave = next;
    }
    (names, further)
}

/// Returns the functions that a statement calls.
fn functions(workspace: &Workspace, page: &Page, slot: &Slot) -> Vec<Used> {
    let mut library: Vec<&'static Function> = Vec::new();
    let mut own: Vec<SlotId> = Vec::new();
    slot.content.walk(&mut |node| {
        for function in node.calls() {
            if !library.iter().any(|known| known.name == function.name) {
                library.push(function);
            }
        }
        node.walk(&mut |node| {
            if let ResolvedExpr::Call(call) = &node.code
                && let Callee::Notebook(slot, _) = call.callee
                && !own.contains(&slot)
            {
                own.push(slot);
            }
        });
    });
    let mut used: Vec<Used> = Vec::new();
    for slot in own {
        let Some(filled) = workspace.slot(slot) else {
            continue;
        };
        let item = page.items.get(filled.item as usize);
        used.push(Used {
            name: filled.name.to_string(),
            definition: item
                .map_or("", |item| page.text_at(item.piece.span))
                .to_owned(),
            description: String::new(),
            source: String::new(),
            cautions: Vec::new(),
        });
    }
    for function in library {
        let doc = function.doc().ok();
        used.push(Used {
            name: function.name.to_owned(),
            definition: function.definition.to_owned(),
            description: doc.map_or("", |doc| &doc.description).to_owned(),
            source: doc.map_or("", |doc| &doc.source).to_owned(),
            cautions: doc.map_or(Vec::new(), |doc| doc.cautions.clone()),
        });
    }
    used
}
