//! Drills: by name, the nearest of a set, for threads, before a reamer.

use uom::si::f64::Length;

use super::Topic;
use super::shown::{drill_unit, percent, shown, shown_in};
use crate::diagnostic::Fault;
use crate::language::arguments::Arguments;
use crate::language::{Record, Value};
use crate::trade::drills::{self, ChosenDrill, Stock};
use crate::trade::{screws, threads};

/// The functions of this topic.
pub const FUNCTIONS: Topic = &[
    ("drill", |a| {
        let drill = drills::drill(&a.text(0)).map_err(|fault| fault.in_argument(0))?;
        Ok(described(&drill.name, drill.diameter).into())
    }),
    ("nearest_drill", |a| {
        let (text, owned) = (a.text(1), a.list_of(1));
        let found = drills::nearest_drill(a.get(0), stock(a, 1, &text, &owned), &a.text(2))?;
        Ok(chosen(&found).into())
    }),
    ("drill_under", |a| {
        let (text, owned) = (a.text(2), a.list_of(2));
        let found = drills::drill_under(a.get(0), a.get(1), stock(a, 2, &text, &owned))?;
        Ok(chosen(&found).into())
    }),
    ("reaming_drill", reaming_drill),
    ("tapping_drill", tapping_drill),
    ("engagement", |a| {
        Ok(percent(threads::engagement(&a.text(0), a.get(1))?).into())
    }),
    ("clearance_drill", |a| {
        let found = threads::clearance_drill(&a.text(0), &a.text(1))?;
        let mut drill = described(&found.name, found.diameter);
        drill.fields.push(("fit".into(), found.fit.into()));
        drill.fields.push(("source".into(), found.source.into()));
        Ok(drill.into())
    }),
    ("counterbore", counterbore),
    ("countersink", |a| {
        let found = screws::countersink(&a.text(0), &a.text(1))?;
        Ok(Record::new([
            ("diameter", shown(found.diameter, "mm")),
            ("head_diameter", shown(found.head_diameter, "mm")),
            ("head_height", shown(found.head_height, "mm")),
            ("key", shown(found.key, "mm")),
        ])
        .standing_for(shown(found.diameter, "mm"))
        .into())
    }),
];

/// A drill as a record that stands for its diameter.
pub fn described(name: &str, diameter: Length) -> Record {
    let diameter = shown_in(diameter, drill_unit(name));
    Record::new([("name", Value::from(name)), ("diameter", diameter.into())]).standing_for(diameter)
}

/// The drills to choose from: a set by name, or the list of those owned.
fn stock<'a>(a: &Arguments, index: usize, set: &'a str, owned: &'a [Length]) -> Stock<'a> {
    match a.value(index) {
        Value::List(_) => Stock::Owned(owned),
        _ => Stock::Set(set),
    }
}

fn chosen(found: &ChosenDrill) -> Record {
    let mut drill = described(&found.name, found.diameter);
    let off = shown_in(found.off, drill_unit(&found.name));
    drill.fields.push(("off".into(), off.into()));
    drill
        .fields
        .push(("searched".into(), found.searched.as_str().into()));
    drill
}

/// A note of the trade is said as a warning too: where the drill is only a column
/// of a table, nothing else would show it.
fn note(a: &Arguments, note: &Option<String>) -> Value {
    if let Some(note) = note {
        a.warn(note.clone());
    }
    note.clone().into()
}

fn reaming_drill(a: &Arguments) -> Result<Value, Fault> {
    let owned: Vec<Length> = a.list_of(1);
    let given = matches!(a.value(1), Value::List(_)).then_some(owned.as_slice());
    let found = drills::reaming_drill(a.get(0), given)?;
    let mut drill = described(&found.name, found.diameter);
    let length = |value| shown_in(value, drill_unit(&found.name));
    drill.fields.extend([
        ("leaves".into(), length(found.leaves).into()),
        ("least".into(), length(found.least).into()),
        ("most".into(), length(found.most).into()),
        ("searched".into(), found.searched.as_str().into()),
        ("note".into(), note(a, &found.note)),
    ]);
    Ok(drill.into())
}

fn tapping_drill(a: &Arguments) -> Result<Value, Fault> {
    let found = threads::tapping_drill(&a.text(0), a.optional_number(1))?;
    let mut drill = described(&found.name, found.diameter);
    let exact = shown_in(found.exact, drill_unit(&found.name));
    drill.fields.extend([
        ("exact".into(), exact.into()),
        ("engagement".into(), percent(found.engagement).into()),
        ("searched".into(), found.searched.as_str().into()),
        ("note".into(), note(a, &found.note)),
    ]);
    Ok(drill.into())
}

fn counterbore(a: &Arguments) -> Result<Value, Fault> {
    let found = screws::counterbore(&a.text(0))?;
    let length = |value| Value::from(shown(value, "mm"));
    let clearance = described(&found.clearance.name, found.clearance.diameter);
    Ok(Record::new([
        ("thread", Value::from(found.thread.as_str())),
        ("diameter", length(found.diameter)),
        ("depth", length(found.depth)),
        ("clearance", clearance.into()),
        ("head_diameter", length(found.head_diameter)),
        ("knurled_diameter", length(found.knurled_diameter)),
        ("head_height", length(found.head_height)),
        ("key", length(found.key)),
    ])
    .standing_for(shown(found.diameter, "mm"))
    .into())
}
