//! The typed tree of statements and expressions.

use std::sync::Arc;

use super::Operator;
use crate::diagnostic::Span;
use crate::quantity::{Dimension, Style, System, Unit};

/// A name with its place.
#[derive(Clone, Debug)]
pub struct Name {
    /// The name as written.
    pub text: Arc<str>,
    /// Where it stands.
    pub span: Span,
}

impl PartialEq for Name {
    /// Holds names equal wherever they stand.
    fn eq(&self, other: &Self) -> bool {
        self.text == other.text
    }
}

/// An expression with its place.
#[derive(Clone, Debug)]
pub struct Expression {
    /// What it is.
    pub kind: Kind,
    /// Where it stands.
    pub span: Span,
}

impl PartialEq for Expression {
    /// Holds expressions equal wherever they stand.
    fn eq(&self, other: &Self) -> bool {
        self.kind == other.kind
    }
}

/// A number as it was written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Number {
    /// `12.5`
    Decimal(f64),
    /// `1 3/8`: whole, above, below.
    Fraction(u32, u32, u32),
    /// `2°51'27"`: degrees, minutes, seconds.
    Degrees(f64, f64, f64),
}

impl Number {
    /// Returns its value; degrees in degrees.
    #[must_use]
    pub fn value(self) -> f64 {
        match self {
            Self::Decimal(value) => value,
            Self::Fraction(whole, above, below) => {
                (f64::from(whole) * f64::from(below) + f64::from(above)) / f64::from(below)
            }
            Self::Degrees(degrees, minutes, seconds) => {
                degrees + (minutes * 60.0 + seconds) / 3600.0
            }
        }
    }
}

/// The tolerance on a size. Deviations without a unit take the unit of the size.
#[derive(Clone, Debug, PartialEq)]
pub enum Tolerance {
    /// `±0.05`: half the width.
    PlusMinus(Number, Option<Unit>),
    /// `(+0.02/-0.01)`: the two deviations, signed, as written.
    Deviations((f64, Option<Unit>), (f64, Option<Unit>)),
    /// `H7`
    Class(Arc<str>),
}

/// An argument of a call.
#[derive(Clone, Debug, PartialEq)]
pub struct Argument {
    /// The parameter's name, where it is given.
    pub name: Option<Name>,
    /// The value.
    pub value: Expression,
}

/// `find name between low and high so that left = right`
#[derive(Clone, Debug, PartialEq)]
pub struct Find {
    /// The unknown.
    pub name: Name,
    /// One end of the bracket.
    pub low: Expression,
    /// The other end.
    pub high: Expression,
    /// Left side of the condition.
    pub left: Expression,
    /// Right side of the condition.
    pub right: Expression,
}

/// `rows for name over … starting … with … unless …`
#[derive(Clone, Debug, PartialEq)]
pub struct Rows {
    /// The counter.
    pub name: Name,
    /// What it goes through.
    pub range: Range,
    /// What stands before the first row.
    pub starting: Vec<Binding>,
    /// The computed columns, in order.
    pub columns: Vec<Binding>,
    /// Which rows are left out.
    pub unless: Option<Expression>,
}

/// What an expression is.
#[derive(Clone, Debug, PartialEq)]
pub enum Kind {
    /// A number with its unit ([`Unit::NONE`] for a plain number).
    Quantity(Number, Unit),
    /// Text in quotes.
    Text(Arc<str>),
    /// A name.
    Name(Arc<str>),
    /// `[a, b] unit`
    List(Vec<Expression>, Option<Unit>),
    /// `-a`
    Negate(Box<Expression>),
    /// `not a`
    Not(Box<Expression>),
    /// Operands joined by operators of one strength, worked from the left;
    /// comparisons chain; for `^` there is always one.
    Chain(Box<Expression>, Vec<(Operator, Expression)>),
    /// `if a then b else c`
    If(Box<[Expression; 3]>),
    /// `name(…)`
    Call(Name, Vec<Argument>),
    /// `a.name`
    Field(Box<Expression>, Name),
    /// `a[b]`
    Index(Box<[Expression; 2]>),
    /// `a as unit`
    As(Box<Expression>, Unit),
    /// `a as dms` or `a as fraction 1/64`
    Styled(Box<Expression>, Style),
    /// `(a)`
    Group(Box<Expression>),
    /// A size with its tolerance.
    Size(Box<Expression>, Tolerance),
    /// `find …`
    Find(Box<Find>),
    /// `rows for …`
    Rows(Box<Rows>),
}

impl Kind {
    /// Returns whether it is an angle as written, behind which a lone `"` means seconds of arc.
    #[must_use]
    pub fn is_angle(&self) -> bool {
        matches!(self, Self::Quantity(_, unit) if unit.dimension() == Dimension::ANGLE)
    }
}

/// A name bound in a `where` clause.
#[derive(Clone, Debug, PartialEq)]
pub struct Binding {
    /// The name.
    pub name: Name,
    /// Its value.
    pub value: Expression,
}

/// An expression with its `where` clause.
#[derive(Clone, Debug, PartialEq)]
pub struct Formula {
    /// The expression.
    pub expression: Expression,
    /// The names bound in the `where` clause, in order.
    pub bindings: Vec<Binding>,
}

/// A parameter of a function.
#[derive(Clone, Debug, PartialEq)]
pub struct Parameter {
    /// Its name.
    pub name: Name,
    /// Its value where the call gives none.
    pub default: Option<Expression>,
}

/// A column of a table.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// Its name.
    pub name: Name,
    /// The formula of a computed column.
    pub formula: Option<Expression>,
}

