//! What an expression can come to.

use std::cmp::Ordering;
use std::fmt;
use std::sync::Arc;

use super::Size;
use super::bounds::ITEMS;
use crate::diagnostic::Fault;
use crate::quantity::{Quantity, System, count, quantity};

/// The deepest that lists, records and tables may hold one another.
const NESTING: usize = 64;
/// The longest text that a message quotes whole.
const LONG: usize = 60;

/// A value of the language.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A number with its unit.
    Quantity(Quantity),
    /// A number with its unit that has a drawn figure, limits or a reading besides.
    Size(Arc<Size>),
    /// Text.
    Text(Arc<str>),
    /// True or false.
    Truth(bool),
    /// A list of values.
    List(Arc<[Value]>),
    /// Named values, such as what `thread("M8")` gives.
    Record(Arc<Record>),
    /// Rows of named columns.
    Table(Arc<Table>),
    /// Nothing: an argument left out, a blank cell of a table.
    None,
}

/// Named values, in order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Record {
    /// The fields.
    pub fields: Vec<(Arc<str>, Value)>,
    /// The value that the record stands for where a number is wanted, such as the
    /// middle of a range.
    pub scalar_value: Option<Quantity>,
    /// The field by which the record is called in a text, such as a thread's designation.
    pub said_as: Option<Arc<str>>,
}

impl Record {
    /// Returns a record of these fields.
    pub fn new<N: Into<Arc<str>>, V: Into<Value>>(
        fields: impl IntoIterator<Item = (N, V)>,
    ) -> Self {
        let fields = fields
            .into_iter()
            .map(|(name, value)| (name.into(), value.into()))
            .collect();
        Self {
            fields,
            ..Self::default()
        }
    }

    /// Returns the same record, standing for `value` where a number is wanted.
    #[must_use]
    pub fn with_scalar_value(self, value: impl Into<Quantity>) -> Self {
        Self {
            scalar_value: Some(value.into()),
            ..self
        }
    }

    /// Returns the value of a field.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<&Value> {
        self.fields
            .iter()
            .find(|(field, _)| &**field == name)
            .map(|(_, value)| value)
    }
}

/// Rows of named columns.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    /// The columns' names.
    pub columns: Vec<Arc<str>>,
    /// The rows, each with one value a column.
    pub rows: Vec<Vec<Value>>,
    /// Whether the rows are ways to do one thing, the best first, of which one is chosen.
    pub choices: bool,
}

impl Table {
    /// Returns a table with these columns and rows.
    #[must_use]
    pub fn new(columns: &[&str], rows: Vec<Vec<Value>>) -> Self {
        Self {
            columns: columns.iter().map(|name| (*name).into()).collect(),
            rows,
            choices: false,
        }
    }

    /// Returns the place of a column.
    #[must_use]
    pub fn column(&self, name: &str) -> Option<usize> {
        self.columns.iter().position(|column| &**column == name)
    }

    /// Returns the values of a column.
    #[must_use]
    pub fn values(&self, column: usize) -> Vec<Value> {
        self.rows
            .iter()
            .map(|row| row.get(column).cloned().unwrap_or(Value::None))
            .collect()
    }

    /// Returns a row as a record.
    #[must_use]
    pub fn row(&self, index: usize) -> Option<Record> {
        let row = self.rows.get(index)?;
        {
            let fields = self
                .columns
                .iter()
                .cloned()
                .zip(row.iter().cloned())
                .collect();
            Some(Record {
                fields,
                ..Record::default()
            })
        }
    }
}

impl Value {
    /// Returns a plain number.
    #[must_use]
    pub fn number(value: f64) -> Self {
        Self::Quantity(Quantity::number(value))
    }

    /// Returns a whole number.
    #[must_use]
    pub fn whole(value: impl TryInto<i64>) -> Self {
        #[allow(clippy::cast_precision_loss)] // counts of teeth, holes and rows
        Self::number(value.try_into().map_or(f64::NAN, |value| value as f64))
    }

    /// Returns what kind of value it is, with its article: "a length", "a list".
    #[must_use]
    pub fn kind(&self) -> String {
        match self {
            Self::Quantity(value) => value.dimension.words(),
            Self::Size(size) => size.value.dimension.words(),
            Self::Text(_) => "text".to_owned(),
            Self::Truth(_) => "true or false".to_owned(),
            Self::List(_) => "a list".to_owned(),
            Self::Record(_) => "a record".to_owned(),
            Self::Table(_) => "a table".to_owned(),
            Self::None => "nothing".to_owned(),
        }
    }

