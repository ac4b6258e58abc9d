//! From a table's lines to its columns and rows, each parsed by itself.

use super::build::{Built, content, expression, name_of, span_of, strange, within};
use super::build_statement::parse;
use super::document::shift;
use super::rules::Rule;
use super::{Column, Row, StatementKind};
use crate::diagnostic::{Diagnostic, Span};

/// Parses a table: its first line, its heading row and its other rows.
pub fn table(text: &str, first: Span, rows: &[Span]) -> Result<StatementKind, Vec<Diagnostic>> {
    let head = text.get(..first.start as usize).unwrap_or("").trim_end();
    let head_line = head.lines().next().unwrap_or("");
    let head_line = head_line.split('#').next().unwrap_or("").trim_end();
    let one = |diagnostic| vec![diagnostic];
    let whole = || strange(Span::new(0, head_line.len()));
    let table = parse(Rule::statement, head_line).and_then(content);
    let name = within(table.map_err(one)?, Rule::name).next();
    let name = name_of(&name.ok_or_else(|| one(whole()))?);
    let row_text = |row: Span| text.get(row.start as usize..row.end as usize).unwrap_or("");
    let columns = heading(row_text(first)).map_err(|d| one(d.shifted(first.start as usize)))?;
    let columns: Vec<Column> = columns
        .into_iter()
        .map(|column| shift_column(column, first.start as usize))
        .collect();
    let mut built = Vec::new();
    let mut wrong = Vec::new();
    for row in rows.iter().skip(1) {
        match table_row(row_text(*row), &columns, *row) {
            Ok(row) => built.push(row),
            Err(diagnostic) => wrong.push(diagnostic),
        }
    }
    if wrong.is_empty() {
        Ok(StatementKind::Table(name, columns, built))
    } else {
        Err(wrong)
    }
}

fn heading(text: &str) -> Built<Vec<Column>> {
    let pair = parse(Rule::table_heading, text)?;
    let mut columns: Vec<Column> = Vec::new();
    for cell in within(pair, Rule::heading_cell) {
        let mut inner = cell.into_inner();
        let Some(name) = inner.next() else { continue };
        let name = name_of(&name);
        if columns.iter().any(|column| column.name == name) {
            return Err(Diagnostic::error(
                format!("two columns are called `{}`", name.text),
                name.span,
            ));
        }
        columns.push(Column {
            name,
            formula: inner.next().map(expression).transpose()?,
        });
    }
    Ok(columns)
}

fn table_row(text: &str, columns: &[Column], row: Span) -> Built<Row> {
    let start = row.start as usize;
    let pair = parse(Rule::table_row, text).map_err(|d| d.shifted(start))?;
    let mut cells = Vec::new();
    for cell in within(pair, Rule::table_cell) {
        let span = span_of(&cell).shifted(start);
        let value = cell
            .into_inner()
            .next()
            .map(expression)
            .transpose()
            .map_err(|d| d.shifted(start))?;
        let value = value.map(|mut value| {
            shift(&mut value, start);
            value
        });
        match columns.get(cells.len()) {
            None if value.is_some() => {
                let message = format!("this row has more than {} cells", columns.len());
                return Err(Diagnostic::error(message, span));
            }
            Some(Column {
                name,
                formula: Some(_),
            }) if value.is_some() => {
                let message = format!("the column `{}` is computed", name.text);
                return Err(Diagnostic::error(message, span).advise("leave this cell blank"));
            }
            None => continue,
            Some(_) => {}
        }
        cells.push(value);
    }
    cells.resize(columns.len(), None);
    Ok(Row { cells })
}

fn shift_column(mut column: Column, offset: usize) -> Column {
    column.name.span = column.name.span.shifted(offset);
    if let Some(formula) = &mut column.formula {
        shift(formula, offset);
    }
    column
}
