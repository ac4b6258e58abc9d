//! How limits travel through formulas.
//!
//! Each toleranced size is a source, which stands where it is aimed. What follows from them
//! by formulas with a program has its limits proven ([`prove`]); what has none is looked at
//! from outside ([`black_box`]).

mod black_box;
mod check;
mod jumps;
mod prove;
mod results;
pub(super) mod sources;
mod tighten;
mod verdict;

use foldhash::{HashMap, HashSet};

use black_box::BlackBox;
pub use results::{CheckLimits, Known, Limits, Monotonicity, Share};
pub use sources::{SourceSize, sources};
pub use tighten::tighten;
pub use verdict::Verdict;

use super::Definition;
use super::step_budget::afresh;
use super::trial::Trial;
use super::vary::resting_on_vary;
use super::workspace::Workspace;
use crate::language::{SlotId, Value};
use crate::quantity::Quantity;

/// The most slots that are gone through for all measured results together: each goes through
/// all that moves.
const AGAIN: usize = 3_000_000;

/// The limits of everything in a workspace that has them.
#[derive(Clone, Debug, Default)]
pub struct ToleranceAnalysis {
    /// The toleranced sizes, with their limits.
    pub sources: Vec<SourceSize>,
    /// The limits of results, by slot.
    pub limits: HashMap<SlotId, Limits>,
    /// The limits of each value of the lists that have them, by slot.
    pub items: HashMap<SlotId, Vec<Option<Limits>>>,
    /// What the checks come to, by slot.
    pub checks: HashMap<SlotId, CheckLimits>,
    /// What measured results may come out as, by slot.
    pub possible: HashMap<SlotId, Limits>,
    /// The slots that rest on a what-if table.
    varied: HashSet<SlotId>,
}

impl ToleranceAnalysis {
    /// Returns the sizes that move: those without a reading.
    #[must_use]
    pub fn moving(&self, workspace: &Workspace) -> Vec<SourceSize> {
        let unmeasured = |source: &&SourceSize| {
            workspace
                .slot(source.source.slot)
                .is_none_or(|slot| slot.measured.is_empty())
        };
        self.sources.iter().filter(unmeasured).cloned().collect()
    }

    /// Works the limits of a whole workspace out.
    #[must_use]
    pub fn of(workspace: &Workspace) -> Self {
        Self::from_sources(workspace, sources(workspace), None)
    }

    /// Works the limits of some slots out, and of no others; what else depends on
    /// their sources is not computed.
    #[must_use]
    pub fn of_slots(workspace: &Workspace, slots: &[SlotId]) -> Self {
        let mut reached: HashSet<SlotId> = slots.iter().copied().collect();
        let mut next: Vec<SlotId> = slots.to_vec();
        while let Some(slot) = next.pop() {
            let needs = workspace.slot(slot).map_or(&[][..], |slot| &slot.needs);
            next.extend(needs.iter().copied().filter(|need| reached.insert(*need)));
        }
        let mut all = sources(workspace);
        all.retain(|source| reached.contains(&source.source.slot));
        let wanted = slots.iter().copied().collect();
        Self::from_sources(workspace, all, Some(&wanted))
    }

    fn from_sources(
        workspace: &Workspace,
        all: Vec<SourceSize>,
        wanted: Option<&HashSet<SlotId>>,
    ) -> Self {
        if all.is_empty() {
            return Self::default();
        }
        afresh();
        let mut travel = Self {
            sources: all,
            varied: resting_on_vary(workspace),
            ..Self::default()
        };
        let active = travel.moving(workspace);
        travel.work(workspace, &active, Trial::new(workspace), None, wanted);
        if !workspace.measured.is_empty() {
            travel.possible(workspace, &active, wanted);
        }
        travel
    }

    /// Works out what measured results may come out as: their own readings set aside,
    /// those of other sizes counted.
    fn possible(
        &mut self,
        workspace: &Workspace,
        active: &[SourceSize],
        wanted: Option<&HashSet<SlotId>>,
    ) {
        let mut measured: Vec<SlotId> = workspace.measured.to_vec();
        measured.sort_unstable();
        let mut again = AGAIN;
        for slot in &measured {
            let own = |size: &SourceSize| size.source.slot == *slot;
            let is_size = workspace.value(*slot).and_then(Value::size_faces);
            let is_size = is_size.is_some_and(|size| size.limits.is_some());
            if is_size || wanted.is_some_and(|wanted| !wanted.contains(slot)) {
                continue;
            }
            again = again.saturating_sub(workspace.slots.len());
            if again == 0 {
                let nominal = workspace
                    .value(*slot)
                    .and_then(|value| value.quantity().ok());
                let untold = nominal.map(|nominal| (*slot, prove::untold(nominal)));
                self.possible.extend(untold);
                continue;
            }
            let own = self.sources.iter().filter(|size| own(size));
            let sources: Vec<SourceSize> = active.iter().chain(own).cloned().collect();
            let mut found = Self {
                varied: self.varied.clone(),
                ..Self::default()
            };
            let trial = Trial::without_readings_of(workspace, *slot);
            let only = HashSet::from_iter([*slot]);
            found.work(workspace, &sources, trial, Some(*slot), Some(&only));
            self.possible
                .extend(found.limits.remove(slot).map(|limits| (*slot, limits)));
        }
    }

