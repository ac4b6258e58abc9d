//! The functions of `crate::trade` by name: arguments in the order of the
//! documentation, and what is found as the documentation describes it.

use uom::si::f64::{Frequency, Length};

use super::answer::symbol;
use super::hole_tables::placed;
use crate::diagnostic::Fault;
use crate::language::Value;
use crate::language::arguments::Arguments;
use crate::language::arguments::Topic;
use crate::quantity::{Dimension, Quantity, Unit};
use crate::trade::dividing::Plate;
use crate::trade::holes::Placement;
use crate::trade::{
    change_gears, cutting_list, cutting_speeds, dividing, drills, gauge_blocks, involute, iso286,
    materials, screws, tapers, threads, triangles,
};

/// The functions of trade.
pub const FUNCTIONS: Topic = &[
    ("angle_from_involute", |a| {
        a.give(Ok(involute::angle_from_involute(a.number(0))))
    }),
    ("angle_indexing", |a| {
        a.give(dividing::angle_indexing(
            a.get(0),
            a.count(1),
            &plates(a, 2)?,
        ))
    }),
    ("change_gears", |a| {
        let gears = gear_list(a, 2)?;
        a.give(change_gears::change_gears(
            a.get(0),
            a.get(1),
            &gears,
            a.count(3),
            a.number(4),
        ))
    }),
    ("clearance_drill", |a| {
        a.give(threads::clearance_drill(&a.text(0), &a.text(1)))
    }),
    ("compound_indexing", |a| {
        a.give(dividing::compound_indexing(
            a.count(0),
            a.count(1),
            &plates(a, 2)?,
        ))
    }),
    ("counterbore", |a| a.give(screws::counterbore(&a.text(0)))),
    ("countersink", |a| {
        a.give(screws::countersink(&a.text(0), &a.text(1)))
    }),
    ("cutting_force", |a| {
        a.give(materials::cutting_force(&a.text(0)))
    }),
    ("cutting_list", cut),
    ("density", |a| a.give(materials::density(&a.text(0)))),
    ("differential_indexing", |a| {
        let (plates, gears) = (plates(a, 2)?, gear_list(a, 3)?);
        a.give(dividing::differential_indexing(
            a.count(0),
            a.count(1),
            &plates,
            &gears,
        ))
    }),
    ("drill", |a| a.give(drills::drill(&a.text(0)))),
    ("drill_under", |a| {
        let (set, owned) = (a.text(2), a.list_of(2));
        a.give(drills::drill_under(
            a.get(0),
            a.get(1),
            stock(a, 2, &set, &owned),
        ))
    }),
    ("engagement", |a| {
        a.give(threads::engagement(&a.text(0), a.get(1)))
    }),
    ("expansion_rate", |a| {
        a.give(materials::expansion_rate(&a.text(0)))
    }),
    ("fit", |a| a.give(iso286::fit(a.get(0), &a.text(1)))),
    ("fit_between", |a| {
        a.give(Ok(iso286::fit_between(ends(a, 0)?, ends(a, 1)?)))
    }),
    ("gauge_blocks", |a| match a.value(1) {
        Value::List(_) => a.give(gauge_blocks::gauge_blocks_from(a.get(0), &a.list_of(1))),
        _ => a.give(gauge_blocks::gauge_blocks(a.get(0), &a.text(1))),
    }),
    ("gear_set", |a| a.give(change_gears::gear_set(&a.text(0)))),
    ("limits", |a| a.give(iso286::limits(a.get(0), &a.text(1)))),
    ("materials", |a| a.give(Ok(materials::materials()))),
    ("mirrored", |a| placed(a, &Placement::mirrored(&a.text(1)))),
    ("moved", |a| {
        placed(a, &Placement::moved(a.get(1), a.get(2)))
    }),
    ("nearest_drill", |a| {
        let (set, owned) = (a.text(1), a.list_of(1));
        a.give(drills::nearest_drill(
            a.get(0),
            stock(a, 1, &set, &owned),
            &a.text(2),
        ))
    }),
    ("nearest_speed", nearest_speed),
    ("plain_indexing", |a| {
        a.give(dividing::plain_indexing(
            a.count(0),
            a.count(1),
            &plates(a, 2)?,
        ))
    }),
    ("plate_set", |a| a.give(dividing::plate_set(&a.text(0)))),
    ("poisson_ratio", |a| {
        a.give(materials::poisson_ratio(&a.text(0)))
    }),
    ("preferred_fits", |a| {
        a.give(iso286::preferred_fits(a.get(0)))
    }),
    ("reaming_drill", |a| {
        let owned: Vec<Length> = a.list_of(1);
        let owned = matches!(a.value(1), Value::List(_)).then_some(owned.as_slice());
        let found = drills::reaming_drill(a.get(0), owned)?;
        note(a, found.note.as_deref());
        a.give(Ok(found))
    }),
    ("shear_modulus", |a| {
        a.give(materials::shear_modulus(&a.text(0)))
    }),
    ("speed_for", |a| {
        a.give(cutting_speeds::speed_for(
            &a.text(0),
            &a.text(1),
            &a.text(2),
        ))
    }),
    ("standard_tolerance", |a| {
        a.give(iso286::standard_tolerance(a.get(0), &a.text(1)))
    }),
    ("stiffness", |a| a.give(materials::stiffness(&a.text(0)))),
    ("stress_area", |a| {
        a.give_in(inch_or_mm(&a.text(0))?, threads::stress_area(&a.text(0)))
    }),
    ("taper", |a| {
        let taper = tapers::taper(&a.text(0))?;
        let unit = if INCH_SERIES.contains(&taper.series.as_str()) {
            symbol("in")
        } else {
            Unit::NONE
        };
        a.give_in(unit, Ok(taper))
    }),
    ("tapping_drill", |a| {
        let found = threads::tapping_drill(&a.text(0), a.optional_number(1))?;
        note(a, found.note.as_deref());
        a.give(Ok(found))
    }),
    ("thread", |a| {
        a.give_in(inch_or_mm(&a.text(0))?, threads::thread(&a.text(0)))
    }),
    ("triangle", |a| {
        let (sides, angles) = (
            [0, 1, 2].map(|at| a.optional(at)),
            [3, 4, 5].map(|at| a.optional(at)),
        );
        let found = triangles::triangle(sides, angles)?;
        if found.second.is_some() {
            a.warn("two triangles fit these sizes: the other is in the field `second`");
        }
        a.give(Ok(found))
    }),
    ("turned", |a| placed(a, &Placement::turned(a.get(1)))),
];

