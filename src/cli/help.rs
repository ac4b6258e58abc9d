//! `setover help`: the commands, and the documents topic by topic.

use super::status::WELL;
use super::{functions, output};
use crate::sheet::reference::commands_text;
use crate::sheet::{TerminalStyle, manual_list, manual_topic, wrapped};

/// What the program can do, in the order of use: headings, and what is typed with what
/// it does. The word of a command comes second; the tests hold this against the
/// definition of the command line.
const OVERVIEW: &[(&str, &[(&str, &str)])] = &[
    (
        "Work on a part",
        &[
            (
                "setover new worm-shaft",
                "starts a notebook, worm-shaft.job; --inch in inches",
            ),
            (
                "setover add worm-shaft.job taper",
                "adds a section for a job; without a word lists them",
            ),
            (
                "setover run worm-shaft.job",
                "computes it and prints its sheet",
            ),
            (
                "setover run worm-shaft.job --with bore='12.5 mm'",
                "what changes with a size; nothing is written",
            ),
            (
                "setover set worm-shaft.job bore='12.5 mm'",
                "writes the change into the file",
            ),
            ("setover check worm-shaft.job", "only the checks"),
            (
                "setover explain worm-shaft.job bore",
                "where a value and its limits come from",
            ),
            (
                "setover sheet worm-shaft.job -o worm-shaft.html",
                "a page to print, with pictures",
            ),
            (
                "setover watch worm-shaft.job",
                "computes it again each time you save it",
            ),
            (
                "setover compare old.job new.job",
                "what changed from one version to the other",
            ),
        ],
    ),
    (
        "Look things up",
        &[
            (
                "setover calc 'tapping_drill(\"M8\")'",
                "works one formula out",
            ),
            ("setover functions", "what can be calculated, by topic"),
            ("setover functions taper", "what has to do with tapers"),
            (
                "setover help units",
                "a topic of the manual; `setover help` lists them",
            ),
        ],
    ),
    (
        "Line editor",
        &[
            ("setover", "try things out; `help` lists its words"),
            (
                "setover worm-shaft.job",
                "the same on a notebook (or setover try FILE)",
            ),
        ],
    ),
    (
        "For the shell",
        &[
            (
                "setover completions bash",
                "what a shell needs to complete arguments",
            ),
            ("setover manual", "the manual page"),
        ],
    ),
];

/// Returns what the program can do, laid out for a terminal.
pub fn overview(look: TerminalStyle) -> String {
    let mut out = String::new();
    let width = usize::from(look.width);
    let title = "setover: a calculation notebook for one-off metal parts on manual machines";
    wrapped(&mut out, title, width, 0, 2);
    for (heading, lines) in OVERVIEW {
        out += &format!("\n{heading}\n");
        out += &commands_text(lines, look);
    }
    out.push('\n');
    wrapped(
        &mut out,
        "setover COMMAND --help says more about a command.",
        width,
        0,
        2,
    );
    out
}

/// Prints the commands and the topics, or a topic, a function, a command.
pub fn help(words: &[String], mut commands: clap::Command) -> u8 {
    let wanted = words.join(" ");
    if wanted.trim().is_empty() {
        let look = output::look();
        let mut text = overview(look) + "\n";
        let topics = "Topics of the manual; setover help WORD prints one";
        wrapped(&mut text, topics, usize::from(look.width), 0, 2);
        output::print(&format!("{text}\n{}", manual_list(look)));
        return WELL;
    }
    if crate::language::library().get(&wanted).is_some() {
        return functions::functions(words, functions::ReferenceForm::Text);
    }
    if let Some(command) = commands.find_subcommand_mut(wanted.as_str()) {
        let name = format!("setover {wanted}");
        let text = command
            .clone()
            .bin_name(name)
            .render_long_help()
            .to_string();
        output::print(&text);
        return WELL;
    }
    match manual_topic(&wanted, "setover help", output::look()) {
        Ok(text) => {
            output::print(&text);
            WELL
        }
        Err(wrong) => output::wrong(wrong),
    }
}
