//! Whatever is edited, the values are those of everything computed afresh, and
//! nothing else is computed than what depends on the change.

use std::collections::{BTreeMap, HashMap, HashSet};
use std::path::Path;
use std::sync::OnceLock;
use std::time::Instant;

use proptest::prelude::*;
use setover::internals::language::SlotId;
use setover::internals::notebook::{
    Definition, ItemKind, Outcome, PageId, Workspace, with_expression,
};

use crate::alike::{dependents, difference, everything, label, limits, values_of};
use crate::generated::{
    Edit, FILES, NAMES, Notebooks, apply, edits, enough, expression, notebooks, tries,
};

fn page_of(workspace: &Workspace, file: usize) -> Option<PageId> {
    let place = workspace
        .pages
        .iter()
        .position(|page| page.path == Path::new(FILES[file]));
    place.map(PageId::at)
}

fn assert_alike(kept: &Workspace, afresh: &Workspace) -> Result<(), TestCaseError> {
    if let Some(different) = difference(&everything(kept), &everything(afresh)) {
        return Err(TestCaseError::fail(different));
    }
    let (kept, afresh) = (limits(kept), limits(afresh));
    let only: Vec<&String> = kept.symmetric_difference(&afresh).collect();
    prop_assert!(only.is_empty(), "limits differ: {only:#?}");
    Ok(())
}

/// The statements of a page, each with its slot; the readings of a slot as one.
fn statements(workspace: &Workspace, page: PageId) -> Vec<(String, SlotId)> {
    let page = &workspace.pages[page.index()];
    let mut readings: BTreeMap<SlotId, String> = BTreeMap::new();
    let mut found = Vec::new();
    for item in &page.items {
        let Some(slot) = item.slot else { continue };
        let documentation = item
            .piece
            .documentation
            .map_or("", |span| page.text_at(span));
        let text = format!("{documentation}\n{}", page.text_at(item.piece.span));
        if item.kind == ItemKind::Measured {
            readings.entry(slot).or_default().push_str(&text);
        } else {
            found.push((text, slot));
        }
    }
    found.extend(readings.into_iter().map(|(slot, text)| (text, slot)));
    found
}

/// Whether two outcomes are the same, a value that is no number included.
fn alike(a: &Outcome, b: &Outcome) -> bool {
    format!("{a:?}") == format!("{b:?}")
}

/// A fact without the places in it.
fn without_places(fact: &str) -> String {
    let mut parts = fact.split("span: Span {");
    let first = parts.next().unwrap_or_default().to_owned();
    parts.fold(first, |text, part| {
        text + part.split_once('}').map_or("", |(_, rest)| rest)
    })
}

/// The slots whose statements came, went or changed from one state to another.
fn touched(before: &Workspace, after: &Workspace, page: PageId) -> HashSet<SlotId> {
    let (old, new) = (statements(before, page), statements(after, page));
    let mut count: HashMap<&(String, SlotId), i32> = HashMap::new();
    old.iter()
        .for_each(|statement| *count.entry(statement).or_default() -= 1);
    new.iter()
        .for_each(|statement| *count.entry(statement).or_default() += 1);
    count
        .into_iter()
        .filter(|(_, count)| *count != 0)
        .map(|((_, slot), _)| *slot)
        .collect()
}

