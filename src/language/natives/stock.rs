//! Gauge blocks, cutting lists, handwheels.

use uom::si::f64::Length;

use super::Topic;
use super::shown::shown_in;
use crate::diagnostic::Fault;
use crate::language::arguments::Arguments;
use crate::language::{Record, Table, Value};
use crate::quantity::{Dimension, Quantity, Unit};
use crate::trade::cutting_list::{self, Stock};
use crate::trade::{dial, gauge_blocks};

/// The functions of this topic.
pub const FUNCTIONS: Topic = &[
    ("gauge_blocks", |a| {
        let stack = match a.value(1) {
            Value::List(_) => gauge_blocks::gauge_blocks_from(a.get(0), &a.list_of::<Length>(1))?,
            _ => gauge_blocks::gauge_blocks(a.get(0), &a.text(1))?,
        };
        let length = |value| Value::from(shown_in(value, a.quantity(0).unit));
        let blocks: Vec<Value> = stack.blocks.iter().map(|block| length(*block)).collect();
        Ok(Record::new([
            ("blocks", Value::from(blocks)),
            ("height", length(stack.height)),
            ("off", length(stack.off)),
            ("set", stack.set.into()),
        ])
        .into())
    }),
    ("cutting_list", cut),
    ("dial_turns", |a| {
        let found = dial::dial_turns(a.get(0), a.get(1), a.count(2))?;
        let turns = i64::try_from(found.turns).unwrap_or(i64::MAX);
        let per_division = shown_in(found.per_division, a.quantity(1).unit);
        Ok(Record::new([
            ("turns", Value::whole(turns)),
            ("divisions", found.divisions.into()),
            ("per_division", per_division.into()),
        ])
        .into())
    }),
];

/// The pieces of an argument, each with how many are wanted: a list of lengths, or
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
    let (stock, unit) = match a.value(0) {
        Value::List(items) => (
            Stock::Bars(&bars),
            items
                .first()
                .and_then(|item| item.quantity().ok())
                .map_or(Unit::NONE, |item| item.unit),
        ),
        _ => (Stock::Unlimited(a.get(0)), a.quantity(0).unit),
    };
    let plan = cutting_list::cutting_list(stock, &pieces(a, 1)?, a.get(2))?;
    if !plan.exact {
        a.warn("the best plan found: it is not proven that no plan needs less stock");
    }
    let length = |value| Value::from(shown_in(value, unit));
    let rows = plan
        .bars
        .iter()
        .enumerate()
        .map(|(index, bar)| {
            let pieces: Vec<Value> = bar.pieces.iter().map(|piece| length(*piece)).collect();
            vec![
                Value::whole(i64::try_from(index + 1).unwrap_or(i64::MAX)),
                length(bar.length),
                pieces.into(),
                length(bar.left_over),
            ]
        })
        .collect();
    Ok(Table::new(&["bar", "length", "pieces", "left_over"], rows).into())
}