/// The series of tapers whose sizes are given in inches alone.
const INCH_SERIES: [&str; 4] = ["Brown & Sharpe", "Jacobs", "Jarno", "inch taper pin"];

/// Returns the unit of a thread's sizes: inches where it is counted in threads per inch.
fn inch_or_mm(designation: &str) -> Result<Unit, Fault> {
    let inches = threads::thread(designation)?.tpi.is_some();
    Ok(symbol(if inches { "in" } else { "mm" }))
}

/// Returns the gears of an argument: a set by its name, or the teeth of each gear.
fn gear_list(a: &Arguments, index: usize) -> Result<Vec<u32>, Fault> {
    match a.value(index) {
        Value::Text(name) => change_gears::gear_set(name)
            .map(|set| set.gears)
            .map_err(|fault| fault.in_argument(index)),
        _ => Ok(a.counts(index)),
    }
}

/// Returns the plates of an argument: a set by its name, the circles of one plate, or a
/// list of these for each plate.
fn plates(a: &Arguments, index: usize) -> Result<Vec<Plate>, Fault> {
    if let Value::Text(name) = a.value(index) {
        return dividing::plate_set(name).map_err(|fault| fault.in_argument(index));
    }
    let list = a.list(index);
    if list.iter().any(|item| matches!(item, Value::List(_))) {
        Ok(list
            .iter()
            .map(|plate| {
                let values = vec![plate.clone()];
                let plate = Arguments {
                    values,
                    ..Arguments::default()
                };
                Plate::of_circles(&plate.counts(0))
            })
            .collect())
    } else {
        Ok(vec![Plate::of_circles(&a.counts(index))])
    }
}

