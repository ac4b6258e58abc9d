//! Tapers by designation.

use super::Topic;
use super::shown::{plain, shown};
use crate::language::{Record, Value};
use crate::quantity::Quantity;
use crate::trade::tapers;

/// The functions of this topic.
pub const FUNCTIONS: Topic = &[("taper", |a| {
    let taper = tapers::taper(&a.text(0)).map_err(|fault| fault.in_argument(0))?;
    let inches = INCH_SERIES.contains(&taper.series.as_str());
    let length = |value| -> Quantity {
        if inches {
            shown(value, "in")
        } else {
            plain(value)
        }
    };
    Ok(Record::new([
        ("designation", Value::from(taper.designation.as_str())),
        ("series", taper.series.as_str().into()),
        ("big", taper.big.map(length).into()),
        ("small", taper.small.map(length).into()),
        ("length", taper.length.map(length).into()),
        ("rate", taper.rate.into()),
        ("half_angle", shown(taper.half_angle, "deg").into()),
        ("standard", taper.standard.as_str().into()),
        ("note", taper.note.as_str().into()),
    ])
    .into())
})];

/// The series whose sizes are given in inches alone.
const INCH_SERIES: [&str; 4] = ["Brown & Sharpe", "Jacobs", "Jarno", "inch taper pin"];
