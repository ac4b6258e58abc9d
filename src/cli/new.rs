//! `setover new`: a commented notebook to start from.

use std::path::Path;

use super::output;
use super::save::{Expected, save};
use super::status::{WELL, WRONG};
use crate::repl::{notebook_path, quoted, reserved};

/// The notebook that a new one starts as.
const STARTER: &str = include_str!("../../library/starter.job");

/// The same in inches.
const STARTER_INCH: &str = include_str!("../../library/starter_inch.job");

/// Writes a new notebook, in inches where `inch` is set; never over a file that is
/// there.
pub fn new(name: &Path, inch: bool) -> u8 {
    let file = notebook_path(&name.to_string_lossy());
    let stem = file.file_stem().unwrap_or_default().to_string_lossy();
    if stem.is_empty() {
        output::error("a notebook needs a name, such as `setover new worm-shaft`\n");
        return WRONG;
    }
    if let Some(why) = reserved(&stem) {
        return output::cannot_be("written", &file, &why);
    }
    let title = stem.replace(['-', '_'], " ");
    let starter = if inch { STARTER_INCH } else { STARTER };
    let text = starter
        .replacen("NAME", &title, 1)
        .replace("FILE", &quoted(&file));
    match save(&file, &text, Expected::Nothing) {
        Ok(()) => {
            output::print(&format!(
                "{} is written; compute it with `setover run {}`\n",
                file.display(),
                quoted(&file)
            ));
            WELL
        }
        Err(why) => output::cannot_be("written", &file, &why),
    }
}
