//! What the command line understands.

use std::ffi::OsString;
use std::path::PathBuf;

use clap::{CommandFactory, Parser, Subcommand, ValueEnum};

use super::arguments::wrong_arguments;
use super::files::expand;
use super::form::Form;
use super::functions::{ReferenceForm, functions};
use super::status::{WELL, WRONG};
use super::{
    add, calc, change, explain, help, manual, new, output, run, sample, sheet, try_out, watch,
};
use crate::notebook::{Request, Spread, is_notebook};

/// A calculation notebook for people who make one-off metal parts on manual
/// machines.
#[derive(Parser, Debug)]
#[command(name = "setover", version, about, disable_help_subcommand = true, override_help = help::overview(output::look()))]
struct Cli {
    #[command(subcommand)]
    command: Option<Command>,
}

/// What the help of `try` says below its arguments.
const TRY_HELP: &str = "\
Formulas are answered, statements are added to the notebook; `help` lists the \
commands. From a pipe, lines are taken as if they were typed: results go to standard \
output, errors with their lines to standard error, and the exit status is 2 where \
there were any.

What was typed before, and a journal of the session until it is written, are kept in \
$XDG_DATA_HOME/setover, else ~/.local/share/setover, on Windows \
%LOCALAPPDATA%\\setover, on macOS ~/Library/Application Support/setover (SETOVER_DATA \
names another folder), for your eyes only. Keys as in vi: SETOVER_KEYS=vi, or the line `keys vi` in \
the file `settings` there.";

/// How sampled sizes lie between their limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum SpreadForm {
    /// Normally: the limits three standard deviations from the middle, nothing outside
    Normal,
    /// Every size between the limits as likely as any other
    Even,
}

#[derive(Subcommand, Debug)]
enum Command {
    /// Compute notebooks and print their sheets
    Run {
        /// The notebooks (`NAME.job`); without one, those in this folder are listed
        #[arg(value_name = "FILE")]
        files: Vec<PathBuf>,
        /// How the sheet is written
        #[arg(long = "as", value_name = "FORM", default_value = "text")]
        form: Form,
        /// With the working kept off the sheet, all fields and choices
        #[arg(long)]
        all: bool,
        /// Try a value and print what changes: `bore="12.5 mm"` (may be repeated)
        #[arg(long = "with", value_name = "NAME=EXPRESSION")]
        with: Vec<String>,
        /// Compute it for so many sets of parts, sizes between their limits by chance
        #[arg(long, value_name = "N", conflicts_with = "with")]
        samples: Option<u64>,
        /// Which samples: the same seed gives the same
        #[arg(long, value_name = "S", default_value_t = 1, requires = "samples")]
        seed: u64,
        /// How sizes lie between their limits
        #[arg(
            long,
            value_name = "SPREAD",
            default_value = "normal",
            requires = "samples"
        )]
        spread: SpreadForm,
    },
    /// Show where a value comes from, what drives its limits, what depends on it
    Explain {
        /// The notebook (`NAME.job`)
        #[arg(value_name = "FILE")]
        file: PathBuf,
        /// A cell, a check's condition in quotes, or `check 1`
        #[arg(value_name = "NAME")]
        name: String,
        /// How it is written
        #[arg(long = "as", value_name = "FORM", default_value = "text")]
        form: explain::ExplainForm,
    },
    /// Write a new expression for a cell into the file and print what changes
    Set {
        /// The notebook (`NAME.job`)
        #[arg(value_name = "FILE")]
        file: PathBuf,
        /// The cell and its new expression, `bore="12.5 mm"`, or a reading,
        /// `"measured bore=12.008 mm"` (`none` strikes the last one out)
        #[arg(required = true, value_name = "NAME=EXPRESSION")]
        changes: Vec<String>,
        /// Write it even if the notebook then has an error
        #[arg(long)]
        anyway: bool,
        /// How the changes are written
        #[arg(long = "as", value_name = "FORM", default_value = "text")]
        form: Form,
    },
    /// Recalculate at each save and show what changed
    Watch {
        /// The notebook (`NAME.job`)
        #[arg(value_name = "FILE")]
        file: PathBuf,
    },
    /// Show what changed from one version of a notebook to another
    Compare {
        /// The old version
        #[arg(value_name = "OLD")]
        old: PathBuf,
        /// The new version
        #[arg(value_name = "NEW")]
        new: PathBuf,
        /// How the changes are written
        #[arg(long = "as", value_name = "FORM", default_value = "text")]
        form: Form,
    },
    /// Start a notebook from a commented example
    New {
        /// Its name; `.job` is added
        #[arg(value_name = "NAME")]
        name: PathBuf,
        /// Sizes in inches
        #[arg(long)]
        inch: bool,
    },
    /// Add a section for a job to a notebook; without a word, list them
    Add {
        /// The notebook (`NAME.job`)
        #[arg(value_name = "FILE")]
        file: Option<PathBuf>,
        /// The section: taper, thread, fit …
        #[arg(value_name = "WORD")]
        word: Option<String>,
    },
    /// Print the manual page
    Manual,
    /// Print what a shell needs to complete the arguments
    Completions {
        /// The shell
        shell: clap_complete::Shell,
    },
    /// Compute notebooks and print only their checks
    Check {
        /// The notebooks (`NAME.job`)
        #[arg(required = true, value_name = "FILE")]
        files: Vec<PathBuf>,
    },
    /// Print a topic of the manual
    Help {
        /// The topic; without one, the commands and the topics
        #[arg(value_name = "TOPIC")]
        topic: Vec<String>,
    },
    /// Say what the functions of the library do
    Functions {
        /// A function's name, or words to look for; without any, all functions by topic
        #[arg(value_name = "WORD")]
        words: Vec<String>,
        /// How the reference is written
        #[arg(long = "as", value_name = "FORM", default_value = "text")]
        form: ReferenceForm,
    },
    /// Write a page to print or to prop up by the machine, with pictures
    Sheet {
        /// The notebooks (`NAME.job`); several make one page with a list of parts
        #[arg(value_name = "FILE", required = true)]
        files: Vec<PathBuf>,
        /// The file to write (`NAME.html`), `-` for standard output; where left out, beside
        /// the notebook at a terminal, standard output in a pipe
        #[arg(short = 'o', long = "output", value_name = "PAGE")]
        to: Option<PathBuf>,
        /// Show the page in the browser
        #[arg(long)]
        open: bool,
    },
    /// Try things out, on a notebook or from nothing (`setover` alone does so too)
    #[command(after_help = TRY_HELP)]
    Try {
        /// The notebook (`NAME.job`); one that does not exist yet is made by writing
        #[arg(value_name = "FILE")]
        file: Option<PathBuf>,
    },
    /// Work one expression out
    Calc {
        /// The expression, such as '1 3/8 in as mm'; standard input where left out
        #[arg(value_name = "EXPRESSION", allow_hyphen_values = true)]
        expression: Option<String>,
        /// A notebook whose names may be used
        #[arg(long = "in", value_name = "FILE")]
        within: Option<PathBuf>,
        /// How the value is written
        #[arg(long = "as", value_name = "FORM", default_value = "text")]
        form: Form,
    },
}

