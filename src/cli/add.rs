//! `setover add`: a section to start from, at the end of a notebook.

use std::path::Path;

use super::save::{Expected, save};
use super::status::{WELL, WRONG};
use super::{output, run};
use crate::diagnostic::Fault;
use crate::notebook::{section, with_section};
use crate::repl::quoted;
use crate::sheet::reference::sections_text;
use crate::sheet::wrapped;

/// Adds the section of a word to a notebook; without a word, lists the sections.
pub fn add(file: Option<&Path>, word: Option<&str>) -> u8 {
    let (Some(file), Some(word)) = (file, word) else {
        let file = file.map_or("worm-shaft.job".into(), Path::to_string_lossy);
        let look = output::look();
        let mut text = format!("Sections to start from\n\n{}\n", sections_text(look));
        let more = format!("`setover add {file} taper` adds one to a notebook");
        wrapped(&mut text, &more, usize::from(look.width), 0, 2);
        output::print(&text);
        return WELL;
    };
    let file = &crate::repl::notebook_path(&file.to_string_lossy());
    if !file.exists() {
        let wrong = Fault::new(format!("there is no notebook {}", file.display()));
        let name = file.with_extension("");
        return output::wrong(wrong.advise(format!("`setover new {}` starts it", quoted(&name))));
    }
    let Some(workspace) = run::open(file) else {
        return WRONG;
    };
    let Some(page) = workspace.main() else {
        return WRONG;
    };
    let taken = |name: &str| page.names.contains_key(name) || page.functions.contains_key(name);
    let section = match section(word, &taken) {
        Ok(section) => section,
        Err(fault) => return output::wrong(fault),
    };
    let text = with_section(&page.text, &section);
    if let Err(why) = save(file, &text, Expected::Text(&page.text)) {
        return output::cannot_be("written", file, &why);
    }
    output::print(&format!(
        "[{}] is added to {}: put your sizes in, then `setover run {}`\n",
        section.heading,
        file.display(),
        quoted(file)
    ));
    WELL
}
