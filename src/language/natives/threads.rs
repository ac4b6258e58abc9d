//! Threads: designations, infeed passes, wires.

use super::Topic;
use super::drills::described;
use super::shown::{shown_in, unit};
use crate::diagnostic::Fault;
use crate::language::arguments::Arguments;
use crate::language::{Record, Table, Value};
use crate::quantity::Unit;
use crate::trade::threads::{self, Thread};

/// The functions of this topic.
pub const FUNCTIONS: Topic = &[
    ("thread", thread),
    ("stress_area", |a| {
        let area = threads::stress_area(&a.text(0))?;
        Ok(shown_in(area, squared(&a.text(0))?).into())
    }),
    ("infeed_passes", infeed_passes),
    ("wire_range", |a| {
        let (least, most) = threads::wire_range(&a.text(0)).map_err(|f| f.in_argument(0))?;
        let unit = unit_of(&threads::thread(&a.text(0))?);
        let fields = [
            ("least", shown_in(least, unit)),
            ("most", shown_in(most, unit)),
        ];
        Ok(Record::new(fields).into())
    }),
];

/// The unit of a thread's sizes: inches where it is counted in threads per inch.
pub fn unit_of(thread: &Thread) -> Unit {
    unit(if thread.tpi.is_some() { "in" } else { "mm" })
}

fn squared(designation: &str) -> Result<Unit, Fault> {
    let inches = threads::thread(designation)?.tpi.is_some();
    Ok(unit(if inches { "in^2" } else { "mm^2" }))
}

fn thread(a: &Arguments) -> Result<Value, Fault> {
    let designation = a.text(0);
    let thread = threads::thread(&designation).map_err(|fault| fault.in_argument(0))?;
    let length = |value| Value::from(shown_in(value, unit_of(&thread)));
    let area = squared(&designation)?;
    let drill = |drill: &crate::trade::drills::Drill| described(&drill.name, drill.diameter);
    let hole = |pick: fn(&threads::Clearances) -> &crate::trade::drills::Drill| {
        Value::from(thread.clearances.as_ref().map(|holes| drill(pick(holes))))
    };
    Ok(Record::new([
        ("designation", Value::from(thread.designation.as_str())),
        ("series", thread.series.as_str().into()),
        ("major", length(thread.major)),
        ("pitch", length(thread.pitch)),
        ("lead", length(thread.lead)),
        ("starts", Value::whole(thread.starts)),
        ("tpi", thread.tpi.into()),
        ("angle", shown_in(thread.angle, unit("deg")).into()),
        ("pitch_diameter", length(thread.pitch_diameter)),
        ("minor_internal", length(thread.minor_internal)),
        ("minor_external", length(thread.minor_external)),
        ("depth", length(thread.depth)),
        ("helix", shown_in(thread.helix, unit("deg")).into()),
        (
            "tapping_drill",
            thread.tapping_drill.as_ref().map(drill).into(),
        ),
        ("clearance_close", hole(|holes| &holes.close)),
        ("clearance_medium", hole(|holes| &holes.medium)),
        ("clearance_free", hole(|holes| &holes.free)),
        (
            "stress_area",
            thread.stress_area.map(|found| shown_in(found, area)).into(),
        ),
        ("class", thread.class.clone().into()),
        ("left_hand", thread.left_hand.into()),
        ("standard", thread.standard.into()),
        ("note", thread.note.clone().into()),
    ])
    .into())
}

fn infeed_passes(a: &Arguments) -> Result<Value, Fault> {
    let passes = threads::infeed_passes(&a.text(0), a.get(1), a.optional(2))?;
    let unit = unit_of(&threads::thread(&a.text(0))?);
    let length = |value| Value::from(shown_in(value, unit));
    let rows = passes
        .iter()
        .map(|pass| {
            vec![
                Value::whole(pass.pass),
                length(pass.depth),
                length(pass.cut),
                length(pass.along),
                length(pass.along_cut),
            ]
        })
        .collect();
    Ok(Table::new(&["pass", "depth", "cut", "along", "along_cut"], rows).into())
}
