//! From a page's statements to the slots they fill.

use std::collections::HashSet;
use std::sync::Arc;

use super::content::{Content, FindCell, OpPartCode, RangeCode, TableCode, VaryCode, node_needs};
use super::page::{Item, ItemKind};
use super::workspace::Workspace;
use crate::diagnostic::Diagnostic;
use crate::language::{CONSTANTS, Code, Lowering, Named, Node, Scope, compile, read_documentation};
use crate::syntax::{
    Column, Draw, Expression, Find, Formula, Kind, Name, OpPart, Piece, Range, Row, Statement,
    StatementKind, VaryRange, print_expression,
};

/// So many needs are quicker looked through than looked up.
const FEW: usize = 32;

/// Looks names up in a page and notes which slots are needed.
struct PageScope<'a> {
    workspace: &'a mut Workspace,
    page: u32,
    needs: Vec<u32>,
}

impl PageScope<'_> {
    /// Notes a need; one noted long before is noted again, and [`connect`] drops it.
    fn need(&mut self, slot: u32) -> u32 {
        if !self.needs.iter().rev().take(FEW).any(|need| *need == slot) {
            self.needs.push(slot);
        }
        slot
    }
}

impl Scope for PageScope<'_> {
    fn name(&mut self, name: &str) -> Named {
        let page = self.workspace.pages.get(self.page as usize);
        if let Some((_, used)) =
            page.and_then(|page| page.uses.iter().find(|(alias, _)| &**alias == name))
        {
            return Named::Notebook(*used);
        }
        let slot = self.workspace.slot_of(self.page, name);
        Named::Cell(self.need(slot))
    }

    fn name_in(&mut self, notebook: u32, name: &str) -> u32 {
        let slot = self.workspace.slot_of(notebook, name);
        self.need(slot)
    }

    fn function(&mut self, name: &str, in_library: bool) -> Option<u32> {
        let known = self
            .workspace
            .pages
            .get(self.page as usize)
            .is_some_and(|page| page.functions.contains_key(name));
        if in_library && !known {
            return None;
        }
        if !known && !in_library {
            return None;
        }
        let slot = self.workspace.function_slot(self.page, name);
        Some(self.need(slot))
    }
}

/// Makes room for the functions that a page defines, so that calls find them
/// wherever they stand.
pub fn announce_functions(workspace: &mut Workspace, page: u32, statements: &[Statement]) {
    for statement in statements {
        if let Ok(StatementKind::Function(name, ..)) = &statement.parsed {
            workspace.function_slot(page, &name.text);
        }
    }
}

/// Fills the slot of one statement; gives the item that stands for it.
pub fn fill(workspace: &mut Workspace, page: u32, item: u32, statement: Statement) -> Item {
    let piece = statement.piece;
    let parsed = match statement.parsed {
        Ok(parsed) => parsed,
        Err(wrong) => {
            report(workspace, page, &piece, wrong);
            let slot = broken_name(workspace, page, item, &piece);
            return Item {
                kind: ItemKind::Unreadable,
                piece,
                slot,
                hidden: false,
            };
        }
    };
    let slotless = |kind| (kind, None);
    let (kind, slot) = match parsed {
        StatementKind::Title(_)
        | StatementKind::Lengths(_)
        | StatementKind::Angles(_)
        | StatementKind::Readout(_)
        | StatementKind::Use { .. } => slotless(ItemKind::Setting),
        StatementKind::Section(_) => slotless(ItemKind::Section),
        StatementKind::Cell(name, formula) => {
            let content = |lowering: &mut Lowering| Content::Cell(lowering.formula(&formula));
            (
                ItemKind::Cell,
                define(workspace, page, item, &piece, &name, content),
            )
        }
        StatementKind::Find(find) => {
            let name = find.name.clone();
            (
                ItemKind::Find,
                define_find(workspace, page, item, &piece, &name, &find),
            )
        }
        StatementKind::Table(name, columns, rows) => {
            let content = |lowering: &mut Lowering| table(lowering, &columns, &rows);
            (
                ItemKind::Table,
                define(workspace, page, item, &piece, &name, content),
            )
        }
        StatementKind::Check(condition) => {
            let content = |lowering: &mut Lowering| Content::Check(lowering.expression(&condition));
            (
                ItemKind::Check,
                Some(nameless(workspace, page, item, content)),
            )
        }
        StatementKind::Bare(formula) => {
            let content = |lowering: &mut Lowering| Content::Bare(lowering.formula(&formula));
            (
                ItemKind::Bare,
                Some(nameless(workspace, page, item, content)),
            )
        }
        StatementKind::Op(parts) => {
            let content = |lowering: &mut Lowering| {
                Content::Op(
                    parts
                        .into_iter()
                        .map(|part| op_part(lowering, part))
                        .collect(),
                )
            };
            (ItemKind::Op, Some(nameless(workspace, page, item, content)))
        }
        StatementKind::Vary(ranges, shown) => (
            ItemKind::Vary,
            Some(vary(workspace, page, item, &ranges, &shown)),
        ),
        StatementKind::Draw(drawn) => (ItemKind::Draw, Some(draw(workspace, page, item, &drawn))),
        StatementKind::Function(..) => (
            ItemKind::Function,
            function(workspace, page, item, &piece, &parsed),
        ),
        StatementKind::Measured(name, value) => (
            ItemKind::Measured,
            measured(workspace, page, &piece, &name, &value),
        ),
    };
    Item {
        kind,
        piece,
        slot,
        hidden: false,
    }
}

