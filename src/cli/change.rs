//! What if, and what changed: `setover run --with`, `setover set` and `setover
//! compare`.

use std::path::{Path, PathBuf};

use super::form::Form;
use super::save::{Expected, save};
use super::status::{CHECK_FAILED, WELL, WRONG};
use super::{Files, output, run};
use crate::diagnostic::{Diagnostic, Severity, Source, Span, did_you_mean};
use crate::notebook::{PageId, Workspace, arisen, misfit, moved, with_expression, with_reading};
use crate::quantity::Quantity;
use crate::repl::{Refused, quoted};
use crate::sheet::{moved_rows, moved_text, no_formulas};

/// Tries values out and prints what moves; nothing is written.
pub fn with(files: &[PathBuf], changes: &[String], form: Form) -> u8 {
    let mut status = WELL;
    for (index, file) in files.iter().enumerate() {
        let Some(before) = run::open(file) else {
            status = WRONG;
            continue;
        };
        let mut after = before.clone();
        for change in changes {
            if let Err(wrong) = redefine(&mut after, change) {
                let (name, text) = ("--with", change);
                output::diagnose(Source { name, text }, &wrong);
                return WRONG;
            }
        }
        if form == Form::Text && files.len() > 1 {
            let gap = if index == 0 { "" } else { "\n" };
            output::print(&format!("{gap}{}\n", file.display()));
        }
        show(&before, &after, form);
        status = status.max(judge(&before, &after));
    }
    status
}

fn redefine(workspace: &mut Workspace, change: &str) -> Result<(), Diagnostic> {
    let Change {
        what,
        name,
        expression,
        offset,
    } = parts(change)?;
    let slot = workspace
        .find(name)
        .ok_or_else(|| no_cell(workspace, name))?;
    let behind = |wrong: Diagnostic| wrong.shifted(offset);
    match what {
        What::Formula => {
            let before = measure(workspace, name);
            workspace.redefine(slot, expression).map_err(behind)?;
            same_measure(workspace, change, before)
        }
        What::Reading => {
            let number = workspace.slot(slot).map_or(PageId::MAIN, |slot| slot.page);
            let own = name.rsplit('.').next().unwrap_or(name);
            let page = workspace.page(number);
            let text = page.map(|page| with_reading(workspace, page, own, expression));
            if let Some(text) = text.transpose().map_err(behind)? {
                workspace.update_text(number, &text, &Files);
            }
            Ok(())
        }
    }
}

/// Returns what a cell measures, where it is a number.
fn measure(workspace: &Workspace, name: &str) -> Option<Quantity> {
    workspace.value(workspace.find(name)?)?.quantity().ok()
}

/// Holds a changed cell against what it measured before.
///
/// # Errors
/// When it measures something else: a slip, such as a number without its unit.
fn same_measure(
    after: &Workspace,
    change: &str,
    before: Option<Quantity>,
) -> Result<(), Diagnostic> {
    let Change { name, offset, .. } = parts(change)?;
    let both = before.zip(measure(after, name));
    match both.and_then(|(before, now)| misfit(name, "value", now, before)) {
        None => Ok(()),
        Some(fault) => {
            let end = change.trim_end().len().max(offset);
            Err(Diagnostic::at(fault, Span::new(offset, end)))
        }
    }
}

/// Says that a name is no cell; places count from the start of the name.
fn no_cell(workspace: &Workspace, name: &str) -> Diagnostic {
    let span = Span::new(0, name.len());
    let (alias, rest) = name.split_once('.').unwrap_or((name, ""));
    let uses = workspace.main().map_or(&[][..], |page| &page.uses);
    let used = uses.iter().find(|(known, _)| &**known == alias);
    let page = match used {
        Some((_, page)) => workspace.page(*page),
        None => workspace.main(),
    };
    let open = page.filter(|page| !page.elsewhere);
    let names = open
        .into_iter()
        .flat_map(|page| workspace.defined_names(page));
    let mut names: Vec<&str> = names.collect();
    names.sort_unstable();
    if used.is_some() && rest.is_empty() {
        let wrong = Diagnostic::error(format!("`{name}` is a notebook, not a cell"), span);
        return match names.first() {
            Some(cell) => wrong.advise(format!("name one of its cells, such as `{alias}.{cell}`")),
            None => wrong,
        };
    }
    let (message, meant) = match (used, page) {
        (Some(_), Some(page)) => (format!("there is no cell `{rest}` in {}", page.name), rest),
        _ => (format!("there is no cell `{name}`"), name),
    };
    let mut wrong = Diagnostic::error(message, span);
    wrong.advice = did_you_mean(meant, names)
        .or_else(|| workspace.cells_of(open?))
        .or_else(|| Some("write the cell into the notebook first".to_owned()));
    wrong
}

/// What a change gives a cell.
enum What {
    /// `name=expression`
    Formula,
    /// `measured name=expression`, or `none`
    Reading,
}

/// A change as it was written.
struct Change<'a> {
    what: What,
    name: &'a str,
    expression: &'a str,
    /// Where the expression begins.
    offset: usize,
}

