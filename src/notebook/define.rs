//! From a page's statements to the slots they fill.

mod function;
mod measured;
mod scope;
mod table;
mod varied;

use std::sync::OnceLock;

use foldhash::HashSet;

use function::function;
use measured::{Beside, beside};
use scope::{FEW, PageScope};
use table::table;
use varied::{draw, vary};

use super::definition::{Definition, FindCell, OpEachCode, OpPartCode, node_needs};
use super::page::Item;
use super::workspace::Workspace;
use crate::diagnostic::Diagnostic;
use crate::language::{CONSTANTS, Lowering, PageId, SlotId};
use crate::syntax::{
    Find, Formula, ItemKind, Name, OpPart, Statement, StatementKind, StatementText,
};

/// Makes room for the functions that a page defines, so that calls find them
/// wherever they stand.
pub fn announce_functions(workspace: &mut Workspace, page: PageId, statements: &[Statement]) {
    for statement in statements {
        if let Ok(StatementKind::Function(name, ..)) = &statement.parsed {
            workspace.function_slot(page, &name.text);
        }
    }
}

/// Fills the slot of one statement; gives the item that stands for it.
pub fn define(workspace: &mut Workspace, page: PageId, item: u32, statement: Statement) -> Item {
    let piece = statement.piece;
    let parsed = match statement.parsed {
        Ok(parsed) => parsed,
        Err(wrong) => {
            workspace.report(page, &piece, wrong);
            let slot = broken_name(workspace, page, item, &piece);
            return Item {
                kind: ItemKind::Unreadable,
                piece,
                slot,
                hidden: false,
                op: 0,
            };
        }
    };
    let kind = parsed.kind();
    let slot = match parsed {
        StatementKind::Title(_)
        | StatementKind::Lengths(_)
        | StatementKind::Angles(_)
        | StatementKind::Readout(_)
        | StatementKind::Use { .. }
        | StatementKind::Section(_) => None,
        StatementKind::Cell(name, formula) => {
            let content = |lowering: &mut Lowering| Definition::Cell(lowering.formula(&formula));
            named(workspace, page, item, &piece, &name, content)
        }
        StatementKind::Find(find) => define_find(workspace, page, item, &piece, &find.name, &find),
        StatementKind::Table(name, columns, rows) => {
            let content = |lowering: &mut Lowering| table(lowering, &columns, &rows);
            named(workspace, page, item, &piece, &name, content)
        }
        StatementKind::Check(condition) => nameless(workspace, page, item, |lowering| {
            Definition::Check(lowering.expression(&condition))
        }),
        StatementKind::Bare(formula) => nameless(workspace, page, item, |lowering| {
            Definition::Bare(lowering.formula(&formula))
        }),
        StatementKind::Op(parts) => nameless(workspace, page, item, |lowering| {
            let parts = parts.into_iter();
            Definition::Op(parts.map(|part| op_part(lowering, part)).collect())
        }),
        StatementKind::OpEach(each) => nameless(workspace, page, item, |lowering| {
            let over = lowering.expression(&each.over);
            lowering.not_constant(&each.name);
            lowering.bind(each.name.text.clone());
            let parts = each.parts.into_iter();
            let parts = parts.map(|part| op_part(lowering, part)).collect();
            lowering.unbind(0);
            Definition::OpEach(Box::new(OpEachCode { over, parts }))
        }),
        StatementKind::Vary(name, ranges, shown) => {
            let slot = match &name {
                Some(name) => claim(workspace, page, &piece, name),
                None => Some(workspace.nameless_slot(page)),
            };
            if let Some(slot) = slot {
                vary(workspace, (page, slot), item, &ranges, &shown);
            }
            slot
        }
        StatementKind::Draw(drawn) => Some(draw(workspace, page, item, &drawn)),
        StatementKind::Function(..) => function(workspace, page, item, &piece, &parsed),
        StatementKind::Measured(name, value) => {
            beside(workspace, page, &piece, &name, &value, Beside::Reading)
        }
        StatementKind::Aim(name, value) => {
            beside(workspace, page, &piece, &name, &value, Beside::Aim)
        }
    };
    Item {
        kind,
        piece,
        slot,
        hidden: false,
        op: 0,
    }
}

