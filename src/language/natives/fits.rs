//! Limits and fits of ISO 286, keys.

use uom::si::f64::Length;

use super::Topic;
use super::shown::{shown, shown_in};
use crate::diagnostic::Fault;
use crate::language::arguments::Arguments;
use crate::language::{Record, Table, Value};
use crate::quantity::Unit;
use crate::trade::iso286;
use crate::trade::keys;

/// The functions of this topic.
pub const FUNCTIONS: Topic = &[
    ("limits", |a| {
        let found = iso286::limits(a.get(0), &a.text(1))?;
        let length = |value| Value::from(shown_in(value, a.quantity(0).unit));
        Ok(Record::new([
            ("size", length(found.size)),
            ("class", found.class.as_str().into()),
            ("feature", found.feature.name().into()),
            ("upper", length(found.upper)),
            ("lower", length(found.lower)),
            ("max", length(found.max)),
            ("min", length(found.min)),
            ("tolerance", length(found.tolerance)),
        ])
        .into())
    }),
    ("standard_tolerance", |a| {
        let width = iso286::standard_tolerance(a.get(0), &a.text(1))?;
        Ok(shown_in(width, a.quantity(0).unit).into())
    }),
    ("fit", |a| {
        let found = iso286::fit(a.get(0), &a.text(1))?;
        let length = |value| Value::from(shown_in(value, a.quantity(0).unit));
        Ok(Record::new([
            ("fit", Value::from(&*a.text(1))),
            ("kind", found.kind.name().into()),
            ("greatest_clearance", length(found.greatest_clearance)),
            ("least_clearance", length(found.least_clearance)),
            ("hole_max", length(found.hole.max)),
            ("hole_min", length(found.hole.min)),
            ("shaft_max", length(found.shaft.max)),
            ("shaft_min", length(found.shaft.min)),
        ])
        .into())
    }),
    ("fit_between", fit_between),
    ("preferred_fits", |a| {
        let fits = iso286::preferred_fits(a.get(0))?;
        let length = |value| Value::from(shown_in(value, a.quantity(0).unit));
        let rows = fits
            .iter()
            .map(|found| {
                vec![
                    Value::from(found.fit.as_str()),
                    found.name.as_str().into(),
                    length(found.limits.greatest_clearance),
                    length(found.limits.least_clearance),
                    found.used_for.as_str().into(),
                ]
            })
            .collect();
        Ok(Table::new(&["fit", "name", "greatest", "least", "used_for"], rows).into())
    }),
    ("parallel_key", |a| {
        let key = keys::parallel_key(a.get(0))?;
        let length = |value| Value::from(shown(value, "mm"));
        Ok(Record::new([
            ("width", length(key.width)),
            ("height", length(key.height)),
            ("shaft_depth", length(key.shaft_depth)),
            ("hub_depth", length(key.hub_depth)),
            ("depth_tolerance", length(key.depth_tolerance)),
            ("shortest", length(key.shortest)),
            ("longest", length(key.longest)),
            ("standard", key.standard.as_str().into()),
            ("note", key.note.as_str().into()),
        ])
        .into())
    }),
];

/// The smallest and the largest size of an argument: a record with `min` and
/// `max`, or a reading.
fn sizes(a: &Arguments, index: usize) -> Result<(Length, Length), Fault> {
    let Value::Record(record) = a.value(index) else {
        return Ok((a.get(index), a.get(index)));
    };
    let size = |name: &str| -> Result<Length, Fault> {
        record
            .get(name)
            .and_then(|value| value.quantity().ok())
            .filter(|value| value.dimension == crate::quantity::Dimension::LENGTH)
            .map(Length::from)
            .ok_or_else(|| {
                Fault::new(format!("this record has no length called `{name}`"))
                    .advise("give what `limits` gives, or a reading such as `12.011 mm`")
                    .in_argument(index)
            })
    };
    Ok((size("min")?, size("max")?))
}

fn fit_between(a: &Arguments) -> Result<Value, Fault> {
    let unit = a.value(0).quantity().map_or(Unit::NONE, |value| value.unit);
    let found = iso286::fit_between(sizes(a, 0)?, sizes(a, 1)?)?;
    Ok(Record::new([
        ("kind", Value::from(found.kind.name())),
        ("greatest_clearance", shown_in(found.greatest, unit).into()),
        ("least_clearance", shown_in(found.least, unit).into()),
    ])
    .into())
}
