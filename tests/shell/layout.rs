//! How a sheet is laid out at different widths.

use crate::builder::Shell;

const PART: &str = "\
title A title of several words that is longer than twenty columns
lengths mm, inch

[Sizes]
bore = 12.5 mm
wall = 1/4 in
depth = 100 mm
tiny = -0.05 mm
n = 6
speed = 382 rpm
bend = 2°51'27\"
label = \"M8x1\"
list = [45, 80, 125, 200, 315, 500, 800, 1250, 2000] rpm

[Holes]
table holes
| hole | x     | y      | depth |
| \"a\"  | 0 mm  | 2.5 mm | 10 mm |
| \"bc\" | 64 mm | 100 mm | 1 in  |

[Work]
op Drill {n} holes at {bore}, then ream and deburr; check the depth of each with the readout before moving on.
check depth - wall >= 4 mm and bore < depth and wall < bore   # metal left round the bore after boring
";

fn sheet(columns: &str) -> String {
    let run = Shell::new(&["run", "part.job"])
        .file("part.job", PART)
        .env("COLUMNS", columns)
        .outcome();
    assert_eq!(
        (run.status, run.stderr.as_str()),
        (Some(0), ""),
        "{columns}"
    );
    run.stdout
}

/// Columns that a line takes; every character here takes one.
fn width(line: &str) -> usize {
    line.chars().count()
}

#[test]
fn no_line_is_longer_than_the_terminal() {
    for columns in [20, 30, 40, 60, 80, 100, 120, 200] {
        let sheet = sheet(&columns.to_string());
        // The title and the file's name are not broken.
        for line in sheet.lines().skip(2) {
            assert!(
                width(line) <= columns,
                "{columns} columns, {}: {line}\n{sheet}",
                width(line)
            );
        }
    }
}

#[test]
fn nothing_is_lost_on_a_narrow_terminal() {
    let squeezed = |text: &str| {
        text.chars()
            .filter(|c| !c.is_whitespace())
            .collect::<String>()
    };
    let wide = squeezed(&sheet("200"));
    for columns in ["20", "40", "80"] {
        let narrow = squeezed(&sheet(columns));
        for word in [
            "12.500",
            "0.4921",
            "0.2500",
            "2°51'27\"",
            "M8x1",
            "-0.050",
            "382",
            "1250",
            "64.000",
            "deburr",
        ] {
            assert!(wide.contains(word), "{word}");
            assert!(
                narrow.contains(word),
                "{word} at {columns} columns\n{}",
                sheet(columns)
            );
        }
    }
}

/// Where the point of the number that follows a name stands in its line.
fn point(sheet: &str, name: &str, number: &str) -> usize {
    let line = sheet
        .lines()
        .find(|line| line.trim_start().starts_with(&format!("{name} ")))
        .unwrap_or_else(|| panic!("no line {name}\n{sheet}"));
    let at = line
        .find(number)
        .unwrap_or_else(|| panic!("no {number} in {line}"));
    width(&line[..at]) + number.find('.').unwrap_or(number.len())
}

#[test]
fn decimal_points_line_up() {
    for columns in ["80", "200"] {
        let sheet = sheet(columns);
        let metric = [
            ("bore", "12.500"),
            ("wall", "6.350"),
            ("depth", "100.000"),
            ("tiny", "-0.050"),
            ("n", "6"),
            ("speed", "382"),
        ];
        let points: Vec<usize> = metric
            .iter()
            .map(|(name, number)| point(&sheet, name, number))
            .collect();
        assert!(
            points.iter().all(|at| *at == points[0]),
            "{points:?}\n{sheet}"
        );
        let inch = [
            ("bore", "0.4921"),
            ("wall", "0.2500"),
            ("depth", "3.9370"),
            ("tiny", "-0.0020"),
        ];
        let points: Vec<usize> = inch
            .iter()
            .map(|(name, number)| point(&sheet, name, number))
            .collect();
        assert!(
            points.iter().all(|at| *at == points[0]),
            "{points:?}\n{sheet}"
        );
        // In a table too, each column by itself.
        let rows = [("a", "0.000", "2.500"), ("bc", "64.000", "100.000")];
        let points = rows.map(|(name, x, y)| (point(&sheet, name, x), point(&sheet, name, y)));
        assert_eq!(points[0], points[1], "{sheet}");
    }
}

#[test]
fn both_units_stand_side_by_side_at_eighty_columns() {
    let sheet = sheet("80");
    for line in sheet.lines().filter(|line| line.starts_with("  bore ")) {
        assert!(line.contains(" mm ") && line.ends_with(" in"), "{line}");
    }
}

#[test]
fn a_width_that_is_none_counts_as_eighty() {
    let eighty = sheet("80");
    for columns in ["", "abc", "-5", "99999999"] {
        assert_eq!(sheet(columns), eighty, "{columns}");
    }
    assert_eq!(sheet("0"), sheet("20"));
}

#[test]
fn the_other_unit_is_printed_where_both_are_asked_for() {
    let run = |lengths: &str| {
        Shell::new(&["run", "part.job"])
            .file(
                "part.job",
                format!("lengths {lengths}\na = 1 in\nb = 12.7 mm\n"),
            )
            .outcome()
            .stdout
    };
    assert_eq!(
        run("mm, inch"),
        "part.job\n\n  a  25.400  mm  1.0000  in\n  b  12.700  mm  0.5000  in\n"
    );
    assert_eq!(
        run("inch, mm"),
        "part.job\n\n  a  1.0000  in  25.400  mm\n  b  0.5000  in  12.700  mm\n"
    );
    // A value is shown in the unit its cell was written in.
    assert_eq!(
        run("mm"),
        "part.job\n\n  a   1.0000  in\n  b  12.700   mm\n"
    );
}
