//! `setover calc`: one expression worked out.

use std::io::{IsTerminal, Read};
use std::path::Path;

use super::form::Form;
use super::status::{WELL, WRONG};
use super::{Files, output, run};
use crate::diagnostic::Source;
use crate::notebook::{PageId, Workspace, problems};
use crate::repl::not_utf_8;
use crate::sheet::{RowState, Sheet, bare_size, csv, terminal};

/// The longest expression that is read.
const LONGEST: u64 = 1024 * 1024;

/// Works an expression out, with the names of a notebook where one is given.
pub fn calc(expression: Option<&str>, within: Option<&Path>, form: Form) -> u8 {
    let read = match expression {
        Some("-") | None => match typed() {
            Ok(text) => text,
            Err(why) => {
                output::error(&format!("{why}\n"));
                return WRONG;
            }
        },
        Some(expression) => expression.to_owned(),
    };
    let text = read.trim();
    let notebook = match within {
        None => Workspace::default(),
        Some(file) => match run::open(file) {
            None => return WRONG,
            Some(notebook) => notebook,
        },
    };
    // The notebook's own cautions are on its sheet.
    let known = Sheet::to_read(&notebook).cautions;
    if let Some(size) = bare_size(&notebook, text, &Files) {
        match form {
            Form::Json => output::json(&size.row),
            _ => output::print(&(size.lines.join("\n") + "\n")),
        }
        return WELL;
    }
    let workspace = notebook.with_expression(text, &Files);
    let mut sheet = Sheet::of(&workspace).in_full();
    let said = diagnose(&workspace, text);
    let computed = sheet
        .rows()
        .next()
        .is_some_and(|row| !matches!(row.state, RowState::Wrong | RowState::Waiting));
    if !computed {
        // The expression waits for a cell: what is wrong is wrong there.
        if !said {
            output::diagnose_all(&workspace);
        }
        if let Some(quoted) = with_quotes(&notebook, text) {
            output::error(&format!(
                "the shell takes the quotes off; write `setover calc {}`\n",
                for_shell(&quoted)
            ));
        }
        return WRONG;
    }
    sheet.title = None;
    sheet.to_look_at.clear();
    sheet
        .cautions
        .retain(|caution| text.contains(&caution.function));
    for section in &mut sheet.sections {
        section.heading.clear();
    }
    match form {
        Form::Json => output::json(&sheet.rows().next()),
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
                    let cautions = std::mem::take(&mut sheet.cautions);
                    // Nothing stands above the value: no file's name and no heading.
                    for row in sheet
                        .sections
                        .iter_mut()
                        .flat_map(|section| &mut section.rows)
                    {
                        row.name.clear();
                        row.formula.clear();
                    }
                    let text = terminal(&sheet, output::look());
                    let body = text.lines().skip(1).skip_while(|line| line.is_empty());
                    let body = body.collect::<Vec<_>>().join("\n");
                    output::print(&(body + "\n"));
                    sheet.cautions = cautions;
                }
            }
            for caution in &sheet.cautions {
                if !known.iter().any(|known| known.caution == caution.caution) {
                    output::caution(&caution.caution);
                }
            }
        }
    }
    WELL
}

/// Returns the expression that stands on standard input.
fn typed() -> Result<String, String> {
    let input = std::io::stdin();
    if input.is_terminal() {
        let advice = for_shell("1 3/8 in as mm");
        return Err(format!(
            "`setover calc` needs an expression\n  write `setover calc {advice}`"
        ));
    }
    let mut bytes = Vec::new();
    let read = input.lock().take(LONGEST).read_to_end(&mut bytes);
    read.map_err(|error| format!("the input can't be read: {error}"))?;
    String::from_utf8(bytes).map_err(|_| not_utf_8())
}

/// Returns an expression whose quotes the shell took off, with them again: an argument that
/// can't be worked out as it stands and can be as text.
fn with_quotes(notebook: &Workspace, text: &str) -> Option<String> {
    let end = text.find(')')?;
    let start = text.get(..end)?.rfind('(')? + 1;
    let argument = text.get(start..end)?;
    if text.contains('"') || argument.trim().is_empty() {
        return None;
    }
    let quoted = format!("{}\"{argument}\"{}", text.get(..start)?, text.get(end..)?);
    let workspace = notebook.with_expression(&quoted, &Files);
    let sheet = Sheet::to_read(&workspace);
    let row = sheet.rows().next()?;
    (row.state == RowState::Computed).then_some(quoted)
}

/// Returns an argument as this system's shells take it whole.
fn for_shell(argument: &str) -> String {
    if cfg!(windows) {
        format!("\"{}\"", argument.replace('"', "\\\""))
    } else {
        format!("'{}'", argument.replace('\'', "'\\''"))
    }
}

/// Says what is wrong with the expression itself; whether anything is. The notebook
/// may have troubles of its own, which are none of the expression's.
fn diagnose(workspace: &Workspace, text: &str) -> bool {
    let last = workspace.main().and_then(|page| page.items.last());
    let start = last.map_or(0, |item| item.piece.span.start);
    let mut said = false;
    for problem in problems(workspace) {
        let mut diagnostic = problem.diagnostic;
        if problem.page == PageId::MAIN && diagnostic.span.start >= start {
            diagnostic.span.start -= start;
            diagnostic.span.end -= start;
            let known = diagnostic.advice.is_some();
            workspace.advise_line(&mut diagnostic, text);
            // A cell can't be defined in an expression.
            let defines = |way: &String| way.contains(" = ");
            if (!known || diagnostic.unknown.is_some())
                && diagnostic.advice.as_ref().is_none_or(defines)
            {
                let after = text.get(diagnostic.span.end as usize..).unwrap_or("");
                let advice = if after.trim_start().starts_with('=') {
                    "an expression names no cell: leave the name and its `=` out"
                } else {
                    "write the value itself, or name its notebook with `--in FILE`"
                };
                diagnostic.advice = diagnostic.unknown.as_ref().map(|_| advice.to_owned());
            }
            let name = "the expression";
            output::diagnose(Source { name, text }, &diagnostic);
            said = true;
        }
    }
    said
}
