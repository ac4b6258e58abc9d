//! A `find` as a step: its condition becomes steps that are run again for each value of
//! the unknown that is tried.

use foldhash::HashMap;

use super::compile::{Compiler, Frame, Item, like};
use super::steps::{Line, Operand, Step};
use crate::language::SlotId;
use crate::language::{FindSides, Node, bracket};
use crate::quantity::Quantity;
use crate::syntax::Operator;

impl Compiler<'_> {
    /// Returns the unknown of a `find`; `between` are its slot and the cells between it and its
    /// condition, where it is a cell.
    pub(super) fn solved(
        &mut self,
        find: FindSides,
        between: Option<(SlotId, &[(SlotId, &Node)])>,
        frame: &mut Frame,
        guard: Option<Operand>,
    ) -> Option<Item> {
        if self.solving || !self.setting.solves() {
            return None;
        }
        let low = self.known(find.low, frame)?;
        let high = self.known(find.high, frame)?;
        let (low, high) = bracket(low, high).ok()?;
        let first = self.lines.len();
        self.solving = true;
        let made = self.condition(&find, between, (low, high), frame);
        self.solving = false;
        self.between.clear();
        let (difference, equal) = made?;
        let last = self.lines.len();
        let (moved, start) = self.apart(first, guard);
        let renamed = |operand: Operand| match operand {
            Operand::Register(place) => {
                Operand::Register(moved.get(&place).copied().unwrap_or(place))
            }
            other => other,
        };
        let (difference, equal) = (renamed(difference), renamed(equal));
        // A difference that the unknown has no part in is solved by nothing.
        let within = |operand: Operand| match operand {
            Operand::Register(place) => place as usize > start,
            _ => false,
        };
        if !within(difference) || !within(equal) {
            return None;
        }
        let count = u32::try_from(last - start - 1).ok()?;
        if let Some(Line {
            step: Step::Trial(steps, ..),
            ..
        }) = self.lines.get_mut(start)
        {
            *steps = count;
        }
        let at = self.emit(Step::Solve(difference, equal), guard)?;
        Some(Item::Column(at, like(low)))
    }

    /// Returns a value that does not vary.
    fn known(&mut self, node: &Node, frame: &mut Frame) -> Option<Quantity> {
        match self.node(node, frame, None)? {
            Item::Known(value) => value.quantity().ok(),
            _ => None,
        }
    }

    /// Returns the steps of a condition, the unknown before them: the difference of its sides and
    /// whether they are equal.
    fn condition(
        &mut self,
        find: &FindSides,
        between: Option<(SlotId, &[(SlotId, &Node)])>,
        (low, high): (Quantity, Quantity),
        frame: &mut Frame,
    ) -> Option<(Operand, Operand)> {
        let unknown = self.emit(Step::Trial(0, low.si, high.si), None)?;
        let unknown = Item::Column(unknown, like(low));
        let place = find.local.map(usize::from);
        match (place, between) {
            (Some(place), _) => {
                if frame.len() < place {
                    return None;
                }
                frame.truncate(place);
                frame.push(unknown);
            }
            (None, Some((slot, members))) => {
                self.between.insert(slot, unknown);
                for (member, node) in members {
                    let item = self.node(node, &mut Vec::new(), None)?;
                    self.between.insert(*member, item);
                }
            }
            (None, None) => return None,
        }
        let left = self.quantity(find.left, frame, None);
        let right = left.and_then(|_| self.quantity(find.right, frame, None));
        if let Some(place) = place {
            frame.truncate(place);
        }
        let (left, right) = (left?, right?);
        let (difference, _) = self.arithmetic(left, Operator::Minus, right, None)?;
        let scale = left.1.scale_beside(right.1).ok()?;
        let equal = Step::Compare(Operator::Equal, scale, left.0, right.0);
        Some((difference, self.emit(equal, None)?))
    }

    /// Puts the steps from `first` on that the unknown has no part in before it, so that
    /// they are taken once. Gives where each went, and where the unknown is now.
    fn apart(&mut self, first: usize, guard: Option<Operand>) -> (HashMap<u32, u32>, usize) {
        let block = self.lines.split_off(first);
        let mut depends: Vec<bool> = vec![false; block.len()];
        for (place, line) in block.iter().enumerate() {
            let mut found = place == 0;
            let mut look = |operand: &mut Operand| {
                if let Operand::Register(at) = operand
                    && let Some(at) = (*at as usize).checked_sub(first)
                {
                    found |= depends.get(at).copied().unwrap_or(false);
                }
            };
            let mut line = *line;
            line.step.operands(&mut look);
            if let Some(guard) = &mut line.guard {
                look(guard);
            }
            if let Some(depends) = depends.get_mut(place) {
                *depends = found;
            }
        }
        let mut order: Vec<usize> = (0..block.len()).collect();
        order.sort_by_key(|place| depends.get(*place).copied().unwrap_or(false));
        #[allow(clippy::cast_possible_truncation)] // few lines
        let moved: HashMap<u32, u32> = order
            .iter()
            .enumerate()
            .map(|(to, from)| ((first + from) as u32, (first + to) as u32))
            .collect();
        let mut start = first;
        for (to, from) in order.into_iter().enumerate() {
            let Some(mut line) = block.get(from).copied() else {
                continue;
            };
            let mut rename = |operand: &mut Operand| {
                if let Operand::Register(place) = operand {
                    *place = moved.get(place).copied().unwrap_or(*place);
                }
            };
            line.step.operands(&mut rename);
            match &mut line.guard {
                Some(guard) => rename(guard),
                // What stands before the unknown counts where the whole does.
                none if !depends.get(from).copied().unwrap_or(true) => *none = guard,
                _ => {}
            }
            if matches!(line.step, Step::Trial(..)) {
                start = first + to;
            }
            #[allow(clippy::cast_possible_truncation)] // few lines
            {
                line.to = (first + to) as u32;
            }
            self.lines.push(line);
        }
        (moved, start)
    }
}