/// A row of a table, one entry a column; blank cells are nothing.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// The cells.
    pub cells: Vec<Option<Expression>>,
}

/// A piece of the text of an op.
#[derive(Clone, Debug, PartialEq)]
pub enum OpPart {
    /// Text as it is printed.
    Text(String),
    /// A value in the text.
    Value(Expression),
}

/// `op for name over rows: text`
#[derive(Clone, Debug, PartialEq)]
pub struct OpEach {
    /// The row's name in the text.
    pub name: Name,
    /// The table or the list.
    pub over: Expression,
    /// The text of each row; empty for the rows themselves.
    pub parts: Vec<OpPart>,
}

/// The values a varied cell takes.
#[derive(Clone, Debug, PartialEq)]
pub enum Range {
    /// `over a, b, c`
    List(Vec<Expression>),
    /// `from a to b by c`
    Steps(Box<[Expression; 3]>),
}

/// One varied cell and its values.
#[derive(Clone, Debug, PartialEq)]
pub struct VaryRange {
    /// The cell: a name, or a notebook's alias and a name.
    pub path: Vec<Name>,
    /// Its values.
    pub range: Range,
}

/// `draw holes of flange with chords`, `draw lever(big: boss, small: tip)`
#[derive(Clone, Debug, PartialEq)]
pub struct Draw {
    /// The picture: `holes`, `turned profile`; empty where none is named.
    pub picture: Name,
    /// What stands after `of`.
    pub subjects: Vec<Expression>,
    /// What stands in brackets.
    pub arguments: Vec<Argument>,
    /// The varied cell of a graph: a name, or a notebook's alias and a name.
    pub over: Vec<Name>,
    /// The values it takes, where they stand here: from, to, by.
    pub steps: Option<Box<[Expression; 3]>>,
    /// What stands after `with`.
    pub options: Vec<Name>,
}

/// What a statement is.
#[derive(Clone, Debug, PartialEq)]
#[allow(clippy::large_enum_variant)] // one is held at a time, and not for long
pub enum StatementKind {
    /// `title …`
    Title(String),
    /// `lengths mm, inch`
    Lengths(Vec<System>),
    /// `angles dms`
    Angles(Style),
    /// `readout 0.005 mm`
    Readout(Expression),
    /// `use NAME as ALIAS`
    Use {
        /// The other notebook, without `.job`.
        file: Name,
        /// What its names are prefixed with here.
        alias: Name,
    },
    /// `[Heading]`
    Section(String),
    /// `name = formula`
    Cell(Name, Formula),
    /// `name(…) = formula`
    Function(Name, Vec<Parameter>, Formula),
    /// `measured name = quantity`
    Measured(Name, Expression),
    /// `aim name = quantity`
    Aim(Name, Expression),
    /// `check condition`
    Check(Expression),
    /// `op text`
    Op(Vec<OpPart>),
    /// `op for name over rows: text`
    OpEach(OpEach),
    /// `table name` and its rows
    Table(Name, Vec<Column>, Vec<Row>),
    /// `vary …`
    Vary(Option<Name>, Vec<VaryRange>, Vec<Expression>),
    /// `find name between …`
    Find(Find),
    /// `draw …`
    Draw(Draw),
    /// A formula by itself.
    Bare(Formula),
}

impl Expression {
    /// Returns what it begins with: itself, or what stands first in it without a word, a
    /// sign or a bracket before.
    #[must_use]
    pub fn leftmost(&self) -> &Expression {
        match &self.kind {
            Kind::Size(value, _)
            | Kind::Chain(value, _)
            | Kind::Field(value, _)
            | Kind::As(value, _)
            | Kind::Styled(value, _) => value.leftmost(),
            Kind::Index(parts) => parts[0].leftmost(),
            _ => self,
        }
    }

    /// Calls `on` with each expression directly within this one, in the order in which
    /// they are written.
    pub fn each_within(&mut self, on: &mut dyn FnMut(&mut Expression)) {
        match &mut self.kind {
            Kind::Quantity(..) | Kind::Text(_) | Kind::Name(_) => {}
            Kind::List(items, _) => items.iter_mut().for_each(on),
            Kind::Negate(value)
            | Kind::Not(value)
            | Kind::As(value, _)
            | Kind::Styled(value, _)
            | Kind::Group(value)
            | Kind::Field(value, _)
            | Kind::Size(value, _) => on(value),
            Kind::Chain(first, links) => {
                on(first);
                links.iter_mut().for_each(|(_, value)| on(value));
            }
            Kind::If(parts) => parts.iter_mut().for_each(on),
            Kind::Index(parts) => parts.iter_mut().for_each(on),
            Kind::Call(_, arguments) => {
                arguments
                    .iter_mut()
                    .for_each(|argument| on(&mut argument.value));
            }
            Kind::Rows(rows) => {
                rows.range.expressions().iter_mut().for_each(&mut *on);
                for binding in rows.starting.iter_mut().chain(&mut rows.columns) {
                    on(&mut binding.value);
                }
                rows.unless.iter_mut().for_each(on);
            }
            Kind::Find(find) => {
                let Find {
                    low,
                    high,
                    left,
                    right,
                    ..
                } = &mut **find;
                [low, high, left, right].into_iter().for_each(on);
            }
        }
    }
}

impl Range {
    /// Returns its expressions.
    pub fn expressions(&mut self) -> &mut [Expression] {
        match self {
            Self::List(values) => values,
            Self::Steps(steps) => &mut **steps,
        }
    }
}
