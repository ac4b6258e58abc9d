//! `setover run` and `setover check`.

use std::path::{Path, PathBuf};

use serde::Serialize;

use super::commands::Form;
use super::{CHECK_FAILED, Files, WELL, WRONG, output};
use crate::notebook::Workspace;
use crate::sheet::{RowKind, Sampling, Sheet, csv, terminal};

/// Computes notebooks and prints their sheets.
pub fn run(files: &[PathBuf], form: Form) -> u8 {
    run_with(files, form, None, &|_| String::new())
}

/// A sheet with what sampling brought.
#[derive(Serialize)]
struct Whole {
    #[serde(flatten)]
    sheet: Sheet,
    #[serde(skip_serializing_if = "Option::is_none")]
    sampling: Option<Sampling>,
}

/// Computes notebooks and prints their sheets with what `sampled` brings, written by
/// `write`.
pub fn run_with(
    files: &[PathBuf],
    form: Form,
    sampled: Option<&dyn Fn(&Workspace) -> Sampling>,
    write: &dyn Fn(&Sampling) -> String,
) -> u8 {
    let mut status = WELL;
    let mut sheets = Vec::new();
    for (index, file) in files.iter().enumerate() {
        let Some(workspace) = open(file) else {
            status = WRONG;
            continue;
        };
        let sheet = Sheet::of(&workspace);
        let sampling = sampled.map(|sampled| sampled(&workspace));
        match (form, &sampling) {
            (Form::Text, _) => {
                let gap = if index == 0 { "" } else { "\n" };
                output::print(&format!("{gap}{}", terminal(&sheet, output::look())));
            }
            (Form::Csv, None) => output::print(&csv(&sheet)),
            (Form::Csv, Some(_)) | (Form::Json, _) => {}
        }
        if let Some(sampling) = sampling.as_ref().filter(|_| form != Form::Json) {
            output::print(&write(sampling));
        }
        status = status.max(judge(&workspace, &sheet));
        sheets.push(Whole { sheet, sampling });
    }
    if form == Form::Json {
        let text = match sheets.as_slice() {
            [only] if files.len() == 1 => serde_json::to_string_pretty(only),
            all => serde_json::to_string_pretty(all),
        };
        if !sheets.is_empty() || files.len() > 1 {
            output::print(&(text.unwrap_or_default() + "\n"));
        }
    }
    status
}

/// Computes notebooks and prints only their checks.
pub fn check(files: &[PathBuf]) -> u8 {
    let mut status = WELL;
    for file in files {
        let Some(workspace) = open(file) else {
            status = WRONG;
            continue;
        };
        let mut sheet = Sheet::of(&workspace);
        for section in &mut sheet.sections {
            section.rows.retain(|row| row.kind == RowKind::Check);
        }
        sheet.cautions.clear();
        output::print(&terminal(&sheet, output::look()));
        status = status.max(judge(&workspace, &sheet));
    }
    status
}

/// Opens a notebook; says why where it can't be read.
pub fn open(file: &Path) -> Option<Workspace> {
    match Workspace::open(file, &Files) {
        Ok(workspace) => Some(workspace),
        Err(why) => {
            output::error(&format!("{} can't be read: {why}\n", file.display()));
            None
        }
    }
}

/// Says what is wrong; gives the exit status.
pub fn judge(workspace: &Workspace, sheet: &Sheet) -> u8 {
    let errors = output::diagnose_all(workspace);
    if errors > 0 {
        WRONG
    } else if sheet.is_good() {
        WELL
    } else {
        CHECK_FAILED
    }
}