fn report(workspace: &mut Workspace, page: u32, piece: &Piece, wrong: Vec<Diagnostic>) {
    if let Some(page) = workspace.pages.get_mut(page as usize) {
        page.wrong.extend(
            wrong
                .into_iter()
                .map(|wrong| wrong.shifted(piece.span.start as usize)),
        );
    }
}

/// The slot of the name that an unreadable statement would define, so that what
/// depends on it is marked and not called unknown.
fn broken_name(workspace: &mut Workspace, page: u32, item: u32, piece: &Piece) -> Option<u32> {
    let text = workspace
        .pages
        .get(page as usize)?
        .text_at(piece.span)
        .to_owned();
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
    let free = workspace
        .slot(slot)
        .is_some_and(|slot| matches!(slot.content, Content::Nothing));
    if free {
        connect(workspace, slot, Content::Broken(Vec::new()), Vec::new());
        set_item(workspace, slot, item);
    }
    free.then_some(slot)
}

/// Puts content into a slot and ties it to what it needs; what its readings need
/// stays.
pub fn connect(workspace: &mut Workspace, slot: u32, content: Content, mut needs: Vec<u32>) {
    for reading in workspace.slot(slot).map_or(&[][..], |slot| &slot.measured) {
        node_needs(reading, &mut needs);
    }
    if needs.len() > FEW {
        let mut known = HashSet::with_capacity(needs.len());
        needs.retain(|need| known.insert(*need));
    }
    if let Some(filled) = workspace.slots.get_mut(slot as usize)
        && filled.needs == needs
    {
        filled.content = content;
        return;
    }
    let old = workspace
        .slots
        .get_mut(slot as usize)
        .map(|slot| std::mem::take(&mut slot.needs))
        .unwrap_or_default();
    for need in old {
        if let Some(needed) = workspace.slots.get_mut(need as usize) {
            needed.dependents.retain(|dependent| *dependent != slot);
        }
    }
    for need in &needs {
        if let Some(needed) = workspace.slots.get_mut(*need as usize) {
            needed.dependents.push(slot);
        }
    }
    if let Some(filled) = workspace.slots.get_mut(slot as usize) {
        filled.needs = needs;
        filled.content = content;
    }
}

/// Lowers something for a slot; a statement that can't be resolved becomes broken.
fn lower(
    workspace: &mut Workspace,
    page: u32,
    slot: u32,
    sizes: bool,
    make: impl FnOnce(&mut Lowering) -> Content,
) -> (Content, Vec<u32>) {
    let mut scope = PageScope {
        workspace,
        page,
        needs: Vec::new(),
    };
    let mut lowering = Lowering::new(&mut scope, slot, sizes);
    let content = make(&mut lowering);
    let wrong = lowering.finish();
    let content = if wrong.is_empty() {
        content
    } else {
        Content::Broken(wrong)
    };
    (content, scope.needs)
}

