//! The examples are our own: sequences and sets of figures that are not to come back.

use super::shell::root;

/// Files that once had them.
const FILES: [&str; 33] = [
    "README.md",
    "library/DRAWING.md",
    "library/LANGUAGE.md",
    "library/FUNCTIONS.md",
    "library/INCHES.md",
    "library/JOBS.md",
    "library/sections/lever.job",
    "library/starter.job",
    "library/functions/circles.job",
    "library/functions/rotary_table.job",
    "notebooks/TUTORIAL.md",
    "notebooks/clutch-lever.job",
    "notebooks/cutter-arbor.job",
    "notebooks/declination-shaft.job",
    "notebooks/workshop.job",
    "src/notebook/draw/set_ups.rs",
    "library/pictures.job",
    "tests/changes/compared.rs",
    "tests/changes/varied.rs",
    "tests/documents/notebooks.rs",
    "tests/documents/values.rs",
    "tests/fuzz/corpus/edit/whole_notebook",
    "tests/fuzz/corpus/evaluate/whole_notebook",
    "tests/fuzz/corpus/parse/whole_notebook",
    "tests/fuzz/corpus/render/whole_notebook",
    "tests/fuzz/corpus/session/whole_notebook",
    "tests/fuzz/corpus/split_print/whole_notebook",
    "tests/language/whole_notebook.job",
    "tests/page/forms.rs",
    "tests/page/geometry.rs",
    "tests/page/notebooks/declination.job",
    "tests/page/page.rs",
    "tests/shell/calc.rs",
];

/// Lines and parts of lines that must be in none of them.
const OLD: [&str; 30] = [
    "move Y to {offset}, lock",
    "move Y to {offset}",
    "lock X.",
    "90° each way",
    "each way for the round end",
    "lock the table, feed X to",
    "feed X from {flank_length",
    "feed X to {flank_length",
    "Y to {offset}, lock it",
    "Peg the shaft hole on the table's centre",
    "Peg the tip hole on the centre",
    "centres  = 64 mm",
    "centres = 64 mm",
    "centres: 64 mm",
    "boss     = 26 mm",
    "boss   = 26 mm",
    "boss    = 26 mm",
    "tip_bore = 8 mm",
    "26 mm, 16 mm, 64 mm",
    "big: 26 mm, small: 16 mm",
    "table_offset(13 mm, 12 mm)",
    "table_radius(19 mm, 12 mm)",
    "radius: 13 mm, cutter: 12 mm",
    "vary cutter over 8 mm, 10 mm, 12 mm",
    "throw_heights(20 mm, 90 deg",
    "holding-arbor",
    "holding_arbor",
    "Arbor to hold the clutch lever",
    "web - 2 * skim = 7.6 mm",
    "over a 12 mm and an 8 mm pin",
];

#[test]
fn none_of_the_old_sequences_is_left() {
    let mut found = Vec::new();
    for file in FILES {
        let bytes = std::fs::read(root().join(file)).unwrap_or_else(|why| panic!("{file}: {why}"));
        let text = String::from_utf8_lossy(&bytes);
        for (number, line) in text.lines().enumerate() {
            if let Some(old) = OLD.iter().find(|old| line.contains(**old)) {
                found.push(format!("{file}:{}: `{old}` in {line}", number + 1));
            }
        }
    }
    assert!(!root().join("notebooks/holding-arbor.job").exists());
    assert!(found.is_empty(), "{}", found.join("\n"));
}
