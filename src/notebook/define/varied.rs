//! What-if tables and pictures: statements over varied cells.

use super::connect;
use super::scope::PageScope;
use crate::diagnostic::Diagnostic;
use crate::language::{Lowering, Named, Node, PageId, Scope, SlotId};
use crate::notebook::definition::{Definition, VaryCode};
use crate::notebook::workspace::Workspace;
use crate::syntax::{Draw, Expression, Kind, Name, VaryRange, print_expression};

pub(super) fn vary(
    workspace: &mut Workspace,
    (page, slot): (PageId, SlotId),
    item: u32,
    ranges: &[VaryRange],
    shown: &[Expression],
) {
    let mut scope = PageScope::new(workspace, page);
    let mut wrong = Vec::new();
    let mut made = Vec::new();
    for range in ranges {
        let mut lowering = Lowering::new(&mut scope, slot, true);
        let values = lowering.range(&range.range);
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
    let content = Definition::Vary(Box::new(VaryCode {
        ranges: made,
        shown,
    }))
    .unless(wrong);
    connect(workspace, slot, content, needs);
    workspace.set_item(slot, item);
}

/// Returns a picture; its sizes may carry tolerances of their own.
pub(super) fn draw(workspace: &mut Workspace, page: PageId, item: u32, drawn: &Draw) -> SlotId {
    let slot = workspace.add_slot(page, "".into());
    let mut scope = PageScope::new(workspace, page);
    let column = column(&mut scope, &drawn.over);
    let over =
        (!drawn.over.is_empty() && column.is_none()).then(|| varied(&mut scope, &drawn.over));
    let mut lowering = Lowering::new(&mut scope, slot, true);
    let found = over.as_ref().and_then(|over| over.as_ref().ok());
    let span = match (drawn.over.first(), drawn.over.last()) {
        (Some(first), Some(last)) => first.span.to(last.span),
        _ => drawn.picture.span,
    };
    let found = found.map(|slot| (*slot, span));
    let mut made = crate::notebook::draw::lower(&mut lowering, drawn, found);
    if let (Some(made), Some(column)) = (&mut made, &column) {
        if drawn.steps.is_some() {
            let message = "a column has its own values and is not stepped through";
            lowering.report(Diagnostic::error(message, span).advise("leave the steps out"));
        }
        made.column = Some((print_expression(column), lowering.expression(column)));
    }
    let mut wrong = lowering.finish();
    wrong.extend(over.and_then(Result::err));
    let needs = scope.needs;
    let content = match made {
        Some(made) if wrong.is_empty() => Definition::Draw(Box::new(made)),
        _ => Definition::Broken(wrong),
    };
    connect(workspace, slot, content, needs);
    workspace.set_item(slot, item);
    slot
}

/// Returns the column of a table that a graph goes over: `table.column`.
fn column(scope: &mut PageScope, path: &[Name]) -> Option<Expression> {
    let [table, column] = path else {
        return None;
    };
    let Named::Cell(_) = scope.name(&table.text) else {
        return None;
    };
    let kind = Kind::Name(table.text.clone());
    let span = table.span;
    Some(Expression {
        kind: Kind::Field(Box::new(Expression { kind, span }), column.clone()),
        span: table.span.to(column.span),
    })
}

/// Returns the slot of a varied name.
fn varied(scope: &mut PageScope, path: &[Name]) -> Result<SlotId, Diagnostic> {
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
