//! Limits and fits of ISO 286, keys.

use uom::si::f64::Length;

use super::Topic;
use super::shown::{shown, shown_in};
use crate::diagnostic::Fault;
use crate::language::arguments::Arguments;
use crate::language::{Record, Table, Value};
use crate::trade::iso286::{self, Fit};
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
        let mut fields = vec![
            ("fit", Value::from(&*a.text(1))),
            ("kind", found.kind.name().into()),
        ];
        fields.extend(FIT_COLUMNS.into_iter().zip(fit_row(&found, a)));
        Ok(Record::new(fields).into())
    }),
    ("fit_between", fit_between),
    ("preferred_fits", |a| {
        let fits = iso286::preferred_fits(a.get(0))?;
        let rows = fits
            .iter()
            .map(|found| {
                let mut row = vec![
                    Value::from(found.fit.as_str()),
                    found.basis.as_str().into(),
                    found.name.as_str().into(),
                ];
                row.extend(fit_row(&found.limits, a));
                row.push(found.used_for.as_str().into());
                row
            })
            .collect();
        let mut columns = vec!["fit", "basis", "name"];
        columns.extend(FIT_COLUMNS);
        columns.push("used_for");
        Ok(Table::new(&columns, rows).into())
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

/// What is said of a fit, in the order of [`fit_row`].
const FIT_COLUMNS: [&str; 6] = [
    "greatest_clearance",
    "least_clearance",
    "hole_max",
    "hole_min",
    "shaft_max",
    "shaft_min",
];

fn fit_row(fit: &Fit, a: &Arguments) -> [Value; 6] {
    [
        fit.greatest_clearance,
        fit.least_clearance,
        fit.hole.max,
        fit.hole.min,
        fit.shaft.max,
        fit.shaft.min,
    ]
    .map(|value| shown_in(value, a.quantity(0).unit).into())
}

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
    let found = iso286::fit_between(sizes(a, 0)?, sizes(a, 1)?)?;
    Ok(Record::new([
        ("kind", Value::from(found.kind.name())),
        (
            "greatest_clearance",
            shown_in(found.greatest, a.quantity(0).unit).into(),
        ),
        (
            "least_clearance",
            shown_in(found.least, a.quantity(0).unit).into(),
        ),
    ])
    .into())
}
