//! The bounds that the language reference states are those of the program.

use super::shell::{folder, run};

/// Runs a notebook of this text; gives its exit status and what it printed.
fn status(text: &str) -> (i32, String) {
    let folder = folder();
    std::fs::write(folder.path().join("bound.job"), text).expect("the notebook");
    let done = run("setover run bound.job", folder.path());
    (done.status, done.printed)
}

#[track_caller]
fn just_reaches(within: &str, beyond: &str, word: &str) {
    let (well, printed) = status(within);
    assert_eq!(well, 0, "{printed}");
    let (wrong, printed) = status(beyond);
    assert_eq!(wrong, 2, "{printed}");
    assert!(printed.contains(word), "no `{word}` in\n{printed}");
}

#[test]
fn brackets_nest_64_deep() {
    let nested = |deep: usize| format!("a = {}1{}\n", "(".repeat(deep), ")".repeat(deep));
    just_reaches(&nested(64), &nested(65), "64");
}

#[test]
fn a_statement_has_65_536_bytes() {
    let long = |bytes: usize| {
        let start = "a = \"";
        format!("{start}{}\"\n", "x".repeat(bytes - start.len() - 1))
    };
    just_reaches(&long(65_536), &long(65_537), "65536");
}

#[test]
fn functions_call_64_deep() {
    let calls = |deep: usize| {
        let mut text = String::from("f1(x) = x\n");
        for level in 2..=deep {
            text.push_str(&format!("f{level}(x) = f{}(x)\n", level - 1));
        }
        format!("{text}a = f{deep}(1)\n")
    };
    just_reaches(&calls(64), &calls(65), "64");
}

#[test]
fn a_vary_has_10_000_rows() {
    let rows = |count: usize| format!("a = 1\nb = a\nvary a from 1 to {count} by 1 show b\n");
    just_reaches(&rows(10_000), &rows(10_001), "10000");
}

#[test]
fn a_list_has_100_000_values() {
    let circle = "p = pitch_circle(10000, 1 m)\n";
    just_reaches(
        &format!("{circle}a = count([p])\n"),
        &format!("{circle}a = count([p, p])\n"),
        "100000",
    );
}

#[test]
fn notebooks_use_one_another_64_deep() {
    let folder = folder();
    let chain = |deep: usize| {
        for level in 0..=deep {
            let text = if level < deep {
                format!("use n{} as next\na = next.a\n", level + 1)
            } else {
                String::from("a = 1\n")
            };
            std::fs::write(folder.path().join(format!("n{level}.job")), text).expect("written");
        }
        run("setover run n0.job", folder.path())
    };
    let well = chain(60);
    assert_eq!(well.status, 0, "{}", well.printed);
    let wrong = chain(70);
    assert_eq!(wrong.status, 2, "{}", wrong.printed);
    assert!(wrong.printed.contains("64"), "{}", wrong.printed);
}

#[test]
fn a_file_has_64_mib() {
    let folder = folder();
    let path = folder.path().join("big.job");
    let file = std::fs::File::create(&path).expect("a file");
    file.set_len(64 * 1024 * 1024 + 1).expect("its length");
    let done = run("setover run big.job", folder.path());
    assert_eq!(done.status, 2, "{}", done.printed);
    assert!(done.printed.contains("64 MiB"), "{}", done.printed);
}

#[test]
fn every_unit_and_statement_stands_in_the_reference() {
    let path = super::shell::root().join("library/LANGUAGE.md");
    let text = std::fs::read_to_string(path).expect("the reference");
    let mut counted = 0;
    for unit in setover::internals::quantity::definitions() {
        for spelling in std::iter::once(&unit.symbol).chain(unit.spellings) {
            // Two characters that look alike stand there once.
            let spelling = spelling.replace('\u{3bc}', "\u{b5}");
            let quoted = format!("`{spelling}`");
            assert!(text.contains(&quoted), "no {quoted} in the reference");
            counted += 1;
        }
    }
    assert!(counted > 60, "{counted} spellings");
    let statements = [
        "title", "lengths", "angles", "readout", "use", "measured", "aim", "check", "op", "table",
        "vary", "find", "draw",
    ];
    for statement in statements {
        let heading = text
            .lines()
            .filter(|line| line.starts_with("### "))
            .any(|line| line.contains(&format!("`{statement}")));
        assert!(heading, "no heading has `{statement}");
    }
}
