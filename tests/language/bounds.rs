//! Bounds: what is too long, nests too deep or takes too many steps is an error
//! that says so and names the cell, in bounded work and on a small stack.

use setover::internals::notebook::{Workspace, problems};
use setover::internals::sheet::Sheet;

use crate::any_text::all_the_way;
use crate::support::{in_two_megabytes, notebook, value, wrong};

/// Fails unless the text, on a stack of 2 MB, gives one error with these words in
/// cell `a`, and leaves cell `good` standing.
#[track_caller]
fn check(text: String, words: &str) {
    let found = in_two_megabytes(move || wrong(&all_the_way(&format!("{text}\ngood = 1\n"))));
    let messages: Vec<&str> = found.iter().map(|d| d.message.as_str()).collect();
    assert!(
        matches!(messages.as_slice(), [only] if only.contains(words)),
        "{messages:?}"
    );
}

#[test]
fn ten_thousand_of_anything_that_nests() {
    let n = 10_000;
    let deep = "brackets nest more than 64 deep";
    check(format!("a = {}1{}", "(".repeat(n), ")".repeat(n)), deep);
    check(format!("a = {}", "(".repeat(n)), deep);
    check(format!("a = {}", "[".repeat(n)), deep);
    check(format!("a = {}1{}", "f(".repeat(n), ")".repeat(n)), deep);
    check(format!("a = {}1{}", "[1, ".repeat(n), "]".repeat(n)), deep);
    check(format!("a = x{}1{}", "[x".repeat(n), "]".repeat(n)), deep);
    check(
        format!("op Turn {{{}1{}}}", "(".repeat(n), ")".repeat(n)),
        deep,
    );
    check(format!("a = {}1", "-".repeat(n)), "more than 64 signs");
    check(format!("a = {}1", "- ".repeat(n)), "more than 64 signs");
    check(
        format!("a = {}true", "not ".repeat(n)),
        "more than 64 signs",
    );
    check(
        format!("a = 1{}", "^1".repeat(n)),
        "more than 64 signs or powers",
    );
    check(format!("a = good{}", ".x".repeat(n)), "more than 64 fields");
    check(
        format!("a = good{}", "[1]".repeat(n)),
        "more than 64 fields",
    );
    check(
        format!(
            "a = {}1{}",
            "if true then ".repeat(3000),
            " else 2".repeat(3000)
        ),
        "more than 64 `if`",
    );
    check(
        format!("a = {}2", "if true then 1 else ".repeat(3000)),
        "more than 64 `if`",
    );
    check(
        format!("a = {}", "find x between 0 and ".repeat(3000)),
        "more than 64 `if`",
    );
    check(format!("a = {}1", "if ".repeat(n)), "more than 64 `if`");
    check(
        format!("a = 1{}", " + 1".repeat(100_000)),
        "the limit is 65536",
    );
}

/// Brackets that quotes, inch marks or backslashes hid from the check before the
/// parser; they ended the process.
#[test]
fn brackets_that_were_hidden() {
    let n = 20_000;
    let deep = "brackets nest more than 64 deep";
    check(
        format!("a = \"\\\\\" + {}1{}", "(".repeat(n), ")".repeat(n)),
        deep,
    );
    check(
        format!("a = 2°51'27 \" + {}1{}", "(".repeat(n), ")".repeat(n)),
        deep,
    );
    check(
        format!("a = 5 \" + {}1{}", "(".repeat(n), ")".repeat(n)),
        deep,
    );
    check(
        format!("op_a = {}1{}", "f(\")\", ".repeat(5000), ")".repeat(5000)),
        deep,
    );
    check(
        format!(
            "op Turn {{{}1{}}}",
            "f(\")\", ".repeat(5000),
            ")".repeat(5000)
        ),
        deep,
    );
}