    /// Returns how many values it holds, those within its values counted too, and one for
    /// every 8 characters of text. Counting stops a little past 100,000.
    #[must_use]
    pub fn size(&self) -> usize {
        let mut size = 0;
        self.count(0, &mut size);
        size
    }

    /// Counts the values within; says whether they nest no deeper than is allowed.
    fn count(&self, depth: usize, size: &mut usize) -> bool {
        *size += 1;
        if depth > NESTING {
            return false;
        }
        let mut more = |value: &Value| {
            if matches!(value, Self::Quantity(_) | Self::Truth(_)) {
                *size += 1;
                return depth < NESTING;
            }
            *size > ITEMS || value.count(depth + 1, size)
        };
        match self {
            Self::List(items) => items.iter().all(more),
            Self::Record(record) => record.fields.iter().all(|(_, value)| more(value)),
            Self::Table(table) => table.rows.iter().flatten().all(more),
            Self::Text(text) => {
                *size += text.len() / 8;
                true
            }
            Self::Quantity(_) | Self::Size(_) | Self::Truth(_) | Self::None => true,
        }
    }

    /// Refuses what holds too many values or nests too deep; gives its size.
    ///
    /// Lists of lists grow without many steps, for they share their parts, but
    /// whoever prints them goes through all of it.
    ///
    /// # Errors
    /// What is too much.
    pub fn bounded(&self) -> Result<usize, Fault> {
        let mut size = 0;
        let advice = "does a list or a record hold itself, again and again?";
        if !self.count(0, &mut size) {
            let message = format!("lists, records and tables nest more than {NESTING} deep here");
            return Err(Fault::new(message).advise(advice));
        }
        if size > ITEMS {
            let message = format!("this makes more than {ITEMS} values");
            return Err(Fault::new(message).advise(advice));
        }
        Ok(size)
    }

    /// Returns the same value as a cell holds it: a radian beside a length or a mass counts
    /// as 1.
    #[must_use]
    pub fn settled(self) -> Self {
        match self {
            Self::Quantity(value) => Self::Quantity(value.settled()),
            other => other,
        }
    }

    /// Returns the quantity it is.
    ///
    /// # Errors
    /// When it is something else.
    #[inline]
    pub fn quantity(&self) -> Result<Quantity, Fault> {
        match self {
            Self::Quantity(value) => Ok(*value),
            Self::Size(size) => Ok(size.value),
            Self::Record(record) if record.scalar_value.is_some() => {
                Ok(record.scalar_value.unwrap_or(Quantity::number(f64::NAN)))
            }
            other => Err(Fault::new(format!(
                "{} is given where a number is wanted",
                other.described()
            ))),
        }
    }

    /// Returns the numbers that it is, or holds as a list, in coherent SI; what is no
    /// number is left out.
    #[must_use]
    pub fn numbers(&self) -> Vec<f64> {
        let si = |value: &Self| Some(value.quantity().ok()?.si);
        match self {
            Self::List(items) => items.iter().filter_map(si).collect(),
            value => si(value).into_iter().collect(),
        }
    }

    /// Returns the truth it is.
    ///
    /// # Errors
    /// When it is something else.
    pub fn truth(&self) -> Result<bool, Fault> {
        match self {
            Self::Truth(value) => Ok(*value),
            Self::List(items) if items.iter().any(|item| matches!(item, Self::Truth(_))) => Err(
                Fault::new("this is a list of true and false, one for each value")
                    .advise("write `all(…)` or `any(…)` around it"),
            ),
            other => Err(
                Fault::new(format!("{} is neither true nor false", other.described()))
                    .advise("write a comparison, such as `wall >= 4 mm`"),
            ),
        }
    }

    /// Returns the truth of a check: of a list all must hold.
    ///
    /// # Errors
    /// When it is something else.
    pub fn all_hold(&self) -> Result<bool, Fault> {
        match self {
            Self::List(items) if !items.is_empty() => {
                for item in items.iter() {
                    if !item.all_hold()? {
                        return Ok(false);
                    }
                }
                Ok(true)
            }
            other => other.truth(),
        }
    }

