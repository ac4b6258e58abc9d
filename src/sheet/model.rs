//! A computed notebook as rows, ready to be written.

use serde::Serialize;

use super::formatted_value::FormattedValue;
use super::pictures::Picture;

/// What a row stands for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum RowKind {
    /// A cell or a formula by itself.
    #[default]
    Cell,
    /// A condition.
    Check,
    /// An operation.
    Op,
    /// A table.
    Table,
    /// A cell with a reading.
    Measured,
    /// A what-if table.
    Vary,
    /// A cell that was solved for.
    Find,
    /// A picture.
    Draw,
}

/// What the status of a row says.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum RowState {
    /// There is nothing to say: it has a value.
    #[default]
    Computed,
    /// A check that holds for all parts within their limits.
    Holds,
    /// A check that parts within their limits may fail.
    MayFail,
    /// A check of which nothing could be shown for all parts within their limits.
    NotKnown,
    /// A check that fails.
    Fails,
    /// A size that was measured, or a result that may come out as it was measured.
    Measured,
    /// A reading inside the limits of its size.
    Inside,
    /// A reading outside the limits of its size.
    Outside,
    /// A reading of a result further out than the limits of its sizes allow.
    Impossible,
    /// It waits for something that has no value.
    Waiting,
    /// It waits for a reading.
    NotMeasured,
    /// Something is wrong with it.
    Wrong,
}

/// How a state is marked, by colour and by sign.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// Not at all.
    None,
    /// All is well.
    Well,
    /// To be looked at.
    Edge,
    /// Not well.
    Ill,
}

impl RowState {
    /// Returns how the state is marked.
    #[must_use]
    pub const fn mark(self) -> Mark {
        match self {
            Self::Computed | Self::Measured => Mark::None,
            Self::Holds | Self::Inside => Mark::Well,
            Self::MayFail | Self::NotKnown | Self::NotMeasured | Self::Waiting => Mark::Edge,
            Self::Fails | Self::Outside | Self::Impossible | Self::Wrong => Mark::Ill,
        }
    }
}

/// A row of a sheet.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Row {
    /// The name of the cell; the condition of a check; the number of an op.
    pub name: String,
    /// What it stands for.
    pub kind: RowKind,
    /// The value as other programs get it, where the sheet is for them.
    #[serde(flatten)]
    pub data: Option<Box<Data>>,
    /// The figure on the drawing in the shown unit.
    pub drawn: Option<f64>,
    /// What one works to, in the shown unit.
    pub aim: Option<f64>,
    /// The last reading in the shown unit.
    pub reading: Option<f64>,
    /// The lower limit in the shown unit.
    pub low: Option<f64>,
    /// The upper limit in the shown unit.
    pub high: Option<f64>,
    /// How the limits of a result are known: `proven`, `enclosed`, `searched` or `unknown`; null where there
    /// are none.
    #[serde(rename = "limits")]
    pub limits_known: Option<&'static str>,
    /// Whether a result goes in steps between its limits.
    pub steps: bool,
    /// The value as it is printed.
    pub text: String,
    /// The formula as it stands in the notebook.
    pub formula: String,
    /// The remark behind the statement.
    pub note: String,
    /// `computed`, `holds`, `fails`, `inside`, `outside`, `wrong` or `waiting`, with
    /// more words where they help.
    pub status: String,
    /// Whether it is working that is kept off the sheet.
    pub hidden: bool,
    /// What it keeps back until that is asked for.
    #[serde(skip)]
    pub rest: Option<Box<Rest>>,
    /// The line of its statement, from 1.
    #[serde(skip)]
    pub line: u32,
    /// Whether it is the last reading of its name.
    #[serde(skip)]
    pub last_reading: bool,
    /// What the status says, for whoever decides by it.
    #[serde(skip)]
    pub state: RowState,
    /// The value as it is written in columns.
    #[serde(skip)]
    pub written: FormattedValue,
    /// The value in the other system of units.
    #[serde(skip)]
    pub other: Option<FormattedValue>,
    /// The limits as they are printed.
    #[serde(skip)]
    pub limits: String,
    /// A table.
    #[serde(skip)]
    pub grid: Option<Grid>,
    /// The text of an op in pieces.
    #[serde(skip)]
    pub parts: Vec<OpPart>,
    /// What to mind at an op.
    #[serde(skip)]
    pub cautions: Vec<String>,
    /// What a `draw` statement shows.
    #[serde(skip)]
    pub picture: Option<Box<Picture>>,
}

