//! Limits of lists, tables and rules: value by value, with a proof.
//!
//! Source: arithmetic on the limits, and the Pythagorean theorem.

use setover::internals::sheet::RowKind;

use crate::shelf::{open, row};

const PLATE: &str = "\
table plate
| hole | x            | y    |
| \"a\"  | 10 mm ±0.1   | 5 mm |
| \"b\"  | 64 mm ±0.05  | 0 mm |
";

#[track_caller]
fn status(text: &str, condition: &str) -> String {
    let text = format!("{text}\ncheck {condition}\n");
    row(&open(&text), RowKind::Check, condition).status
}

#[track_caller]
fn limits(text: &str, name: &str) -> (String, Option<&'static str>) {
    let row = row(&open(text), RowKind::Cell, name);
    (row.limits, row.limits_known)
}

#[test]
fn a_check_of_a_whole_list_is_proven() {
    assert_eq!(status(PLATE, "plate.x >= 9.9 mm"), "holds");
    assert_eq!(status(PLATE, "plate.x + 10 mm >= 19.9 mm"), "holds");
    assert_eq!(status(PLATE, "9 mm < plate.x <= 64.05 mm"), "holds");
    assert_eq!(status(PLATE, "not (plate.x > 65 mm)"), "holds");
    assert_eq!(status(PLATE, "plate.x > 9 mm and plate.y >= 0 mm"), "holds");
    assert_eq!(status(PLATE, "[1, 2] * plate.x >= 9.9 mm"), "holds");
    // The least of the two is 9.9 mm.
    let found = status(PLATE, "plate.x >= 9.95 mm");
    assert!(
        found.starts_with("may fail: misses by 0.050 mm at the limits"),
        "{found}"
    );
    // Two whole lists are one truth, which has no program.
    let found = status(PLATE, "plate.x != plate.y");
    assert!(found.starts_with("not known"), "{found}");
}

#[test]
fn what_is_picked_from_a_table_is_proven() {
    let text = format!(
        "{PLATE}\
between = plate.x[2] - plate[1].x
apart = sqrt(between^2 + (plate[1].y - plate[2].y)^2)
all = sum(plate.x)
far = first(plate).x + max(plate.x)
"
    );
    let proven = |ends: &str| (ends.to_owned(), Some("proven"));
    // 63.95 - 10.1 and 64.05 - 9.9.
    assert_eq!(limits(&text, "between"), proven("53.850 to 54.150"));
    // sqrt(53.85^2 + 25) = 54.0816, sqrt(54.15^2 + 25) = 54.3804.
    assert_eq!(limits(&text, "apart"), proven("54.081 to 54.381"));
    assert_eq!(limits(&text, "all"), proven("73.850 to 74.150"));
    assert_eq!(limits(&text, "far"), proven("73.850 to 74.150"));
}

#[test]
fn computed_columns_stand_on_the_cells_of_their_row() {
    let text = "\
table shims
| place | thick       | pair = 2 * thick | wide = pair + 1 mm |
| \"a\"   | 1 mm ±0.02  |                  |                    |
| \"b\"   | 2 mm ±0.01  |                  |                    |
both = sum(shims.wide)
check shims.wide <= 5.02 mm
";
    // 2 x 1.02 + 1 + 2 x 2.01 + 1.
    assert_eq!(
        limits(text, "both"),
        ("7.940 to 8.060".to_owned(), Some("proven"))
    );
    let found = row(&open(text), RowKind::Check, "shims.wide <= 5.02 mm");
    assert_eq!(found.status, "holds");
}

