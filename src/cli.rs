//! The command line: one file a command.

mod add;
mod arguments;
mod calc;
mod change;
mod commands;
mod explain;
mod files;
mod form;
mod functions;
mod help;
mod locale;
mod manual;
mod new;
mod output;
mod run;
mod sample;
mod save;
mod sheet;
mod status;
mod try_out;
mod watch;

pub use files::Files;

use status::WRONG;
use std::process::ExitCode;

/// How much stack the program gets: what nests is bounded, but deeply nested text
/// should cost a message and not a crash even in a debug build.
const STACK: usize = 256 * 1024 * 1024;

/// Runs the program with the arguments of the process.
#[must_use]
pub fn main() -> ExitCode {
    let run = || commands::run(std::env::args_os());
    let thread = std::thread::Builder::new().stack_size(STACK).spawn(run);
    match thread.map(std::thread::JoinHandle::join) {
        Ok(Ok(status)) => ExitCode::from(status),
        Ok(Err(_)) => ExitCode::from(WRONG),
        // Without room for another thread the first one has to do.
        Err(_) => ExitCode::from(run()),
    }
}