/// What each bound allows by itself must not add up.
#[test]
fn bounds_do_not_multiply() {
    let signs = "-".repeat(60);
    let row = format!("{}{signs}", format!("{signs}2^").repeat(15));
    let text = format!("a = {}1{}", format!("{row}(").repeat(60), ")".repeat(60));
    check(text, "this nests more than 100 deep");
    let fields = ".x".repeat(60);
    check(
        format!(
            "a = {}good{}",
            "(".repeat(60),
            format!("{fields})").repeat(60)
        ),
        "this nests more than 100 deep",
    );
}

/// The worst that is allowed, all operators mixed at each of 64 levels, is parsed,
/// worked out, printed and dropped on a stack of 2 MB.
#[test]
fn the_deepest_that_is_allowed() {
    let outcome = in_two_megabytes(|| {
        let mut mixed = "1".to_owned();
        for level in 0..60 {
            mixed = match level % 4 {
                0 => format!("0 + 1 * ({mixed})"),
                1 => format!("(if 1 < 2 then {mixed} else 0)"),
                2 => format!("max(0, {mixed})"),
                _ => format!("[{mixed}][1]"),
            };
        }
        let mut operators = "1".to_owned();
        for _ in 0..45 {
            operators = format!("(0 + 1 * {operators}^1)");
        }
        let truths = format!(
            "{}a = 1{}",
            "(false or true and not not ".repeat(30),
            ")".repeat(30)
        );
        let text = format!("a = {mixed}\nb = {operators} = 1\nc = {truths}\n");
        let workspace = all_the_way(&text);
        let values = ["b", "c"].map(|name| value(&workspace, name).cloned());
        (wrong(&workspace), values)
    });
    assert_eq!(
        outcome,
        (Vec::new(), [Some(true.into()), Some(true.into())])
    );
}

#[test]
fn recursion_ends() {
    check(
        "f(n) = f(n + 1)\na = f(1)".to_owned(),
        "call one another more than 64 deep",
    );
    check(
        "f(n) = g(n)\ng(n) = f(n)\na = f(1)".to_owned(),
        "call one another more than 64 deep",
    );
    check(
        "f(n: f()) = n\na = f()".to_owned(),
        "call one another more than 64 deep",
    );
    // The bodies nest as well as the calls.
    let body = format!("{}f(n + 1){}", "1 + (".repeat(60), ")".repeat(60));
    check(format!("f(n) = {body}\na = f(1)"), "deep");
    // As deep as calls may go, it works.
    let workspace =
        in_two_megabytes(|| all_the_way("f(n) = if n < 1 then 0 else 1 + f(n - 1)\na = f(62)\n"));
    assert_eq!(value(&workspace, "a"), Some(&62.0.into()));
}

#[test]
fn what_takes_too_many_steps_ends_and_names_its_cell() {
    let f = "f(n) = if n < 1 then 1 else f(n - 1) + f(n - 1)";
    check(
        format!("{f}\na = f(60)"),
        "this takes more than 2000000 steps",
    );
    check(
        format!("{f}\na = sum([f(60), 1])"),
        "this takes more than 2000000 steps",
    );
    let long = vec!["1"; 20_000].join(", ");
    check(
        format!("l = [{long}]\ng(n) = if n < 1 then sum(l) else g(n - 1) + g(n - 1)\na = g(30)"),
        "this takes more than 2000000 steps",
    );
    check(
        format!("l = [{long}]\ng(n) = if n < 1 then l = l else g(n - 1) and g(n - 1)\na = g(30)"),
        "this takes more than 2000000 steps",
    );
    let wrong = in_two_megabytes(|| {
        wrong(&all_the_way(
            "f(n) = if n < 1 then 1 else f(n - 1) + f(n - 1)\na = f(60)\n",
        ))
    });
    assert_eq!(
        wrong[0].span.start as usize,
        "f(n) = if n < 1 then 1 else f(n - 1) + f(n - 1)\na = ".len()
    );
}