    /// Returns the value with its kind, for messages: `30 (a plain number)`, `the text "M8"`.
    #[must_use]
    pub fn described(&self) -> String {
        match self {
            Self::Quantity(value) => format!("{value} ({})", value.dimension.words()),
            Self::Size(size) => format!("{} ({})", size.value, size.value.dimension.words()),
            Self::Text(text) if text.len() > LONG => {
                let start: String = text.chars().take(LONG).collect();
                format!("the text \"{start}…\"")
            }
            Self::Text(text) => format!("the text \"{text}\""),
            Self::Truth(value) => value.to_string(),
            Self::List(items) => format!("a list of {}", count(items.len(), "value")),
            Self::Record(_) => "a record".to_owned(),
            Self::Table(table) => format!("a table of {}", count(table.rows.len(), "row")),
            Self::None => "nothing".to_owned(),
        }
    }

    /// Returns whether two values are equal, numbers up to rounding.
    ///
    /// # Errors
    /// When they are of kinds that can't be compared.
    pub fn equals(&self, other: &Self) -> Result<bool, Fault> {
        match (self, other) {
            // A record stands for its point here too.
            (
                Self::Quantity(_) | Self::Size(_),
                Self::Quantity(_) | Self::Size(_) | Self::Record(_),
            )
            | (Self::Record(_), Self::Quantity(_) | Self::Size(_)) => {
                Ok(self.quantity()?.order(other.quantity()?)? == Ordering::Equal)
            }
            (Self::Text(a), Self::Text(b)) => Ok(a == b),
            (Self::Truth(a), Self::Truth(b)) => Ok(a == b),
            (Self::None, Self::None) => Ok(true),
            (Self::None, _) | (_, Self::None) => Ok(false),
            (Self::List(a), Self::List(b)) => {
                if a.len() != b.len() {
                    return Ok(false);
                }
                for (a, b) in a.iter().zip(b.iter()) {
                    if !a.equals(b)? {
                        return Ok(false);
                    }
                }
                Ok(true)
            }
            (a, b) => Err(Fault::new(format!(
                "{} can't be compared with {}",
                a.described(),
                b.described()
            ))),
        }
    }
}

impl From<Quantity> for Value {
    fn from(value: Quantity) -> Self {
        Self::Quantity(value)
    }
}

impl From<&str> for Value {
    fn from(value: &str) -> Self {
        Self::Text(value.into())
    }
}

impl From<String> for Value {
    fn from(value: String) -> Self {
        Self::Text(value.into())
    }
}

impl From<bool> for Value {
    fn from(value: bool) -> Self {
        Self::Truth(value)
    }
}

impl From<f64> for Value {
    fn from(value: f64) -> Self {
        Self::number(value)
    }
}

impl From<Record> for Value {
    fn from(value: Record) -> Self {
        Self::Record(Arc::new(value))
    }
}

impl From<Table> for Value {
    fn from(value: Table) -> Self {
        Self::Table(Arc::new(value))
    }
}

impl From<Vec<Value>> for Value {
    fn from(value: Vec<Value>) -> Self {
        Self::List(value.into())
    }
}

impl<T: Into<Value>> From<Option<T>> for Value {
    fn from(value: Option<T>) -> Self {
        value.map_or(Self::None, Into::into)
    }
}

impl fmt::Display for Value {
    /// Returns the value on one line, as it is printed in a sentence.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Quantity(value) => f.write_str(&quantity(*value, System::Metric)),
            Self::Size(size) => f.write_str(&quantity(size.value, System::Metric)),
            Self::Text(text) => f.write_str(text),
            Self::Truth(value) => write!(f, "{value}"),
            Self::List(items) => {
                for (index, item) in items.iter().enumerate() {
                    write!(f, "{}{item}", if index == 0 { "" } else { ", " })?;
                }
                Ok(())
            }
            Self::Record(record) => {
                for (index, (name, value)) in record.fields.iter().enumerate() {
                    write!(f, "{}{name} {value}", if index == 0 { "" } else { ", " })?;
                }
                Ok(())
            }
            Self::Table(table) => write!(f, "a table of {}", count(table.rows.len(), "row")),
            Self::None => f.write_str("none"),
        }
    }
}
