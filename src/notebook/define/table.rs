//! Tables: their columns, the computed ones in an order in which they can be computed.

use crate::diagnostic::Diagnostic;
use crate::language::{Lowering, Node, ResolvedExpr};
use crate::notebook::definition::{Definition, TableCode};
use crate::syntax::{Column, Expression, Row};

pub(super) fn table(lowering: &mut Lowering, columns: &[Column], rows: &[Row]) -> Definition {
    let lower_cell = |lowering: &mut Lowering, cell: &Option<Expression>| {
        cell.as_ref().map(|cell| lowering.expression(cell))
    };
    let rows = rows
        .iter()
        .map(|row| {
            row.cells
                .iter()
                .map(|cell| lower_cell(lowering, cell))
                .collect()
        })
        .collect();
    let before = lowering.bound();
    for column in columns {
        lowering.not_constant(&column.name);
        lowering.bind(column.name.text.clone());
    }
    let mut computed: Vec<(usize, Node)> = Vec::new();
    for (place, column) in columns.iter().enumerate() {
        if let Some(formula) = &column.formula {
            computed.push((place, lowering.expression(formula)));
        }
    }
    lowering.unbind(before);
    let (computed, ring) = in_order(computed);
    if let Some(place) = ring.and_then(|place| columns.get(place)) {
        let message = format!("the column `{}` is computed from itself", place.name.text);
        lowering.report(Diagnostic::error(message, place.name.span));
    }
    Definition::Table(Box::new(TableCode {
        columns: columns
            .iter()
            .map(|column| column.name.text.clone())
            .collect(),
        computed,
        rows,
    }))
}

/// Puts computed columns after those they are computed from; gives a column of a
/// ring where there is one.
fn in_order(mut left: Vec<(usize, Node)>) -> (Vec<(usize, Node)>, Option<usize>) {
    let mut done = Vec::new();
    while !left.is_empty() {
        let waiting: Vec<usize> = left.iter().map(|(place, _)| *place).collect();
        let ready = left.iter().position(|(_, formula)| {
            let mut free = true;
            formula.walk(&mut |node| {
                if let ResolvedExpr::Local(local) = node.code {
                    free &= !waiting.contains(&usize::from(local));
                }
            });
            free
        });
        match ready {
            Some(index) => done.push(left.remove(index)),
            None => {
                let ring = left.first().map(|(place, _)| *place);
                done.append(&mut left);
                return (done, ring);
            }
        }
    }
    (done, None)
}
