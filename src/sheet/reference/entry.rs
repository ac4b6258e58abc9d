//! What the reference says of one function.

use serde::Serialize;

use super::texts::known_texts;
use crate::diagnostic::Fault;
use crate::language::{Function, FunctionDoc, ParameterDoc, STEPS, Value};
use crate::notebook::{Settings, Workspace};
use crate::sheet::Writer;

/// A function of the library, as the reference shows it.
#[derive(Clone, Debug, Serialize)]
pub struct Entry {
    /// Its name.
    pub name: String,
    /// Its topic.
    pub topic: String,
    /// How a call is written, with what arguments are where none is given.
    pub signature: String,
    /// What it does.
    pub description: String,
    /// Its arguments.
    pub arguments: Vec<Argument>,
    /// What must hold of the arguments together: the condition, and what is wrong otherwise.
    pub requires: Vec<(String, String)>,
    /// What it gives, and the unit that is shown in.
    pub gives: String,
    /// The fields of the record, or the columns of the table, that it gives.
    pub fields: Vec<Field>,
    /// The field that the record counts as where a number is wanted.
    pub counts_as: Option<String>,
    /// The field by which the record is called in a text.
    pub said_as: Option<String>,
    /// Whether the rows of the table are choices, the best first.
    pub choices: bool,
    /// Its definition; none where it looks up or searches.
    pub formula: Option<String>,
    /// The book, standard or practice it comes from.
    pub source: String,
    /// Worked examples.
    pub examples: Vec<Example>,
    /// What to mind when using it.
    pub cautions: Vec<String>,
}

/// An argument of a function.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Argument {
    /// Its name.
    pub name: String,
    /// What it may be, with units and bounds.
    pub kind: String,
    /// What it means.
    pub meaning: String,
    /// Its value where none is given.
    pub default: Option<String>,
    /// The texts that it may be, where those are known; the meaning may name some of
    /// them.
    pub texts: Vec<String>,
}

/// A field of a record, or a column of a table.
#[derive(Clone, Debug, Serialize)]
pub struct Field {
    /// Its name.
    pub name: String,
    /// What it is, and the unit it is shown in.
    pub kind: String,
    /// What it means.
    pub meaning: String,
    /// Its value in the example; of a column that of the first row.
    pub value: String,
}

/// A worked example.
#[derive(Clone, Debug, Serialize)]
pub struct Example {
    /// What is asked.
    pub expression: String,
    /// The answer, as its source prints it or as it was worked by hand.
    pub value: String,
    /// The answer as the program prints it; empty in a list.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub printed: String,
}

impl Example {
    /// Returns the answer as the program prints it, and the worked one where it has
    /// more digits or another unit.
    pub(super) fn answers(&self) -> (&str, Option<&str>) {
        let (value, printed) = (self.value.as_str(), self.printed.as_str());
        let is_text = value.starts_with('"');
        if printed.is_empty() || is_text {
            return (value, None);
        }
        let more = |rest: &str| rest.is_empty() || rest.starts_with("  ");
        if printed.strip_prefix(value).is_some_and(more) || alike(value, printed) {
            return (printed, None);
        }
        (printed, Some(value))
    }
}

/// Returns whether two values are the same number with the same unit.
fn alike(a: &str, b: &str) -> bool {
    let parts = |text: &str| {
        let (number, unit) = text.split_once(' ').unwrap_or((text, ""));
        Some((number.parse::<f64>().ok()?, unit.to_owned()))
    };
    parts(a).is_some_and(|a| Some(a) == parts(b))
}

impl Entry {
    /// Returns what the reference says of a function.
    ///
    /// # Errors
    /// When its documentation can't be read, which the library's tests rule out.
    pub fn of(function: &Function) -> Result<Self, Fault> {
        let doc = function.doc().map_err(Clone::clone)?;
        let (name, topic) = (function.name, function.topic);
        Ok(Self::of_doc(name, topic, function.definition, doc))
    }

