//! Handwheels against worked examples.

use uom::si::f64::Length;
use uom::si::length::inch;

use crate::asked::mm as text;
use crate::compared::{check, inputs, length, near, number};
use crate::evaluated::quantity;
use crate::lengths::mm;
use crate::rows::rows;

/// What a notebook answers: turns, divisions, what one division moves.
struct Dial {
    turns: f64,
    divisions: f64,
    per_division: Length,
}

fn dial_turns(distance: Length, per_turn: Length, divisions: u32) -> Dial {
    let call = format!(
        "dial_turns({}, {}, {divisions})",
        text(distance),
        text(per_turn)
    );
    let field = |name: &str| quantity(&format!("{call}.{name}"));
    Dial {
        turns: field("turns").si,
        divisions: field("divisions").si,
        per_division: field("per_division").into(),
    }
}

/// Source: each row names its own.
#[test]
fn worked_examples() {
    let table = rows(include_str!("../reference/worked_dial.csv"));
    for row in &table {
        let given = inputs(row);
        let found = match row["asked"].as_str() {
            "divisions on the dial" => {
                let divisions = number(&row["expected"]) as u32;
                let dial = dial_turns(mm(0.0), length(given["screw"]), divisions);
                near(
                    dial.per_division.get::<inch>(),
                    number(given["dial_division"]),
                    1e-12,
                );
                length(given["screw"]).get::<inch>() / dial.per_division.get::<inch>()
            }
            asked => {
                let screw = mm(number(given["screw"]));
                let divisions = (screw / length(given["division"])).value.round() as u32;
                let dial = dial_turns(length(given["move"]), screw, divisions);
                match asked {
                    "full turns" => dial.turns,
                    "divisions past the last full turn" => dial.divisions,
                    other => panic!("asked for {other}"),
                }
            }
        };
        check(row, found);
    }
    println!("checked {} worked examples of handwheels", table.len());
}

/// Source: by hand: 1 in on a screw of 8 tpi is 8 turns; 0.4735 in on 10 tpi and
/// 100 divisions is 4 turns and 73 1/2 divisions.
#[test]
fn whole_turns_come_out_whole() {
    let inches = Length::new::<inch>;
    let dial = dial_turns(inches(1.0), inches(1.0) / 8.0, 125);
    assert_eq!(dial.turns, 8.0);
    near(dial.divisions, 0.0, 1e-9);
    let dial = dial_turns(inches(0.4735), inches(0.1), 100);
    assert_eq!(dial.turns, 4.0);
    near(dial.divisions, 73.5, 1e-9);
    for turns in 0..500_u32 {
        let dial = dial_turns(mm(0.1) * f64::from(turns), mm(0.1), 40);
        assert_eq!(dial.turns, f64::from(turns));
        near(dial.divisions, 0.0, 1e-9);
    }
}
