//! Calls laid into a formula: their arguments, contracts, and native functions.

use super::compile::{Compiler, Item, like};
use super::steps::{Binary, Operand, Step, Unary};
use crate::language::{Contract, Value, beside};
use crate::quantity::{Dimension, Quantity};
use crate::syntax::Operator;

impl Compiler<'_> {
    /// Returns an argument as its contract wants it.
    pub(super) fn checked(
        &mut self,
        contract: &Contract,
        item: Item,
        guard: Option<Operand>,
    ) -> Option<Item> {
        match item {
            Item::Known(value) => contract.check("", value).ok().map(Item::Known),
            Item::Column(operand, shape) => {
                let shape = contract.shape(shape)?;
                for (order, or_equal, bound) in &contract.bounds {
                    let bound = beside(*bound, shape);
                    let scale = shape.scale_beside(bound).ok()?;
                    let operator = match (order, or_equal) {
                        (std::cmp::Ordering::Greater, false) => Operator::More,
                        (std::cmp::Ordering::Greater, true) => Operator::AtLeast,
                        (std::cmp::Ordering::Less, false) => Operator::Less,
                        (std::cmp::Ordering::Less, true) => Operator::AtMost,
                        (std::cmp::Ordering::Equal, _) => Operator::Equal,
                    };
                    let bound = Operand::Constant(bound.si);
                    let holds = self.emit(Step::Compare(operator, scale, operand, bound), None)?;
                    self.emit(Step::Require(holds), guard)?;
                }
                Some(Item::Column(operand, like(shape)))
            }
            Item::List(items) if contract.several => {
                let items = items.into_iter();
                let items = items.map(|item| self.checked(contract, item, guard));
                items.collect::<Option<Vec<_>>>().map(Item::List)
            }
            // A record counts as the number that it stands for, where one is wanted.
            Item::Record(_, Some(_)) if contract.wants_number() => {
                let (operand, shape) = self.column(&item)?;
                self.checked(contract, Item::Column(operand, shape), guard)
            }
            item @ (Item::List(_) | Item::Table(..))
                if !contract.takes_one() && contract.bounds.is_empty() =>
            {
                Some(item)
            }
            Item::Truth(_) | Item::List(_) | Item::Record(..) | Item::Table(..) => None,
        }
    }

    /// Returns what a native function does to columns; nothing for most.
    pub(super) fn native(
        &mut self,
        name: &str,
        arguments: &[Item],
        guard: Option<Operand>,
    ) -> Option<Item> {
        let first = arguments.first()?;
        match name {
            "min" => return self.fold(first, Binary::Least, guard),
            "max" => return self.fold(first, Binary::Greatest, guard),
            "sum" => return self.fold(first, Binary::Plus, guard),
            "first" => return first.at(0),
            "last" => return first.at(length(first)?.checked_sub(1)?),
            "count" => {
                let count = i64::try_from(length(first)?).ok()?;
                return Some(Item::Known(Value::whole(count)));
            }
            "all" => return self.all_hold(first),
            "moved" | "turned" | "mirrored" => return self.carried(name, arguments, guard),
            "mean" => {
                let count = length(first)?;
                let Item::Column(total, shape) = self.fold(first, Binary::Plus, guard)? else {
                    return None;
                };
                #[allow(clippy::cast_precision_loss)] // few arguments
                let count = Operand::Constant(count as f64);
                let mean = self.emit(Step::Binary(Binary::Over, total, count), guard)?;
                return Some(Item::Column(mean, shape));
            }
            _ => {}
        }
        let (a, shape) = self.column(first)?;
        let number = like(Quantity::number(1.0));
        let angle = like(Quantity::si(1.0, Dimension::ANGLE));
        let (kind, found) = match name {
            "abs" => (Unary::Abs, shape),
            "sqrt" => (Unary::Sqrt, shape.root(2).ok()?),
            "cbrt" => (Unary::Cbrt, shape.root(3).ok()?),
            "sin" => (Unary::Sin, number),
            "cos" => (Unary::Cos, number),
            "tan" => (Unary::Tan, number),
            "asin" => (Unary::Asin, angle),
            "acos" => (Unary::Acos, angle),
            "atan" => (Unary::Atan, angle),
            "exp" => (Unary::Exp, number),
            "ln" => (Unary::Ln, number),
            "log10" => (Unary::Log10, number),
            "whole" => (Unary::Whole, number),
            _ => return self.native_of_two(name, (a, shape), arguments.get(1)?, guard),
        };
        let at = self.emit(Step::Unary(kind, a), guard)?;
        Some(Item::Column(at, found))
    }

    fn native_of_two(
        &mut self,
        name: &str,
        (a, shape): (Operand, Quantity),
        second: &Item,
        guard: Option<Operand>,
    ) -> Option<Item> {
        let (b, other) = self.column(second)?;
        shape.scale_beside(other).ok()?;
        let (kind, found) = match name {
            "atan2" => (Binary::Atan2, like(Quantity::si(1.0, Dimension::ANGLE))),
            "round" => (Binary::Round, shape),
            "round_up" => (Binary::RoundUp, shape),
            "round_down" => (Binary::RoundDown, shape),
            "remainder" => (Binary::Remainder, shape),
            _ => return None,
        };
        if kind != Binary::Atan2 {
            // A temperature is rounded on its scale.
            if shape.unit.from_another_zero() {
                return None;
            }
            // A step that is not more than 0 is refused.
            let Operand::Constant(step) = b else {
                return None;
            };
            if step <= 0.0 {
                return None;
            }
        }
        let at = self.emit(Step::Binary(kind, a, b), guard)?;
        Some(Item::Column(at, found))
    }

    /// Returns one operation through a list.
    pub(super) fn fold(
        &mut self,
        list: &Item,
        kind: Binary,
        guard: Option<Operand>,
    ) -> Option<Item> {
        let items = list.items()?;
        let (first, rest) = items.split_first()?;
        let (mut at, mut shape) = self.column(first)?;
        for item in rest {
            let (next, other) = self.column(item)?;
            if kind == Binary::Plus {
                shape = like(shape.plus(other).ok()?);
            } else if shape != other {
                // Which unit the result is shown in would depend on the sample.
                return None;
            }
            at = self.emit(Step::Binary(kind, at, next), guard)?;
        }
        Some(Item::Column(at, shape))
    }
}

/// Returns how many values a list or rows a table has.
fn length(list: &Item) -> Option<usize> {
    match list {
        Item::Table(_, rows) => Some(rows.len()),
        Item::Known(Value::Table(table)) => Some(table.rows.len()),
        list => Some(list.items()?.len()),
    }
}
