//! What is picked from a value, and how it is shown.

use crate::diagnostic::{Fault, did_you_mean};
use crate::language::Value;
use crate::quantity::{Dimension, Quantity, Style, Unit, parse_unit};

/// The most names that a message lists.
const NAMED: usize = 30;

/// Returns a plain number with the unit of its list.
pub(super) fn with_unit(value: &Value, unit: Unit) -> Result<Value, Fault> {
    let value = value.quantity()?;
    if value.dimension != Dimension::NONE {
        let symbol = &unit.symbol();
        return Err(Fault::new(format!(
            "{value} has a unit already, and the list gives it {symbol}"
        )));
    }
    Ok(Quantity::new(value.si, unit).into())
}

/// Returns a value shown in a unit: a quantity, or each of a list.
pub(super) fn shown_in(value: &Value, unit: Unit) -> Result<Value, Fault> {
    match value {
        Value::List(items) => {
            let shown: Result<Vec<Value>, Fault> =
                items.iter().map(|item| shown_in(item, unit)).collect();
            shown.map(Value::from)
        }
        other => other.quantity()?.shown_in(unit).map(Value::Quantity),
    }
}

/// Returns a value written in a style of its own: `as dms`, `as fraction 1/64`.
///
/// # Errors
/// When the style does not suit what the value measures.
pub fn styled(value: Quantity, style: Style) -> Result<Quantity, Fault> {
    if style == Style::Coordinate {
        return value.as_coordinate();
    }
    let unit = match style {
        Style::DegreesMinutesSeconds => parse_unit("deg")?,
        Style::Fraction(_) if value.dimension.agrees(Dimension::LENGTH) => parse_unit("in")?,
        _ => value.unit,
    };
    let unit = value.shown_in(unit)?.unit;
    Ok(Quantity {
        unit: unit.styled(style),
        ..value
    })
}

pub(super) fn field(value: &Value, name: &str) -> Result<Value, Fault> {
    let missing = |what: &str, known: Vec<&str>| {
        let advice = did_you_mean(name, known.iter().copied());
        Fault::new(format!("{what} has no `{name}`"))
            .advise(advice.unwrap_or_else(|| format!("it has {}", listed(&known))))
    };
    match value {
        Value::Record(record) => record.get(name).cloned().ok_or_else(|| {
            missing(
                "this record",
                record.fields.iter().map(|(name, _)| &**name).collect(),
            )
        }),
        Value::Table(table) => match table.column(name) {
            Some(column) => Ok(table.values(column).into()),
            None => Err(missing(
                "this table",
                table.columns.iter().map(|name| &**name).collect(),
            )),
        },
        Value::List(items) if items.iter().any(|item| matches!(item, Value::Record(_))) => {
            let fields: Result<Vec<Value>, Fault> =
                items.iter().map(|item| field(item, name)).collect();
            fields.map(Value::from)
        }
        other => Err(Fault::new(format!("{} has no `{name}`", other.described()))
            .advise("only a record, a table or a notebook in use has names after a point")),
    }
}

/// Returns "a, b, c", the first of them where there are many.
fn listed(known: &[&str]) -> String {
    match known.get(..NAMED) {
        Some(first) if known.len() > NAMED => {
            format!("{} and {} more", first.join(", "), known.len() - NAMED)
        }
        _ => known.join(", "),
    }
}

pub(super) fn pick(value: &Value, place: Quantity) -> Result<Value, Fault> {
    let (length, what) = match value {
        Value::List(items) => (items.len(), "list"),
        Value::Table(table) => (table.rows.len(), "table"),
        other => {
            return Err(Fault::new(format!(
                "{} has no places to pick from",
                other.described()
            )));
        }
    };
    let whole = place.si.round();
    #[allow(clippy::cast_precision_loss)] // lists are shorter than 2^52
    let outside = place.dimension != Dimension::NONE
        || (place.si - whole).abs() > 1e-9
        || whole < 1.0
        || whole > length as f64;
    if outside {
        let message = format!("there is no place {place} in a {what} of {length}");
        return Err(Fault::new(message).advise("places count from 1"));
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // between 1 and the length
    let index = whole as usize - 1;
    let picked = match value {
        Value::List(items) => items.get(index).cloned(),
        Value::Table(table) => table.row(index).map(Value::from),
        _ => None,
    };
    picked.ok_or_else(|| Fault::new("there is no such place"))
}