/// Returns the drills to choose from: a set by name, or the list of those owned.
fn stock<'a>(a: &Arguments, index: usize, set: &'a str, owned: &'a [Length]) -> drills::Stock<'a> {
    match a.value(index) {
        Value::List(_) => drills::Stock::Owned(owned),
        _ => drills::Stock::Set(set),
    }
}

/// Says a note of the trade as a warning too: where the drill is only a column of
/// a table, nothing else would show it.
fn note(a: &Arguments, note: Option<&str>) {
    if let Some(note) = note {
        a.warn(note);
    }
}

/// Returns the smallest and the largest size of an argument: a record with `min` and
/// `max`, or a reading.
fn ends(a: &Arguments, index: usize) -> Result<(Length, Length), Fault> {
    let Value::Record(record) = a.value(index) else {
        return Ok((a.get(index), a.get(index)));
    };
    let size = |name: &str| {
        let size = record.get(name).and_then(|value| value.quantity().ok());
        size.filter(|size| size.dimension == Dimension::LENGTH)
            .map(Length::from)
            .ok_or_else(|| {
                Fault::new(format!("this record has no length called `{name}`"))
                    .advise("give what `limits` gives, or a reading such as `12.011 mm`")
                    .in_argument(index)
            })
    };
    let (min, max) = (size("min")?, size("max")?);
    if min > Length::default() && min <= max {
        return Ok((min, max));
    }
    Err(Fault::new("the smallest size is above 0 mm and not above the largest").in_argument(index))
}

fn nearest_speed(a: &Arguments) -> Result<Value, Fault> {
    let wanted = a.quantity(0);
    let speeds: Vec<Frequency> = a.list_of(1);
    let found = cutting_speeds::nearest_speed(wanted.into(), &speeds)?;
    let speed = Quantity::from(found.speed);
    // In the unit that the machine's speeds are listed in.
    let listed = a.list(1).first().and_then(|item| item.quantity().ok());
    let unit = listed.map_or(symbol("rpm"), |listed| listed.unit);
    let speed = speed.shown_in(unit).unwrap_or(speed);
    if found.slower_than_slowest {
        a.warn(format!(
            "the slowest speed, {speed}, is faster than the {wanted} wanted"
        ));
    }
    Ok(speed.into())
}

/// Returns the pieces of an argument, each with how many are wanted: a list of lengths, or
/// a table with columns `length` and `count`.
fn pieces(a: &Arguments, index: usize) -> Result<Vec<(Length, u32)>, Fault> {
    let Value::Table(table) = a.value(index) else {
        let lengths = a.list_of::<Length>(index).into_iter();
        return Ok(lengths.map(|length| (length, 1)).collect());
    };
    let column = |name: &str, dimension: Dimension| -> Result<Vec<Quantity>, Fault> {
        let wrong = || {
            Fault::new(format!(
                "the table of pieces needs a column `{name}`, filled in each row"
            ))
            .advise("give it the columns length and count")
            .in_argument(index)
        };
        let values = table.values(table.column(name).ok_or_else(wrong)?);
        let values = values.iter().map(|value| {
            let value = value.quantity().ok();
            value
                .filter(|value| value.dimension == dimension)
                .ok_or_else(wrong)
        });
        values.collect()
    };
    let counts = column("count", Dimension::NONE)?;
    let lengths = column("length", Dimension::LENGTH)?;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // as saturates
    let pieces = lengths.into_iter().zip(counts).map(|(length, count)| {
        let whole = count.si.round();
        (Length::from(length), whole as u32)
    });
    Ok(pieces.collect())
}

fn cut(a: &Arguments) -> Result<Value, Fault> {
    let bars: Vec<Length> = a.list_of(0);
    let stock = match a.value(0) {
        Value::List(_) => cutting_list::Stock::Bars(&bars),
        _ => cutting_list::Stock::Unlimited(a.get(0)),
    };
    let plan = cutting_list::cutting_list(stock, &pieces(a, 1)?, a.get(2))?;
    if !plan.exact {
        a.warn("the best plan found: it is not proven that no plan needs less stock");
    }
    a.give(Ok(plan.bars))
}
