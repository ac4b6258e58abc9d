//! The programs of all slots that vary: over columns of samples, or as one tape.
//!
//! Plain numeric formulas become steps over columns of 1,024 samples. Everything
//! else is computed by the ordinary evaluator, sample by sample, from the columns
//! it needs. Both give the same numbers to the last bit.

mod around;
mod planner;
mod seen;
mod waiting;

use foldhash::HashMap;

use planner::planned;
use seen::{rebuilt, seen};

use super::Workspace;
use super::limits::sources::SourceSize;
use super::order::Group;
use super::outcome::Outcome;
use super::step_budget::{afresh, spent};
use super::trial::Trial;
use super::view::Deviations;
use crate::language::{Column, Place, Program, Registers, Shape, SlotId, Tape, Value};
use crate::quantity::Quantity;

/// A slot that the ordinary evaluator computes takes as long as so many steps of compiled
/// formulas, before its own.
const SLOT: u64 = 1_000;
/// The same for a step of the ordinary evaluator.
const ORDINARY: u64 = 40;

/// Something that is computed for a block of samples.
enum Stage {
    /// A slot by its steps, and whether it needs nothing but such slots.
    Steps(usize, Program, bool),
    /// Slots by the ordinary evaluator.
    Ordinary {
        /// What is computed.
        groups: Vec<Group>,
        /// The slots outside that they need.
        needs: Vec<SlotId>,
        /// The sources that stand in them.
        sources: Vec<usize>,
        /// The slots computed.
        slots: Vec<SlotId>,
    },
}

/// How all slots that vary are computed.
pub struct Plan<'a> {
    workspace: &'a Workspace,
    sources: &'a [SourceSize],
    /// The slot whose readings are set aside.
    aside: Option<SlotId>,
    /// The columns of the margins of checks, with what they measure.
    margins: HashMap<SlotId, Vec<Option<(usize, Quantity)>>>,
    stages: Vec<Stage>,
    /// The slots with columns, with their numbers.
    columns: HashMap<SlotId, (usize, Shape)>,
    /// Whether some may be computed by steps.
    by_steps: bool,
    /// How many columns there are.
    pub count: usize,
    /// Slots whose values are no plain numbers, with their places.
    others: HashMap<SlotId, usize>,
    /// Slots whose values are lists, records or tables made of columns, with their values at
    /// rest.
    made: HashMap<SlotId, (Place, Value)>,
    /// The steps of all slots that need nothing else.
    tape: Tape,
}

/// The values of a block of samples.
#[derive(Default)]
pub struct Block {
    /// The columns by number.
    pub columns: Vec<Column>,
    others: Vec<Vec<Outcome>>,
    registers: Registers,
}

impl Block {
    /// Makes room for what a plan computes.
    fn make_room(&mut self, plan: &Plan) {
        self.columns.resize_with(plan.count, Column::default);
        self.others.resize_with(plan.others.len(), Vec::new);
    }

    /// Computes a column by its steps.
    fn run(&mut self, number: usize, program: &Program, parts: &[Vec<f64>], count: usize) {
        let made = self.registers.run(program, &self.columns, parts, count);
        if let Some(column) = self.columns.get_mut(number) {
            *column = made;
        }
    }
}

/// A value was not like the others of its column: the plan does not fit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Unfit;

impl<'a> Plan<'a> {
    /// Returns a plan for `wanted` slots; with `steps` false everything is computed by the
    /// ordinary evaluator.
    pub fn new(
        workspace: &'a Workspace,
        sources: &'a [SourceSize],
        wanted: &[SlotId],
        steps: bool,
    ) -> Self {
        planned(workspace, sources, wanted, steps, None, false)
    }

    /// Returns a plan with the margins of checks, for which the readings of one slot may be set
    /// aside.
    pub fn with_margins(
        workspace: &'a Workspace,
        sources: &'a [SourceSize],
        wanted: &[SlotId],
        aside: Option<SlotId>,
    ) -> Self {
        planned(workspace, sources, wanted, true, aside, true)
    }

    /// Returns the number of a slot's column, with what it holds.
    pub fn column(&self, slot: SlotId) -> Option<(usize, Shape)> {
        self.columns.get(&slot).copied()
    }

    /// Returns a slot's list, record or table as it is made of columns, with its value at rest.
    pub fn made(&self, slot: SlotId) -> Option<&(Place, Value)> {
        self.made.get(&slot)
    }

    /// Returns the columns of the margins of a check, with what they measure.
    pub fn margins(&self, slot: SlotId) -> &[Option<(usize, Quantity)>] {
        self.margins.get(&slot).map_or(&[], Vec::as_slice)
    }

    /// Takes the steps of all slots that need nothing else, as one tape.
    pub fn take_tape(&mut self) -> Tape {
        std::mem::take(&mut self.tape)
    }

    /// Returns how many slots are computed by steps, and how many by the ordinary evaluator.
    pub fn share(&self) -> (usize, usize) {
        let mut share = (0, 0);
        for stage in &self.stages {
            match stage {
                Stage::Steps(..) => share.0 += 1,
                Stage::Ordinary { slots, .. } => share.1 += slots.len(),
            }
        }
        share
    }