#[test]
fn rules_are_laid_in_row_by_row() {
    let text = "\
spacer = 6 mm ±0.02
bar = 4 mm ±0.01
stack = rows for i from 1 to 5 by 1 starting long = bar with
  long = before.long + spacer unless i = 2
tall = last(stack).long
edge = rows for depth over [1, 2, 3] mm with side = spacer - sqrt(spacer^2 - (spacer - depth)^2)
cut = edge.side[3]
check edge.side >= 0 mm
check stack.long <= 28.1 mm
deep = rows for row over edge with twice = 2 * row.side
most = max(deep.twice)
";
    let proven = |ends: &str| (ends.to_owned(), Some("proven"));
    // Four rows stay: 4 x (5.98 to 6.02) + (3.99 to 4.01).
    assert_eq!(limits(text, "tall"), proven("27.910 to 28.090"));
    // r - sqrt(6 r - 9) rises: 0.79541 at 5.98, 0.81231 at 6.02, rounded outward.
    assert_eq!(limits(text, "cut"), proven("0.795 to 0.813"));
    let sheet = open(text);
    for condition in ["edge.side >= 0 mm", "stack.long <= 28.1 mm"] {
        assert_eq!(row(&sheet, RowKind::Check, condition).status, "holds");
    }
    let (_, known) = limits(text, "most");
    assert_eq!(known, Some("proven"));
}

#[test]
fn a_list_shows_the_limits_of_its_values() {
    let text = format!("{PLATE}far = plate.x + 10 mm\nstill = plate.y + 1 mm\n");
    assert_eq!(
        limits(&text, "far"),
        (
            "19.900 to 20.100, 73.950 to 74.050".to_owned(),
            Some("proven")
        )
    );
    assert_eq!(limits(&text, "still"), (String::new(), None));
}

#[test]
fn functions_take_the_columns_that_move_value_by_value() {
    let text = format!("{PLATE}roots = sqrt(plate.x * 1 mm)\ncheck roots >= 3.1 mm\n");
    // sqrt(9.9), sqrt(10.1), sqrt(63.95), sqrt(64.05), rounded outward.
    assert_eq!(limits(&text, "roots").0, "3.146 to 3.179, 7.996 to 8.004");
    let found = row(&open(&text), RowKind::Check, "roots >= 3.1 mm");
    assert_eq!(found.status, "holds");
}

/// What hangs on the faces of a size in a table is left to the evaluator, which keeps them.
#[test]
fn faces_of_sizes_in_a_table_stay() {
    let text = format!("{PLATE}least = plate.x[1].low\nplay = plate[2].x.high - plate[1].x\n");
    let sheet = open(&text);
    assert_eq!(row(&sheet, RowKind::Cell, "least").text, "9.900 mm");
    // 64.05 - 10.1 and 64.05 - 9.9.
    assert_eq!(
        row(&sheet, RowKind::Cell, "play").limits,
        "53.950 to 54.150"
    );
}

/// Holes keep their tolerances and their proof from another datum.
#[test]
fn holes_are_carried_with_their_limits() {
    let text = format!(
        "{PLATE}\
moved_on = moved(plate, 10 mm, 0 mm)
other_side = mirrored(plate, \"y\")
round = turned(plate, 30 deg)
half_round = turned(plate, 180 deg)
a = moved_on.x[1]
b = other_side.x[2]
c = round.x[1] + 0 mm
check moved_on.x >= 19.9 mm
check other_side.x >= -64.05 mm
check round.y >= 9.28 mm
"
    );
    let sheet = open(&text);
    let text_of = |name: &str| row(&sheet, RowKind::Cell, name);
    assert_eq!(text_of("a").limits, "19.900 to 20.100");
    assert_eq!(text_of("b").limits, "-64.050 to -63.950");
    // 9.9 cos 30 - 5 sin 30 = 6.07365, 10.1 cos 30 - 5 sin 30 = 6.24686.
    assert_eq!(text_of("c").limits, "6.073 to 6.247");
    for condition in [
        "moved_on.x >= 19.9 mm",
        "other_side.x >= -64.05 mm",
        // 9.9 sin 30 + 5 cos 30 = 9.28013.
        "round.y >= 9.28 mm",
    ] {
        let check = row(&sheet, RowKind::Check, condition);
        assert_eq!(check.status, "holds", "{condition}");
    }
    // Where x stays x, turned round or not, it keeps its tolerance.
    for (table, x) in [
        ("moved_on", ["20 ±0.1", "74 ±0.05"]),
        ("half_round", ["-10 ±0.1", "-64 ±0.05"]),
    ] {
        let grid = text_of(table).grid.unwrap_or_default();
        let cells: Vec<String> = grid.rows.iter().map(|row| row[1].number.clone()).collect();
        assert_eq!(cells, x, "{table}");
    }
}
