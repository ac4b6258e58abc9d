//! Values of which some parts move.

use std::sync::Arc;

use super::compile::Shape;
use crate::language::Value;
use crate::quantity::Quantity;

/// A value of which some parts may move; a `T` stands for each part that does.
#[derive(Clone, Debug)]
pub enum Mixed<T> {
    /// A value that does not move.
    Known(Value),
    /// A quantity that moves, with what it measures and how it is shown.
    Column(T, Quantity),
    /// A truth that moves.
    Truth(T),
    /// A list.
    List(Vec<Mixed<T>>),
    /// A record, with the place of the field that it stands for where a number is wanted.
    Record(Vec<(Arc<str>, Mixed<T>)>, Option<usize>),
    /// A table: its columns' names and its rows.
    Table(Vec<Arc<str>>, Vec<Vec<Mixed<T>>>),
}

impl<T> Mixed<T> {
    /// Returns the same value with `one` done to each part that moves; nothing where that
    /// gives nothing.
    pub fn try_map<U>(&self, one: &mut impl FnMut(&T, Shape) -> Option<U>) -> Option<Mixed<U>> {
        let all = |items: &[Self], one: &mut _| {
            let items = items.iter().map(|item| Self::try_map(item, one));
            items.collect::<Option<Vec<Mixed<U>>>>()
        };
        Some(match self {
            Self::Known(value) => Mixed::Known(value.clone()),
            Self::Column(part, like) => Mixed::Column(one(part, Shape::Quantity(*like))?, *like),
            Self::Truth(part) => Mixed::Truth(one(part, Shape::Truth)?),
            Self::List(items) => Mixed::List(all(items, one)?),
            Self::Record(fields, lead) => {
                let fields = fields.iter();
                let fields = fields.map(|(name, item)| Some((name.clone(), item.try_map(one)?)));
                Mixed::Record(fields.collect::<Option<Vec<_>>>()?, *lead)
            }
            Self::Table(columns, rows) => {
                let rows = rows.iter().map(|row| all(row, one));
                Mixed::Table(columns.clone(), rows.collect::<Option<Vec<_>>>()?)
            }
        })
    }

    /// Returns how many parts move.
    pub fn count(&self) -> usize {
        match self {
            Self::Known(_) => 0,
            Self::Column(..) | Self::Truth(_) => 1,
            Self::List(items) => items.iter().map(Self::count).sum(),
            Self::Record(fields, _) => fields.iter().map(|(_, item)| item.count()).sum(),
            Self::Table(_, rows) => rows.iter().flatten().map(Self::count).sum(),
        }
    }

    /// Returns what stands for it where a number is wanted.
    pub fn lead(&self) -> Option<&Self> {
        match self {
            Self::Record(fields, Some(place)) => fields.get(*place)?.1.lead(),
            Self::Known(_) | Self::Column(..) => Some(self),
            _ => None,
        }
    }

    /// Returns the items of a list.
    pub fn items(&self) -> Option<Vec<Self>>
    where
        T: Clone,
    {
        match self {
            Self::List(items) => Some(items.clone()),
            Self::Known(Value::List(values)) => {
                Some(values.iter().cloned().map(Self::Known).collect())
            }
            _ => None,
        }
    }

    /// Returns a row of a table as a record, or the value of a list at a place.
    pub fn at(&self, index: usize) -> Option<Self>
    where
        T: Clone,
    {
        match self {
            Self::List(items) => items.get(index).cloned(),
            Self::Table(columns, rows) => {
                let row = rows.get(index)?.iter().cloned();
                Some(Self::Record(
                    columns.iter().cloned().zip(row).collect(),
                    None,
                ))
            }
            Self::Known(Value::List(values)) => values.get(index).cloned().map(Self::Known),
            Self::Known(Value::Table(table)) => table.row(index).map(|row| Self::Known(row.into())),
            _ => None,
        }
    }

    /// Returns a field of a record, a column of a table, or that field of each of a list.
    pub fn field(&self, name: &str) -> Option<Self>
    where
        T: Clone,
    {
        match self {
            Self::Record(fields, _) => {
                let mut fields = fields.iter();
                fields
                    .find(|(own, _)| &**own == name)
                    .map(|(_, item)| item.clone())
            }
            Self::Table(columns, rows) => {
                let place = columns.iter().position(|column| &**column == name)?;
                let cells = rows.iter().map(|row| row.get(place).cloned());
                cells.collect::<Option<Vec<_>>>().map(Self::List)
            }
            Self::List(items) => {
                let fields = items.iter().map(|item| item.field(name));
                fields.collect::<Option<Vec<_>>>().map(Self::List)
            }
            Self::Known(Value::Record(record)) => record.get(name).cloned().map(Self::Known),
            Self::Known(Value::Table(table)) => {
                let column = table.column(name)?;
                Some(Self::Known(table.values(column).into()))
            }
            _ => None,
        }
    }
}