/// Fills a slot without a name.
fn nameless(
    workspace: &mut Workspace,
    page: u32,
    item: u32,
    make: impl FnOnce(&mut Lowering) -> Content,
) -> u32 {
    let slot = workspace.nameless_slot(page);
    let (content, needs) = lower(workspace, page, slot, false, make);
    connect(workspace, slot, content, needs);
    set_item(workspace, slot, item);
    slot
}

/// Gives a slot another formula.
///
/// # Errors
/// What can't be resolved; the slot then stays as it was.
pub fn redefine(
    workspace: &mut Workspace,
    page: u32,
    slot: u32,
    formula: &Formula,
) -> Result<(), Vec<Diagnostic>> {
    let (content, needs) = lower(workspace, page, slot, true, |lowering| {
        Content::Cell(lowering.formula(formula))
    });
    match content {
        Content::Broken(wrong) => Err(wrong),
        content => {
            connect(workspace, slot, content, needs);
            Ok(())
        }
    }
}

fn set_item(workspace: &mut Workspace, slot: u32, item: u32) {
    if let Some(slot) = workspace.slots.get_mut(slot as usize) {
        slot.item = item;
    }
}

/// The slot that a name is free to fill; what is wrong with the name is reported.
fn claim(workspace: &mut Workspace, page: u32, piece: &Piece, name: &Name) -> Option<u32> {
    let wrong = if CONSTANTS.contains(&&*name.text) {
        let message = format!("`{}` always means the same and can't be defined", name.text);
        Some(Diagnostic::error(message, name.span).advise("choose another name"))
    } else if workspace
        .pages
        .get(page as usize)
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
        report(workspace, page, piece, vec![wrong]);
        return None;
    }
    let slot = workspace.slot_of(page, &name.text);
    let taken = workspace
        .slot(slot)
        .filter(|slot| !matches!(slot.content, Content::Nothing));
    if let Some(taken) = taken {
        let line = workspace
            .pages
            .get(page as usize)
            .and_then(|page| page.items.get(taken.item as usize))
            .map_or(0, |item| item.piece.line);
        let message = format!("`{}` is defined already, on line {line}", name.text);
        let wrong =
            Diagnostic::error(message, name.span).advise("give one of the two another name");
        report(workspace, page, piece, vec![wrong]);
        return None;
    }
    Some(slot)
}

fn define(
    workspace: &mut Workspace,
    page: u32,
    item: u32,
    piece: &Piece,
    name: &Name,
    make: impl FnOnce(&mut Lowering) -> Content,
) -> Option<u32> {
    let slot = claim(workspace, page, piece, name)?;
    let (content, needs) = lower(workspace, page, slot, true, make);
    connect(workspace, slot, content, needs);
    set_item(workspace, slot, item);
    Some(slot)
}

fn define_find(
    workspace: &mut Workspace,
    page: u32,
    item: u32,
    piece: &Piece,
    name: &Name,
    find: &Find,
) -> Option<u32> {
    let slot = claim(workspace, page, piece, name)?;
    let mut scope = PageScope {
        workspace,
        page,
        needs: Vec::new(),
    };
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
    let content = if wrong.is_empty() {
        Content::Find(Box::new(FindCell {
            low,
            high,
            left,
            right,
            ends_need,
        }))
    } else {
        Content::Broken(wrong)
    };
    connect(workspace, slot, content, needs);
    set_item(workspace, slot, item);
    Some(slot)
}

fn op_part(lowering: &mut Lowering, part: OpPart) -> OpPartCode {
    match part {
        OpPart::Text(text) => OpPartCode::Text(text),
        OpPart::Value(value) => OpPartCode::Value(lowering.expression(&value)),
    }
}

fn table(lowering: &mut Lowering, columns: &[Column], rows: &[Row]) -> Content {
    let lower_cell = |lowering: &mut Lowering, cell: &Option<Expression>| {
        cell.as_ref().map(|cell| lowering.expression(cell))
    };
    let rows = rows
        .iter()
        .map(|row| {
            row.cells
                .iter()
                .map(|cell| lower_cell(lowering, cell))
                .collect()
        })
        .collect();
    let before = lowering.bound();
    for column in columns {
        lowering.not_constant(&column.name);
        lowering.bind(column.name.text.clone());
    }
    let mut computed: Vec<(usize, Node)> = Vec::new();
    for (place, column) in columns.iter().enumerate() {
        if let Some(formula) = &column.formula {
            computed.push((place, lowering.expression(formula)));
        }
    }
    lowering.unbind(before);
    let (computed, ring) = in_order(computed);
    if let Some(place) = ring.and_then(|place| columns.get(place)) {
        let message = format!("the column `{}` is computed from itself", place.name.text);
        lowering.report(Diagnostic::error(message, place.name.span));
    }
    Content::Table(Box::new(TableCode {
        columns: columns
            .iter()
            .map(|column| column.name.text.clone())
            .collect(),
        computed,
        rows,
    }))
}

