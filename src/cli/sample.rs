//! `setover run --samples`: what comes out of many sets of parts.

use std::path::PathBuf;

use super::commands::Form;
use super::{WRONG, output, run};
use crate::notebook::{MOST, Request, Sampled, Spread, Travel, Workspace, sample};
use crate::sheet::{Sampling, sampling_csv, sampling_text};

/// What is asked for on the command line.
#[derive(Clone, Copy, Debug)]
pub struct Asked {
    /// How many samples.
    pub count: u64,
    /// The seed.
    pub seed: u64,
    /// How sizes lie between their limits.
    pub spread: Spread,
}

/// Computes notebooks and prints their sheets with the figures of many samples.
pub fn run_samples(files: &[PathBuf], asked: Asked, form: Form) -> u8 {
    if asked.count == 0 || asked.count > MOST {
        let said = format!(
            "--samples {} can't be done: from 1 to {MOST} samples can be taken\n",
            asked.count
        );
        output::error(&said);
        return WRONG;
    }
    let sampled = |workspace: &Workspace| -> Sampling {
        let request = Request {
            spread: asked.spread,
            ..Request::new(asked.count, asked.seed)
        };
        let travel = Travel::of(workspace);
        let sampled: Sampled = sample(workspace, &travel, &request);
        Sampling::of(workspace, &sampled)
    };
    let text = |sampling: &Sampling| match form {
        Form::Csv => sampling_csv(sampling),
        _ => format!("\n{}", sampling_text(sampling, output::look())),
    };
    run::run_with(files, form, Some(&sampled), &text)
}