fn parts(change: &str) -> Result<Change<'_>, Diagnostic> {
    let Some((name, expression)) = change.split_once('=') else {
        let wrong = Diagnostic::error(
            "a change is written name=expression",
            Span::new(0, change.len()),
        );
        return Err(wrong.advise("such as bore=\"12.5 mm\""));
    };
    let blank = expression.len() - expression.trim_start().len();
    let reading = name.trim().strip_prefix("measured");
    let reading = reading.filter(|rest| rest.starts_with(char::is_whitespace));
    Ok(Change {
        what: reading.map_or(What::Formula, |_| What::Reading),
        name: reading.unwrap_or(name).trim(),
        expression: expression.trim(),
        offset: name.len() + 1 + blank,
    })
}

/// Prints what moved.
pub fn show(before: &Workspace, after: &Workspace, form: Form) {
    let rows = moved_rows(&moved(before, after), after);
    match form {
        Form::Text => output::print(&moved_text(&rows, output::look())),
        Form::Json => output::json(&serde_json::json!({ "moved": rows })),
        Form::Csv => {
            let mut writer = csv::Writer::from_writer(Vec::new());
            for row in &rows {
                let _ = writer.serialize(row);
            }
            output::print(&no_formulas(&writer.into_inner().unwrap_or_default()));
        }
    }
}

/// Says what a change broke; gives the exit status.
fn judge(before: &Workspace, after: &Workspace) -> u8 {
    if report_new(before, after) > 0 {
        WRONG
    } else if after.is_good() {
        WELL
    } else {
        CHECK_FAILED
    }
}

/// Says what is wrong after a change that was not wrong before; gives the number of
/// errors.
pub fn report_new(before: &Workspace, after: &Workspace) -> usize {
    let mut new = arisen(before, after);
    new.retain(|problem| problem.diagnostic.severity == Severity::Error);
    output::diagnose_each(after, &new)
}

/// Returns the text of the notebook with one change made.
fn changed_text(workspace: &Workspace, change: &str) -> Result<String, Diagnostic> {
    let Change {
        what,
        name,
        expression,
        offset,
    } = parts(change)?;
    let (Some(page), Some(slot)) = (workspace.main(), workspace.find(name)) else {
        return Err(no_cell(workspace, name));
    };
    if let Some((_, rest)) = name.split_once('.') {
        let used = workspace.slot(slot).map_or(PageId::MAIN, |slot| slot.page);
        let used = workspace.page(used);
        let file = used.map_or_else(String::new, |used| quoted(&used.path));
        let span = Span::new(0, name.len());
        return Err(
            Diagnostic::error(format!("`{name}` is in another notebook"), span)
                .advise(format!("write `setover set {file} {rest}=…`")),
        );
    }
    let text = match what {
        What::Formula => with_expression(workspace, page, name, expression),
        What::Reading => with_reading(workspace, page, name, expression),
    };
    text.map_err(|wrong| wrong.shifted(offset))
}

/// How often a change is made again in a file that others change at the same time.
const TRIES: usize = 20;

/// Writes new expressions into a notebook and prints what moved.
pub fn set(file: &Path, changes: &[String], anyway: bool, form: Form) -> u8 {
    for _ in 0..TRIES {
        let Some(before) = run::open(file) else {
            return WRONG;
        };
        let Some(after) = changed(&before, changes, anyway) else {
            output::error("nothing was written\n");
            return WRONG;
        };
        if !anyway && report_new(&before, &after) > 0 {
            output::error("nothing was written; to write it all the same, add --anyway\n");
            return WRONG;
        }
        match save(file, main_text(&after), Expected::Text(main_text(&before))) {
            Ok(()) => {
                show(&before, &after, form);
                return judge(&before, &after);
            }
            // Another program wrote it in between: the change is made in its text.
            Err(Refused::Changed) => {}
            Err(why) => return output::cannot_be("written", file, &why),
        }
    }
    output::cannot_be("written", file, &"other programs keep changing it")
}

/// Returns the notebook with all changes made; says why where one can't be.
fn changed(before: &Workspace, changes: &[String], anyway: bool) -> Option<Workspace> {
    let mut after = before.clone();
    for change in changes {
        let made = changed_text(&after, change).and_then(|text| {
            let measured = parts(change).map(|change| measure(&after, change.name))?;
            after.update_text(PageId::MAIN, &text, &Files);
            if anyway {
                return Ok(());
            }
            same_measure(&after, change, measured).map_err(|mut wrong| {
                let advice = || "to write it all the same, add --anyway".to_owned();
                wrong.advice.get_or_insert_with(advice);
                wrong
            })
        });
        if let Err(wrong) = made {
            let name = "the change";
            output::diagnose(Source { name, text: change }, &wrong);
            return None;
        }
    }
    Some(after)
}

/// Returns the text of the notebook itself.
fn main_text(workspace: &Workspace) -> &str {
    workspace.main().map_or("", |page| &page.text)
}

/// Prints what moved from one version of a notebook to another.
pub fn compare(old: &Path, new: &Path, form: Form) -> u8 {
    let (Some(mut before), Some(after)) = (run::open(old), run::open(new)) else {
        return WRONG;
    };
    // The two are versions of one notebook, whatever their files are called.
    if let (Some(page), Some(other)) = (before.pages.first_mut(), after.pages.first()) {
        page.path.clone_from(&other.path);
    }
    show(&before, &after, form);
    let errors = output::diagnose_all(&after);
    if errors > 0 { WRONG } else { WELL }
}
