//! `setover run --samples`: what comes out of many sets of parts.

use std::path::{Path, PathBuf};

use super::form::Form;
use super::status::WRONG;
use super::{Files, output, run};
use crate::notebook::{
    MOST, Request, Sampled, Spread, ToleranceAnalysis, Workspace, most_samples, sample,
};
use crate::sheet::{Sampling, sampling_csv, sampling_text};

/// What is asked for on the command line.
#[derive(Clone, Copy, Debug)]
pub struct SampleOptions {
    /// How many samples.
    pub count: u64,
    /// The seed.
    pub seed: u64,
    /// How sizes lie between their limits.
    pub spread: Spread,
}

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
pub fn run_samples(files: &[PathBuf], asked: SampleOptions, form: Form, all: bool) -> u8 {
    if asked.count == 0 || asked.count > MOST {
        let said = format!(
            "--samples {} can't be done: from 1 to {MOST} samples can be taken\n",
            asked.count
        );
        output::error(&said);
        return WRONG;
    }
    if asked.count > ALWAYS && !files.iter().all(|file| fits(file, asked.count)) {
        return WRONG;
    }
    let sampled = |workspace: &Workspace| -> Sampling {
        let request = Request {
            spread: asked.spread,
            ..Request::new(asked.count, asked.seed)
        };
        let travel = ToleranceAnalysis::of(workspace);
        let sampled: Sampled = sample(workspace, &travel, &request);
        Sampling::of(workspace, &sampled)
    };
    let text = |sampling: &Sampling| match form {
        Form::Csv => sampling_csv(sampling),
        _ => format!("\n{}", sampling_text(sampling, output::look())),
    };
    run::run_with(files, form, all, Some(&sampled), &text)
}
