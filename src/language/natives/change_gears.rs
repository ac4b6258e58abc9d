//! Change gears and the thread dial.

use super::Topic;
use super::shown::{counts, percent, shown_in};
use crate::diagnostic::Fault;
use crate::language::arguments::Arguments;
use crate::language::{Record, Table, Value};
use crate::quantity::Quantity;
use crate::trade::change_gears;

/// The functions of this topic.
pub const FUNCTIONS: Topic = &[
    ("change_gears", |a| {
        let gears = gears(a, 2)?;
        let (pitch, leadscrew) = (a.get(0), a.get(1));
        let found = change_gears::change_gears(pitch, leadscrew, &gears, a.count(3), a.number(4))?;
        let length = |value| Value::from(shown_in(value, a.quantity(0).unit));
        let rows = found
            .iter()
            .map(|train| {
                vec![
                    counts(&train.drivers),
                    counts(&train.driven),
                    length(train.pitch),
                    percent(train.error).into(),
                    length(train.error_per_pitch),
                    // Over 100 mm: a metric figure whatever the thread.
                    Quantity::from(train.error_over_100_mm).into(),
                ]
            })
            .collect();
        let columns = [
            "drivers",
            "driven",
            "pitch",
            "error",
            "error_per_pitch",
            "error_over_100_mm",
        ];
        Ok(Table::new(&columns, rows).into())
    }),
    ("gear_set", |a| {
        let set = change_gears::gear_set(&a.text(0)).map_err(|fault| fault.in_argument(0))?;
        Ok(Record::new([
            ("name", Value::from(set.name)),
            ("gears", counts(&set.gears)),
            ("leadscrew", set.leadscrew.into()),
            ("note", set.note.into()),
        ])
        .into())
    }),
    ("thread_dial", |a| {
        let found = change_gears::thread_dial(a.get(0), a.get(1), a.count(2), a.count(3))?;
        let advice = if found.keep_closed {
            "no mark is safe: keep the half nuts closed and run the lathe back"
        } else if found.anywhere {
            "close the half nuts wherever they drop in"
        } else {
            "close the half nuts at these marks, counted from the one of the first pass"
        };
        Ok(Record::new([
            ("marks", counts(&found.marks)),
            ("anywhere", found.anywhere.into()),
            ("keep_closed", found.keep_closed.into()),
            ("advice", advice.into()),
        ])
        .into())
    }),
];

/// The gears of an argument: a set by its name, or the teeth of each gear.
pub fn gears(a: &Arguments, index: usize) -> Result<Vec<u32>, Fault> {
    match a.value(index) {
        Value::Text(name) => change_gears::gear_set(name)
            .map(|set| set.gears)
            .map_err(|fault| fault.in_argument(index)),
        _ => Ok(a.counts(index)),
    }
}