proptest! {
    #![proptest_config(tries(100))]

    /// After every edit, all is as if computed afresh from the same texts.
    #[test]
    fn edits_leave_what_computing_afresh_gives(mut notebooks in notebooks(), edits in edits()) {
        static START: OnceLock<Instant> = OnceLock::new();
        let start = *START.get_or_init(Instant::now);
        let mut kept = notebooks.afresh();
        let mut before = notebooks.clone();
        for edit in &edits {
            if enough(start) {
                return Ok(());
            }
            let old = notebooks.clone();
            let changed: Vec<usize> = match edit {
                Edit::Undo => {
                    std::mem::swap(&mut notebooks, &mut before);
                    vec![0, 1, 2]
                }
                other => vec![apply(&mut notebooks, other)],
            };
            if !matches!(edit, Edit::Undo) {
                before = old;
            }
            for file in changed {
                let Some(page) = page_of(&kept, file) else { continue };
                let state = kept.clone();
                let updated = kept.update_text(page, &notebooks.text(file), &notebooks);
                if updated.afresh {
                    continue;
                }
                let mut starts = touched(&state, &kept, page);
                // A ring is told of at its first statement, so that changing their
                // order concerns the statements without a value.
                starts.extend(
                    statements(&kept, page)
                        .into_iter()
                        .map(|(_, slot)| slot)
                        .filter(|slot| kept.value(*slot).is_none()),
                );
                let mut allowed = dependents(&state, starts.iter().copied().filter(|slot| slot.index() < state.slots.len()));
                allowed.extend(dependents(&kept, starts));
                let mut seen = HashSet::new();
                for (slot, before) in &updated.computed {
                    let was = state.slots.get(slot.index()).map(|_| state.outcome(*slot));
                    prop_assert!(was.is_none_or(|was| alike(was, before)));
                    prop_assert!(seen.insert(*slot), "{} is computed twice", label(&kept, *slot));
                    prop_assert!(
                        allowed.contains(slot),
                        "{} is computed, though it does not depend on the change",
                        label(&kept, *slot)
                    );
                }
            }
            assert_alike(&kept, &notebooks.afresh())?;
        }
    }

    /// A cell with another expression in memory has the values that the text with
    /// that expression gives; its dependents are computed and nothing else.
    #[test]
    fn redefining_gives_what_the_changed_text_gives(
        notebooks in notebooks(),
        changes in prop::collection::vec((0_usize..3, 0_usize..8, expression()), 1..4),
    ) {
        static START: OnceLock<Instant> = OnceLock::new();
        let start = *START.get_or_init(Instant::now);
        let mut kept = notebooks.afresh();
        let mut texts = notebooks.clone();
        for (file, name, expression) in changes {
            if enough(start) {
                return Ok(());
            }
            let Some(page) = page_of(&kept, file) else { continue };
            let name = NAMES[name];
            let Some(slot) = kept.pages[page.index()].names.get(name).copied() else { continue };
            if !matches!(kept.slots[slot.index()].content, Definition::Cell(_)) {
                continue;
            }
            let afresh = texts.afresh();
            let place = page_of(&afresh, file).expect("the same pages");
            let text = with_expression(&afresh, &afresh.pages[place.index()], name, &expression);
            let old = kept.clone();
            match (kept.redefine(slot, &expression), text) {
                (Ok(computed), Ok(text)) => {
                    texts.lines[file] = text.lines().map(str::to_owned).collect();
                    let mut allowed = dependents(&old, [slot]);
                    allowed.extend(dependents(&kept, [slot]));
                    for (slot, before) in computed {
                        prop_assert!(allowed.contains(&slot), "{}", label(&kept, slot));
                        let was = old.slots.get(slot.index()).map(|_| old.outcome(slot));
                        prop_assert!(was.is_none_or(|was| alike(was, &before)));
                    }
                    // Places count in another text; what is said must be the same.
                    let all = |workspace: &Workspace| -> Vec<String> {
                        let items = workspace.pages.iter().flat_map(|page| &page.items);
                        let slots = items.filter_map(|item| item.slot);
                        let facts = slots.flat_map(|slot| values_of(workspace, slot));
                        facts.map(|fact| without_places(&fact)).collect()
                    };
                    let afresh = texts.afresh();
                    if let Some(different) = difference(&all(&kept), &all(&afresh)) {
                        return Err(TestCaseError::fail(different));
                    }
                    prop_assert_eq!(limits(&kept), limits(&afresh));
                }
                // What can't be resolved leaves the workspace as it was.
                (Err(_), _) => {
                    if let Some(different) = difference(&everything(&kept), &everything(&old)) {
                        return Err(TestCaseError::fail(different));
                    }
                }
                (Ok(_), Err(wrong)) => {
                    return Err(TestCaseError::fail(format!("taken in memory, but not in the text: {wrong:?}")));
                }
            }
        }
    }
}