/// Puts computed columns after those they are computed from; gives a column of a
/// ring where there is one.
fn in_order(mut left: Vec<(usize, Node)>) -> (Vec<(usize, Node)>, Option<usize>) {
    let mut done = Vec::new();
    while !left.is_empty() {
        let waiting: Vec<usize> = left.iter().map(|(place, _)| *place).collect();
        let ready = left.iter().position(|(_, formula)| {
            let mut free = true;
            formula.walk(&mut |node| {
                if let Code::Local(local) = node.code {
                    free &= !waiting.contains(&usize::from(local));
                }
            });
            free
        });
        match ready {
            Some(index) => done.push(left.remove(index)),
            None => {
                let ring = left.first().map(|(place, _)| *place);
                done.append(&mut left);
                return (done, ring);
            }
        }
    }
    (done, None)
}

fn vary(
    workspace: &mut Workspace,
    page: u32,
    item: u32,
    ranges: &[VaryRange],
    shown: &[Expression],
) -> u32 {
    let slot = workspace.nameless_slot(page);
    let mut scope = PageScope {
        workspace,
        page,
        needs: Vec::new(),
    };
    let mut wrong = Vec::new();
    let mut made = Vec::new();
    for range in ranges {
        let mut lowering = Lowering::new(&mut scope, slot, false);
        let values = match &range.range {
            Range::List(values) => RangeCode::List(
                values
                    .iter()
                    .map(|value| lowering.expression(value))
                    .collect(),
            ),
            Range::Steps(steps) => RangeCode::Steps(Box::new(
                [&steps[0], &steps[1], &steps[2]].map(|e| lowering.expression(e)),
            )),
        };
        wrong.extend(lowering.finish());
        match varied(&mut scope, &range.path) {
            Ok(varied) => made.push((varied, values)),
            Err(diagnostic) => wrong.push(diagnostic),
        }
    }
    let mut lowering = Lowering::new(&mut scope, slot, false);
    let shown: Vec<(String, Node)> = shown
        .iter()
        .map(|shown| (print_expression(shown), lowering.expression(shown)))
        .collect();
    wrong.extend(lowering.finish());
    let needs = scope.needs;
    let content = if wrong.is_empty() {
        Content::Vary(Box::new(VaryCode {
            ranges: made,
            shown,
        }))
    } else {
        Content::Broken(wrong)
    };
    connect(workspace, slot, content, needs);
    set_item(workspace, slot, item);
    slot
}

/// A picture; its sizes may carry tolerances of their own.
fn draw(workspace: &mut Workspace, page: u32, item: u32, drawn: &Draw) -> u32 {
    let slot = workspace.add_slot(page, "".into());
    let mut scope = PageScope {
        workspace,
        page,
        needs: Vec::new(),
    };
    let over = (!drawn.over.is_empty()).then(|| varied(&mut scope, &drawn.over));
    let mut lowering = Lowering::new(&mut scope, slot, true);
    let found = over.as_ref().and_then(|over| over.as_ref().ok());
    let span = match (drawn.over.first(), drawn.over.last()) {
        (Some(first), Some(last)) => first.span.to(last.span),
        _ => drawn.picture.span,
    };
    let found = found.map(|slot| (*slot, span));
    let made = super::draw::lower(&mut lowering, drawn, found);
    let mut wrong = lowering.finish();
    wrong.extend(over.and_then(Result::err));
    let needs = scope.needs;
    let content = match made {
        Some(made) if wrong.is_empty() => Content::Draw(Box::new(made)),
        _ => Content::Broken(wrong),
    };
    connect(workspace, slot, content, needs);
    set_item(workspace, slot, item);
    slot
}

