//! Whole notebooks whose tables follow from rules, held against figures worked by hand.
//!
//! No source: each figure is derived beside it.

use std::path::Path;

use setover::internals::language::{STEPS, Value};
use setover::internals::notebook::Workspace;
use setover::internals::quantity::Quantity;
use setover::internals::sheet::{RowKind, Sheet};

use crate::support::{notebook, wrong};

fn part(name: &str) -> Workspace {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/rules")
        .join(name);
    let text = std::fs::read_to_string(&path).expect("the notebook");
    let workspace = notebook(&text);
    assert!(wrong(&workspace).is_empty(), "{:?}", wrong(&workspace));
    assert!(workspace.is_good(), "a check of {name} fails");
    workspace
}

#[track_caller]
fn check(workspace: &Workspace, expression: &str, expected: f64, unit: &str) {
    let found = workspace.evaluate(expression, &[], STEPS);
    let found = found.unwrap_or_else(|wrong| panic!("{expression}: {wrong:?}"));
    let found = found.quantity().expect("a quantity");
    let wanted = match unit {
        "" => Quantity::number(expected),
        unit => Quantity::of(expected, unit).expect("a unit"),
    };
    let close = (found.si - wanted.si).abs() <= 1e-9 * wanted.si.abs().max(1e-3);
    assert!(
        close && found.dimension == wanted.dimension,
        "{expression} came to {found}, not {wanted}"
    );
}

#[track_caller]
fn op(workspace: &Workspace, number: &str, expected: &str) {
    let sheet = Sheet::of(workspace);
    let row = sheet
        .rows()
        .find(|row| row.kind == RowKind::Op && row.name == number);
    assert_eq!(row.expect("the op").text, expected);
}

#[test]
fn an_edge_is_rounded_by_depth_and_by_height_of_ridge() {
    let edge = part("edge.job");
    // 5 - sqrt(25 - (5 - depth)^2), whole at the triangles 3-4-5.
    for (depth, side) in [(1, 2.0), (2, 1.0), (5, 0.0)] {
        check(
            &edge,
            &format!("flat[{depth}].depth"),
            f64::from(depth),
            "mm",
        );
        check(&edge, &format!("flat[{depth}].side"), side, "mm");
    }
    op(&edge, "1.1", "Down 1.000 mm, in 2.000 mm.");
    // The corner of cuts n and n + 1 stands at (r sin of n + 1, r cos of n) from the
    // centre, (r + ridge) away: so the squared sine grows by (1 + 0.1 / 5)^2 - 1 =
    // 0.0404 with each cut, and passes 1 at the 25th.
    check(&edge, "cuts", 25.0, "");
    check(&edge, "even[10].square", 0.404, "");
    check(&edge, "even[10].side", 5.0 * (1.0 - 0.404_f64.sqrt()), "mm");
    check(
        &edge,
        "even[10].depth",
        5.0 * (1.0 - 0.596_f64.sqrt()),
        "mm",
    );
    check(&edge, "even[25].side", 0.0, "mm");
    check(&edge, "even[25].depth", 5.0, "mm");
    // The ball's centre runs on a circle of 10 mm: 5 - sqrt(100 - (10 - tip)^2).
    for (row, side) in [(1, 5.0), (2, -1.0), (3, -3.0), (6, -5.0)] {
        check(&edge, &format!("round[{row}].side"), side, "mm");
    }
    // Cosine of half a step (100 + 5.02^2 - 25) / (2 * 10 * 5.02) = 0.998012: a step of
    // 7.2269 degrees, 12.45 of them in 90 degrees.
    check(&edge, "steps", 13.0, "");
    check(&edge, "count(swept)", 14.0, "");
    check(&edge, "last(swept).side", -5.0, "mm");
    check(&edge, "last(swept).tip", 10.0, "mm");
    let step = (90.0_f64 / 13.0).to_radians();
    check(&edge, "swept[2].side", 5.0 - 10.0 * step.sin(), "mm");
}

#[test]
fn a_dividing_card_has_turns_and_holes_for_each_tooth() {
    let card = part("dividing.job");
    // 90 / 57 = 30 / 19: tooth n stands at 30 (n - 1) nineteenths of a turn.
    for tooth in [1_u32, 2, 3, 20, 39, 57] {
        let holes = 30 * (tooth - 1);
        check(
            &card,
            &format!("card[{tooth}].turns"),
            f64::from(holes / 19),
            "",
        );
        check(
            &card,
            &format!("card[{tooth}].holes"),
            f64::from(holes % 19),
            "",
        );
    }
    check(&card, "count(card)", 57.0, "");
    // 56 * 30 = 1680 = 88 * 19 + 8; the crank stands at 88.421 turns.
    op(&card, "1.57", "tooth 57, crank 88.4211, turns 88, holes 8");
}

#[test]
fn a_cam_rises_harmonically_and_dwells() {
    let cam = part("cam.job");
    // 4 (1 - cos(1.5 turn)): at 30 degrees 4 - 4 cos 45, at 40 degrees 4 - 4 cos 60.
    for (turn, up) in [
        (0, 0.0),
        (30, 4.0 - 4.0 * 0.5_f64.sqrt()),
        (40, 2.0),
        (60, 4.0),
        (80, 6.0),
        (120, 8.0),
        (150, 8.0),
        (180, 8.0),
        (240, 4.0),
        (300, 0.0),
        (355, 0.0),
    ] {
        let row = turn / 5 + 1;
        check(&cam, &format!("cam[{row}].turn"), f64::from(turn), "deg");
        check(&cam, &format!("cam[{row}].up"), up, "mm");
        check(&cam, &format!("cam[{row}].x"), 25.0 + up, "mm");
    }
    check(&cam, "count(cam)", 72.0, "");
    check(&cam, "sum(cam.by)", 0.0, "mm");
    // Steepest about 60 degrees: 4 (cos 90 - cos 97.5).
    let steepest = -4.0 * 97.5_f64.to_radians().cos();
    check(&cam, "steepest", steepest, "mm");
    op(&cam, "1.13", "Table at 60.000 deg, X to 29.000 mm.");
    let sheet = Sheet::of(&cam);
    let graph = sheet.rows().find(|row| row.kind == RowKind::Draw);
    let graph = graph.expect("the graph");
    assert_eq!(
        graph.data.as_ref().expect("of a sheet for programs").value["rows"]
            .as_array()
            .map(Vec::len),
        Some(72)
    );
    assert!(graph.picture.is_some());
}

#[test]
fn holes_along_an_arc_have_a_running_chord() {
    let arc = part("arc.job");
    // A chord of 15 degrees on a radius of 60 mm: 120 sin 7.5.
    let chord = 120.0 * 7.5_f64.to_radians().sin();
    check(&arc, "count(holes)", 9.0, "");
    check(&arc, "holes[1].chord", 0.0, "mm");
    check(&arc, "holes[2].chord", chord, "mm");
    check(&arc, "holes[9].run", 8.0 * chord, "mm");
    check(&arc, "holes[4].x", 60.0 * 65.0_f64.to_radians().cos(), "mm");
    // Five holes from 20 to 80 degrees stand right of the centre; 90 is none of them.
    check(&arc, "count(right)", 5.0, "");
    check(&arc, "shown[1].x", 70.0, "mm");
    check(&arc, "shown[1].y", 0.0, "mm");
    let run = arc.evaluate("holes.run", &[], STEPS).expect("a column");
    assert!(matches!(run, Value::List(items) if items.len() == 9));
}
