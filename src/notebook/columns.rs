//! The second evaluator: many samples at once, a column of numbers for each slot.
//!
//! Plain numeric formulas become steps over columns of 1,024 samples. Everything
//! else is computed by the ordinary evaluator, sample by sample, from the columns
//! it needs. Both give the same numbers to the last bit.

use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use super::limits::SourceSize;
use super::order::Group;
use super::outcome::{Failure, Outcome};
use super::recalculate::Deviations;
use super::step_budget::afresh;
use super::trial::Trial;
use super::{Definition, Workspace};
use crate::language::{
    Column, Evaluator, Node, Program, Registers, Setting, Shape, SizeCode, Source, Tape,
    UserFunction, Value, compile_margins as margins, compile_steps, like,
};
use crate::quantity::Quantity;

/// Something that is computed for a block of samples.
enum Stage {
    /// A slot by its steps.
    Steps(usize, Program),
    /// Slots by the ordinary evaluator.
    Ordinary {
        /// What is computed.
        groups: Vec<Group>,
        /// The slots outside that they need.
        needs: Vec<u32>,
        /// The sources that stand in them.
        sources: Vec<usize>,
        /// The slots computed.
        slots: Vec<u32>,
    },
}

/// How all slots that vary are computed.
pub struct Plan<'a> {
    workspace: &'a Workspace,
    sources: &'a [SourceSize],
    /// The slot whose readings are set aside.
    aside: Option<u32>,
    /// The columns of the margins of checks, with what they measure.
    margins: HashMap<u32, Vec<Option<(usize, Quantity)>>>,
    stages: Vec<Stage>,
    /// The slots with columns, with their numbers.
    columns: HashMap<u32, (usize, Shape)>,
    /// How many columns there are.
    count: usize,
    /// Slots whose values are no plain numbers, with their places.
    others: HashMap<u32, usize>,
}

/// The values of a block of samples.
#[derive(Default)]
pub struct Block {
    /// The columns by number.
    pub columns: Vec<Column>,
    others: Vec<Vec<Outcome>>,
    registers: Registers,
}

/// A value was not like the others of its column: the plan does not fit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Unfit;

impl<'a> Plan<'a> {
    /// A plan for `wanted` slots; with `steps` false everything is computed by the
    /// ordinary evaluator.
    pub fn new(
        workspace: &'a Workspace,
        sources: &'a [SourceSize],
        wanted: &[u32],
        steps: bool,
    ) -> Self {
        Self::planned(workspace, sources, wanted, steps, None, false)
    }

    /// A plan with the margins of checks, for which the readings of one slot may be set
    /// aside.
    pub fn with_margins(
        workspace: &'a Workspace,
        sources: &'a [SourceSize],
        wanted: &[u32],
        aside: Option<u32>,
    ) -> Self {
        Self::planned(workspace, sources, wanted, true, aside, true)
    }

    fn planned(
        workspace: &'a Workspace,
        sources: &'a [SourceSize],
        wanted: &[u32],
        steps: bool,
        aside: Option<u32>,
        margins: bool,
    ) -> Self {
        let rest = trial(workspace, aside);
        let mut groups = wanted_groups(workspace, &rest, sources, wanted);
        // A reading stays while sizes move.
        groups.retain(|group| {
            let reads = |slot: &u32| workspace.measured.contains(slot) && aside != Some(*slot);
            !group.iter().all(reads)
        });
        let varying: HashSet<u32> = groups.iter().flatten().copied().collect();
        let numbers = sources.iter().enumerate();
        let mut planner = Planner {
            plan: Self {
                workspace,
                sources,
                aside,
                margins: HashMap::new(),
                stages: Vec::new(),
                columns: HashMap::new(),
                count: 0,
                others: HashMap::new(),
            },
            setting: Around {
                workspace,
                rest: &rest,
                sources: numbers.map(|(n, source)| (source.source, n)).collect(),
                varying,
                columns: HashMap::new(),
            },
            done: HashSet::new(),
            margins,
        };
        planner.work(groups, steps);
        planner.plan
    }

    /// The number of a slot's column, with what it holds.
    pub fn column(&self, slot: u32) -> Option<(usize, Shape)> {
        self.columns.get(&slot).copied()
    }

    /// The columns of the margins of a check, with what they measure.
    pub fn margins(&self, slot: u32) -> &[Option<(usize, Quantity)>] {
        self.margins.get(&slot).map_or(&[], Vec::as_slice)
    }

    /// The steps of all slots that need nothing else, as one tape.
    pub fn tape(&self) -> Tape {
        let mut tape = Tape::default();
        let truths = self.columns.values();
        let truths: HashSet<usize> = truths
            .filter(|(_, shape)| *shape == Shape::Truth)
            .map(|(number, _)| *number)
            .collect();
        for stage in &self.stages {
            if let Stage::Steps(number, program) = stage {
                tape.push(*number, program, truths.contains(number));
            }
        }
        tape
    }

    /// How many slots are computed by steps, and how many by the ordinary evaluator.
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