/// Many cells, each just within its steps, are too many together; the first ones
/// have their values, and so have those that take few steps.
#[test]
fn a_notebook_shares_its_steps() {
    use std::fmt::Write;
    let mut text = "f(n) = if n < 1 then 1 else f(n - 1) + f(n - 1)\n".to_owned();
    for cell in 0..200 {
        let _ = writeln!(text, "a{cell} = f(16)");
    }
    text += "good = 1 + 1\n";
    let workspace = notebook(&text);
    assert_eq!(value(&workspace, "a0"), Some(&65_536.0.into()));
    assert_eq!(value(&workspace, "a199"), None);
    assert_eq!(value(&workspace, "good"), Some(&2.0.into()));
    let wrong = wrong(&workspace);
    assert!(
        wrong
            .iter()
            .all(|d| d.message.contains("takes too many steps")),
        "{:?}",
        wrong[0]
    );
}

#[test]
fn find_of_hostile_functions_ends() {
    let f = "f(n) = if n < 1 then 1 else f(n - 1) + f(n - 1)";
    check(
        format!("{f}\na = find x between 0 and 1 so that f(60) * x = 0.5"),
        "steps",
    );
    check(
        format!("{f}\na = find x between 0 and 1 so that f(9) * x = 600"),
        "fits",
    );
    let nested = "a = find x between 0 and 1 so that (find y between 0 and 1 so that (find z between 0 and 1 so that z = x * y) = x / 4) = 0.1";
    let found = in_two_megabytes(move || wrong(&all_the_way(nested)));
    assert!(found.len() <= 1, "{found:?}");
    // A statement, over cells that depend on it.
    let found = in_two_megabytes(|| {
        let text = "f(n) = if n < 1 then 1 else f(n - 1) + f(n - 1)\nfind x between 0 and 1 so that b = 3\nb = f(20) * x\ngood = 1\n";
        wrong(&all_the_way(text))
    });
    assert_eq!(found.len(), 1, "{found:?}");
    for text in [
        "a = find x between 0 and 1 so that 1 / x = 1 / 0",
        "a = find x between 0 and 1 so that x = \"text\"",
        "a = find x between -1e308 and 1e308 so that x^3 = 1",
        "a = find x between 0 mm and 1 mm so that sqrt(x) = 1",
        "a = find x between 0 and 1 so that (if x < 0.5 then 1 else -1) = 0",
        "a = find x between 0 and 1e-300 so that x = 5e-301",
        "a = find x between none and 1 so that x = 1",
        "a = find x between 0 and 1 so that a = 0.5",
    ] {
        in_two_megabytes(move || all_the_way(text));
    }
}

fn grown(step: &str, first: &str, times: usize) -> String {
    use std::fmt::Write;
    let mut text = format!("a0 = {first}\n");
    for place in 0..times {
        let _ = writeln!(
            text,
            "a{} = {}",
            place + 1,
            step.replace('@', &format!("a{place}"))
        );
    }
    text
}

/// The first error of a notebook.
fn first_wrong(workspace: &Workspace) -> String {
    wrong(workspace)
        .first()
        .map_or(String::new(), |d| d.message.clone())
}

#[test]
fn lists_and_texts_that_grow_are_stopped() {
    for (step, first) in [("[@, @]", "[1]"), ("record(x: @, y: @)", "1")] {
        let text = grown(step, first, 60);
        let found = in_two_megabytes(move || first_wrong(&all_the_way(&text)));
        assert!(
            found.contains("more than 120000 values in all"),
            "{step}: {found}"
        );
    }
    let rows = "count(rows for k from 1 to 60000 by 1 with l = k)";
    let found = first_wrong(&notebook(&format!("a = {rows}\n")));
    assert!(found.contains("more than 100000 values"), "{found}");
    let text = grown("[@]", "[1]", 100_000 / 20);
    let found = in_two_megabytes(move || first_wrong(&all_the_way(&text)));
    assert!(found.contains("nest more than 64 deep"), "{found}");
    let text = grown("@ + @", "\"0123456789abcdef\"", 20);
    let found = in_two_megabytes(move || first_wrong(&all_the_way(&text)));
    assert!(
        found.contains("text grows longer than 100000 characters"),
        "{found}"
    );
    // A table that holds tables.
    let mut text = "table t0\n| x |\n| 1 |\n".to_owned();
    for place in 0..40 {
        text += &format!("table t{}\n| x | y |\n| t{place} | t{place} |\n", place + 1);
    }
    let found = in_two_megabytes(move || first_wrong(&all_the_way(&text)));
    assert!(found.contains("more than 120000 values in all"), "{found}");
}

