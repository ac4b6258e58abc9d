//! What a picture takes.

use std::sync::Arc;

use crate::diagnostic::{Fault, Span};
use crate::language::{
    Contract, FieldDoc, Function, KindWord, Node, ParameterDoc, RangeCode, Record, SlotId, Table,
    Value,
};
use crate::quantity::{Dimension, Quantity, Unit};

/// A value of a picture in brackets, or a column of its table.
#[derive(Clone, Debug)]
pub struct Parameter {
    /// Its name.
    pub name: Arc<str>,
    /// What it may be.
    pub contract: Contract,
    /// Whether it must be given.
    pub needed: bool,
    /// What it means.
    pub meaning: String,
}

/// What stands after `of`.
#[derive(Clone, Debug)]
pub enum Subject {
    /// Nothing: all is in brackets.
    Nothing,
    /// A table with these columns.
    Table(Vec<Parameter>),
    /// Nothing: the sizes in brackets are shown by their tolerance zones.
    Zones,
    /// The cells of a graph.
    Cells,
}

/// A picture.
#[derive(Debug)]
pub struct Form {
    /// What it is called.
    pub name: String,
    /// What stands after `of`.
    pub subject: Subject,
    /// What stands in brackets.
    pub parameters: Vec<Parameter>,
    /// What may stand after `with`.
    pub options: Vec<String>,
    /// A statement that draws one.
    pub example: String,
    /// Checks what was given and adds what follows from it.
    pub derive: fn(&mut Given) -> Result<(), Fault>,
}

impl Form {
    /// Returns the picture that a function documents: a parameter that is a table stands
    /// after `of`, its columns being the fields; one that is true or false after `with`;
    /// nothing where the documentation can't be read.
    pub fn of(function: &Function, derive: fn(&mut Given) -> Result<(), Fault>) -> Option<Self> {
        let doc = function.doc().ok()?;
        let kind = |parameter: &&ParameterDoc, kind: KindWord| parameter.contract.kinds == [kind];
        let is_table = |parameter: &&ParameterDoc| kind(parameter, KindWord::Table);
        let is_option = |parameter: &&ParameterDoc| kind(parameter, KindWord::Truth);
        let column = |field: &FieldDoc| {
            let contract = field.kind.replacen(" or none", "", 1);
            Some(Parameter {
                name: field.name.clone(),
                contract: Contract::read(&contract).ok()?,
                needed: contract == field.kind,
                meaning: field.meaning.clone(),
            })
        };
        let given = doc.parameters.iter();
        let parameters = given
            .clone()
            .filter(|parameter| !is_table(parameter) && !is_option(parameter))
            .map(|parameter| Parameter {
                name: parameter.name.clone(),
                contract: parameter.contract.clone(),
                needed: parameter.default.is_none(),
                meaning: parameter.meaning.clone(),
            });
        Some(Self {
            name: function.name.replace('_', " "),
            subject: match &*doc.gives {
                "graph" => Subject::Cells,
                "tolerance zones" => Subject::Zones,
                _ if doc.fields.is_empty() => Subject::Nothing,
                _ => Subject::Table(doc.fields.iter().map(column).collect::<Option<_>>()?),
            },
            parameters: parameters.collect(),
            options: given
                .filter(is_option)
                .map(|option| option.name.replace('_', " "))
                .collect(),
            example: doc.examples.first()?.0.clone(),
            derive,
        })
    }
}

/// The varied cell of a graph.
#[derive(Clone, Debug)]
pub struct Over {
    /// Its slot.
    pub slot: SlotId,
    /// Where it is named.
    pub span: Span,
    /// The values it takes; nothing where a `vary` statement gives them.
    pub steps: Option<RangeCode>,
}

/// A `draw` statement with its names resolved.
#[derive(Clone, Debug)]
pub struct DrawCode {
    /// The picture.
    pub form: &'static Form,
    /// What stands after `of`, with its text.
    pub subjects: Vec<(String, Node)>,
    /// What stands in brackets: the parameter's place, the value's text and the value.
    pub arguments: Vec<(usize, String, Node)>,
    /// The varied cell of a graph.
    pub over: Option<Over>,
    /// The column of a table that a graph goes over instead, with its text.
    pub column: Option<(String, Node)>,
    /// What stands after `with`, in the form's order.
    pub options: Vec<&'static str>,
    /// Where the picture's name stands.
    pub span: Span,
}

/// What was given for a picture, checked one by one.
#[derive(Clone, Debug, Default)]
pub struct Given {
    /// The fields of the picture's record.
    pub fields: Vec<(Arc<str>, Value)>,
}

impl Given {
    /// Returns a field.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<&Value> {
        let found = self.fields.iter().find(|(field, _)| &**field == name);
        found.map(|(_, value)| value).filter(|v| **v != Value::None)
    }

    /// Returns a quantity in coherent SI; nothing where it was left out.
    #[must_use]
    pub fn si(&self, name: &str) -> Option<f64> {
        Some(self.get(name)?.quantity().ok()?.si)
    }

    /// Returns the numbers of an argument that is a number or a list, in coherent SI.
    #[must_use]
    pub fn numbers(&self, name: &str) -> Vec<f64> {
        self.get(name).map_or_else(Vec::new, Value::numbers)
    }

    /// Returns whether `option` stands after `with`.
    #[must_use]
    pub fn with(&self, option: &str) -> bool {
        self.get(option) == Some(&Value::Truth(true))
    }

    /// Returns the table after `of`.
    #[must_use]
    pub fn table(&self) -> Option<&Table> {
        self.fields.iter().find_map(|(_, value)| match value {
            Value::Table(table) => Some(&**table),
            _ => None,
        })
    }

    /// Adds a field.
    pub fn add(&mut self, name: &str, value: impl Into<Value>) {
        self.fields.push((name.into(), value.into()));
    }

    /// Adds a length in metres, shown like the field `like`.
    pub fn add_length(&mut self, name: &str, metres: f64, like: &str) {
        let length = self.length(metres, like);
        self.add(name, length);
    }

    /// Adds a length in metres that is dialled on the readout, shown like the field `like`.
    pub fn add_coordinate(&mut self, name: &str, metres: f64, like: &str) {
        let length = self.length(metres, like);
        self.add(name, length.as_coordinate().unwrap_or(length));
    }

    fn length(&self, metres: f64, like: &str) -> Quantity {
        let like = self.get(like).and_then(|value| value.quantity().ok());
        Quantity {
            unit: like.map_or(Unit::NONE, |like| like.unit),
            ..Quantity::si(metres, Dimension::LENGTH)
        }
    }

    /// Adds an angle in radians.
    pub fn add_angle(&mut self, name: &str, radians: f64) {
        self.add(name, Quantity::si(radians, Dimension::ANGLE));
    }

    /// Returns the picture's record.
    #[must_use]
    pub fn record(self) -> Value {
        Record {
            fields: self.fields,
            ..Record::default()
        }
        .into()
    }
}