    /// A trial for computing blocks.
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
        block.columns.resize_with(self.count, Column::default);
        block.others.resize_with(self.others.len(), Vec::new);
        for stage in &self.stages {
            match stage {
                Stage::Steps(number, program) => {
                    let made = block.registers.run(program, &block.columns, parts, count);
                    if let Some(column) = block.columns.get_mut(*number) {
                        *column = made;
                    }
                }
                Stage::Ordinary { .. } => self.ordinary(stage, trial, parts, count, block)?,
            }
        }
        Ok(())
    }

    /// Computes slots with the ordinary evaluator, sample by sample.
    fn ordinary(
        &self,
        stage: &Stage,
        trial: &mut Trial,
        parts: &[Vec<f64>],
        count: usize,
        block: &mut Block,
    ) -> Result<(), Unfit> {
        let Stage::Ordinary {
            groups,
            needs,
            sources,
            slots,
        } = stage
        else {
            return Ok(());
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
        slot: u32,
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
            (Some(Ok(_)), _) => return Err(Unfit),
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

    /// What a slot came to in one sample.
    pub fn outcome(&self, slot: u32, sample: usize, block: &Block) -> Option<Outcome> {
        if let Some(place) = self.others.get(&slot) {
            return block.others.get(*place)?.get(sample).cloned();
        }
        let (number, shape) = self.column(slot)?;
        let column = block.columns.get(number)?;
        if column.missing.get(sample) == Some(&true) {
            return Some(Err(Box::new(Failure::Because(slot))));
        }
        let si = *column.values.get(sample)?;
        Some(Ok(match shape {
            Shape::Quantity(shape) => Value::Quantity(Quantity { si, ..shape }),
            Shape::Truth => Value::Truth(si != 0.0),
        }))
    }
}

/// A trial for moving sizes.
fn trial(workspace: &Workspace, aside: Option<u32>) -> Trial<'_> {
    let trial = match aside {
        Some(slot) => Trial::without_readings_of(workspace, slot),
        None => Trial::new(workspace),
    };
    trial.moving_sizes()
}

/// What must be computed for the wanted slots when the sources move.
fn wanted_groups(
    workspace: &Workspace,
    rest: &Trial,
    sources: &[SourceSize],
    wanted: &[u32],
) -> Vec<Group> {
    let starts: Vec<u32> = sources.iter().map(|source| source.source.slot).collect();
    let groups = rest.order(&starts);
    let mut wanted: HashSet<u32> = wanted.iter().copied().collect();
    let mut kept: Vec<Group> = Vec::new();
    for group in groups.into_iter().rev() {
        if group.iter().any(|slot| wanted.contains(slot)) {
            let needs = group.iter().filter_map(|slot| workspace.slot(*slot));
            wanted.extend(needs.flat_map(|slot| slot.needs.iter().copied()));
            kept.push(group);
        }
    }
    kept.reverse();
    kept
}

/// The notebook that formulas are compiled against.
struct Around<'a> {
    workspace: &'a Workspace,
    /// Values while nothing moves.
    rest: &'a Trial<'a>,
    /// The numbers of the sources that vary.
    sources: HashMap<Source, usize>,
    /// The slots that vary.
    varying: HashSet<u32>,
    /// The slots that are columns, with their numbers.
    columns: HashMap<u32, (usize, Shape)>,
}

impl Setting for Around<'_> {
    fn value(&self, node: &Node, locals: &mut Vec<Value>) -> Option<Value> {
        let still = Deviations::default();
        let value = self.rest.with_view(&still, |cells| {
            Evaluator::new(cells).with_locals(node, locals)
        });
        value.ok()
    }

    fn drawn(&self, node: &Node) -> Option<Value> {
        let still = Deviations::default();
        let drawn = self
            .rest
            .with_view(&still, |cells| Evaluator::new(cells).evaluate_drawn(node));
        drawn.ok()
    }

    fn moves(&self, slot: u32) -> bool {
        self.varying.contains(&slot)
    }

    fn column(&self, slot: u32) -> Option<(usize, Shape)> {
        self.columns.get(&slot).copied()
    }

    fn source(&self, source: Source) -> Option<usize> {
        self.sources.get(&source).copied()
    }

    fn limits(&self, size: &SizeCode) -> Option<(Quantity, f64, f64)> {
        let still = Deviations::default();
        let limits = self.rest.with_view(&still, |cells| {
            Evaluator::new(cells).size_limits(size, &mut Vec::new(), 0)
        });
        limits.ok()
    }

    fn function(&self, slot: u32) -> Option<Arc<UserFunction>> {
        match self.workspace.slot(slot).map(|slot| &slot.content) {
            Some(Definition::Function(function)) => Some(function.clone()),
            _ => None,
        }
    }
}

struct Planner<'a, 'b> {
    plan: Plan<'a>,
    setting: Around<'b>,
    done: HashSet<u32>,
    /// Whether the margins of checks are planned too.
    margins: bool,
}