/// Returns the slot of the name that an unreadable statement would define, so that what
/// depends on it is marked and not called unknown.
fn broken_name(
    workspace: &mut Workspace,
    page: PageId,
    item: u32,
    piece: &StatementText,
) -> Option<SlotId> {
    let text = workspace.page(page)?.text_at(piece.span).to_owned();
    let text = text
        .strip_prefix("table ")
        .or(text.strip_prefix("find "))
        .unwrap_or(&text)
        .trim_start();
    let end = text
        .find(|c: char| !(c.is_alphanumeric() || c == '_'))
        .unwrap_or(text.len());
    let (name, rest) = text.split_at(end);
    let defines = rest.trim_start().starts_with('=')
        || rest.is_empty()
        || rest.starts_with(['\n', '\r'])
        || text.contains(" between ");
    if name.is_empty() || !defines || name.starts_with(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let slot = workspace.slot_of(page, name);
    let free = !workspace.is_defined(slot);
    if free {
        connect(workspace, slot, Definition::Broken(Vec::new()), Vec::new());
        workspace.set_item(slot, item);
    }
    free.then_some(slot)
}

/// Puts content into a slot and ties it to what it needs; what its readings need
/// stays.
pub fn connect(
    workspace: &mut Workspace,
    slot: SlotId,
    content: Definition,
    mut needs: Vec<SlotId>,
) {
    if let Some(filled) = workspace.slot(slot) {
        for node in filled.measured.iter().chain(&filled.aim) {
            node_needs(node, &mut needs);
        }
    }
    let sized = content.is_sized();
    if let Some(filled) = workspace.slots.get(slot.index()) {
        workspace.tables += usize::from(content.is_what_if());
        workspace.tables -= usize::from(filled.content.is_what_if());
    }
    if needs.len() > FEW {
        let mut known = HashSet::with_capacity_and_hasher(needs.len(), Default::default());
        needs.retain(|need| known.insert(*need));
    }
    if let Some(filled) = workspace.slot_mut(slot)
        && filled.needs == needs
    {
        filled.sized = sized;
        filled.content = content;
        filled.formula = OnceLock::new();
        return;
    }
    let old = workspace
        .slot_mut(slot)
        .map(|slot| std::mem::take(&mut slot.needs))
        .unwrap_or_default();
    for need in old {
        if let Some(needed) = workspace.slot_mut(need) {
            needed.dependents.retain(|dependent| *dependent != slot);
        }
    }
    for need in &needs {
        if let Some(needed) = workspace.slot_mut(*need) {
            needed.dependents.push(slot);
        }
    }
    if let Some(filled) = workspace.slot_mut(slot) {
        filled.needs = needs;
        filled.sized = sized;
        filled.content = content;
        filled.formula = OnceLock::new();
    }
}

/// Lowers something for a slot; a statement that can't be resolved becomes broken.
fn lower(
    workspace: &mut Workspace,
    page: PageId,
    slot: SlotId,
    sizes: bool,
    make: impl FnOnce(&mut Lowering) -> Definition,
) -> (Definition, Vec<SlotId>) {
    let mut scope = PageScope::new(workspace, page);
    let mut lowering = Lowering::new(&mut scope, slot, sizes);
    let content = make(&mut lowering);
    let wrong = lowering.finish();
    let content = content.unless(wrong);
    (content, scope.needs)
}

/// Fills a slot without a name.
fn nameless(
    workspace: &mut Workspace,
    page: PageId,
    item: u32,
    make: impl FnOnce(&mut Lowering) -> Definition,
) -> Option<SlotId> {
    let slot = workspace.nameless_slot(page);
    let (content, needs) = lower(workspace, page, slot, false, make);
    connect(workspace, slot, content, needs);
    workspace.set_item(slot, item);
    Some(slot)
}

/// Gives a slot another formula.
///
/// # Errors
/// What can't be resolved; the slot then stays as it was.
pub fn redefine(
    workspace: &mut Workspace,
    page: PageId,
    slot: SlotId,
    formula: &Formula,
) -> Result<(), Vec<Diagnostic>> {
    let (content, needs) = lower(workspace, page, slot, true, |lowering| {
        Definition::Cell(lowering.formula(formula))
    });
    match content {
        Definition::Broken(wrong) => Err(wrong),
        content => {
            connect(workspace, slot, content, needs);
            Ok(())
        }
    }
}

/// Returns the slot that a name is free to fill; what is wrong with the name is reported.
fn claim(
    workspace: &mut Workspace,
    page: PageId,
    piece: &StatementText,
    name: &Name,
) -> Option<SlotId> {
    let wrong = if CONSTANTS.contains(&&*name.text) {
        let message = format!("`{}` always means the same and can't be defined", name.text);
        Some(Diagnostic::error(message, name.span).advise("choose another name"))
    } else if workspace
        .page(page)
        .is_some_and(|page| page.uses.iter().any(|(alias, _)| *alias == name.text))
    {
        let message = format!("`{}` is the name of a notebook in use", name.text);
        Some(
            Diagnostic::error(message, name.span)
                .advise("choose another name, or `use … as` another"),
        )
    } else {
        None
    };
    if let Some(wrong) = wrong {
        workspace.report(page, piece, vec![wrong]);
        return None;
    }
    let slot = workspace.slot_of(page, &name.text);
    let taken = workspace
        .slot(slot)
        .filter(|slot| !matches!(slot.content, Definition::Nothing));
    if let Some(taken) = taken {
        let line = workspace
            .page(page)
            .and_then(|page| page.items.get(taken.item as usize))
            .map_or(0, |item| item.piece.line);
        let message = format!("`{}` is defined already, on line {line}", name.text);
        let wrong =
            Diagnostic::error(message, name.span).advise("give one of the two another name");
        workspace.report(page, piece, vec![wrong]);
        return None;
    }
    Some(slot)
}

fn named(
    workspace: &mut Workspace,
    page: PageId,
    item: u32,
    piece: &StatementText,
    name: &Name,
    make: impl FnOnce(&mut Lowering) -> Definition,
) -> Option<SlotId> {
    let slot = claim(workspace, page, piece, name)?;
    let (content, needs) = lower(workspace, page, slot, true, make);
    connect(workspace, slot, content, needs);
    workspace.set_item(slot, item);
    Some(slot)
}

fn define_find(
    workspace: &mut Workspace,
    page: PageId,
    item: u32,
    piece: &StatementText,
    name: &Name,
    find: &Find,
) -> Option<SlotId> {
    let slot = claim(workspace, page, piece, name)?;
    let mut scope = PageScope::new(workspace, page);
    let mut lowering = Lowering::new(&mut scope, slot, true);
    let low = lowering.expression(&find.low);
    let high = lowering.expression(&find.high);
    let mut wrong = lowering.finish();
    let ends_need = scope.needs.clone();
    let mut lowering = Lowering::new(&mut scope, slot, true);
    let left = lowering.expression(&find.left);
    let right = lowering.expression(&find.right);
    wrong.extend(lowering.finish());
    let mut needs = scope.needs;
    // The unknown itself is no need of its own.
    if !ends_need.contains(&slot) {
        needs.retain(|need| *need != slot);
    }
    let content = Definition::Find(Box::new(FindCell {
        low,
        high,
        left,
        right,
        ends_need,
    }))
    .unless(wrong);
    connect(workspace, slot, content, needs);
    workspace.set_item(slot, item);
    Some(slot)
}

fn op_part(lowering: &mut Lowering, part: OpPart) -> OpPartCode {
    match part {
        OpPart::Text(text) => OpPartCode::Text(text),
        OpPart::Value(value) => OpPartCode::Value(lowering.whole(&value)),
    }
}
