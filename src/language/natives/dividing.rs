//! Rotary table and dividing head.

use super::Topic;
use super::shown::{circles, counts, plate_name, shown};
use crate::diagnostic::Fault;
use crate::language::arguments::Arguments;
use crate::language::{Record, Table, Value};
use crate::quantity::{Quantity, Style};
use crate::trade::dividing::{self, Plate};

/// The functions of this topic.
pub const FUNCTIONS: Topic = &[
    ("table_turns", |a| {
        let found = dividing::table_turns(a.get(0), a.count(1))?;
        Ok(Record::new([
            (
                "turns",
                Value::whole(i64::try_from(found.turns).unwrap_or(i64::MAX)),
            ),
            ("dial", shown(found.dial, "deg").into()),
            ("dms", in_dms(found.dial.into()).into()),
            ("per_turn", shown(found.per_turn, "deg").into()),
        ])
        .into())
    }),
    ("division_angles", |a| {
        let found = dividing::division_angles(a.count(0), a.get(1))?;
        let rows = found
            .iter()
            .map(|place| {
                vec![
                    Value::whole(place.number),
                    shown(place.angle, "deg").into(),
                    in_dms(place.angle.into()).into(),
                ]
            })
            .collect();
        Ok(Table::new(&["place", "angle", "dms"], rows).into())
    }),
    ("plain_indexing", |a| {
        let found = dividing::plain_indexing(a.count(0), a.count(1), &plates(a, 2)?)?;
        let rows = found
            .iter()
            .map(|way| {
                vec![
                    plate_name(&way.plate).into(),
                    Value::whole(way.circle),
                    turns(way.turns),
                    Value::whole(way.holes),
                ]
            })
            .collect();
        Ok(Table::new(&["plate", "circle", "turns", "holes"], rows).into())
    }),
    ("angle_indexing", |a| {
        let found = dividing::angle_indexing(a.get(0), a.count(1), &plates(a, 2)?)?;
        Ok(Record::new([
            ("plate", Value::from(plate_name(&found.plate))),
            ("circle", Value::whole(found.circle)),
            ("turns", turns(found.turns)),
            ("holes", Value::whole(found.holes)),
            ("got", shown(found.got, "deg").into()),
            ("error", shown(found.error, "deg").into()),
        ])
        .into())
    }),
    ("compound_indexing", compound_indexing),
    ("differential_indexing", differential_indexing),
    ("plate_set", |a| {
        let set = dividing::plate_set(&a.text(0)).map_err(|fault| fault.in_argument(0))?;
        let rows = set
            .plates
            .iter()
            .map(|plate| vec![plate_name(&plate.name).into(), circles(plate)])
            .collect();
        Ok(Table::new(&["plate", "circles"], rows).into())
    }),
];

fn turns(turns: u64) -> Value {
    Value::whole(i64::try_from(turns).unwrap_or(i64::MAX))
}

fn in_dms(angle: Quantity) -> Quantity {
    Quantity {
        unit: super::shown::unit("deg").styled(Style::DegreesMinutesSeconds),
        ..angle
    }
}

/// The plates of an argument: a set by its name, the circles of one plate, or a
/// list of these for each plate.
fn plates(a: &Arguments, index: usize) -> Result<Vec<Plate>, Fault> {
    if let Value::Text(name) = a.value(index) {
        let set = dividing::plate_set(name).map_err(|fault| fault.in_argument(index))?;
        return Ok(set.plates);
    }
    let list = a.list(index);
    if list.iter().any(|item| matches!(item, Value::List(_))) {
        Ok(list
            .iter()
            .map(|plate| Plate::of_circles(&whole(plate)))
            .collect())
    } else {
        Ok(vec![Plate::of_circles(&a.counts(index))])
    }
}

fn whole(list: &Value) -> Vec<u32> {
    let arguments = Arguments {
        values: vec![list.clone()],
        ..Arguments::default()
    };
    arguments.counts(0)
}

fn compound_indexing(a: &Arguments) -> Result<Value, Fault> {
    let found = dividing::compound_indexing(a.count(0), a.count(1), &plates(a, 2)?)?;
    let rows = found
        .iter()
        .map(|way| {
            let direction = if way.same_way { "the same way" } else { "back" };
            vec![
                Value::from(plate_name(&way.plate)),
                turns(way.turns),
                Value::whole(way.first_holes),
                Value::whole(way.first_circle),
                direction.into(),
                Value::whole(way.second_holes),
                Value::whole(way.second_circle),
                Value::whole(way.at_once),
                shown(way.error, "deg").into(),
                shown(way.closing_error, "deg").into(),
            ]
        })
        .collect();
    let columns = [
        "plate",
        "turns",
        "first_holes",
        "first_circle",
        "then",
        "second_holes",
        "second_circle",
        "at_once",
        "error",
        "closing_error",
    ];
    Ok(Table::new(&columns, rows).into())
}

fn differential_indexing(a: &Arguments) -> Result<Value, Fault> {
    let gears = super::change_gears::gears(a, 3)?;
    let found = dividing::differential_indexing(a.count(0), a.count(1), &plates(a, 2)?, &gears)?;
    let rows = found
        .iter()
        .map(|way| {
            let direction = if way.with_the_crank {
                "with the crank"
            } else {
                "against the crank"
            };
            vec![
                Value::whole(way.assumed),
                plate_name(&way.plate).into(),
                Value::whole(way.circle),
                turns(way.turns),
                Value::whole(way.holes),
                counts(&way.drivers),
                counts(&way.driven),
                direction.into(),
                Value::whole(way.idlers),
            ]
        })
        .collect();
    let columns = [
        "assumed",
        "plate",
        "circle",
        "turns",
        "holes",
        "drivers",
        "driven",
        "plate_turns",
        "idlers",
    ];
    Ok(Table::new(&columns, rows).into())
}
