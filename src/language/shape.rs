//! What a function gives, as its documentation says it: dimensions, units, the
//! fields of records and the columns of tables.

use std::fmt::Debug;
use std::sync::Arc;

use super::{Contract, FunctionDoc, KindWord, Record, Table, Value};
use crate::diagnostic::Fault;
use crate::quantity::{Dimension, Side, Style, Unit, parse_unit};

/// What has a shape once it is asked for: a function of the library.
pub trait Gives: Debug + Sync {
    /// Returns what it gives; nothing where its definition can't be read.
    fn gives(&self) -> Option<&Shape>;
}

/// Finds a function of the library by its name.
type Functions<'a> = &'a dyn Fn(&str) -> Option<&'static dyn Gives>;

/// What a function gives.
#[derive(Clone, Debug, Default)]
pub enum Shape {
    /// Text, true or false, or what has no documentation.
    #[default]
    Plain,
    /// A number of this dimension, and the unit that it is stated in.
    Measure(Dimension, Option<Unit>),
    /// A length that is dialled on the readout.
    Coordinate,
    /// A length that is a limit or a deviation: shown with all its digits, or rounded to
    /// this side.
    Limit(Side),
    /// A length in the unit that a drill of the record's name is marked in.
    Marked,
    /// A list.
    List(Box<Shape>),
    /// A record, or a table of such rows.
    Fields(Fields),
    /// What this function gives.
    As(&'static dyn Gives),
}

/// The fields of a record, or the columns of a table.
#[derive(Clone, Debug, Default)]
pub struct Fields {
    /// Each by its name.
    pub fields: Vec<(Arc<str>, Shape)>,
    /// The field that the record counts as where a number is wanted.
    pub counts_as: Option<Arc<str>>,
    /// The field by which the record is called in a text.
    pub said_as: Option<Arc<str>>,
    /// Whether the rows of the table are choices, the best first.
    pub choices: bool,
}

impl Fields {
    /// Returns a record or a table with what the documentation says of it as a whole:
    /// which field it counts as, which names it, whether its rows are choices.
    #[must_use]
    pub fn presented(&self, value: Value) -> Value {
        match value {
            Value::Record(record) if self.counts_as.is_some() || self.said_as.is_some() => {
                let lead = self.counts_as.as_ref().and_then(|name| record.get(name));
                let lead = lead.and_then(|value| value.quantity().ok());
                let scalar_value = record.scalar_value.or(lead);
                let record = Record::clone(&record);
                Record {
                    scalar_value,
                    said_as: self.said_as.clone(),
                    ..record
                }
                .into()
            }
            Value::Table(table) if self.choices => {
                let table = Table::clone(&table);
                Table {
                    choices: true,
                    ..table
                }
                .into()
            }
            other => other,
        }
    }
}

impl Shape {
    /// Returns the shape of what a documented function gives; `function` knows the
    /// functions of the library by their names.
    ///
    /// # Errors
    /// A fault when a kind or a unit can't be read.
    pub fn of(doc: &FunctionDoc, function: Functions) -> Result<Self, Fault> {
        if doc.fields.is_empty() {
            return Self::read(&doc.gives, function);
        }
        let fields = doc
            .fields
            .iter()
            .map(|field| Ok((field.name.clone(), Self::read(&field.kind, function)?)))
            .collect::<Result<_, Fault>>()?;
        Ok(Self::Fields(Fields {
            fields,
            counts_as: doc.counts_as.clone(),
            said_as: doc.said_as.clone(),
            choices: doc.choices,
        }))
    }

    /// Returns the field that a record counts as where a number is wanted.
    pub fn lead(&self) -> Option<&str> {
        match self {
            Self::Fields(fields) => fields.counts_as.as_deref(),
            _ => None,
        }
    }

    /// Returns a value that was given with what the documentation says of it as a whole.
    #[must_use]
    pub fn standing(&self, value: Value) -> Value {
        match self {
            Self::Fields(fields) => fields.presented(value),
            _ => value,
        }
    }

    /// Reads a kind: `length`, `angle in deg`, `list of whole`, `as drill or none`.
    fn read(text: &str, function: Functions) -> Result<Self, Fault> {
        let text = text.strip_suffix(" or none").unwrap_or(text).trim();
        if let Some(name) = text.strip_prefix("as ") {
            let missing = || Fault::new(format!("the library has no function `{name}`"));
            return function(name).map(Self::As).ok_or_else(missing);
        }
        if text == "length as marked" {
            return Ok(Self::Marked);
        }
        if text == "coordinate" {
            return Ok(Self::Coordinate);
        }
        match text {
            "limit" => return Ok(Self::Limit(Side::Nearest)),
            "lower limit" => return Ok(Self::Limit(Side::Up)),
            "upper limit" => return Ok(Self::Limit(Side::Down)),
            _ => {}
        }
        let (kind, unit) = match text.split_once(" in ") {
            Some((kind, "dms")) => (
                kind,
                Some(parse_unit("deg")?.styled(Style::DegreesMinutesSeconds)),
            ),
            Some((kind, unit)) => (kind, Some(parse_unit(unit)?)),
            None => (text, None),
        };
        if kind.is_empty() {
            return Ok(Self::Plain);
        }
        let contract = Contract::read(kind)?;
        Ok(match contract.kinds.as_slice() {
            [kind] => Self::of_kind(kind, unit),
            _ => Self::Plain,
        })
    }

    fn of_kind(kind: &KindWord, unit: Option<Unit>) -> Self {
        match kind {
            KindWord::Measure(dimension, _) => Self::Measure(*dimension, unit),
            KindWord::Whole => Self::Measure(Dimension::NONE, unit),
            KindWord::List(item) => Self::List(Box::new(Self::of_kind(item, unit))),
            _ => Self::Plain,
        }
    }
}
