//! Expressions with their names resolved: what the evaluator works on.

use std::sync::Arc;

use super::{Function, Value};
use crate::diagnostic::Span;
use crate::language::SlotId;
use crate::quantity::{Style, Unit};
use crate::syntax::{Operator, Tolerance};

/// An expression with its place in the statement.
#[derive(Clone, Debug)]
pub struct Node {
    /// What it is.
    pub code: ResolvedExpr,
    /// Where it stands.
    pub span: Span,
}

/// One tolerance of a drawing: the slot of the cell it stands in and its number
/// there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Source {
    /// The slot of the cell.
    pub slot: SlotId,
    /// Its number among the tolerances of the cell, from 0.
    pub index: u16,
}

/// A size with its tolerance.
#[derive(Clone, Debug)]
pub struct SizeCode {
    /// The size on the drawing.
    pub size: Node,
    /// Its tolerance.
    pub tolerance: Tolerance,
    /// Which tolerance it is.
    pub source: Source,
    /// Where the tolerance stands.
    pub span: Span,
}

/// What is called.
#[derive(Clone, Debug)]
pub enum Callee {
    /// A function of the library.
    Library(&'static Function),
    /// A function of the notebook, by its slot, with its name.
    Notebook(SlotId, Arc<str>),
}

/// A call.
#[derive(Clone, Debug)]
pub struct Call {
    /// What is called.
    pub callee: Callee,
    /// The arguments as written, each with its name where one is given.
    pub arguments: Box<[(Option<Arc<str>>, Node)]>,
    /// Where the function's name stands.
    pub name_span: Span,
}

/// `find name between low and high so that left = right`
#[derive(Clone, Debug)]
pub struct FindCode {
    /// The unknown's name.
    pub name: Arc<str>,
    /// The unknown's place among the locals.
    pub local: u16,
    /// One end of the bracket.
    pub low: Node,
    /// The other end.
    pub high: Node,
    /// Left side of the condition.
    pub left: Node,
    /// Right side of the condition.
    pub right: Node,
}

/// What a `find` says, in a formula or as a cell.
#[derive(Clone, Copy, Debug)]
pub struct FindSides<'a> {
    /// The unknown's place among the locals, where it is one.
    pub local: Option<u16>,
    /// One end of the bracket.
    pub low: &'a Node,
    /// The other end.
    pub high: &'a Node,
    /// Left side of the condition.
    pub left: &'a Node,
    /// Right side of the condition.
    pub right: &'a Node,
}

/// The values that a counter or a varied cell takes.
#[derive(Clone, Debug)]
pub enum RangeCode {
    /// A list.
    List(Vec<Node>),
    /// From, to, by.
    Steps(Box<[Node; 3]>),
}

impl RangeCode {
    /// Returns where its expressions stand, from the first to the last.
    #[must_use]
    pub fn span(&self) -> Span {
        match self.nodes() {
            [first, .., last] => first.span.to(last.span),
            [only] => only.span,
            [] => Span::default(),
        }
    }

    /// Returns its expressions.
    #[must_use]
    pub fn nodes(&self) -> &[Node] {
        match self {
            Self::List(nodes) => nodes,
            Self::Steps(nodes) => &**nodes,
        }
    }
}

/// `rows for name over … starting … with … unless …`
#[derive(Clone, Debug)]
pub struct RowsCode {
    /// The counter's name.
    pub counter: Arc<str>,
    /// What it goes through.
    pub range: RangeCode,
    /// The counter's place among the locals; the row before and the computed columns
    /// stand behind it, in this order.
    pub first: u16,
    /// What stands before the first row.
    pub starting: Vec<(Arc<str>, Node)>,
    /// The computed columns.
    pub columns: Vec<(Arc<str>, Node)>,
    /// Which rows are left out.
    pub unless: Option<Node>,
    /// Whether a column is computed from the row before.
    pub looks_back: bool,
}

impl RowsCode {
    /// Returns its expressions.
    pub fn nodes(&self) -> impl Iterator<Item = &Node> {
        let starting = self.starting.iter().map(|(_, node)| node);
        let columns = self.columns.iter().map(|(_, node)| node);
        let nodes = self.range.nodes().iter().chain(starting);
        nodes.chain(columns).chain(self.unless.as_ref())
    }
}

