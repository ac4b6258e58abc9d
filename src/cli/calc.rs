//! `setover calc`: one expression worked out.

use std::path::Path;

use super::commands::Form;
use super::{Files, WELL, WRONG, output, run};
use crate::diagnostic::Source;
use crate::notebook::Workspace;
use crate::sheet::{Sheet, csv, terminal};
use crate::syntax::{Formula, StatementKind, parse_expression, parse_statement};

/// Works an expression out, with the names of a notebook where one is given.
pub fn calc(expression: &str, within: Option<&Path>, form: Form) -> u8 {
    let text = expression.trim();
    let formula = match parse_expression(text) {
        Ok(formula) => formula,
        Err(wrong) => {
            let name = "the expression";
            output::diagnose(Source { name, text }, &wrong);
            return WRONG;
        }
    };
    let as_statement = as_statement(text, &formula);
    let text = as_statement.as_str();
    let workspace = match within {
        None => Workspace::of_text(Path::new("the expression"), text, &Files),
        Some(file) => match run::open(file) {
            None => return WRONG,
            Some(notebook) => notebook.with_expression(text, &Files),
        },
    };
    let mut sheet = Sheet::of(&workspace);
    let errors = output::diagnose_all(&workspace);
    if errors > 0 {
        return WRONG;
    }
    for section in &mut sheet.sections {
        section.heading.clear();
    }
    match form {
        Form::Json => {
            let row = sheet.rows().next();
            output::print(&(serde_json::to_string_pretty(&row).unwrap_or_default() + "\n"));
        }
        Form::Csv => output::print(&csv(&sheet)),
        Form::Text => {
            let plain = sheet.rows().next().filter(|row| row.grid.is_none());
            match plain {
                Some(row) => {
                    let other = row
                        .other
                        .as_ref()
                        .map_or(String::new(), |other| format!("  ({})", other.line()));
                    output::print(&format!("{}{other}\n", row.text));
                }
                None => {
                    let text = terminal(&sheet, output::look());
                    let body = text.lines().skip(3).collect::<Vec<_>>().join("\n");
                    output::print(&(body + "\n"));
                }
            }
        }
    }
    WELL
}

/// The expression as a statement of a notebook: what would be another statement
/// there (`a = 3`, `[1, 2]`, `find …`) goes into brackets.
fn as_statement(text: &str, formula: &Formula) -> String {
    if matches!(parse_statement(text), Ok(StatementKind::Bare(_))) {
        return text.to_owned();
    }
    let span = formula.expression.span;
    let (expression, rest) = text
        .split_at_checked(span.end as usize)
        .unwrap_or((text, ""));
    format!("({expression}){rest}")
}
