//! Putting sources somewhere between their limits and looking at what comes of it.

use std::collections::BTreeSet;
use std::ops::Range;

use foldhash::{HashMap, HashSet};

use super::check::margins;
use super::sources::SourceSize;
use crate::language::{Source, Value};
use crate::notebook::order::Group;
use crate::notebook::step_budget::{exhausted, spend};
use crate::notebook::trial::Trial;
use crate::notebook::view::Deviations;
use crate::notebook::{Definition, Workspace};
use crate::quantity::{Quantity, System};

/// Where sources stand: their numbers with the part of the way from the lower to
/// the upper limit. Sources not named stand where they are aimed.
pub type Parts = [(usize, f64)];

/// A number whose limits are wanted: the value of a slot, or one margin of a check.
#[derive(Clone, Debug)]
pub struct Target {
    /// The slot.
    pub slot: u32,
    /// The number of the margin among those of the check; 0 for a value.
    pub place: usize,
    /// The number while everything stands where it is aimed or was measured.
    pub nominal: Quantity,
    /// Less than this is rounding.
    pub noise: f64,
}

/// How many steps it counts to move a slot, besides those of its formula.
const MOVED: u64 = 20;

/// Moves sources and looks at targets.
pub struct Perturbation<'a> {
    /// The notebook.
    pub workspace: &'a Workspace,
    /// The sources that move.
    pub sources: &'a [SourceSize],
    /// What is looked at, by number.
    pub targets: Vec<Target>,
    /// The checks that failed somewhere, with where the sources stood.
    pub broken: HashMap<u32, Vec<(Source, f64)>>,
    /// Whether the steps ran out, so that nothing can be said.
    pub untold: bool,
    trial: Trial<'a>,
    /// What depends on any source, in the order in which it is computed.
    affected: Vec<Group>,
    /// Where in `affected` a slot stands.
    place: HashMap<u32, usize>,
    by_slot: HashMap<u32, Range<usize>>,
    /// Whether only some of what depends on the sources is looked at.
    some: bool,
}

impl<'a> Perturbation<'a> {
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
            broken: HashMap::default(),
            untold: false,
            trial: trial.moving_sizes(),
            affected: Vec::new(),
            place: HashMap::default(),
            by_slot: HashMap::default(),
            some: wanted.is_some(),
        };
        let starts: Vec<u32> = sources.iter().map(|source| source.source.slot).collect();
        mover.affected = mover.trial.order(&starts);
        for (place, group) in mover.affected.iter().enumerate() {
            mover.place.extend(group.iter().map(|slot| (*slot, place)));
        }
        let mut slots: Vec<u32> = mover.affected.iter().flatten().copied().collect();
        let looked_at = |slot: &u32| wanted.is_none_or(|wanted| wanted.contains(slot));
        slots.retain(|slot| looked_at(slot) && counts(workspace, *slot));
        slots.sort_unstable();
        let still = Deviations::default();
        for slot in slots {
            let first = mover.targets.len();
            for (place, value) in mover.look(&still, slot).into_iter().enumerate() {
                let Some(nominal) = value else { continue };
                let unit = nominal.shown_unit(System::Metric);
                mover.targets.push(Target {
                    slot,
                    place,
                    nominal,
                    noise: 1e-13 * nominal.si.abs() + 1e-12 * unit.factor(),
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
        let mut upstream: BTreeSet<usize> = BTreeSet::new();
        let mut next: Vec<u32> = slots.to_vec();
        while let Some(slot) = next.pop() {
            let Some(place) = self.place.get(&slot) else {
                continue;
            };
            if upstream.insert(*place) {
                next.extend(self.needs(*place));
            }
        }
        spend(upstream.len() as u64);
        let starts = sources
            .iter()
            .filter_map(|source| self.sources.get(*source));
        let mut moved: HashSet<u32> = starts.map(|source| source.source.slot).collect();
        let mut between = Vec::new();
        for place in upstream {
            let Some(group) = self.affected.get(place) else {
                continue;
            };
            if group.iter().any(|slot| moved.contains(slot))
                || self.needs(place).any(|need| moved.contains(&need))
            {
                moved.extend(group);
                between.push(group.clone());
            }
        }
        between
    }

    /// Returns what the slots of a group need.
    fn needs(&self, place: usize) -> impl Iterator<Item = u32> {
        let slots = self.affected.get(place).map_or(&[][..], |group| group);
        let filled = slots.iter().filter_map(|slot| self.workspace.slot(*slot));
        filled.flat_map(|slot| slot.needs.iter().copied())
    }

    /// The numbers of the targets of a slot.
    pub fn targets_of(&self, slot: u32) -> Range<usize> {
        self.by_slot.get(&slot).cloned().unwrap_or(0..0)
    }

    /// Computes `groups` with the sources at `parts` and shows the targets of `slots`
    /// to `visit`, each with its number; nothing where it has none. When the steps
    /// have run out, nothing is shown.
    pub fn at(
        &mut self,
        groups: &[Group],
        slots: &[u32],
        parts: &Parts,
        mut visit: impl FnMut(usize, Option<f64>),
    ) {
        if self.untold {
            return;
        }
        let place = |(number, part): &(usize, f64)| {
            let source = self.sources.get(*number)?;
            Some((source.source, *part))
        };
        let deviations = Deviations {
            parts: parts.iter().filter_map(place).collect(),
        };
        self.trial.compute(groups, &deviations);
        spend(MOVED * groups.len() as u64);
        self.untold = exhausted();
        if self.untold {
            self.trial.reset();
            return;
        }
        for slot in slots {
            let found = self.look(&deviations, *slot);
            for number in self.targets_of(*slot) {
                let place = self.targets.get(number).map_or(0, |target| target.place);
                let value = found.get(place).copied().flatten();
                visit(number, value.map(|value| value.si));
            }
            if let Some(Value::Truth(false)) = self.trial.value(*slot) {
                let at = deviations.parts.iter();
                let mut at: Vec<(Source, f64)> =
                    at.map(|(source, part)| (*source, *part)).collect();
                at.sort_by_key(|(source, _)| *source);
                self.broken.entry(*slot).or_insert(at);
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
            Some(Definition::Check(condition)) => self
                .trial
                .with_view(deviations, |cells| margins(cells, condition)),
            _ => {
                let value = self.trial.value(slot);
                vec![value.and_then(|value| value.quantity().ok())]
            }
        }
    }
}

/// Returns whether limits are wanted for a slot.
pub fn counts(workspace: &Workspace, slot: u32) -> bool {
    matches!(
        workspace.slot(slot).map(|slot| &slot.content),
        Some(
            Definition::Cell(_) | Definition::Bare(_) | Definition::Find(_) | Definition::Check(_)
        )
    )
}