/// Returns the definition of the command line, for completions and the manual page.
fn definition() -> clap::Command {
    Cli::command()
}

/// Runs the program with these arguments; gives its exit status.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> u8 {
    let status = answer(arguments.into_iter().collect());
    // A result that is not all there is none.
    if output::failed() { WRONG } else { status }
}

fn answer(arguments: Vec<OsString>) -> u8 {
    if let Some(file) = bare_notebook(&arguments) {
        return try_out::try_out(Some(&file));
    }
    match Cli::try_parse_from(&arguments) {
        Ok(cli) => cli.command.map_or_else(|| try_out::try_out(None), dispatch),
        Err(error) if error.use_stderr() => {
            let words = arguments.iter().map(|word| word.to_string_lossy().into());
            let words: Vec<String> = words.collect();
            output::wrong(wrong_arguments(&error, &words, &definition()))
        }
        Err(error) => {
            output::print(&error.render().to_string());
            WELL
        }
    }
}

/// Returns the notebook of `setover FILE`, which opens it at the prompt.
fn bare_notebook(arguments: &[OsString]) -> Option<PathBuf> {
    let [_, only] = arguments else {
        return None;
    };
    let file = PathBuf::from(only);
    let named = only.to_string_lossy();
    let option = named.starts_with('-');
    let word = definition().find_subcommand(&*named).is_some();
    let there = || crate::repl::notebook_path(&named).is_file();
    (!option && !word && (is_notebook(&file) || there())).then_some(file)
}

fn dispatch(command: Command) -> u8 {
    match command {
        Command::Run { files, .. } if files.is_empty() => run::list(),
        Command::Run {
            files,
            form,
            samples: Some(count),
            seed,
            spread,
            all,
            ..
        } => {
            let spread = match spread {
                SpreadForm::Normal => Spread::Normal,
                SpreadForm::Even => Spread::Even,
            };
            let request = Request {
                spread,
                ..Request::new(count, seed)
            };
            sample::run_samples(&expand(files), &request, form, all)
        }
        Command::Run {
            files,
            form,
            with,
            all,
            ..
        } if with.is_empty() => run::run(&expand(files), form, all),
        Command::Run {
            files, form, with, ..
        } => change::with(&expand(files), &with, form),
        Command::Explain { file, name, form } => explain::explain_name(&file, &name, form),
        Command::Set {
            file,
            changes,
            anyway,
            form,
        } => change::set(&file, &changes, anyway, form),
        Command::Watch { file } => watch::watch(&file),
        Command::New { name, inch } => new::new(&name, inch),
        Command::Add { file, word } => add::add(file.as_deref(), word.as_deref()),
        Command::Manual => manual::manual(&definition()),
        Command::Completions { shell } => manual::completions(shell, &mut definition()),
        Command::Compare { old, new, form } => change::compare(&old, &new, form),
        Command::Try { file } => try_out::try_out(file.as_deref()),
        Command::Check { files } => run::check(&expand(files)),
        Command::Functions { words, form } => functions(&words, form),
        Command::Help { topic } => help::help(&topic, definition()),
        Command::Sheet { files, to, open } => sheet::sheet(&files, to.as_deref(), open),
        Command::Calc {
            expression,
            within,
            form,
        } => calc::calc(expression.as_deref(), within.as_deref(), form),
    }
}

#[cfg(test)]
mod tests {
    use super::definition;
    use crate::cli::help::overview;
    use crate::sheet::TerminalStyle;

    #[test]
    fn every_command_has_an_example_in_the_overview() {
        let overview = overview(TerminalStyle {
            width: 80,
            colour: false,
        });
        for command in definition().get_subcommands() {
            let name = command.get_name();
            let named = format!("setover {name}");
            assert!(overview.contains(&named), "{name}");
        }
    }
}
