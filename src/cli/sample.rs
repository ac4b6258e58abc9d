//! `setover run --samples`: what comes out of many sets of parts.

use std::path::{Path, PathBuf};

use super::form::Form;
use super::status::WRONG;
use super::{Files, output, run};
use crate::notebook::{MOST, Request, ToleranceAnalysis, Workspace, most_samples, sample};
use crate::sheet::{Sampling, sampling_csv, sampling_text};

/// So many samples can be taken of every notebook.
const ALWAYS: u64 = 2_000;

/// Returns whether so many samples can be taken of a notebook; says so where not.
fn fits(file: &Path, count: u64) -> bool {
    let Ok(workspace) = Workspace::open(file, &Files) else {
        return true;
    };
    let most = most_samples(&workspace, &ToleranceAnalysis::of(&workspace));
    if count > most {
        output::error(&format!(
            "--samples {count} can't be done: {} has so many values that {most} samples can be taken\n",
            file.display()
        ));
    }
    count <= most
}

/// Computes notebooks and prints their sheets with the figures of many samples.
pub fn run_samples(files: &[PathBuf], request: &Request, form: Form, all: bool) -> u8 {
    let count = request.count;
    if count == 0 || count > MOST {
        output::error(&format!(
            "--samples {count} can't be done: from 1 to {MOST} samples can be taken\n"
        ));
        return WRONG;
    }
    if count > ALWAYS && !files.iter().all(|file| fits(file, count)) {
        return WRONG;
    }
    let sampled = |workspace: &Workspace| -> Sampling {
        let travel = ToleranceAnalysis::of(workspace);
        Sampling::of(workspace, &sample(workspace, &travel, request))
    };
    let text = |sampling: &Sampling| match form {
        Form::Csv => sampling_csv(sampling),
        _ => format!("\n{}", sampling_text(sampling, output::look())),
    };
    run::run_with(files, form, all, Some(&sampled), &text)
}
