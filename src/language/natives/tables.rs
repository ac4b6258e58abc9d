//! Rows of the library's tables, by what stands in a column or by a range.

use crate::diagnostic::Fault;
use crate::language::arguments::Arguments;
use crate::language::arguments::Topic;
use crate::language::{Record, Table, Value};
use crate::quantity::{Quantity, parse_unit};
use crate::trade::table::{Column, Sheet, sheet};

/// The functions of this topic.
pub const FUNCTIONS: Topic = &[
    ("table_row", |a| {
        let sheet = sheet(&a.text(0))?;
        let place = sheet.column(&a.text(1))?;
        let row = match a.value(2) {
            Value::Text(text) => sheet.row_named(place, text)?,
            _ => sheet.row_at(place, in_column(a, 2, sheet, place)?)?,
        };
        Ok(record(sheet, row))
    }),
    ("table_range", |a| {
        let sheet = sheet(&a.text(0))?;
        let number = in_column(a, 1, sheet, sheet.column("to")?)?;
        Ok(record(sheet, sheet.row_over(number)?))
    }),
    ("table_rows", |a| Ok(table(sheet(&a.text(0))?))),
];

/// Returns a number in the unit of a column.
fn in_column(a: &Arguments, index: usize, sheet: &Sheet, place: usize) -> Result<f64, Fault> {
    let asked = a.quantity(index);
    let symbol = sheet.columns.get(place).map_or("", |column| column.unit);
    let unit = parse_unit(symbol).unwrap_or_default();
    if asked.dimension == unit.dimension() {
        return Ok(asked.in_unit(unit));
    }
    let wanted = unit.dimension().words();
    Err(Fault::new(format!("{asked} was given where the table has {wanted}")).in_argument(index))
}

fn record(sheet: &Sheet, row: &[String]) -> Value {
    let fields = sheet.columns.iter().zip(row);
    Record::new(fields.map(|(column, cell)| (column.name.as_str(), value(column, cell)))).into()
}

fn table(sheet: &Sheet) -> Value {
    let columns = sheet.columns.iter();
    let rows = sheet.rows.iter().map(|row| {
        let cells = sheet.columns.iter().zip(row);
        cells.map(|(column, cell)| value(column, cell)).collect()
    });
    Table {
        columns: columns.map(|column| column.name.as_str().into()).collect(),
        rows: rows.collect(),
        choices: false,
    }
    .into()
}

fn value(column: &Column, cell: &str) -> Value {
    if cell.is_empty() {
        return Value::None;
    }
    match cell.parse() {
        Ok(number) if column.numbers => Quantity::of(number, column.unit)
            .unwrap_or(Quantity::number(number))
            .into(),
        _ => cell.into(),
    }
}