/// The slot of a varied name.
fn varied(scope: &mut PageScope, path: &[Name]) -> Result<u32, Diagnostic> {
    let nothing = |span| Diagnostic::error("only a cell can be varied", span);
    match path {
        [name] => match scope.name(&name.text) {
            Named::Cell(slot) => Ok(slot),
            Named::Notebook(_) => Err(nothing(name.span)),
        },
        [alias, name] => match scope.name(&alias.text) {
            Named::Notebook(page) => Ok(scope.name_in(page, &name.text)),
            Named::Cell(_) => Err(nothing(alias.span.to(name.span))),
        },
        [first, .., last] => Err(nothing(first.span.to(last.span))),
        [] => Err(nothing(crate::diagnostic::Span::default())),
    }
}

fn function(
    workspace: &mut Workspace,
    page: u32,
    item: u32,
    piece: &Piece,
    parsed: &StatementKind,
) -> Option<u32> {
    let StatementKind::Function(name, parameters, formula) = parsed else {
        return None;
    };
    let slot = workspace.function_slot(page, &name.text);
    if workspace
        .slot(slot)
        .is_some_and(|slot| !matches!(slot.content, Content::Nothing))
    {
        let message = format!("the function `{}` is defined already", name.text);
        report(
            workspace,
            page,
            piece,
            vec![Diagnostic::error(message, name.span)],
        );
        return None;
    }
    let documentation = piece.documentation.and_then(|span| {
        workspace
            .pages
            .get(page as usize)
            .map(|page| page.text_at(span).to_owned())
    });
    let names: Vec<(Arc<str>, Option<String>)> = parameters
        .iter()
        .map(|parameter| {
            (
                parameter.name.text.clone(),
                parameter.default.as_ref().map(print_expression),
            )
        })
        .collect();
    let doc = documentation
        .map(|lines| read_documentation(&lines, &names))
        .transpose();
    let mut scope = PageScope {
        workspace,
        page,
        needs: Vec::new(),
    };
    let made = match doc {
        Ok(doc) => compile(parsed, doc.as_ref(), &mut scope, slot),
        Err(fault) => Err(vec![Diagnostic::at(fault, name.span)]),
    };
    let mut needs = scope.needs;
    needs.retain(|need| *need != slot);
    let content = match made {
        Ok(function) => Content::Function(Arc::new(function)),
        Err(wrong) => Content::Broken(wrong),
    };
    let _ = matches!(formula.expression.kind, Kind::Name(_));
    connect(workspace, slot, content, needs);
    set_item(workspace, slot, item);
    Some(slot)
}

/// Adds a reading to the slot of its name, which may be defined further down.
fn measured(
    workspace: &mut Workspace,
    page: u32,
    piece: &Piece,
    name: &Name,
    value: &Expression,
) -> Option<u32> {
    if CONSTANTS.contains(&&*name.text) {
        report(
            workspace,
            page,
            piece,
            vec![Diagnostic::error(
                format!("`{}` can't be measured", name.text),
                name.span,
            )],
        );
        return None;
    }
    let slot = workspace.slot_of(page, &name.text);
    let mut scope = PageScope {
        workspace,
        page,
        needs: Vec::new(),
    };
    let mut lowering = Lowering::new(&mut scope, slot, false);
    let node = lowering.expression(value);
    let mut wrong = lowering.finish();
    let needs = scope.needs;
    if needs.contains(&slot) {
        wrong.push(Diagnostic::error(
            format!(
                "the reading of `{}` can't be worked out from itself",
                name.text
            ),
            value.span,
        ));
    }
    if !wrong.is_empty() {
        report(workspace, page, piece, wrong);
        return Some(slot);
    }
    for need in needs {
        tie(workspace, slot, need);
    }
    if !workspace.measured.contains(&slot) {
        workspace.measured.push(slot);
    }
    if let Some(slot) = workspace.slots.get_mut(slot as usize) {
        slot.measured.push(node);
    }
    Some(slot)
}

/// Adds one need to a slot.
fn tie(workspace: &mut Workspace, slot: u32, need: u32) {
    let Some(from) = workspace.slots.get_mut(slot as usize) else {
        return;
    };
    if from.needs.contains(&need) {
        return;
    }
    from.needs.push(need);
    if let Some(to) = workspace.slots.get_mut(need as usize) {
        to.dependents.push(slot);
    }
}
