//! Fundamental deviations: where the tolerance lies from the size on the drawing.

use crate::diagnostic::Fault;
use crate::trade::iso286::class::{Class, Feature};
use crate::trade::iso286::grades;

/// The limit nearest the size on the drawing, in micrometres from it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Deviation {
    Upper(f64),
    Lower(f64),
    /// Half the tolerance to each side.
    Symmetric,
}

/// Returns the fundamental deviation of a class for a size in millimetres.
///
/// Source: ISO 286-1:2010, Tables 2 to 5 with their notes.
pub(super) fn fundamental(class: Class, size_mm: f64) -> Result<Deviation, Fault> {
    if matches!(class.letter, "a" | "b") && grades::up_to(size_mm, 1.0) {
        return Err(Fault::new(format!(
            "{} is not used for sizes up to 1 mm",
            class.letters()
        ))
        .advise(match class.feature {
            Feature::Hole => "take C or a later letter",
            Feature::Shaft => "take c or a later letter",
        }));
    }
    if class.letter == "js" {
        return Ok(Deviation::Symmetric);
    }
    match class.feature {
        Feature::Shaft => shaft(class, size_mm),
        Feature::Hole => hole(class, size_mm),
    }
}

/// Returns whether the letter stands before h: the tolerance lies wholly on the side of clearance.
fn gives_clearance(letter: &str) -> bool {
    letter
        .as_bytes()
        .first()
        .is_some_and(|first| *first <= b'h')
}

fn shaft(class: Class, size_mm: f64) -> Result<Deviation, Fault> {
    let Class { letter, grade, .. } = class;
    let column = match (letter, grade) {
        ("j", 5 | 6) => "j5",
        ("j", 7) => "j7",
        ("j", 8) => "j8",
        ("j", _) => {
            return Err(Fault::new(format!(
                "the standard has no {}; j exists in grades 5, 6 and 7, and 8 up to 3 mm",
                class.name()
            ))
            .advise(format!("write `js{}`", &class.name()[1..])));
        }
        ("k", ..=3 | 8..) => return Ok(Deviation::Lower(0.0)),
        _ => letter,
    };
    let value = shaft_cell(class, size_mm, column)?;
    Ok(if gives_clearance(letter) {
        Deviation::Upper(value)
    } else {
        Deviation::Lower(value)
    })
}

/// Returns a cell of the table of shafts, or why the standard leaves it blank; the class
/// may be a hole's that follows from the shaft's.
fn shaft_cell(class: Class, size_mm: f64, column: &str) -> Result<f64, Fault> {
    grades::shaft(size_mm, column).ok_or_else(|| {
        let name = class.name();
        let grade = name.trim_start_matches(|c: char| !c.is_ascii_digit());
        let cased = |letters: &str| match class.feature {
            Feature::Hole => letters.to_uppercase(),
            Feature::Shaft => letters.to_owned(),
        };
        let missing = |sizes: &str, instead: &str| {
            Fault::new(format!("the standard has no {name} for sizes {sizes}"))
                .advise(format!("take `{}{grade}`", cased(instead)))
        };
        match column {
            "j8" => missing("over 3 mm", "js"),
            "cd" => missing("over 50 mm", "d"),
            "ef" => missing("over 50 mm", "f"),
            "fg" => missing("over 50 mm", "g"),
            "t" => missing("up to 24 mm", "u"),
            "v" => missing("up to 14 mm", "x"),
            "y" => missing("up to 18 mm", "z"),
            _ => Fault::new(format!("the standard has no {name} for this size")),
        }
    })
}

fn hole(class: Class, size_mm: f64) -> Result<Deviation, Fault> {
    let Class { letter, grade, .. } = class;
    if gives_clearance(letter) {
        return Ok(Deviation::Lower(0.0 - shaft_cell(class, size_mm, letter)?));
    }
    if letter == "j" {
        let value = match grade {
            6..=8 => grades::hole(size_mm, &format!("j{grade}")),
            _ => None,
        };
        return value.map(Deviation::Upper).ok_or_else(|| {
            Fault::new(format!(
                "the standard has no {}; J exists in grades 6, 7 and 8",
                class.name()
            ))
            .advise(format!("write `JS{}`", &class.name()[1..]))
        });
    }
    if grade < 3 {
        return Err(Fault::new(format!(
            "the standard has no {}; holes K to ZC begin at grade 3",
            class.name()
        ))
        .advise(format!("write `{}3` or a coarser grade", class.letters())));
    }
    let small = grades::up_to(size_mm, 3.0);
    match letter {
        "k" if grade > 8 && !small => {
            return Err(Fault::new(format!(
                "the standard has no {} for sizes over 3 mm; there K ends at grade 8",
                class.name()
            ))
            .advise("take K8 or a finer grade"));
        }
        "m" if grade == 6 => {
            if let Some(value) = grades::hole(size_mm, "m6") {
                return Ok(Deviation::Upper(value));
            }
        }
        "n" if grade > 8 => {
            if grades::up_to(size_mm, 1.0) {
                return Err(Fault::new(format!(
                    "{} is not used for sizes up to 1 mm; there N ends at grade 8",
                    class.name()
                ))
                .advise("take N8 or a finer grade"));
            }
            if !small {
                return Ok(Deviation::Upper(0.0));
            }
        }
        _ => {}
    }
    let coarsest_with_delta = if matches!(letter, "k" | "m" | "n") {
        8
    } else {
        7
    };
    let delta = if small || grade > coarsest_with_delta {
        0.0
    } else {
        grades::tolerance(size_mm, grade)? - grades::tolerance(size_mm, grade - 1)?
    };
    Ok(Deviation::Upper(
        delta - shaft_cell(class, size_mm, letter)?,
    ))
}
