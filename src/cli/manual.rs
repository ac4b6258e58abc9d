//! The manual page and the shell completions, from the definition of the command
//! line.

use clap_complete::Shell;

use super::output;
use super::status::{WELL, WRONG};

/// Prints the manual page (troff).
pub fn manual(command: &clap::Command) -> u8 {
    let mut page = Vec::new();
    if clap_mangen::Man::new(command.clone())
        .render(&mut page)
        .is_err()
    {
        return WRONG;
    }
    for sub in command.get_subcommands().filter(|sub| !sub.is_hide_set()) {
        let name = format!("setover {}", sub.get_name());
        let man = clap_mangen::Man::new(sub.clone().bin_name(name));
        let sections = [
            clap_mangen::Man::render_synopsis_section,
            clap_mangen::Man::render_description_section,
            clap_mangen::Man::render_options_section,
        ];
        page.extend_from_slice(
            format!(".SH COMMAND {}\n", sub.get_name().to_uppercase()).as_bytes(),
        );
        let mut part = Vec::new();
        if sections
            .iter()
            .any(|section| section(&man, &mut part).is_err())
        {
            return WRONG;
        }
        page.extend_from_slice(
            String::from_utf8_lossy(&part)
                .replace(".SH ", ".SS ")
                .as_bytes(),
        );
    }
    output::print(&String::from_utf8_lossy(&page));
    WELL
}

/// Prints what a shell needs to complete the program's arguments.
pub fn completions(shell: Shell, command: &mut clap::Command) -> u8 {
    let mut script = Vec::new();
    clap_complete::generate(shell, command, "setover", &mut script);
    output::print(&String::from_utf8_lossy(&script));
    WELL
}
