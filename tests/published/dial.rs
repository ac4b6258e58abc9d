//! Handwheels against worked examples.

use setover::trade::dial::dial_turns;
use uom::si::f64::Length;
use uom::si::length::{inch, millimeter};

use crate::compared::{check, inputs, length, near, number};
use crate::rows::rows;

fn mm(value: f64) -> Length {
    Length::new::<millimeter>(value)
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
                let dial = dial_turns(mm(0.0), length(given["screw"]), divisions).unwrap();
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
                let dial = dial_turns(length(given["move"]), screw, divisions).unwrap();
                match asked {
                    "full turns" => dial.turns as f64,
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
    let dial = dial_turns(inches(1.0), inches(1.0) / 8.0, 125).unwrap();
    assert_eq!((dial.turns, dial.divisions), (8, 0.0));
    let dial = dial_turns(inches(0.4735), inches(0.1), 100).unwrap();
    assert_eq!(dial.turns, 4);
    near(dial.divisions, 73.5, 1e-9);
    for turns in 0..500_u32 {
        let dial = dial_turns(mm(0.1) * f64::from(turns), mm(0.1), 40).unwrap();
        assert_eq!((dial.turns, dial.divisions), (u64::from(turns), 0.0));
    }
}

#[test]
fn bad_input_is_refused_by_argument() {
    for bad in [-1.0, f64::NAN, f64::INFINITY, 1e300] {
        assert_eq!(
            dial_turns(mm(bad), mm(2.0), 100).unwrap_err().argument,
            Some(0)
        );
        assert_eq!(
            dial_turns(mm(1.0), mm(bad), 100).unwrap_err().argument,
            Some(1)
        );
    }
    for bad in [0, u32::MAX] {
        assert_eq!(
            dial_turns(mm(1.0), mm(2.0), bad).unwrap_err().argument,
            Some(2)
        );
    }
    assert_eq!(
        dial_turns(mm(1e4), mm(1e-6), 100).unwrap_err().argument,
        Some(1)
    );
}
