//! Putting sources somewhere between their limits and looking at what comes of it.

use std::collections::{HashMap, HashSet};
use std::ops::Range;

use super::SourceSize;
use super::check::margins;
use crate::language::Value;
use crate::notebook::order::Group;
use crate::notebook::recalculate::{Deviations, afresh, exhausted};
use crate::notebook::trial::Trial;
use crate::notebook::{Content, Workspace};
use crate::quantity::{Quantity, System};

/// Where sources stand: their numbers with the part of the way from the lower to
/// the upper limit. Sources not named stand at their drawing size.
pub type Parts = [(usize, f64)];

/// A number whose limits are wanted: the value of a slot, or one margin of a check.
#[derive(Clone, Debug)]
pub struct Target {
    /// The slot.
    pub slot: u32,
    /// The number of the margin among those of the check; 0 for a value.
    pub place: usize,
    /// The number while everything stands at its drawing size or reading.
    pub nominal: Quantity,
    /// Less than this is rounding.
    pub noise: f64,
}

/// How often the steps that a notebook may take are allowed again.
const REFILLS: u32 = 8;

/// Moves sources and looks at targets.
pub struct Mover<'a> {
    /// The notebook.
    pub workspace: &'a Workspace,
    /// The sources that move.
    pub sources: &'a [SourceSize],
    /// What is looked at, by number.
    pub targets: Vec<Target>,
    /// The checks that failed somewhere.
    pub broken: HashSet<u32>,
    /// Whether the steps ran out, so that nothing can be said.
    pub untold: bool,
    refills: u32,
    trial: Trial<'a>,
    by_slot: HashMap<u32, Range<usize>>,
    /// Whether only some of what depends on the sources is looked at.
    some: bool,
}

impl<'a> Mover<'a> {
    /// A mover of these sources from a trial's values; `wanted` are the slots to look
    /// at, where not all are.
    pub fn new(
        workspace: &'a Workspace,
        sources: &'a [SourceSize],
        trial: Trial<'a>,
        wanted: Option<&HashSet<u32>>,
    ) -> Self {
        let mut mover = Self {
            workspace,
            sources,
            targets: Vec::new(),
            broken: HashSet::new(),
            untold: false,
            refills: REFILLS,
            trial: trial.moving_sizes(),
            by_slot: HashMap::new(),
            some: wanted.is_some(),
        };
        let starts: Vec<u32> = sources.iter().map(|source| source.source.slot).collect();
        let groups = mover.trial.order(&starts);
        let mut slots: Vec<u32> = groups.into_iter().flatten().collect();
        let looked_at = |slot: &u32| wanted.is_none_or(|wanted| wanted.contains(slot));
        slots.retain(|slot| looked_at(slot) && counts(workspace, *slot));
        slots.sort_unstable();
        let still = Deviations::default();
        for slot in slots {
            let first = mover.targets.len();
            for (place, value) in mover.look(&still, slot).into_iter().enumerate() {
                let Some(nominal) = value else { continue };
                let unit = nominal.shown_unit(System::Metric).get();
                mover.targets.push(Target {
                    slot,
                    place,
                    nominal,
                    noise: 1e-13 * nominal.si.abs() + 1e-12 * unit.factor.abs(),
                });
            }
            mover.by_slot.insert(slot, first..mover.targets.len());
        }
        mover
    }

    /// The slots that a source acts on and whose limits are wanted, and all slots to
    /// be computed when it moves.
    pub fn reached(&self, source: usize) -> (Vec<Group>, Vec<u32>) {
        let slot = self.sources.get(source).map(|source| source.source.slot);
        let groups = self.trial.order(slot.as_slice());
        let slots = groups.iter().flatten().copied();
        let slots = slots.filter(|slot| self.by_slot.contains_key(slot));
        let slots: Vec<u32> = slots.collect();
        if self.some {
            return (self.between(&[source], &slots), slots);
        }
        (groups, slots)
    }