    /// Returns a trial for computing blocks.
    pub fn trial(&self) -> Trial<'a> {
        trial(self.workspace, self.aside)
    }

    /// Computes a block of `count` samples with the sources at `parts` (a column a
    /// source).
    ///
    /// # Errors
    /// When a value is not like the others of its slot.
    pub fn block(
        &self,
        trial: &mut Trial,
        parts: &[Vec<f64>],
        count: usize,
        block: &mut Block,
    ) -> Result<(), Unfit> {
        block.make_room(self);
        let mut stages = self.stages.iter();
        stages.try_for_each(|stage| self.stage(stage, trial, parts, count, block))
    }

    /// Returns what a sample takes, in steps of compiled formulas: as many as the one with the
    /// sources at `parts`.
    ///
    /// # Errors
    /// When a value is not like the others of its slot.
    pub fn cost(&self, trial: &mut Trial, parts: &[Vec<f64>]) -> Result<u64, Unfit> {
        let mut block = Block::default();
        block.make_room(self);
        let mut cost = 0;
        for stage in &self.stages {
            self.stage(stage, trial, parts, 1, &mut block)?;
            cost += match stage {
                Stage::Steps(_, program, _) => program.work() as u64,
                Stage::Ordinary { slots, .. } => SLOT * slots.len() as u64 + ORDINARY * spent(),
            };
        }
        Ok(cost)
    }

    /// Computes what needs nothing but steps, and leaves all else out.
    pub fn by_steps(&self, parts: &[Vec<f64>], count: usize, block: &mut Block) {
        block.make_room(self);
        for stage in &self.stages {
            if let Stage::Steps(number, program, true) = stage {
                block.run(*number, program, parts, count);
            }
        }
    }

    /// Computes what one stage does: a column by its steps, or slots with the ordinary
    /// evaluator, sample by sample.
    fn stage(
        &self,
        stage: &Stage,
        trial: &mut Trial,
        parts: &[Vec<f64>],
        count: usize,
        block: &mut Block,
    ) -> Result<(), Unfit> {
        let (groups, needs, sources, slots) = match stage {
            Stage::Steps(number, program, _) => {
                block.run(*number, program, parts, count);
                return Ok(());
            }
            Stage::Ordinary {
                groups,
                needs,
                sources,
                slots,
            } => (groups, needs, sources, slots),
        };
        for slot in slots {
            if let Some((number, _)) = self.column(*slot)
                && let Some(column) = block.columns.get_mut(number)
            {
                column.values.clear();
                column.missing.clear();
            } else if let Some(place) = self.others.get(slot)
                && let Some(values) = block.others.get_mut(*place)
            {
                values.clear();
            }
        }
        for sample in 0..count {
            afresh();
            for need in needs {
                if let Some(outcome) = self.outcome(*need, sample, block) {
                    trial.put(*need, outcome);
                }
            }
            let place = |number: &usize| {
                let source = self.sources.get(*number)?.source;
                Some((source, *parts.get(*number)?.get(sample)?))
            };
            let deviations = Deviations {
                parts: sources.iter().filter_map(place).collect(),
            };
            trial.compute(groups, &deviations);
            for slot in slots {
                self.take(*slot, trial, sample, block)?;
            }
            trial.reset();
        }
        Ok(())
    }

    /// Takes a computed value into its column.
    fn take(
        &self,
        slot: SlotId,
        trial: &Trial,
        sample: usize,
        block: &mut Block,
    ) -> Result<(), Unfit> {
        let outcome = trial.outcome(slot);
        if let Some(place) = self.others.get(&slot) {
            if let (Some(values), Some(outcome)) = (block.others.get_mut(*place), outcome) {
                values.push(outcome.clone());
            }
            return Ok(());
        }
        let Some((number, shape)) = self.column(slot) else {
            return Ok(());
        };
        let quantity = match outcome {
            Some(Ok(Value::Quantity(value))) => Some(*value),
            Some(Ok(Value::Size(size))) => Some(size.value),
            _ => None,
        };
        let value = match (outcome, shape) {
            (_, Shape::Quantity(shape))
                if quantity.is_some_and(|value| {
                    value.dimension == shape.dimension && value.si.is_finite()
                }) =>
            {
                quantity.map(|value| value.si)
            }
            (Some(Ok(Value::Truth(truth))), Shape::Truth) => Some(f64::from(u8::from(*truth))),
            // Where no steps rest on the column it is as good as none.
            (Some(Ok(_)), _) if self.by_steps => return Err(Unfit),
            _ => None,
        };
        if let Some(column) = block.columns.get_mut(number) {
            if value.is_none() {
                column.missing.resize(sample, false);
            }
            if value.is_none() || !column.missing.is_empty() {
                column.missing.push(value.is_none());
            }
            column.values.push(value.unwrap_or(0.0));
        }
        Ok(())
    }

    /// Returns what a slot came to in one sample.
    pub fn outcome(&self, slot: SlotId, sample: usize, block: &Block) -> Option<Outcome> {
        if let Some(place) = self.others.get(&slot) {
            return block.others.get(*place)?.get(sample).cloned();
        }
        if let Some((place, at_rest)) = self.made.get(&slot) {
            return rebuilt(slot, place, at_rest, sample, block);
        }
        seen(slot, self.column(slot)?, sample, block)
    }
}

/// Returns a trial for moving sizes.
fn trial(workspace: &Workspace, aside: Option<SlotId>) -> Trial<'_> {
    let trial = match aside {
        Some(slot) => Trial::without_readings_of(workspace, slot),
        None => Trial::new(workspace),
    };
    trial.moving_sizes()
}
