//! What is wrong with the arguments of the command line, in the words of all other
//! errors.

use clap::error::{ContextKind, ContextValue, ErrorKind};

use crate::diagnostic::{Fault, did_you_mean, nearest};

/// Returns what is wrong with the arguments, and what to write instead.
#[must_use]
pub fn wrong_arguments(
    error: &clap::Error,
    arguments: &[String],
    commands: &clap::Command,
) -> Fault {
    let of = arguments.get(1).map(String::as_str).unwrap_or_default();
    let of = commands.find_subcommand(of);
    let argument = bare(&given(error, ContextKind::InvalidArg));
    let value = given(error, ContextKind::InvalidValue);
    let (message, advice) = match error.kind() {
        ErrorKind::InvalidSubcommand => {
            no_command(&given(error, ContextKind::InvalidSubcommand), commands)
        }
        ErrorKind::UnknownArgument => unknown(&argument, of),
        ErrorKind::MissingRequiredArgument => missing(&argument, of),
        ErrorKind::InvalidValue if value.is_empty() => {
            (format!("`{argument}` needs a value"), usage(of))
        }
        ErrorKind::InvalidValue => {
            let message = format!("`{argument}` can't be `{value}`");
            let valid = match error.get(ContextKind::ValidValue) {
                Some(ContextValue::Strings(valid)) => valid.clone(),
                _ => Vec::new(),
            };
            let near = did_you_mean(&value, valid.iter().map(String::as_str));
            let near = near.map_or(String::new(), |near| format!("{near} "));
            (message, format!("{near}it may be {}", valid.join(", ")))
        }
        ErrorKind::ValueValidation => (
            format!("`{argument}` can't be `{value}`"),
            "write a whole number".to_owned(),
        ),
        ErrorKind::ArgumentConflict => {
            let other = bare(&given(error, ContextKind::PriorArg));
            let message = if other == argument || other.is_empty() {
                format!("`{argument}` is given twice")
            } else {
                format!("`{argument}` and `{other}` can't be given together")
            };
            (message, usage(of))
        }
        _ => {
            let text = error.render().to_string();
            let first = text.lines().next().unwrap_or_default();
            let first = first.strip_prefix("error: ").unwrap_or(first);
            (first.to_owned(), usage(of))
        }
    };
    Fault::new(message).advise(advice)
}

/// Returns what an error says of a thing, as it would be typed.
fn given(error: &clap::Error, kind: ContextKind) -> String {
    match error.get(kind) {
        Some(ContextValue::String(text)) => text.clone(),
        Some(ContextValue::Strings(texts)) => texts.join(" and "),
        _ => String::new(),
    }
}

/// Returns an argument without the signs of a usage line: an option without its value.
fn bare(argument: &str) -> String {
    let option = argument
        .split(' ')
        .next()
        .filter(|_| argument.starts_with('-'));
    option
        .unwrap_or(argument)
        .replace("...", "")
        .replace(['<', '>'], "")
}

fn no_command(word: &str, commands: &clap::Command) -> (String, String) {
    let message = format!("there is no command `{word}`");
    let names: Vec<&str> = commands
        .get_subcommands()
        .map(clap::Command::get_name)
        .collect();
    let formula = word.contains(|c: char| c.is_ascii_digit() || "+*/(".contains(c));
    let advice = if formula {
        format!("to work it out, write `setover calc '{word}'`")
    } else if let Some(near) = nearest(word, names).first() {
        format!("did you mean `setover {near}`? `setover help` lists the commands")
    } else {
        "`setover help` lists the commands; a notebook's file ends in .job".to_owned()
    };
    (message, advice)
}

fn unknown(argument: &str, of: Option<&clap::Command>) -> (String, String) {
    let Some(of) = of else {
        return (
            format!("there is no option `{argument}`"),
            "`setover help` lists the commands".to_owned(),
        );
    };
    let name = of.get_name();
    if !argument.starts_with('-') {
        let message = format!("`setover {name}` can't use `{argument}` as well");
        return (
            message,
            format!("{}; quote what has blanks in it", usage(Some(of))),
        );
    }
    let message = format!("`setover {name}` has no option `{argument}`");
    let long: Vec<String> = of
        .get_arguments()
        .filter_map(|known| known.get_long().map(|long| format!("--{long}")))
        .collect();
    let near = did_you_mean(argument, long.iter().map(String::as_str));
    (message, near.unwrap_or_else(|| usage(Some(of))))
}

fn missing(argument: &str, of: Option<&clap::Command>) -> (String, String) {
    let name = of.map_or("", clap::Command::get_name);
    (format!("`setover {name}` needs {argument}"), usage(of))
}

/// Returns how a command is written.
fn usage(of: Option<&clap::Command>) -> String {
    let Some(of) = of else {
        return "`setover help` lists the commands".to_owned();
    };
    let mut of = of.clone().bin_name(format!("setover {}", of.get_name()));
    let usage = of.render_usage().to_string();
    let usage = usage.trim_start_matches("Usage:").trim();
    let plain = usage
        .replace(['<', '>'], "")
        .replace("[OPTIONS] ", "")
        .replace(['[', ']'], "");
    format!("write `{}`", plain.replace("...", ""))
}
