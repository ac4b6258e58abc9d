//! Names that the documentation of a parameter offers in quotes are names that the function knows.

use setover::internals::language::{KindWord, library};

use crate::evaluated::value;

/// What stands for the other parameters in a call; functions that take a name alone need none.
const OTHERS: &[(&str, &str, &str)] = &[
    ("nearest_drill", "set", "nearest_drill(6.3 mm, NAME)"),
    ("drill_under", "set", "drill_under(6.3 mm, 0.1 mm, NAME)"),
    ("plain_indexing", "plates", "plain_indexing(6, 40, NAME)"),
    ("gauge_blocks", "blocks", "gauge_blocks(27.37 mm, NAME)"),
    ("counterbore", "head", "counterbore(\"M6\", NAME)"),
    ("countersink", "head", "countersink(\"M6\", NAME)"),
    ("clearance_drill", "fit", "clearance_drill(\"M6\", NAME)"),
    (
        "standard_tolerance",
        "grade",
        "standard_tolerance(25 mm, NAME)",
    ),
    ("fit", "classes", "fit(25 mm, NAME)"),
    ("limits", "class", "limits(25 mm, NAME)"),
    (
        "speed_for",
        "tool",
        "speed_for(\"mild steel\", NAME, \"turn\")",
    ),
    (
        "speed_for",
        "operation",
        "speed_for(\"mild steel\", \"HSS\", NAME)",
    ),
];

/// The texts in quotes in a meaning.
fn quoted(meaning: &str) -> Vec<&str> {
    meaning.split('"').skip(1).step_by(2).collect()
}

#[test]
fn names_in_documentation_are_known() {
    let (mut count, mut wrong) = (0, Vec::new());
    for function in library().all() {
        let doc = function.doc().expect("documentation that can be read");
        for parameter in &doc.parameters {
            if !parameter.contract.kinds.contains(&KindWord::Text) {
                continue;
            }
            let others = OTHERS
                .iter()
                .find(|(name, of, _)| (*name, *of) == (function.name, &*parameter.name));
            let alone = doc
                .parameters
                .iter()
                .all(|other| other.name == parameter.name || other.default.is_some());
            let call = match others {
                Some((_, _, call)) => (*call).to_owned(),
                None if alone => format!("{}({}: NAME)", function.name, parameter.name),
                None => continue,
            };
            for name in quoted(&parameter.meaning) {
                count += 1;
                let call = call.replace("NAME", &format!("\"{name}\""));
                if let Err(fault) = value(&call) {
                    wrong.push(format!("{call}: {fault}"));
                }
            }
        }
    }
    println!("{count} names");
    assert!(count > 40, "{count}");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