    /// The slots between some sources and some slots, in the order in which they are
    /// computed.
    pub fn between(&self, sources: &[usize], slots: &[u32]) -> Vec<Group> {
        let starts: Vec<u32> = sources
            .iter()
            .filter_map(|source| Some(self.sources.get(*source)?.source.slot))
            .collect();
        let groups = self.trial.order(&starts);
        let mut wanted: HashSet<u32> = slots.iter().copied().collect();
        for group in groups.iter().rev() {
            if group.iter().any(|slot| wanted.contains(slot)) {
                for slot in group {
                    wanted.insert(*slot);
                    let needs = self.workspace.slot(*slot).map(|slot| slot.needs.iter());
                    wanted.extend(needs.into_iter().flatten());
                }
            }
        }
        groups
            .into_iter()
            .filter(|group| group.iter().any(|slot| wanted.contains(slot)))
            .collect()
    }

    /// Whether the drawing size of a source lies between its limits; that of a pin
    /// with the class g6 does not.
    pub fn holds_size(&self, source: usize) -> bool {
        self.sources
            .get(source)
            .is_some_and(|source| source.lower <= 0.0 && source.upper >= 0.0)
    }

    /// The numbers of the targets of a slot.
    pub fn targets_of(&self, slot: u32) -> Range<usize> {
        self.by_slot.get(&slot).cloned().unwrap_or(0..0)
    }

    /// Computes `groups` with the sources at `parts` and shows the targets of `slots`
    /// to `visit`, each with its number; nothing where it has none.
    pub fn at(
        &mut self,
        groups: &[Group],
        slots: &[u32],
        parts: &Parts,
        mut visit: impl FnMut(usize, Option<f64>),
    ) {
        let place = |(number, part): &(usize, f64)| {
            let source = self.sources.get(*number)?;
            Some((source.source, *part))
        };
        let deviations = Deviations {
            parts: parts.iter().filter_map(place).collect(),
        };
        self.trial.compute(groups, &deviations);
        while exhausted() && !self.untold {
            self.untold = self.refills == 0;
            self.refills = self.refills.saturating_sub(1);
            afresh();
            self.trial.reset();
            self.trial.compute(groups, &deviations);
        }
        for slot in slots {
            let found = self.look(&deviations, *slot);
            for number in self.targets_of(*slot) {
                let place = self.targets.get(number).map_or(0, |target| target.place);
                let value = found.get(place).copied().flatten();
                visit(number, value.map(|value| value.si));
            }
            if let Some(Value::Truth(false)) = self.trial.value(*slot) {
                self.broken.insert(*slot);
            }
        }
        self.trial.reset();
    }

    /// One target with the sources at `parts`.
    pub fn one(&mut self, groups: &[Group], target: usize, parts: &Parts) -> Option<f64> {
        let slot = self.targets.get(target).map(|target| target.slot);
        let mut found = None;
        self.at(groups, slot.as_slice(), parts, |number, value| {
            if number == target {
                found = value;
            }
        });
        found
    }

    /// The value of a slot while nothing moves.
    pub fn at_rest(&self, slot: u32) -> Option<&Value> {
        self.trial.value(slot)
    }

    /// The numbers of a slot: its value, or the margins of a check.
    fn look(&self, deviations: &Deviations, slot: u32) -> Vec<Option<Quantity>> {
        match self.workspace.slot(slot).map(|slot| &slot.content) {
            Some(Content::Check(condition)) => self
                .trial
                .with_view(deviations, |cells| margins(cells, condition)),
            _ => {
                let value = self.trial.value(slot);
                vec![value.and_then(|value| value.quantity().ok())]
            }
        }
    }
}

/// Whether limits are wanted for a slot.
pub fn counts(workspace: &Workspace, slot: u32) -> bool {
    matches!(
        workspace.slot(slot).map(|slot| &slot.content),
        Some(Content::Cell(_) | Content::Bare(_) | Content::Find(_) | Content::Check(_))
    )
}