impl Planner<'_, '_> {
    fn work(&mut self, mut left: Vec<Group>, steps: bool) {
        while !left.is_empty() {
            let mut waiting: Vec<Group> = Vec::new();
            let mut moved = false;
            for group in std::mem::take(&mut left) {
                if self.ready(&group) && (self.functions(&group) || steps && self.steps(&group)) {
                    self.done.extend(&group);
                    moved = true;
                } else {
                    waiting.push(group);
                }
            }
            left = waiting;
            if !moved {
                left = self.ordinary(left);
            }
        }
    }

    /// Whether all that a group needs is done.
    fn ready(&self, group: &Group) -> bool {
        group.iter().all(|slot| {
            let needs = self.setting.workspace.slot(*slot);
            needs.is_none_or(|slot| {
                slot.needs.iter().all(|need| {
                    !self.setting.varying.contains(need)
                        || self.done.contains(need)
                        || group.contains(need)
                })
            })
        })
    }

    /// Functions have no values of their own.
    fn functions(&self, group: &Group) -> bool {
        group.iter().all(|slot| {
            matches!(
                self.setting.workspace.slot(*slot).map(|slot| &slot.content),
                Some(Definition::Function(_))
            )
        })
    }

    /// Plans a slot by steps, where it has them.
    fn steps(&mut self, group: &Group) -> bool {
        let [slot] = &**group else {
            return false;
        };
        let Some(filled) = self.setting.workspace.slot(*slot) else {
            return false;
        };
        if !filled.measured.is_empty() && self.plan.aside != Some(*slot) {
            return false;
        }
        let node = match &filled.content {
            Definition::Cell(node) | Definition::Bare(node) | Definition::Check(node) => node,
            _ => return false,
        };
        let check = matches!(filled.content, Definition::Check(_));
        let Some((program, shape)) = compile_steps(&self.setting, node) else {
            return false;
        };
        if check && shape != Shape::Truth {
            return false;
        }
        let number = self.new_column(*slot, shape);
        self.plan.stages.push(Stage::Steps(number, program));
        if check && self.margins {
            let margins = margins(&self.setting, node).into_iter().map(|margin| {
                let (program, like) = margin?;
                let number = self.plan.count;
                self.plan.count += 1;
                self.plan.stages.push(Stage::Steps(number, program));
                Some((number, like))
            });
            let margins = margins.collect();
            self.plan.margins.insert(*slot, margins);
        }
        true
    }

    fn new_column(&mut self, slot: u32, shape: Shape) -> usize {
        let number = self.plan.count;
        self.plan.count += 1;
        self.plan.columns.insert(slot, (number, shape));
        self.setting.columns.insert(slot, (number, shape));
        number
    }

    /// Plans all groups that are ready, and what only waits for them, for the ordinary
    /// evaluator; gives those that are left.
    fn ordinary(&mut self, left: Vec<Group>) -> Vec<Group> {
        let mut waiting: Vec<Group> = Vec::new();
        let mut groups: Vec<Group> = Vec::new();
        for group in left {
            if self.ready(&group) {
                groups.push(group);
            } else {
                waiting.push(group);
            }
        }
        let slots: Vec<u32> = groups.iter().flatten().copied().collect();
        let workspace = self.setting.workspace;
        let mut needs: Vec<u32> = slots
            .iter()
            .filter_map(|slot| workspace.slot(*slot))
            .flat_map(|slot| self.through_functions(&slot.needs))
            .filter(|need| self.setting.varying.contains(need) && !slots.contains(need))
            .collect();
        needs.sort_unstable();
        needs.dedup();
        let inside = |source: &(&Source, &usize)| slots.contains(&source.0.slot);
        let sources = self.setting.sources.iter().filter(inside);
        let sources = sources.map(|(_, number)| *number).collect();
        for slot in &slots {
            let shape = match self.setting.rest.value(*slot) {
                Some(Value::Quantity(value)) => Some(Shape::Quantity(like(*value))),
                Some(Value::Size(size)) => Some(Shape::Quantity(like(size.value))),
                Some(Value::Truth(_)) => Some(Shape::Truth),
                _ => None,
            };
            match shape {
                Some(shape) => {
                    self.new_column(*slot, shape);
                }
                None => {
                    let place = self.plan.others.len();
                    self.plan.others.insert(*slot, place);
                }
            }
        }
        self.done.extend(&slots);
        self.plan.stages.push(Stage::Ordinary {
            groups,
            needs,
            sources,
            slots,
        });
        waiting
    }

    /// Needs with those of the functions among them.
    fn through_functions(&self, needs: &[u32]) -> Vec<u32> {
        let workspace = self.setting.workspace;
        let mut found: Vec<u32> = needs.to_vec();
        let mut next = 0;
        while let Some(need) = found.get(next).copied() {
            next += 1;
            if let Some(slot) = workspace.slot(need)
                && matches!(slot.content, Definition::Function(_))
            {
                for need in &slot.needs {
                    if !found.contains(need) {
                        found.push(*need);
                    }
                }
            }
        }
        found
    }
}