/// One line changed among many: what is computed are its dependents.
#[test]
fn one_change_computes_its_dependents_only() {
    let shelf = Notebooks {
        lines: [vec![], vec!["journal = 12 mm".into()], vec![]],
    };
    let text = "use shaft\na = 10 mm\nb = a + 1 mm\nc = 5 mm\nd = c + shaft.journal\ncheck d > b\nop Turn {b}.\n";
    let mut workspace = Workspace::of_text(Path::new(FILES[0]), text, &shelf);
    let names = |workspace: &Workspace, computed: &[(SlotId, Outcome)]| -> Vec<String> {
        let mut names: Vec<String> = computed
            .iter()
            .map(|(slot, _)| workspace.name_of(*slot))
            .collect();
        names.sort();
        names
    };
    let changed =
        workspace.update_text(PageId::MAIN, &text.replace("c = 5 mm", "c = 6 mm"), &shelf);
    assert!(!changed.afresh);
    assert_eq!(
        names(&workspace, &changed.computed),
        ["c", "check d > b", "d"]
    );
    let changed = workspace.update_text(PageId::at(1), "journal = 12.7 mm\n", &shelf);
    assert!(!changed.afresh);
    assert_eq!(
        names(&workspace, &changed.computed),
        ["check d > b", "d", "shaft.journal"]
    );
    let slot = workspace.find("a").expect("there is one");
    let computed = workspace.redefine(slot, "11 mm").expect("it is taken");
    assert_eq!(
        names(&workspace, &computed),
        ["a", "b", "check d > b", "op 1"]
    );
}

/// A reading above the definition counts like one below it.
#[test]
fn a_reading_may_stand_first() {
    let shelf = Notebooks {
        lines: [vec![], vec![], vec![]],
    };
    let text = "a = 3 mm\nmeasured k = a + 0.01 mm\nk = 1 mm\n";
    let mut workspace = Workspace::of_text(Path::new(FILES[0]), text, &shelf);
    let slot = workspace.find("a").expect("there is one");
    workspace.redefine(slot, "4 mm").expect("it is taken");
    let k = workspace.find("k").and_then(|slot| workspace.value(slot));
    let k = k
        .and_then(|value| value.quantity().ok())
        .map(|value| value.si);
    assert_eq!(k, Some(0.004 + 0.000_01));
}

/// A name whose statement went is still called by its name, whatever stands in the
/// statement's place.
#[test]
fn a_name_that_went_keeps_its_name_in_messages() {
    let shelf = Notebooks {
        lines: [vec![], vec![], vec![]],
    };
    let text = "a = 8 mm\nh = 3 mm\nvary a over h, 9 mm show a\n";
    let mut workspace = Workspace::of_text(Path::new(FILES[0]), text, &shelf);
    let changed = text.replace("h = 3 mm", "op Turn.");
    workspace.update_text(PageId::MAIN, &changed, &shelf);
    let found = setover::internals::notebook::problems(&workspace);
    let messages: Vec<&str> = found
        .iter()
        .map(|p| p.diagnostic.message.as_str())
        .collect();
    assert!(
        messages.iter().all(|message| !message.contains("op 1")),
        "{messages:?}"
    );
    assert!(
        messages.iter().any(|message| message.contains('h')),
        "{messages:?}"
    );
}

/// A reading of a solved cell that follows from that cell again is a ring, whatever stood
/// there before.
#[test]
fn a_reading_by_what_follows_from_it_is_a_ring() {
    let shelf = Notebooks {
        lines: [vec![], vec![], vec![]],
    };
    let text = "a = 1 mm\nfind b between 0 mm and 90 mm so that a = 1 mm\n\
        measured b = h + 0.01 mm\nd = (1 mm + b) * 2\nh = 16.2 mm\n";
    let mut workspace = Workspace::of_text(Path::new(FILES[0]), text, &shelf);
    let changed = text.replace("h = 16.2 mm", "h = d H7");
    workspace.update_text(PageId::MAIN, &changed, &shelf);
    let fresh = Workspace::of_text(Path::new(FILES[0]), &changed, &shelf);
    assert_eq!(
        difference(&everything(&workspace), &everything(&fresh)),
        None
    );
    let b = fresh.find("b").expect("there is one");
    assert!(fresh.outcome(b).is_err(), "{:?}", fresh.outcome(b));
}