#[test]
fn a_message_quotes_no_long_text() {
    let text = grown("@ + @", "\"0123456789abcdef\"", 10) + "b = a10 + 1\nc = a10 * 2\n";
    for diagnostic in wrong(&notebook(&text)) {
        assert!(
            diagnostic.message.len() < 200,
            "{}",
            diagnostic.message.len()
        );
    }
}

#[test]
fn long_lines_and_many_lines() {
    let long = "the limit is 65536";
    let n = 1_000_000;
    check(format!("a = {}", "1".repeat(10 * n)), long);
    check(format!("a = \"{}\"", "x".repeat(n)), long);
    check(format!("title {}", "x".repeat(n)), long);
    check(format!("op {}", "x".repeat(n)), long);
    // Each digit before a quote once made the splitter look back over the line.
    check(format!("a = {}", "1 \"".repeat(n)), long);
    check(format!("a = {}", "1\"".repeat(n)), long);
    check("(\n".repeat(n / 5), long);
    assert_eq!(wrong(&notebook(&format!("# {}\n", "x".repeat(10 * n)))), []);
    assert_eq!(wrong(&notebook(&"\n".repeat(n))), []);
    assert_eq!(wrong(&notebook(&" \r\n".repeat(n / 5))), []);
}

#[test]
fn nul_and_control_characters_are_errors() {
    check("a = 1\0 mm".to_owned(), "(U+0000) comes where");
    check("a = \u{1b}1".to_owned(), "comes where");
    let workspace = notebook("title \u{1b}[31mred\na = \"\0\"\n");
    assert_eq!(wrong(&workspace), []);
}

/// Work that grows with the square of the notebook would show here as minutes.
#[test]
fn many_errors_take_no_quadratic_time() {
    use std::fmt::Write;
    let lines = |line: &dyn Fn(usize) -> String| {
        (0..3_000).fold(String::new(), |mut text, place| {
            let _ = writeln!(text, "{}", line(place));
            text
        })
    };
    for text in [
        lines(&|_| "a = = 1".to_owned()),
        lines(&|_| "a = 1".to_owned()),
        lines(&|place| format!("a{place} = unknown{place}x")),
        lines(&|place| format!("a{place} = unknownf{place}x(1)")),
        lines(&|place| format!("a{place} = a{} + 1", (place + 1) % 3_000)),
        lines(&|place| format!("a{place} = 1 mm + {place}")),
    ] {
        let workspace = notebook(&text);
        let sheet = Sheet::of(&workspace);
        // No more than 1,000 of them are in a page or in JSON.
        assert_eq!(sheet.errors.len(), problems(&workspace).len().min(1_000));
        assert!(!sheet.errors.is_empty());
    }
    let mut table = "table t\n| x |\n".to_owned();
    let mut cells = String::new();
    for place in 0..5_000 {
        let _ = writeln!(table, "| a{place} |");
        let _ = writeln!(cells, "a{place} = {place}");
    }
    let workspace = notebook(&format!("{table}{cells}n = count(t)\n"));
    assert_eq!(value(&workspace, "n"), Some(&5_000.0.into()));
}

/// A long ring is shown by its ends.
#[test]
fn a_long_ring_is_shown_without_its_middle() {
    let text: String = (0..1000)
        .map(|place| format!("a{place} = a{} + 1\n", (place + 1) % 1000))
        .collect();
    let found = wrong(&notebook(&text));
    assert_eq!(found.len(), 1);
    assert!(found[0].message.contains("a0 → a1 →") && found[0].message.ends_with("→ a999 → a0"));
    assert!(
        found[0].message.contains("(901 more)") && found[0].message.len() < 2000,
        "{}",
        found[0].message
    );
}
