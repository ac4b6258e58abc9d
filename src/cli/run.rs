//! `setover run` and `setover check`.

use std::path::{Path, PathBuf};

use serde::Serialize;

use super::form::Form;
use super::status::{CHECK_FAILED, WELL, WRONG};
use super::{Files, output};
use crate::diagnostic::Fault;
use crate::notebook::{Shelf, ToleranceAnalysis, Workspace};
use crate::sheet::reference::words_text;
use crate::sheet::{RowKind, Sampling, Sheet, csv, terminal, wrapped};

/// Computes notebooks and prints their sheets.
pub fn run(files: &[PathBuf], form: Form, all: bool) -> u8 {
    run_with(files, form, all, None, &|_| String::new())
}

/// A sheet with what sampling brought.
#[derive(Serialize)]
struct Whole {
    #[serde(flatten)]
    sheet: Sheet,
    #[serde(skip_serializing_if = "Option::is_none")]
    sampling: Option<Sampling>,
}

/// Samples a notebook whose limits are worked out.
type Sampler<'a> = &'a dyn Fn(&Workspace, &ToleranceAnalysis) -> Option<Sampling>;

/// Computes notebooks and prints their sheets with what `sampled` brings, written by
/// `write`; where that brings nothing, it has said why.
pub fn run_with(
    files: &[PathBuf],
    form: Form,
    all: bool,
    sampled: Option<Sampler>,
    write: &dyn Fn(&Sampling) -> String,
) -> u8 {
    let mut status = WELL;
    let mut sheets = Vec::new();
    for (index, file) in files.iter().enumerate() {
        let Some(workspace) = open(file) else {
            status = WRONG;
            continue;
        };
        let limits = ToleranceAnalysis::of(&workspace);
        let sampling = sampled.map(|sampled| sampled(&workspace, &limits));
        let Some(sampling) = sampling.map_or(Some(None), |sampling| sampling.map(Some)) else {
            status = WRONG;
            continue;
        };
        let mut sheet = Sheet::with_limits(&workspace, limits, form != Form::Text);
        match (form, &sampling) {
            (Form::Text, _) => {
                let gap = if index == 0 { "" } else { "\n" };
                if all {
                    sheet = sheet.in_full();
                }
                output::print(&format!("{gap}{}", terminal(&sheet, output::look())));
            }
            (Form::Csv, None) => output::print(&csv(&sheet)),
            (Form::Csv, Some(_)) | (Form::Json, _) => {}
        }
        if let Some(sampling) = sampling.as_ref().filter(|_| form != Form::Json) {
            output::print(&write(sampling));
        }
        status = status.max(judge(&workspace));
        if form == Form::Json {
            sheets.push(Whole { sheet, sampling });
        }
    }
    if form == Form::Json {
        match sheets.as_slice() {
            [only] if files.len() == 1 => output::json(only),
            [] if files.len() == 1 => {}
            all => output::json(&all),
        }
    }
    status
}

/// Lists the notebooks of this folder with their titles.
pub fn list() -> u8 {
    let names = Files.beside(Path::new("notebook.job"));
    if names.is_empty() {
        let wrong = Fault::new("there is no notebook in this folder");
        return output::wrong(wrong.advise("`setover new worm-shaft` starts one"));
    }
    let look = output::look();
    let rows = names.iter().map(|name| {
        let file = format!("{name}.job");
        let text = Files.text(Path::new(&file)).ok();
        let title = text.and_then(|text| title(&text)).unwrap_or_default();
        [file, title]
    });
    let mut text = String::from("notebooks of this folder\n\n");
    text += &words_text(rows, look);
    text.push('\n');
    let first = names.first().map_or("", String::as_str);
    let more = format!("`setover run {first}.job` computes one");
    wrapped(&mut text, &more, usize::from(look.width), 0, 2);
    output::print(&text);
    WELL
}

/// Returns the title that a notebook gives itself.
fn title(text: &str) -> Option<String> {
    let mut lines = text.lines().map(str::trim);
    let title = lines.find_map(|line| line.strip_prefix("title "))?;
    let title = title.split(" #").next().unwrap_or(title);
    Some(title.trim().to_owned())
}

/// Computes notebooks and prints only their checks.
pub fn check(files: &[PathBuf]) -> u8 {
    let mut status = WELL;
    for file in files {
        let Some(workspace) = open(file) else {
            status = WRONG;
            continue;
        };
        let mut shown = Sheet::to_read(&workspace).in_full();
        for section in &mut shown.sections {
            section.rows.retain(|row| row.kind == RowKind::Check);
        }
        shown.cautions.clear();
        output::print(&terminal(&shown, output::look()));
        status = status.max(judge(&workspace));
    }
    status
}

/// Opens a notebook; says why where it can't be read.
pub fn open(file: &Path) -> Option<Workspace> {
    let opened = Workspace::open(file, &Files);
    opened
        .inspect_err(|why| {
            output::cannot_be("read", file, why);
        })
        .ok()
}

/// Says what is wrong; gives the exit status.
pub fn judge(workspace: &Workspace) -> u8 {
    let errors = output::diagnose_all(workspace);
    if errors > 0 {
        WRONG
    } else if workspace.is_good() {
        WELL
    } else {
        CHECK_FAILED
    }
}