    /// Returns what is said of a function that is documented so.
    #[must_use]
    pub fn of_doc(name: &str, topic: &str, definition: &str, doc: &FunctionDoc) -> Self {
        let native = definition.ends_with("= native");
        let examples = doc.examples.iter().map(|(expression, value)| Example {
            expression: expression.clone(),
            value: value.clone(),
            printed: String::new(),
        });
        let fields = doc.fields.iter().map(|field| Field {
            name: field.name.to_string(),
            kind: field.kind.clone(),
            meaning: field.meaning.clone(),
            value: String::new(),
        });
        let arguments = Argument::of_doc(name, doc);
        let written: Vec<String> = arguments.iter().map(Argument::written).collect();
        Self {
            name: name.to_owned(),
            topic: topic.to_owned(),
            signature: format!("{name}({})", written.join(", ")),
            description: doc.description.clone(),
            arguments,
            requires: doc.requires.clone(),
            gives: doc.gives.clone(),
            fields: fields.collect(),
            counts_as: doc.counts_as.as_ref().map(|field| field.to_string()),
            said_as: doc.said_as.as_ref().map(|field| field.to_string()),
            choices: doc.choices,
            formula: (!native).then(|| definition.to_owned()),
            source: doc.source.clone(),
            examples: examples.collect(),
            cautions: doc.cautions.clone(),
        }
    }

    /// Returns the same as [`of`](Self::of), with the values of its fields in the example and
    /// what the program prints for each example.
    ///
    /// # Errors
    /// When its documentation can't be read, which the library's tests rule out.
    pub fn in_full(function: &Function) -> Result<Self, Fault> {
        let mut entry = Self::of(function)?;
        entry.fields = fields(&entry).unwrap_or_default();
        for example in &mut entry.examples {
            example.printed = printed(&example.expression).unwrap_or_default();
        }
        Ok(entry)
    }

    /// Returns what it gives, and what that counts as where a number is wanted.
    pub(super) fn gives_text(&self) -> String {
        match (&self.counts_as, &self.said_as) {
            (Some(field), _) => format!(
                "{}, which counts as its `{field}` where a number is wanted",
                self.gives
            ),
            (None, Some(field)) => format!("{}, called by its `{field}` in texts", self.gives),
            (None, None) if self.choices => format!("{} of choices, the best first", self.gives),
            (None, None) => self.gives.clone(),
        }
    }

    /// Returns the first sentence of the description.
    #[must_use]
    pub fn first_sentence(&self) -> &str {
        match self.description.split_once(". ") {
            Some((first, _)) => first,
            None => self.description.trim_end_matches('.'),
        }
    }
}

/// Returns what the program prints for an expression.
fn printed(expression: &str) -> Option<String> {
    let value = Workspace::default().evaluate(expression, &[], STEPS).ok()?;
    let settings = Settings::default();
    Some(Writer::new(&settings).value(&value).line())
}

/// Returns the fields of what the first example gives that shows a record or a table.
fn fields(entry: &Entry) -> Option<Vec<Field>> {
    if !matches!(
        entry.gives.split([' ', ';']).next(),
        Some("record" | "table")
    ) {
        return None;
    }
    let call = format!("{}(", entry.name);
    let example = entry.examples.iter().find_map(|example| {
        let expression = example.expression.as_str();
        let start = expression.find(&call)?;
        let rest = expression.get(start..)?;
        let mut depth = 0_usize;
        let end = rest.char_indices().find_map(|(at, c)| {
            match c {
                '(' => depth += 1,
                ')' => depth -= 1,
                _ => {}
            }
            (depth == 0 && c == ')').then_some(at + 1)
        })?;
        rest.get(..end)
    })?;
    let settings = Settings::default();
    let writer = Writer::new(&settings);
    let field = |name: &str, value: &Value| {
        let documented = entry.fields.iter().find(|field| field.name == name);
        Field {
            name: name.to_owned(),
            kind: documented.map_or(String::new(), |field| field.kind.clone()),
            meaning: documented.map_or(String::new(), |field| field.meaning.clone()),
            value: writer.value(value).line(),
        }
    };
    match Workspace::default().evaluate(example, &[], STEPS).ok()? {
        Value::Record(record) => {
            let fields = record.fields.iter();
            Some(fields.map(|(name, value)| field(name, value)).collect())
        }
        Value::Table(table) => {
            let first = table.rows.first()?;
            let columns = table.columns.iter().zip(first.iter());
            Some(columns.map(|(name, value)| field(name, value)).collect())
        }
        _ => None,
    }
}

impl Argument {
    /// Returns the arguments of a function that is documented so.
    pub fn of_doc(function: &str, doc: &FunctionDoc) -> Vec<Self> {
        let argument = |parameter: &ParameterDoc| Self {
            texts: known_texts(function, parameter),
            name: parameter.name.to_string(),
            kind: parameter.contract.text.clone(),
            meaning: parameter.meaning.clone(),
            default: parameter.default.clone(),
        };
        doc.parameters.iter().map(argument).collect()
    }

    /// Returns it as it is written in a call, with its value where none is given.
    #[must_use]
    pub fn written(&self) -> String {
        match &self.default {
            Some(default) => format!("{}: {default}", self.name),
            None => self.name.clone(),
        }
    }
}
