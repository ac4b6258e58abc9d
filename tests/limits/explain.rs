//! Explanations: where values come from, and what to tighten.

use setover::internals::notebook::Workspace;
use setover::internals::sheet::{
    Explanation, TerminalStyle, explain, explanation_text, slot_called,
};

use crate::shelf::{open, open_with};

#[track_caller]
fn explained(workspace: &Workspace, name: &str) -> Explanation {
    let slot = slot_called(workspace, name).unwrap_or_else(|| panic!("there is no {name}"));
    explain(workspace, slot).expect("an explanation")
}

#[track_caller]
fn numbers(text: &str, name: &str) -> String {
    explained(&open(text), name)
        .with_numbers
        .unwrap_or_else(|| "as it is".to_owned())
}

#[test]
fn formulas_are_shown_with_the_numbers_in() {
    let sizes = "a = 12 mm ±0.05\nb = -3 mm\nn = 4\nmetal = \"brass\"\nrpms = [50, 90] rpm\n\
                 table holes\n| x |\n| 1 mm |\n| a |\nbolt = thread(\"M8\")\n";
    let of = |formula: &str| numbers(&format!("{sizes}y = {formula}"), "y");
    assert_eq!(of("a + b * n"), "12.000 mm + (-3.000 mm) * 4");
    assert_eq!(of("(a - 2 mm) / 2"), "(12.000 mm - 2 mm) / 2");
    assert_eq!(of("a^2"), "12.000 mm ^ 2");
    assert_eq!(of("density(metal)"), "density(\"brass\")");
    assert_eq!(of("holes.x[2] + holes[1].x"), "12.000 mm + 1.000 mm");
    assert_eq!(of("bolt.pitch * 2"), "1.250 mm * 2");
    assert_eq!(of("max(rpms[2], 60 rpm)"), "max(90 rpm, 60 rpm)");
    assert_eq!(
        of("if n > 3 then a else b"),
        "if 4 > 3 then 12.000 mm else (-3.000 mm)"
    );
    assert_eq!(
        of("c + n where c = a / 6 mm"),
        "c + 4 where c = 12.000 mm / 6 mm"
    );
    assert_eq!(of("a H7"), "12.000 mm H7");
    assert_eq!(of("12 mm + 3 mm"), "as it is");
    assert_eq!(
        numbers(&format!("{sizes}check a > b"), "check 1"),
        "12.000 mm > (-3.000 mm)"
    );
}

#[test]
fn names_of_used_notebooks_are_explained_too() {
    let others = [(
        "shaft.job",
        "lengths inch\nend = 3 mm\njournal = 1/2 in + end",
    )];
    let workspace = open_with("use shaft\ny = shaft.journal * 2", &others);
    assert_eq!(
        explained(&workspace, "y").with_numbers.as_deref(),
        Some("0.6181 in * 2")
    );
    let journal = explained(&workspace, "shaft.journal");
    assert_eq!(journal.with_numbers.as_deref(), Some("1/2 in + 3.000 mm"));
    assert_eq!(journal.needed_by, ["y"]);
    assert_eq!(journal.needs[0].name, "shaft.end");
}

const STACK: &str = "a = 20 mm ±0.1\nb = 8 mm (0/-0.12)\nc = 11.9 mm ±0.02\ngap = a - b - c\n\
                     twice = gap * 2\ncheck gap >= 0.02 mm";

#[test]
fn sources_have_their_shares() {
    // Source: arithmetic; half swings 0.1, 0.06 and 0.02 of 0.18.
    let gap = explained(&open(STACK), "gap");
    let shares: Vec<(&str, &str, String)> = gap
        .sources
        .iter()
        .map(|s| {
            (
                s.name.as_str(),
                s.size.as_str(),
                format!("{:.1}", s.percent),
            )
        })
        .collect();
    assert_eq!(
        shares,
        [
            ("a", "20 ±0.1 mm", "55.6".to_owned()),
            ("b", "8 (0/-0.12) mm", "33.3".to_owned()),
            ("c", "11.9 ±0.02 mm", "11.1".to_owned()),
        ]
    );
    let limits = gap.limits.expect("limits");
    // The middle is 0.16, the half ranges 0.18 and sqrt(0.1^2 + 0.06^2 + 0.02^2) = 0.1183.
    // Rounded outward.
    assert_eq!(limits.texts, ["-0.020 to 0.340 mm", "0.041 to 0.279 mm"]);
    assert_eq!(gap.needed_by, ["twice", "check gap >= 0.02 mm"]);
}

#[test]
fn a_check_says_what_to_tighten() {
    // Source: arithmetic. At the worst the gap is -0.02, so 0.04 is missing: of a's 0.1
    // 0.06 is left; b may be at most 8 - 0.04; c has only 0.02 above its size and 0.04
    // between its limits, which is just enough and leaves nothing.
    let check = explained(&open(STACK), "gap >= 0.02 mm");
    let found: Vec<(&str, Option<&str>)> = check
        .tighten
        .iter()
        .map(|one| (one.name.as_str(), one.to.as_deref()))
        .collect();
    assert_eq!(
        found,
        [
            ("a", Some("20 ±0.06 mm")),
            ("b", Some("8 (-0.04/-0.12) mm")),
            ("c", None),
        ]
    );
    let margin = &check.margins[0];
    assert_eq!(margin.comparison, "gap >= 0.02 mm");
    assert_eq!(margin.holds, [true, false, true]);
    // Tightened so, the check holds at the limits.
    for (name, line) in [("a", "a = 20 mm ±0.06"), ("b", "b = 8 mm (-0.04/-0.12)")] {
        let text: Vec<&str> = STACK
            .lines()
            .map(|old| {
                if old.starts_with(&format!("{name} =")) {
                    line
                } else {
                    old
                }
            })
            .collect();
        let check = explained(&open(&text.join("\n")), "check 1");
        assert_eq!(check.text, "holds", "{name}");
        assert!(check.tighten.is_empty());
    }
}

#[test]
fn functions_bring_their_source_and_caution() {
    let workspace = open("half(x) = x / 2\nd = 40 mm\nrpm = spindle_speed(30 m/min, half(d))");
    let rpm = explained(&workspace, "rpm");
    assert_eq!(rpm.functions[0].definition, "half(x) = x / 2");
    let speed = &rpm.functions[1];
    assert_eq!(speed.name, "spindle_speed");
    assert!(speed.source.contains("Machinery's Handbook"), "{speed:?}");
    assert!(!speed.cautions.is_empty());
    let text = explanation_text(
        &rpm,
        TerminalStyle {
            width: 80,
            colour: false,
        },
    );
    assert!(
        text.contains("spindle_speed(30 m/min, half(40.000 mm))"),
        "{text}"
    );
    assert!(text.contains("caution"), "{text}");
}

#[test]
fn the_text_keeps_to_its_width() {
    let workspace = open(STACK);
    for width in [30_u16, 60, 72, 100] {
        for name in ["gap", "check 1"] {
            let text = explanation_text(
                &explained(&workspace, name),
                TerminalStyle {
                    width,
                    colour: false,
                },
            );
            let bar = text.contains('█');
            assert_eq!(bar, width >= 70, "{text}");
            if width >= 60 {
                let longest = text.lines().map(|line| line.chars().count()).max();
                assert!(
                    longest <= Some(usize::from(width) + 1),
                    "{width} {longest:?}\n{text}"
                );
            }
        }
    }
}