/// What an expression is.
#[derive(Clone, Debug)]
pub enum ResolvedExpr {
    /// A value that is known.
    Constant(Value),
    /// A cell, by its slot.
    Cell(SlotId),
    /// A parameter, a name of a `where` clause or a column of the row.
    Local(u16),
    /// `-a`
    Negate(Box<Node>),
    /// `not a`
    Not(Box<Node>),
    /// Operands of one strength, worked from the left.
    Chain(Box<Node>, Box<[(Operator, Node)]>),
    /// `if a then b else c`
    If(Box<[Node; 3]>),
    /// A call of a function.
    Call(Box<Call>),
    /// `record(name: value)`
    Record(Box<[(Arc<str>, Node)]>),
    /// `[a, b] unit`
    List(Box<[Node]>, Option<Unit>),
    /// `a.name`
    Field(Box<Node>, Arc<str>),
    /// `a[b]`
    Index(Box<[Node; 2]>),
    /// `a as unit`
    As(Box<Node>, Unit),
    /// `a as dms`, `a as fraction 1/64`
    Styled(Box<Node>, Style),
    /// A size with its tolerance.
    Size(Box<SizeCode>),
    /// `find …`
    Find(Box<FindCode>),
    /// `rows for …`
    Rows(Box<RowsCode>),
    /// A value with names bound first, in order, to the locals from this place on.
    Where(Box<[Node]>, u16, Box<Node>),
}

impl ResolvedExpr {
    /// Returns the slot where the expression is a cell's name.
    #[must_use]
    pub const fn slot(&self) -> Option<SlotId> {
        match self {
            Self::Cell(slot) => Some(*slot),
            _ => None,
        }
    }

    /// Returns whether the expression names something: a cell, a local, a field, a place in a
    /// list; such a name carries the faces of the size it names.
    #[must_use]
    pub fn is_path(&self) -> bool {
        match self {
            Self::Cell(_) | Self::Local(_) | Self::Constant(_) => true,
            Self::Field(of, _) => of.code.is_path(),
            Self::Index(parts) => parts[0].code.is_path(),
            _ => false,
        }
    }
}

impl Node {
    /// Calls `visit` with this expression and all within it.
    pub fn walk<'a>(&'a self, visit: &mut impl FnMut(&'a Node)) {
        visit(self);
        match &self.code {
            ResolvedExpr::Constant(_) | ResolvedExpr::Cell(_) | ResolvedExpr::Local(_) => {}
            ResolvedExpr::Negate(a)
            | ResolvedExpr::Not(a)
            | ResolvedExpr::Field(a, _)
            | ResolvedExpr::As(a, _)
            | ResolvedExpr::Styled(a, _) => a.walk(visit),
            ResolvedExpr::Chain(first, rest) => {
                first.walk(visit);
                rest.iter().for_each(|(_, node)| node.walk(visit));
            }
            ResolvedExpr::If(parts) => parts.iter().for_each(|node| node.walk(visit)),
            ResolvedExpr::Call(call) => {
                call.arguments.iter().for_each(|(_, node)| node.walk(visit))
            }
            ResolvedExpr::Record(fields) => fields.iter().for_each(|(_, node)| node.walk(visit)),
            ResolvedExpr::List(items, _) => items.iter().for_each(|node| node.walk(visit)),
            ResolvedExpr::Index(parts) => parts.iter().for_each(|node| node.walk(visit)),
            ResolvedExpr::Size(size) => size.size.walk(visit),
            ResolvedExpr::Find(find) => [&find.low, &find.high, &find.left, &find.right]
                .map(|node| node.walk(visit))
                .into_iter()
                .collect(),
            ResolvedExpr::Rows(rows) => rows.nodes().for_each(|node| node.walk(visit)),
            ResolvedExpr::Where(bound, _, value) => {
                bound.iter().for_each(|node| node.walk(visit));
                value.walk(visit);
            }
        }
    }

    /// Returns the functions of the library that it calls.
    #[must_use]
    pub fn calls(&self) -> Vec<&'static Function> {
        let mut found = Vec::new();
        self.walk(&mut |node| {
            if let ResolvedExpr::Call(call) = &node.code
                && let Callee::Library(function) = &call.callee
            {
                found.push(*function);
            }
        });
        found
    }
}
