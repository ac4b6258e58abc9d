//! What a function gives, as its documentation says it: dimensions, units, the
//! fields of records and the columns of tables.

use std::sync::Arc;

use super::{Contract, Function, FunctionDoc, KindWord, Record, Value};
use crate::diagnostic::Fault;
use crate::quantity::{Dimension, Side, Style, Unit, parse_unit};

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
    As(&'static Function),
}

/// The fields of a record, or the columns of a table.
#[derive(Clone, Debug, Default)]
pub struct Fields {
    /// Each by its name.
    pub fields: Vec<(Arc<str>, Shape)>,
    /// The field that the record counts as where a number is wanted.
    pub counts_as: Option<Arc<str>>,
}

impl Shape {
    /// Returns the shape of what a documented function gives; `function` knows the
    /// functions of the library by their names.
    ///
    /// # Errors
    /// A fault when a kind or a unit can't be read.
    pub fn of(
        doc: &FunctionDoc,
        function: &dyn Fn(&str) -> Option<&'static Function>,
    ) -> Result<Self, Fault> {
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
        }))
    }

    /// The field that a record counts as where a number is wanted.
    pub fn lead(&self) -> Option<&str> {
        match self {
            Self::Fields(fields) => fields.counts_as.as_deref(),
            _ => None,
        }
    }

    /// A value that was given, standing for its leading field where it is a record.
    pub fn standing(&self, value: Value) -> Value {
        match (self.lead(), value) {
            (Some(lead), Value::Record(record)) if record.scalar_value.is_none() => {
                let lead = record.get(lead).and_then(|value| value.quantity().ok());
                match lead {
                    Some(lead) => Record::clone(&record).with_scalar_value(lead).into(),
                    None => Value::Record(record),
                }
            }
            (_, value) => value,
        }
    }

    /// Reads a kind: `length`, `angle in deg`, `list of whole`, `as drill or none`.
    fn read(
        text: &str,
        function: &dyn Fn(&str) -> Option<&'static Function>,
    ) -> Result<Self, Fault> {
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
