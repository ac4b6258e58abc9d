//! Calls laid into a formula: functions written in the language, fields and faces.

use std::sync::Arc;

use super::compile::{Compiler, Frame, Item};
use super::steps::{Operand, Step};
use crate::language::{
    Body, Call, Callee, Contract, Face, Node, ResolvedExpr, UserFunction, Value, kept,
};

/// The deepest that functions are laid into a formula.
const DEEPEST: u32 = 24;

impl Compiler<'_> {
    pub(super) fn call(
        &mut self,
        call: &Call,
        frame: &mut Frame,
        guard: Option<Operand>,
    ) -> Option<Item> {
        let function: Arc<UserFunction>;
        let (function, name): (&UserFunction, &str) = match &call.callee {
            Callee::Library(found) => (found.ready().ok()?, found.name),
            Callee::Notebook(slot, name) => {
                function = self.setting.function(*slot)?;
                (&function, name)
            }
        };
        if self.depth >= DEEPEST {
            return None;
        }
        if function.wants_drawn {
            return None;
        }
        let mut given: Vec<Option<Item>> = Vec::new();
        let several = function.several();
        for (place, nodes) in function.arrange(name, call).ok()?.into_iter().enumerate() {
            let contract = function.contracts.get(place);
            let drawn = contract.is_some_and(|contract| contract.drawn);
            let limits = contract.is_some_and(Contract::wants_limits);
            let mut items = Vec::new();
            for node in nodes {
                items.push(if drawn {
                    self.drawn(node)?
                } else if limits && matches!(node.code, ResolvedExpr::Cell(_)) {
                    match self.limits_of(node) {
                        Some(limits) => limits,
                        None => self.node(node, frame, guard)?,
                    }
                } else {
                    let item = self.node(node, frame, guard)?;
                    // The limits of a size in a table are not among its columns.
                    if limits && item.count() > 0 {
                        return None;
                    }
                    item
                });
            }
            given.push(match (several == Some(place), items.len()) {
                (_, 0) => None,
                (true, 1) if matches!(items[0], Item::List(_) | Item::Known(Value::List(_))) => {
                    items.pop()
                }
                (true, _) => Some(Item::List(items)),
                (false, _) => items.pop(),
            });
        }
        self.depth += 1;
        let result = self.value_by_value(function, name, given, guard);
        self.depth -= 1;
        let result = match result? {
            // The field that a record counts as where a number is wanted.
            Item::Record(fields, None) => {
                let lead = function.gives.lead();
                let place =
                    lead.and_then(|lead| fields.iter().position(|(name, _)| &**name == lead));
                Item::Record(fields, place)
            }
            Item::Known(value) => Item::Known(function.gives.standing(value)),
            result => result,
        };
        Some(match (function.shown_in, result) {
            (Some(unit), Item::Column(operand, like)) => {
                Item::Column(operand, like.shown_in(unit).ok()?)
            }
            (Some(unit), Item::Known(Value::Quantity(quantity))) => {
                Item::Known(quantity.shown_in(unit).ok()?.into())
            }
            (_, result) => result,
        })
    }

    /// Returns the limits of a cell that is a size, for an argument that wants them: they don't
    /// vary though the size does.
    fn limits_of(&self, node: &Node) -> Option<Item> {
        let Value::Size(size) = self.setting.value(node, &mut Vec::new())? else {
            return None;
        };
        let limited = size.limits.is_some() && size.reading.is_none();
        limited.then_some(Item::Known(Value::Size(size)))
    }

    /// Returns a face of a cell that is a size with limits: none of them varies.
    pub(super) fn face(&self, node: &Node, of: &Node, name: &str) -> Option<Item> {
        let face = Face::named(name)?;
        if !matches!(of.code, ResolvedExpr::Cell(_)) {
            return None;
        }
        let Value::Size(size) = self.setting.value(of, &mut Vec::new())? else {
            return None;
        };
        if size.limits.is_none() || face == Face::Reading && size.reading.is_none() {
            return None;
        }
        self.setting.value(node, &mut Vec::new()).map(Item::Known)
    }

    /// Returns a value of the drawing, which does not vary; nothing where it stands on locals.
    fn drawn(&self, node: &Node) -> Option<Item> {
        let mut locals = false;
        node.walk(&mut |node| locals |= matches!(node.code, ResolvedExpr::Local(_)));
        if locals {
            return None;
        }
        self.setting.drawn(node).map(Item::Known)
    }

    /// Calls a function once, or once for each value of lists that stand where it takes
    /// single ones.
    fn value_by_value(
        &mut self,
        function: &UserFunction,
        name: &str,
        given: Vec<Option<Item>>,
        guard: Option<Operand>,
    ) -> Option<Item> {
        let takes_one = |place: usize| {
            let contract = function.contracts.get(place);
            contract.is_some_and(Contract::takes_one)
        };
        let list = |(place, item): (usize, &Option<Item>)| {
            let item = item.as_ref().filter(|_| takes_one(place));
            item.and_then(Item::items)
        };
        let lists: Vec<Option<Vec<Item>>> = given.iter().enumerate().map(list).collect();
        let mut counts = lists.iter().flatten().map(Vec::len);
        let Some(count) = counts.next() else {
            return self.enter(function, name, given, guard);
        };
        if counts.any(|other| other != count) || function.gives.lead().is_some() {
            return None;
        }
        let mut made = Vec::with_capacity(count);
        for index in 0..count {
            let one = given.iter().zip(&lists);
            let one = one.map(|(item, list)| match list {
                Some(list) => list.get(index).cloned(),
                None => item.clone(),
            });
            made.push(self.enter(function, name, one.collect(), guard)?);
        }
        Some(Item::List(made))
    }

    fn enter(
        &mut self,
        function: &UserFunction,
        name: &str,
        given: Vec<Option<Item>>,
        guard: Option<Operand>,
    ) -> Option<Item> {
        let mut frame: Frame = Vec::new();
        for (place, item) in given.into_iter().enumerate() {
            let item = match (item, function.defaults.get(place).and_then(Option::as_ref)) {
                (Some(item), _) => item,
                (None, Some(default)) => self.node(default, &mut frame, guard)?,
                (None, None) => return None,
            };
            let item = match function.contracts.get(place) {
                Some(contract) => self.checked(contract, item, guard)?,
                None => item,
            };
            frame.push(item);
        }
        for (condition, _) in &function.requires {
            match self.truth(condition, &mut frame, guard)? {
                Operand::Constant(truth) if truth != 0.0 => {}
                truth => {
                    self.emit(Step::Require(truth), guard)?;
                }
            }
        }
        match &function.body {
            Body::Language(body) => self.node(body, &mut frame, guard),
            Body::Native(_) => self.native(name, &frame, guard),
            Body::LookUp(code) => {
                let known = frame.iter().map(|item| match item {
                    Item::Known(value) => Some(value.clone()),
                    _ => None,
                });
                match known.collect::<Option<Vec<Value>>>() {
                    Some(known) => {
                        let found = kept::call(*code, known, &function.gives, kept::COMPILED);
                        found.value.ok().map(Item::Known)
                    }
                    None => self.native(name, &frame, guard),
                }
            }
        }
    }
}
