//! What two workspaces must have in common, whatever numbers their slots have.

use std::collections::{BTreeSet, HashSet};
use std::fmt::Write;

use setover::internals::language::SlotId;
use setover::internals::notebook::{
    Definition, Failure, Limits, Outcome, Problem, ToleranceAnalysis, Workspace, problems, vary,
};

/// A slot by its page and its name, or by its place in the page.
pub fn label(workspace: &Workspace, slot: SlotId) -> String {
    let Some(filled) = workspace.slots.get(slot.index()) else {
        // The reading of what has no name of its own: a row of a table, a parameter.
        return "no slot".to_owned();
    };
    let page = &workspace.pages[filled.page.index()];
    let file = page.path.display();
    let function = matches!(filled.content, Definition::Function(_))
        || page.functions.get(&filled.name) == Some(&slot);
    match (&*filled.name, function) {
        ("", _) => format!("{file}#{}", filled.item),
        (name, false) => format!("{file}:{name}"),
        (name, true) => format!("{file}:{name}()"),
    }
}

fn outcome(workspace: &Workspace, outcome: &Outcome) -> String {
    match outcome.as_ref().map_err(|failure| &**failure) {
        Ok(value) => format!("{value:?}"),
        Err(Failure::Because(root)) => format!("because of {}", label(workspace, *root)),
        Err(Failure::Unmeasured(of)) => format!("{} not measured", label(workspace, *of)),
        Err(Failure::Wrong(wrong)) => format!("{wrong:?}"),
        Err(Failure::Undefined) => "undefined".to_owned(),
    }
}

/// Everything that a workspace has worked out, one line a fact, in file order.
pub fn everything(workspace: &Workspace) -> Vec<String> {
    let mut facts = Vec::new();
    for (number, page) in workspace.pages.iter().enumerate() {
        facts.push(format!(
            "{} {:?} uses {:?} wrong {:?}",
            page.path.display(),
            page.settings,
            page.uses,
            page.wrong
        ));
        for (index, item) in page.items.iter().enumerate() {
            let place = format!(
                "{}#{index} {:?} {:?}",
                page.path.display(),
                item.kind,
                item.piece
            );
            let Some(slot) = item.slot else {
                facts.push(place);
                continue;
            };
            let filled = &workspace.slots[slot.index()];
            assert_eq!(filled.page.index(), number, "a slot of another page");
            facts.push(format!("{place} fills {}", label(workspace, slot)));
            facts.extend(values_of(workspace, slot));
        }
    }
    facts.extend(problems(workspace).into_iter().map(|problem| {
        let Problem {
            page,
            diagnostic,
            text,
        } = problem;
        format!("problem in {page:?}: {diagnostic:?} {text:?}")
    }));
    facts
}

/// What one slot has: its value, what the drawing gives, warnings, its table.
pub fn values_of(workspace: &Workspace, slot: SlotId) -> Vec<String> {
    let name = label(workspace, slot);
    let mut facts = vec![format!(
        "{name} = {}",
        outcome(workspace, workspace.outcome(slot))
    )];
    if let Some(faces) = workspace.faces.get(&slot) {
        facts.push(format!("{name} drawn {}", outcome(workspace, &faces.drawn)));
        if let Some(aimed) = &faces.aimed {
            facts.push(format!("{name} aimed {}", outcome(workspace, aimed)));
        }
        let marks = (faces.limited, faces.decides_otherwise);
        facts.push(format!("{name} limited, decides otherwise: {marks:?}"));
    }
    if let Some(warnings) = workspace.warnings.get(&slot) {
        facts.push(format!("{name} warns {warnings:?}"));
    }
    let filled = &workspace.slots[slot.index()];
    if matches!(filled.content, Definition::Vary(_)) {
        match vary(workspace, slot) {
            Ok(table) => {
                for row in table.rows {
                    let failing: BTreeSet<String> = row
                        .failing
                        .iter()
                        .map(|slot| label(workspace, *slot))
                        .collect();
                    facts.push(format!(
                        "{name} {:?} {:?} {failing:?}",
                        row.varied, row.shown
                    ));
                }
            }
            Err(wrong) => facts.push(format!("{name} no table {wrong:?}")),
        }
    }
    facts
}

/// The limits of everything, one line a fact.
pub fn limits(workspace: &Workspace) -> BTreeSet<String> {
    let travel = ToleranceAnalysis::of(workspace);
    let mut facts = BTreeSet::new();
    let written = |limits: &Limits| {
        let mut text = format!(
            "{:?} {:?} {:?} {:?}",
            limits.nominal, limits.low, limits.high, limits.course
        );
        let shares: BTreeSet<String> = limits
            .shares
            .iter()
            .map(|share| {
                let source = label(workspace, share.source.slot);
                let (low, high) = (share.at_low, share.at_high);
                format!("{source}.{} {low:?} {high:?}", share.source.index)
            })
            .collect();
        let _ = write!(text, " {shares:?}");
        text
    };
    for source in &travel.sources {
        let size = label(workspace, source.source.slot);
        facts.insert(format!(
            "size {size}.{} {:?} {:?} {:?}",
            source.source.index, source.size, source.lower, source.upper
        ));
    }
    for (slot, limits) in &travel.limits {
        facts.insert(format!(
            "{} within {}",
            label(workspace, *slot),
            written(limits)
        ));
    }
    for (slot, limits) in &travel.possible {
        facts.insert(format!(
            "{} possible within {}",
            label(workspace, *slot),
            written(limits)
        ));
    }
    for (slot, check) in &travel.checks {
        let margin = check.worst();
        facts.insert(format!(
            "{} holds {} {} {:?} {:?}",
            label(workspace, *slot),
            check.holds,
            check.holds_at_limits,
            margin.map(|(limits, _)| written(limits)),
            margin.map(|(_, quantity)| quantity)
        ));
    }
    facts
}

/// The labels of some slots and of all that depends on them.
pub fn dependents(
    workspace: &Workspace,
    slots: impl IntoIterator<Item = SlotId>,
) -> HashSet<SlotId> {
    let mut found: HashSet<SlotId> = HashSet::new();
    let mut waiting: Vec<SlotId> = slots.into_iter().collect();
    while let Some(slot) = waiting.pop() {
        if found.insert(slot) {
            waiting.extend(&workspace.slots[slot.index()].dependents);
        }
    }
    found
}

/// The first fact that differs, for a message.
pub fn difference(a: &[String], b: &[String]) -> Option<String> {
    let first = a.iter().zip(b).find(|(a, b)| a != b);
    match first {
        Some((a, b)) => Some(format!("kept up to date: {a}\ncomputed afresh: {b}")),
        None if a.len() != b.len() => Some(format!(
            "{} facts kept up to date, {} afresh: {:?}",
            a.len(),
            b.len(),
            a.get(b.len()).or_else(|| b.get(a.len()))
        )),
        None => None,
    }
}
