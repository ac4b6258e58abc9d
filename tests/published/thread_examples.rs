//! Worked examples for threads: tapping, depth, infeed, three wires.

use setover::internals::trade::threads::{engagement, tapping_drill, thread};
use uom::si::angle::degree;
use uom::si::f64::{Angle, Length};
use uom::si::length::{inch, millimeter};

use crate::asked::{best_wire, infeed, over_wires, pitch_diameter_from_wires, thread_depth};
use crate::compared::near_at;
use crate::lengths::mm;
use crate::rows::{Row, rows};

/// One input of an example: `W=0.140 in` is `0.140` and `in`.
fn input<'r>(row: &'r Row, name: &str) -> Option<(&'r str, &'r str)> {
    row.text("inputs").split(';').find_map(|part| {
        let (key, value) = part.trim().split_once('=')?;
        (key == name).then(|| match value.rsplit_once(' ') {
            Some((number, unit @ ("in" | "mm" | "deg"))) => (number, unit),
            _ => (value, ""),
        })
    })
}

fn length(row: &Row, name: &str) -> Option<Length> {
    let (value, unit) = input(row, name)?;
    let mut number = 0.0;
    for part in value.split(' ') {
        number += match part.split_once('/') {
            Some((top, bottom)) => top.parse::<f64>().unwrap() / bottom.parse::<f64>().unwrap(),
            None => part.parse::<f64>().unwrap(),
        };
    }
    match unit {
        "in" => Some(Length::new::<inch>(number)),
        "mm" => Some(mm(number)),
        _ => panic!("{name}={value} has no unit"),
    }
}

/// The designation an example means.
fn designation(row: &Row) -> String {
    let text = |name| input(row, name).map(|(value, _)| value);
    let form = text("form").unwrap_or_default();
    // Examples that give a pitch or a count alone take a usual diameter.
    if let Some(name) = text("thread") {
        return match form {
            "Whitworth" => format!("{name} BSW"),
            _ if name.contains('-') => format!("{name} UNC"),
            _ => name.to_owned(),
        };
    }
    if let Some(("1.5", "mm")) = input(row, "P") {
        return "M10x1.5".to_owned();
    }
    if let Some((_, name)) = row.text("asked").split_once("measurement over wires, ") {
        return name.to_owned();
    }
    let count = text("N").unwrap();
    let size = text("D");
    if row.text("topic") == "three wires 55 deg" {
        return format!("{}-{count} Whitworth", size.unwrap_or("0.5"));
    }
    let name = match form {
        "American National" => "NC",
        "sharp V" => "sharp V",
        "general-purpose Acme" => "Acme",
        "" if row.text("formula").contains("0.64952") || text("depth").is_some() => "NC",
        _ => "UN",
    };
    format!("{}-{count} {name}", size.unwrap_or("1"))
}

/// What the functions give for an example, in the example's unit.
fn answer(row: &Row) -> f64 {
    let thread_name = designation(row);
    let in_unit = |length: Length| match row.text("unit") {
        "in" => length.get::<inch>(),
        "mm" => length.get::<millimeter>(),
        unit => panic!("{unit}"),
    };
    let asked = row.text("asked");
    match row.text("topic") {
        "tapping drill" => match (length(row, "drill"), input(row, "percent")) {
            // A percentage of 5H/8: the share of the basic height, D to D1.
            (Some(drill), _) if asked.contains("5H/8") => {
                let found = thread(&thread_name).unwrap();
                let basic = engagement(&thread_name, found.minor_internal).unwrap();
                100.0 * engagement(&thread_name, drill).unwrap() / basic
            }
            (Some(drill), _) => 100.0 * engagement(&thread_name, drill).unwrap(),
            (None, Some((percent, _))) => {
                let share = percent.parse::<f64>().unwrap() / 100.0;
                in_unit(tapping_drill(&thread_name, Some(share)).unwrap().exact)
            }
            (None, None) => panic!("{}", row.text("inputs")),
        },
        "thread depth" => in_unit(thread_depth(&thread_name)),
        "compound infeed" => {
            let angle = input(row, "angle").unwrap().0.parse().unwrap();
            in_unit(infeed(&thread_name, Angle::new::<degree>(angle)))
        }
        _ if asked == "best wire" => in_unit(best_wire(&thread_name)),
        _ if asked == "pitch diameter" => {
            let (wire, over) = (length(row, "W").unwrap(), length(row, "M").unwrap());
            in_unit(pitch_diameter_from_wires(&thread_name, wire, over))
        }
        _ => {
            let wire = length(row, "W").unwrap_or_else(|| best_wire(&thread_name));
            in_unit(over_wires(&thread_name, wire))
        }
    }
}

/// Source: the `source` column of each row.
#[test]
fn every_worked_example_of_threads() {
    let table = rows(include_str!("../reference/worked_examples_threads.csv"));
    for row in &table {
        let what = format!(
            "{} {} ({})",
            row.text("topic"),
            row.text("inputs"),
            designation(row)
        );
        // Half a unit of the last place more: two rows print no spare figure.
        let tolerance = row.number("tolerance").unwrap() * 1.0001;
        near_at(
            &what,
            answer(row),
            row.number("expected").unwrap(),
            tolerance,
        );
    }
    assert_eq!(table.len(), 32);
    println!("{} worked examples of threads", table.len());
}
