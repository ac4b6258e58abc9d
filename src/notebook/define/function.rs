//! Functions that a notebook defines.

use std::sync::Arc;

use super::connect;
use super::scope::PageScope;
use crate::diagnostic::Diagnostic;
use crate::language::{FunctionDoc, PageId, SlotId, compile, read_documentation};
use crate::notebook::definition::Definition;
use crate::notebook::workspace::Workspace;
use crate::syntax::{Parameter, StatementKind, StatementText, parse_statement, print_expression};

pub(super) fn function(
    workspace: &mut Workspace,
    page: PageId,
    item: u32,
    piece: &StatementText,
    parsed: &StatementKind,
) -> Option<SlotId> {
    let StatementKind::Function(name, parameters, _) = parsed else {
        return None;
    };
    let slot = workspace.function_slot(page, &name.text);
    if workspace.is_defined(slot) {
        let message = format!("the function `{}` is defined already", name.text);
        workspace.report(page, piece, vec![Diagnostic::error(message, name.span)]);
        return None;
    }
    let documentation = piece.documentation.and_then(|span| {
        workspace
            .page(page)
            .map(|page| page.text_at(span).to_owned())
    });
    let names = written(parameters);
    let doc = documentation
        .map(|lines| read_documentation(&lines, &names))
        .transpose();
    let mut scope = PageScope::new(workspace, page);
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
    workspace.set_item(slot, item);
    Some(slot)
}

/// Returns the names of parameters, with their defaults as they are written.
fn written(parameters: &[Parameter]) -> Vec<(Arc<str>, Option<String>)> {
    let parameters = parameters.iter();
    let written = |parameter: &Parameter| {
        let default = parameter.default.as_ref().map(print_expression);
        (parameter.name.text.clone(), default)
    };
    parameters.map(written).collect()
}

/// A function that a notebook defines, as it is written.
pub struct OwnFunction<'a> {
    /// Its parameters with their defaults.
    pub parameters: Vec<(Arc<str>, Option<String>)>,
    /// Its documentation, where it has any that can be read.
    pub doc: Option<FunctionDoc>,
    /// Its statement.
    pub definition: &'a str,
}

impl Workspace {
    /// Returns a function of the notebook that was opened, as it is written.
    #[must_use]
    pub fn own_function(&self, name: &str) -> Option<OwnFunction<'_>> {
        let page = self.main()?;
        let slot = self.slot(*page.functions.get(name)?)?;
        let item = page.items.get(slot.item as usize)?;
        let definition = page.text_at(item.piece.span);
        let Ok(StatementKind::Function(_, parameters, _)) = parse_statement(definition) else {
            return None;
        };
        let parameters = written(&parameters);
        let lines = item.piece.documentation.map(|span| page.text_at(span));
        Some(OwnFunction {
            doc: lines.and_then(|lines| read_documentation(lines, &parameters).ok()),
            parameters,
            definition,
        })
    }
}