/// A value as other programs get it; a list, a record or a table has three of its shape.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Data {
    /// The value in the shown unit, not rounded.
    pub value: serde_json::Value,
    /// The shown unit.
    pub unit: serde_json::Value,
    /// The value in coherent SI.
    pub si: serde_json::Value,
}

/// What a row keeps back.
#[derive(Clone, Debug, Default)]
pub struct Rest {
    /// The table with all rows, or the record with all fields.
    pub grid: Option<Grid>,
    /// The number with all digits, and its limits.
    pub exact: Option<(FormattedValue, String)>,
}

/// Returns what is said of a thing, one after the other.
pub(super) fn joined(parts: &[&str]) -> String {
    let said = parts.iter().filter(|part| !part.is_empty());
    said.copied().collect::<Vec<_>>().join("; ")
}

impl Row {
    /// Returns what the row is called: its name, else its formula.
    pub(super) fn called(&self) -> &str {
        let name = Some(&self.name).filter(|name| !name.is_empty());
        name.unwrap_or(&self.formula)
    }

    /// Says of the row that the errors tell what is wrong with it.
    pub(super) fn is_wrong(&mut self) {
        (self.state, self.status) = (RowState::Wrong, "wrong: see the errors".to_owned());
    }

    /// Returns what it keeps back.
    pub(super) fn rest_mut(&mut self) -> &mut Rest {
        self.rest.get_or_insert_with(Box::default)
    }
}

/// A piece of the text of an op.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpPart {
    /// The text.
    pub text: String,
    /// Whether it is a computed value.
    pub value: bool,
}

/// A table with its heading.
#[derive(Clone, Debug, Default)]
pub struct Grid {
    /// The columns' names.
    pub columns: Vec<String>,
    /// The rows' values.
    pub rows: Vec<Vec<FormattedValue>>,
    /// A mark at a row, such as a check that fails there.
    pub marks: Vec<String>,
    /// Which of the table's rows these are, where others are left out: `the first of 9`.
    pub left_out: String,
}

/// A section of a sheet.
#[derive(Clone, Debug, Serialize)]
pub struct Section {
    /// Its heading; empty before the first.
    pub heading: String,
    /// Its rows, in file order.
    pub rows: Vec<Row>,
}

/// Something that is wrong, as other programs get it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Report {
    /// `error` or `warning`.
    pub severity: &'static str,
    /// The file.
    pub file: String,
    /// The line, from 1.
    pub line: usize,
    /// The column, from 1, in characters.
    pub column: usize,
    /// What is wrong.
    pub message: String,
    /// What to write instead.
    pub advice: Option<String>,
    /// All of it as a person reads it, with the line and the spot in it.
    #[serde(skip)]
    pub shown: String,
}

/// What to mind when using a function of the library.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Caution {
    /// The function.
    pub function: String,
    /// What to mind.
    pub caution: String,
}

/// A computed notebook.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Sheet {
    /// The heading.
    pub title: Option<String>,
    /// The notebook's file name.
    pub file: String,
    /// The sections.
    pub sections: Vec<Section>,
    /// What to mind.
    pub cautions: Vec<Caution>,
    /// What is wrong.
    pub errors: Vec<Report>,
    /// What to look at: a word, the line, what it is about.
    #[serde(skip)]
    pub to_look_at: Vec<[String; 3]>,
}
