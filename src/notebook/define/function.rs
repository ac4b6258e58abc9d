//! Functions that a notebook defines.

use std::sync::Arc;

use super::scope::PageScope;
use super::{connect, report, set_item};
use crate::diagnostic::Diagnostic;
use crate::language::{compile, read_documentation};
use crate::notebook::definition::Definition;
use crate::notebook::workspace::Workspace;
use crate::syntax::{StatementKind, StatementText, print_expression};

pub(super) fn function(
    workspace: &mut Workspace,
    page: u32,
    item: u32,
    piece: &StatementText,
    parsed: &StatementKind,
) -> Option<u32> {
    let StatementKind::Function(name, parameters, _) = parsed else {
        return None;
    };
    let slot = workspace.function_slot(page, &name.text);
    if workspace
        .slot(slot)
        .is_some_and(|slot| !matches!(slot.content, Definition::Nothing))
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
        Ok(function) => Definition::Function(Arc::new(function)),
        Err(wrong) => Definition::Broken(wrong),
    };
    connect(workspace, slot, content, needs);
    set_item(workspace, slot, item);
    Some(slot)
}
