//! What fills a slot.

use std::sync::Arc;

use super::draw::form::DrawCode;
use crate::diagnostic::Diagnostic;
use crate::language::{Callee, Node, RangeCode, ResolvedExpr, SlotId, UserFunction};

/// What fills a slot.
#[derive(Clone, Debug)]
pub enum Definition {
    /// Nothing yet: a name that is used before, or without, its definition.
    Nothing,
    /// A statement that can't be resolved.
    Broken(Vec<Diagnostic>),
    /// A cell.
    Cell(Node),
    /// A formula by itself.
    Bare(Node),
    /// A condition that must hold.
    Check(Node),
    /// A numbered operation.
    Op(Box<[OpPartCode]>),
    /// A numbered operation for each row of a table.
    OpEach(Box<OpEachCode>),
    /// A small grid.
    Table(Box<TableCode>),
    /// A cell whose value is solved for.
    Find(Box<FindCell>),
    /// A function.
    Function(Arc<UserFunction>),
    /// A what-if table.
    Vary(Box<VaryCode>),
    /// A picture.
    Draw(Box<DrawCode>),
}

/// A piece of the text of an op.
#[derive(Clone, Debug)]
pub enum OpPartCode {
    /// Text.
    Text(String),
    /// A value.
    Value(Node),
}

/// `op for name over rows: text`; the row is the first local.
#[derive(Clone, Debug)]
pub struct OpEachCode {
    /// The table or the list.
    pub over: Node,
    /// The text of each row; empty for the rows themselves.
    pub parts: Box<[OpPartCode]>,
}

/// A table: its columns and its rows.
#[derive(Clone, Debug)]
pub struct TableCode {
    /// The columns' names.
    pub columns: Vec<Arc<str>>,
    /// The formulas of the computed columns, in the order in which they are
    /// computed; a row's cells are the locals, in the order of the columns.
    pub computed: Vec<(usize, Node)>,
    /// The rows; blank cells and computed ones are nothing.
    pub rows: Vec<Vec<Option<Node>>>,
}

/// `find name between low and high so that left = right`
#[derive(Clone, Debug)]
pub struct FindCell {
    /// One end of the bracket.
    pub low: Node,
    /// The other end.
    pub high: Node,
    /// Left side of the condition.
    pub left: Node,
    /// Right side of the condition.
    pub right: Node,
    /// What the ends of the bracket need.
    pub ends_need: Vec<SlotId>,
}

/// `vary name over … show …`
#[derive(Clone, Debug)]
pub struct VaryCode {
    /// The varied cells, one or two, with their values.
    pub ranges: Vec<(SlotId, RangeCode)>,
    /// What is shown, with its text.
    pub shown: Vec<(String, Node)>,
}

impl Definition {
    /// Returns the definition, a broken one where something is wrong.
    #[must_use]
    pub fn unless(self, wrong: Vec<Diagnostic>) -> Self {
        if wrong.is_empty() {
            self
        } else {
            Self::Broken(wrong)
        }
    }

    /// Returns the slots that the content of a slot needs, readings left out; nothing where
    /// its expressions do not tell.
    #[must_use]
    pub fn needs(&self, slot: SlotId) -> Option<Vec<SlotId>> {
        if matches!(self, Self::Broken(_) | Self::Function(_) | Self::Vary(_)) {
            return None;
        }
        let mut needs = Vec::new();
        self.walk(&mut |node| node_needs(node, &mut needs));
        if let Self::Find(find) = self
            && !find.ends_need.contains(&slot)
        {
            needs.retain(|need| *need != slot);
        }
        Some(needs)
    }

    /// Returns whether it is a what-if table or a graph.
    #[must_use]
    pub fn is_what_if(&self) -> bool {
        match self {
            Self::Vary(_) => true,
            Self::Draw(code) => code.over.is_some(),
            _ => false,
        }
    }

    /// Returns whether a tolerance stands in the expressions that give its value.
    #[must_use]
    pub fn is_sized(&self) -> bool {
        let mut sized = false;
        if !matches!(self, Self::Vary(_) | Self::Draw(_)) {
            self.walk(&mut |node| {
                node.walk(&mut |node| sized |= matches!(node.code, ResolvedExpr::Size(_)));
            });
        }
        sized
    }

    /// Calls `visit` with every expression of the content.
    pub fn walk<'a>(&'a self, visit: &mut impl FnMut(&'a Node)) {
        match self {
            Self::Nothing | Self::Broken(_) | Self::Function(_) => {}
            Self::Cell(node) | Self::Bare(node) | Self::Check(node) => visit(node),
            Self::Op(parts) => op_nodes(parts).for_each(visit),
            Self::OpEach(each) => {
                visit(&each.over);
                op_nodes(&each.parts).for_each(visit);
            }
            Self::Table(table) => {
                table.computed.iter().for_each(|(_, node)| visit(node));
                table.rows.iter().flatten().flatten().for_each(visit);
            }
            Self::Find(find) => [&find.low, &find.high, &find.left, &find.right]
                .into_iter()
                .for_each(visit),
            Self::Draw(draw) => {
                let shown = draw.subjects.iter().chain(&draw.column);
                shown.for_each(|(_, node)| visit(node));
                draw.arguments.iter().for_each(|(_, _, node)| visit(node));
            }
            Self::Vary(vary) => {
                for (_, range) in &vary.ranges {
                    range.nodes().iter().for_each(&mut *visit);
                }
                vary.shown.iter().for_each(|(_, node)| visit(node));
            }
        }
    }
}

/// Returns the expressions in the text of an op.
fn op_nodes(parts: &[OpPartCode]) -> impl Iterator<Item = &Node> {
    parts.iter().filter_map(|part| match part {
        OpPartCode::Value(node) => Some(node),
        OpPartCode::Text(_) => None,
    })
}

/// Adds the slots that an expression needs.
pub fn node_needs(node: &Node, needs: &mut Vec<SlotId>) {
    node.walk(&mut |node| {
        let need = match &node.code {
            ResolvedExpr::Cell(need) => *need,
            ResolvedExpr::Call(call) => match call.callee {
                Callee::Notebook(need, _) => need,
                Callee::Library(_) => return,
            },
            _ => return,
        };
        if !needs.contains(&need) {
            needs.push(need);
        }
    });
}
