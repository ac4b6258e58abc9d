//! Input without a terminal: results on standard output, errors with their lines,
//! exit status 2 at the end.

use std::fs;

use super::piped_through;

#[test]
fn errors_have_the_lines_of_the_input_and_do_not_stop_it() {
    let folder = tempfile::tempdir().unwrap();
    let output = piped_through(
        folder.path(),
        &[],
        "a = 2 mm\n\nb = a + 1 deg\nc = (a\nd = 2 * a\nnone_such + 1\n.undoo\nlater = never\n",
    );
    let errors = String::from_utf8_lossy(&output.stderr);
    for place in [
        "the input, line 3\n",
        "the input, line 4\n",
        "the input, line 6\n",
        "line 7",
        "the input, line 8\n",
    ] {
        assert!(errors.contains(place), "{place} in\n{errors}");
    }
    let printed = String::from_utf8_lossy(&output.stdout);
    // Worked by hand: 2 * 2 mm.
    assert!(printed.contains("d  4.000  mm"), "{printed}");
    assert_eq!(output.status.code(), Some(2));
}

#[test]
fn the_last_line_needs_no_end_and_nothing_is_lost() {
    let folder = tempfile::tempdir().unwrap();
    let output = piped_through(folder.path(), &[], "a = 2 mm\n3 * a +\n 1 mm");
    let printed = String::from_utf8_lossy(&output.stdout);
    // Worked by hand: 3 * 2 mm + 1 mm.
    assert!(printed.trim_end().ends_with("7.000 mm"), "{printed}");
    assert_eq!(output.status.code(), Some(0));
}

#[test]
fn a_whole_notebook_may_be_piped_whatever_its_order() {
    let folder = tempfile::tempdir().unwrap();
    let notebook = "title Lever\n\n[Drawing]\nwall = (boss - bore) / 2 # left\nboss = 26 mm\nbore = 12 mm\n\n[Holes]\ntable holes\n| hole | x |\n| \"a\" | wall |\n\ncheck wall > 6 mm\nop Bore to {bore}.\n";
    let output = piped_through(folder.path(), &[], &format!("{notebook}new lever\n"));
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    let text = fs::read_to_string(folder.path().join("lever.job")).unwrap();
    for line in notebook.lines().filter(|line| !line.is_empty()) {
        let statement = line.split(" # ").next().unwrap();
        assert!(text.contains(statement), "{statement} in\n{text}");
    }
}

#[test]
fn a_write_leaves_every_other_byte_alone() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("lever.job");
    let before = "# mine\r\ntitle   Lever\r\n[Drawing]\r\nbore   =  12 mm ±0.05   # runs\r\nboss = 26 mm\r\n\r\n[Checks]\r\ncheck boss > bore\t# always\r\n";
    fs::write(&file, before).unwrap();
    let output = piped_through(
        folder.path(),
        &["try", "lever"],
        "bore = 12.5 mm\n[Drawing]\nweb = 8 mm\nwrite bore\nleave\n",
    );
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    let only_bore = before.replace("12 mm", "12.5 mm");
    assert_eq!(fs::read_to_string(&file).unwrap(), only_bore);
    let output = piped_through(
        folder.path(),
        &["try", "lever"],
        "[Drawing]\nweb = 8 mm  # plate\nwrite\n",
    );
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    let with_web = only_bore.replace(
        "boss = 26 mm\r\n",
        "boss = 26 mm\r\nweb = 8 mm  # plate\r\n",
    );
    assert_eq!(fs::read_to_string(&file).unwrap(), with_web);
}

#[test]
fn undo_and_redo_go_over_every_kind_of_change() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("workshop.job"), "spindle = 200 rpm\n").unwrap();
    let entries = [
        "a = 2 mm",
        "a = 3 mm",
        "measured a = 3.1 mm",
        "check a > 1 mm",
        "half(x) = x / 2",
        "b = half(a)",
        "lengths inch",
        "use workshop",
        "c = workshop.spindle",
        "[Holes]",
        "table t\n| x |\n| a |\n",
        "op Bore {a}.",
        "vary a over 1 mm, 2 mm show b",
        "find s between 0 mm and 1 mm so that 2 * s = 1 mm",
        "remove b",
        "new lever",
        "try a = 9 mm",
    ];
    let script = format!(
        "{}\nsheet\nundo 17\nredo 17\nsheet\nundo 99\nredo 99\nsheet\n",
        entries.join("\n")
    );
    let output = piped_through(folder.path(), &[], &script);
    let printed = String::from_utf8_lossy(&output.stdout).into_owned();
    let errors = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(printed.contains("undid 17 changes"), "{printed}\n{errors}");
    assert!(printed.contains("redid 17 changes"), "{printed}\n{errors}");
    let sheets: Vec<&str> = printed
        .split("lever.job\n\n")
        .skip(1)
        .map(|sheet| sheet.split("\n  name").next().unwrap_or(sheet))
        .collect();
    assert_eq!(sheets.len(), 3, "{printed}\n{errors}");
    assert_eq!(sheets[0], sheets[1]);
    assert_eq!(sheets[1].trim_end(), sheets[2].trim_end());
    // The reading as it was typed.
    assert!(sheets[0].contains("3.100  mm"), "{}", sheets[0]);
}

#[test]
fn any_input_is_answered_or_refused() {
    let folder = tempfile::tempdir().unwrap();
    let deep = "(".repeat(500);
    let long = "1+".repeat(50_000);
    for input in [
        "\u{0}\u{1}\n",
        ".",
        ". .",
        "undo -1\nundo 99999999999999999999\n",
        "[",
        "]",
        "[[",
        "|",
        "table\n|",
        "##",
        "answer\n",
        "answer = answer\n",
        "a.b.c\n",
        "\"\n",
        "use use\n",
        "µ = 1 °\n",
        "x = = 1\n",
        "sheet [\n",
        "notebook /\n",
        "new /none/such\n",
        "write\n",
        "describe \"\n",
        "depends .\n",
        "explain answer\n",
        "remove\ndrop\nkeep\ntake\n",
        deep.as_str(),
        long.as_str(),
        "\u{feff}a = 1\n",
        "measured q = 1\n",
    ] {
        let output = piped_through(folder.path(), &[], input);
        let errors = String::from_utf8_lossy(&output.stderr).into_owned();
        let short: String = input.chars().take(40).collect();
        assert!(!errors.contains("panicked"), "{short:?}: {errors}");
        assert!(
            matches!(output.status.code(), Some(0 | 2)),
            "{short:?}: {output:?}"
        );
    }
}