    /// Works out the limits of all that depends on some sources, or of the wanted
    /// slots among that.
    fn work(
        &mut self,
        workspace: &Workspace,
        sources: &[SourceSize],
        trial: Trial,
        aside: Option<SlotId>,
        wanted: Option<&HashSet<SlotId>>,
    ) {
        let starts: Vec<SlotId> = sources.iter().map(|source| source.source.slot).collect();
        let affected = trial.order(&starts);
        let mut slots: Vec<SlotId> = affected.iter().flatten().copied().collect();
        slots.retain(|slot| {
            wanted.is_none_or(|wanted| wanted.contains(slot)) && counts(workspace, *slot)
        });
        // Checks come first: what one makes of a part matters more than a range.
        let is_check = |slot: SlotId| {
            let content = workspace.slot(slot).map(|slot| &slot.content);
            matches!(content, Some(Definition::Check(_)))
        };
        slots.sort_unstable_by_key(|slot| (!is_check(*slot), *slot));
        slots.retain(|slot| {
            let varied = self.varied.contains(slot);
            if varied {
                self.not_known(&trial, *slot);
            }
            !varied
        });
        let mut prover = prove::Prover::new(workspace, sources, &slots, aside);
        let mut rest: Vec<SlotId> = Vec::new();
        for slot in slots {
            // A reading stays while sizes move.
            if workspace.measured.contains(&slot) && aside != Some(slot) {
                let value = workspace
                    .value(slot)
                    .and_then(|value| value.quantity().ok());
                let still = value.map(|value| Limits::still(value.si));
                self.limits.extend(still.map(|limits| (slot, limits)));
                continue;
            }
            if is_check(slot) {
                match prover.check(slot) {
                    Some(check) => drop(self.checks.insert(slot, check)),
                    None => rest.push(slot),
                }
            } else if !prover.counts(slot) {
                let items = prover.items(slot);
                self.items.extend(items.map(|items| (slot, items)));
            } else {
                match prover.limits(slot) {
                    Some(limits) => drop(self.limits.insert(slot, limits)),
                    None => rest.push(slot),
                }
            }
        }
        let Some(first) = rest.first() else { return };
        let mut tried = BlackBox::new(workspace, sources, trial, *first);
        for slot in rest {
            tried.turn_to(slot);
            if is_check(slot) {
                self.checks.extend(tried.check().map(|check| (slot, check)));
            } else {
                self.limits
                    .extend(tried.limits().map(|limits| (slot, limits)));
            }
        }
    }

    /// Says of a slot that rests on a what-if table that nothing is known between the limits.
    fn not_known(&mut self, trial: &Trial, slot: SlotId) {
        match trial.value(slot) {
            Some(Value::Truth(holds)) => {
                let check = CheckLimits {
                    holds: *holds,
                    holds_at_limits: false,
                    known: Known::Unknown,
                    counterexample: None,
                    margins: vec![(Limits::varied(0.0), Quantity::number(0.0))],
                };
                self.checks.insert(slot, check);
            }
            Some(value) => {
                let limits = value.quantity().ok().map(|value| Limits::varied(value.si));
                self.limits.extend(limits.map(|limits| (slot, limits)));
            }
            None => {}
        }
    }

    /// Returns whether a slot rests on a what-if table, of which nothing is known between the
    /// limits.
    #[must_use]
    pub fn is_varied(&self, slot: SlotId) -> bool {
        self.varied.contains(&slot)
    }

    /// Returns the limits to print for a slot: for a measured result what it may come out as.
    #[must_use]
    pub fn of_slot(&self, slot: SlotId) -> Option<&Limits> {
        self.possible.get(&slot).or_else(|| self.limits.get(&slot))
    }
}

/// Returns whether limits are wanted for a slot.
fn counts(workspace: &Workspace, slot: SlotId) -> bool {
    let content = workspace.slot(slot).map(|slot| &slot.content);
    matches!(
        content,
        Some(
            Definition::Cell(_) | Definition::Bare(_) | Definition::Find(_) | Definition::Check(_)
        )
    )
}
