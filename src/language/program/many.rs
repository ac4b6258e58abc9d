//! Lists, tables and rules laid into a formula: value by value.

use super::compile::{Compiler, Frame, Item, like};
use super::expression::truth_of;
use super::steps::{Operand, Step, Unary};
use crate::language::code::{RangeCode, RowsCode};
use crate::language::rows::steps;
use crate::language::{Node, Value};
use crate::quantity::Quantity;
use crate::syntax::Operator;

/// Two factors.
type Pair = ((Operand, Quantity), (Operand, Quantity));

/// The most rows that a rule is laid in for.
const MOST_ROWS: usize = 10_000;

impl Compiler<'_> {
    /// Does `one` to each pair of two lists, to each value of a list and the other, or to
    /// two single values; nothing where two lists are of different length.
    pub(super) fn paired(
        &mut self,
        left: &Item,
        right: &Item,
        one: &mut impl FnMut(&mut Self, &Item, &Item) -> Option<Item>,
    ) -> Option<Item> {
        let made: Option<Vec<Item>> = match (left.items(), right.items()) {
            (None, None) => return one(self, left, right),
            (Some(left), Some(right)) => {
                if left.len() != right.len() {
                    return None;
                }
                let pairs = left.iter().zip(&right);
                pairs.map(|(a, b)| self.paired(a, b, one)).collect()
            }
            (Some(left), None) => left.iter().map(|a| self.paired(a, right, one)).collect(),
            (None, Some(right)) => right.iter().map(|b| self.paired(left, b, one)).collect(),
        };
        made.map(Item::List)
    }

    /// Does `one` to a value, or to each of a list.
    pub(super) fn each(
        &mut self,
        value: &Item,
        one: &mut impl FnMut(&mut Self, &Item) -> Option<Item>,
    ) -> Option<Item> {
        match value.items() {
            None => one(self, value),
            Some(items) => {
                let made = items.iter().map(|item| self.each(item, one));
                made.collect::<Option<Vec<_>>>().map(Item::List)
            }
        }
    }

    /// Returns both truths, or either, value by value.
    pub(super) fn joined(&mut self, left: &Item, both: bool, right: &Item) -> Option<Item> {
        self.paired(left, right, &mut |compiler, a, b| {
            let (a, b) = (truth_of(a)?, truth_of(b)?);
            let step = if both {
                Step::And(a, b)
            } else {
                Step::Or(a, b)
            };
            compiler.emit(step, None).map(Item::Truth)
        })
    }

    /// Returns a comparison, value by value; nothing for whether two whole lists are equal.
    pub(super) fn compared(
        &mut self,
        left: &Item,
        operator: Operator,
        right: &Item,
    ) -> Option<Item> {
        let equality = matches!(operator, Operator::Equal | Operator::Unequal);
        if equality && left.items().is_some() && right.items().is_some() {
            return None;
        }
        self.paired(left, right, &mut |compiler, a, b| {
            // What moves is a number or a truth, and never none.
            let is_none = |item: &Item| matches!(item, Item::Known(Value::None));
            let moves = |item: &Item| matches!(item, Item::Column(..) | Item::Truth(_));
            if equality && (is_none(a) && moves(b) || moves(a) && is_none(b)) {
                return Some(Item::Known(Value::Truth(operator == Operator::Unequal)));
            }
            let (a, b) = (compiler.column(a)?, compiler.column(b)?);
            let scale = a.1.scale_beside(b.1).ok()?;
            let step = Step::Compare(operator, scale, a.0, b.0);
            compiler.emit(step, None).map(Item::Truth)
        })
    }

    /// Returns the truth that every value of a condition holds.
    pub(super) fn all_hold(&mut self, condition: &Item) -> Option<Item> {
        let Some(items) = condition.items() else {
            return truth_of(condition).map(|truth| match truth {
                Operand::Constant(truth) => Item::Known(Value::Truth(truth != 0.0)),
                truth => Item::Truth(truth),
            });
        };
        let mut all: Option<Operand> = None;
        for item in &items {
            let next = truth_of(&self.all_hold(item)?)?;
            all = Some(match all {
                None => next,
                Some(before) => self.emit(Step::And(before, next), None)?,
            });
        }
        all.map(Item::Truth)
    }

    /// Returns what is picked by a place that does not move.
    pub(super) fn picked(
        &mut self,
        [list, place]: &[Node; 2],
        frame: &mut Frame,
        guard: Option<Operand>,
    ) -> Option<Item> {
        let place = whole(&self.node(place, frame, guard)?)?;
        self.node(list, frame, guard)?.at(place.checked_sub(1)?)
    }

    /// Returns the table of a rule whose counter does not move, nor what leaves rows out.
    pub(super) fn rows(
        &mut self,
        code: &RowsCode,
        frame: &mut Frame,
        guard: Option<Operand>,
    ) -> Option<Item> {
        let (taken, counted) = self.counted(code, frame, guard)?;
        let (names, places) = code.columns_beside(taken);
        let mut before = vec![Item::Known(Value::None); names.len()];
        for (name, start) in &code.starting {
            let place = names.iter().position(|known| known == name)?;
            *before.get_mut(place)? = self.node(start, frame, guard)?;
        }
        let first = usize::from(code.first);
        if frame.len() < first {
            return None;
        }
        let mut rows: Vec<Vec<Item>> = Vec::new();
        for (counter, mut row) in counted {
            if !self.setting.allows(names.len()) {
                return None;
            }
            row.resize(names.len(), Item::Known(Value::None));
            frame.truncate(first);
            frame.push(counter);
            let looked_at = names.iter().cloned().zip(before.iter().cloned());
            frame.push(match code.looks_back {
                true => Item::Record(looked_at.collect(), None),
                false => Item::Known(Value::None),
            });
            for ((_, formula), place) in code.columns.iter().zip(&places) {
                let item = match self.node(formula, frame, guard)? {
                    Item::Known(value) => Item::Known(value.settled()),
                    Item::Column(operand, like) => Item::Column(operand, like.settled()),
                    other => other,
                };
                *row.get_mut(*place)? = item.clone();
                frame.push(item);
            }
            if let Some(unless) = &code.unless {
                match self.node(unless, frame, guard)? {
                    Item::Known(Value::Truth(true)) => continue,
                    Item::Known(Value::Truth(false)) => {}
                    _ => return None,
                }
            }
            before.clone_from(&row);
            rows.push(row);
        }
        frame.truncate(first);
        Some(Item::Table(names, rows))
    }

    /// Returns a table of holes from another datum: moved, turned or mirrored; nothing where
    /// a direction goes with the holes.
    pub(super) fn carried(
        &mut self,
        name: &str,
        arguments: &[Item],
        guard: Option<Operand>,
    ) -> Option<Item> {
        let (columns, mut rows) = table(arguments.first()?)?;
        let place = |name: &str| columns.iter().position(|column| &**column == name);
        let ([x, y], None) = ([place("x")?, place("y")?], place("angle")) else {
            return None;
        };
        let argument = self.column(arguments.get(1)?);
        for row in &mut rows {
            let at = [self.column(row.get(x)?)?, self.column(row.get(y)?)?];
            let [right, up] = match name {
                "moved" => {
                    let by = [argument?, self.column(arguments.get(2)?)?];
                    let [a, b] = at;
                    [
                        self.arithmetic(a, Operator::Plus, by[0], guard)?,
                        self.arithmetic(b, Operator::Plus, by[1], guard)?,
                    ]
                }
                "turned" => {
                    let angle = argument?.0;
                    let number = like(Quantity::number(1.0));
                    let sine = (self.emit(Step::Unary(Unary::Sin, angle), guard)?, number);
                    let cosine = (self.emit(Step::Unary(Unary::Cos, angle), guard)?, number);
                    let mut turned = |a: Pair, operator: Operator, b: Pair| {
                        let a = self.arithmetic(a.0, Operator::Times, a.1, guard)?;
                        let b = self.arithmetic(b.0, Operator::Times, b.1, guard)?;
                        self.arithmetic(a, operator, b, guard)
                    };
                    let [a, b] = at;
                    [
                        turned((a, cosine), Operator::Minus, (b, sine))?,
                        turned((a, sine), Operator::Plus, (b, cosine))?,
                    ]
                }
                _ => {
                    let Item::Known(Value::Text(axis)) = arguments.get(1)? else {
                        return None;
                    };
                    let [a, b] = at;
                    let turned = if &**axis == "x" { b } else { a };
                    let back = self.emit(Step::Unary(Unary::Negate, turned.0), guard)?;
                    let turned = (back, turned.1.negated().ok()?);
                    if &**axis == "x" {
                        [a, turned]
                    } else {
                        [turned, b]
                    }
                }
            };
            for (place, (operand, before)) in [(x, right), (y, up)] {
                let shown = before.as_coordinate().unwrap_or(before);
                *row.get_mut(place)? = Item::Column(operand, like(shown));
            }
        }
        Some(Item::Table(columns, rows))
    }

    /// Returns the columns that a rule goes through, and its counters with their rows.
    #[allow(clippy::type_complexity)] // names, and pairs
    fn counted(
        &mut self,
        code: &RowsCode,
        frame: &mut Frame,
        guard: Option<Operand>,
    ) -> Option<(Vec<std::sync::Arc<str>>, Vec<(Item, Vec<Item>)>)> {
        let mut all: Vec<Item> = Vec::new();
        if !self.setting.allows(1) {
            return None;
        }
        match &code.range {
            RangeCode::Steps(nodes) => {
                let mut ends: Vec<Quantity> = Vec::new();
                for node in nodes.iter() {
                    match self.node(node, frame, guard)? {
                        Item::Known(value) => ends.push(value.quantity().ok()?),
                        _ => return None,
                    }
                }
                let ends: [Quantity; 3] = ends.try_into().ok()?;
                let values = steps(ends, MOST_ROWS).ok()?;
                all.extend(values.into_iter().map(Item::Known));
            }
            RangeCode::List(nodes) => {
                for node in nodes {
                    let item = self.node(node, frame, guard)?;
                    if let (1, Some((columns, rows))) = (nodes.len(), table(&item)) {
                        let counters = (0..rows.len()).map(|index| item.at(index));
                        let counters = counters.collect::<Option<Vec<_>>>()?;
                        return Some((columns, counters.into_iter().zip(rows).collect()));
                    }
                    match item.items() {
                        Some(items) => all.extend(items),
                        None => all.push(item),
                    }
                }
            }
        }
        if all.len() > MOST_ROWS || !self.setting.allows(all.len()) {
            return None;
        }
        let rows = all.into_iter().map(|item| (item.clone(), vec![item]));
        Some((vec![code.counter.clone()], rows.collect()))
    }
}

/// The columns and the rows of a table.
type Table = (Vec<std::sync::Arc<str>>, Vec<Vec<Item>>);

/// Returns the columns and the rows of a table.
fn table(item: &Item) -> Option<Table> {
    match item {
        Item::Table(columns, rows) => Some((columns.clone(), rows.clone())),
        Item::Known(Value::Table(table)) => {
            let known = |row: &Vec<Value>| row.iter().cloned().map(Item::Known).collect();
            Some((
                table.columns.clone(),
                table.rows.iter().map(known).collect(),
            ))
        }
        _ => None,
    }
}

/// Returns the whole number that an item is.
fn whole(item: &Item) -> Option<usize> {
    let Item::Known(value) = item else {
        return None;
    };
    let number = value.quantity().ok()?.si;
    let nearest = number.round();
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // checked just here
    ((0.0..1e9).contains(&nearest) && (number - nearest).abs() <= 1e-9).then_some(nearest as usize)
}
