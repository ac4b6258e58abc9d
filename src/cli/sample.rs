//! `setover run --samples`: what comes out of many sets of parts.

use std::path::PathBuf;

use super::form::Form;
use super::status::WRONG;
use super::{output, run};
use crate::notebook::{MOST, Request, ToleranceAnalysis, Workspace, sample};
use crate::sheet::{Sampling, sampling_csv, sampling_text};

/// Computes notebooks and prints their sheets with the figures of many samples.
pub fn run_samples(files: &[PathBuf], request: &Request, form: Form, all: bool) -> u8 {
    let count = request.count;
    if count == 0 || count > MOST {
        output::error(&format!(
            "--samples {count} can't be done: from 1 to {MOST} samples can be taken\n"
        ));
        return WRONG;
    }
    let sampled = |workspace: &Workspace, travel: &ToleranceAnalysis| {
        let sampled = sample(workspace, travel, request).map_err(|most| {
            let file = workspace.main().map_or("", |page| &page.name);
            output::error(&format!(
                "--samples {count} can't be done: {file} has so much to work out that {most} \
                 can be taken\n"
            ));
        });
        Some(Sampling::of(workspace, &sampled.ok()?))
    };
    let text = |sampling: &Sampling| match form {
        Form::Csv => sampling_csv(sampling),
        _ => format!("\n{}", sampling_text(sampling, output::look())),
    };
    run::run_with(files, form, all, Some(&sampled), &text)
}
