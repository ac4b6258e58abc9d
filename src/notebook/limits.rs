//! How limits travel through formulas.
//!
//! Each toleranced size is a source, which stands where it is aimed. Moving one source
//! at a time to its two limits
//! and computing what depends on it gives its share in every result and the
//! direction in which it acts. The worst corners follow: with up to six sources
//! all corners are computed; with more, the two that the directions name, after a
//! source that seemed idle was tried in other corners too. Points inside and steps
//! inward from the worst corners tell whether a result turns between the limits,
//! halving tells a jump from a slope; such a result says so.

mod check;
mod corners;
mod monotonicity;
mod perturbation;
mod prove;
mod sensitivity;
mod sources;
mod tighten;
mod verdict;

use std::collections::{HashMap, HashSet};

pub use check::margins;
pub use sources::{SourceSize, sources};
pub use tighten::tighten;
pub use verdict::Verdict;

use super::Definition;
use super::step_budget::afresh;
use super::trial::Trial;
use super::vary::resting_on_vary;
use super::workspace::Workspace;
pub use crate::language::Others;
use crate::language::{Source, Value};
use crate::quantity::Quantity;

/// How many points inside the limits are looked at.
const POINTS: usize = 64;

/// What one source does to a result.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Share {
    /// The source.
    pub source: Source,
    /// The change of the result from its value when the source alone stands at its
    /// lower limit, in coherent SI.
    pub at_low: f64,
    /// The same at its upper limit.
    pub at_high: f64,
}

impl Share {
    /// Half the swing between the two limits, in coherent SI.
    #[must_use]
    pub fn half_swing(&self) -> f64 {
        (self.at_high - self.at_low).abs() / 2.0
    }
}

/// How a result behaves between the limits of its sources.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Monotonicity {
    /// It only rises or only falls.
    Steady,
    /// It turns: the ends are not its extremes.
    Turns,
    /// It jumps, as from one standard drill to the next.
    Steps,
    /// It has no value somewhere between the limits.
    Breaks,
    /// Finding out takes too many steps.
    Untold,
    /// It rests on a what-if table, which is worked out at plain values only.
    Varied,
}

impl Monotonicity {
    /// Returns what is said in place of limits where there are none; nothing for the rest.
    #[must_use]
    pub const fn without_limits(self) -> Option<&'static str> {
        match self {
            Self::Breaks => Some("no value at some limits"),
            Self::Untold => Some("limits take too many steps"),
            Self::Varied => Some("limits unknown: from a what-if table"),
            Self::Steady | Self::Turns | Self::Steps => None,
        }
    }
}

/// How limits are known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Known {
    /// No value lies outside, and the ends are reached to one part in 10^6 of the range.
    Proven,
    /// No value lies outside; how near the ends it comes took too many steps to find.
    Enclosed,
    /// The ends are the worst that was seen at corners and scattered places.
    Searched,
    /// Not at all.
    Unknown,
}

impl Known {
    /// Returns the word for it in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Proven => "proven",
            Self::Enclosed => "enclosed",
            Self::Searched => "searched",
            Self::Unknown => "unknown",
        }
    }
}

/// The limits of a result.
#[derive(Clone, Debug, PartialEq)]
pub struct Limits {
    /// The value with every size where it is aimed or was measured, in coherent SI.
    pub nominal: f64,
    /// The least value at the worst corners.
    pub low: f64,
    /// The greatest value at the worst corners.
    pub high: f64,
    /// Where the sources stand at the least value: the part of the way from their
    /// lower to their upper limit. Sources not named stand where they are aimed.
    pub low_at: Vec<(Source, f64)>,
    /// Where they stand at the greatest value.
    pub high_at: Vec<(Source, f64)>,
    /// What each source does, the largest first; the largest 100 where there are more.
    pub shares: Vec<Share>,
    /// What is left out of the shares.
    pub others: Others,
    /// How the range is known.
    pub known: Known,
    /// How it behaves between the limits.
    pub course: Monotonicity,
    /// Whether it bends: what a size does at one side of its aim is not what it does at
    /// the other, so that squares of swings say nothing.
    pub bends: bool,
}

impl Limits {
    /// The limits of what rests on a what-if table: not known.
    fn varied(nominal: f64) -> Self {
        Self {
            known: Known::Unknown,
            course: Monotonicity::Varied,
            ..Self::still(nominal)
        }
    }

    /// The limits of what does not move.
    fn still(nominal: f64) -> Self {
        Self {
            nominal,
            low: nominal,
            high: nominal,
            low_at: Vec::new(),
            high_at: Vec::new(),
            shares: Vec::new(),
            others: Others::default(),
            known: Known::Proven,
            course: Monotonicity::Steady,
            bends: false,
        }
    }

    /// Returns the least and the greatest value, where they are known and differ.
    #[must_use]
    pub fn range(&self) -> Option<(f64, f64)> {
        let known = match self.course {
            Monotonicity::Steady | Monotonicity::Steps => true,
            Monotonicity::Turns => self.known != Known::Searched,
            Monotonicity::Breaks | Monotonicity::Untold | Monotonicity::Varied => false,
        };
        (known && self.low < self.high).then_some((self.low, self.high))
    }

    /// The root-sum-square range: its middle and half its width.
    ///
    /// Source: the first-order law of propagation, JCGM 100:2008 (GUM), 5.1.2, with
    /// half the swing of each source in place of its standard uncertainty.
    #[must_use]
    pub fn root_sum_square(&self) -> (f64, f64) {
        let shift: f64 = self
            .shares
            .iter()
            .map(|share| f64::midpoint(share.at_low, share.at_high))
            .sum();
        let shift = shift + self.others.shift;
        let half = self
            .shares
            .iter()
            .map(|share| share.half_swing())
            // Not squared and added: a square of a large size is no number.
            .fold(self.others.squares.sqrt(), f64::hypot);
        (self.nominal + shift, half)
    }

    /// Returns whether the worst corners lie far from what the sizes do one by one, added up: at a
    /// kink a sum of shares says nothing.
    fn is_no_sum(&self) -> bool {
        let (middle, _) = self.root_sum_square();
        let swings = self.shares.iter().map(|share| share.half_swing());
        let swing = self.others.swing + swings.sum::<f64>();
        let off = [middle - swing - self.low, middle + swing - self.high];
        let most = off.map(f64::abs).into_iter().fold(0.0, f64::max);
        most > 0.125 * (self.high - self.low)
    }
}

/// What a check comes to at the limits.
#[derive(Clone, Debug, PartialEq)]
pub struct CheckLimits {
    /// Whether it holds with every size where it is aimed or was measured.
    pub holds: bool,
    /// Whether it holds wherever between their limits the sizes stand.
    pub holds_at_limits: bool,
    /// How that is known; where it is not, nothing is known of the limits.
    pub known: Known,
    /// Where the sizes of a part stand that fails it, where there is one; those not named
    /// stand where they are aimed.
    pub counterexample: Option<Vec<(Source, f64)>>,
    /// The margins of its comparisons: how much each has to spare, negative where it
    /// misses, in coherent SI with what it measures.
    pub margins: Vec<(Limits, Quantity)>,
}

impl CheckLimits {
    /// The margin that is least at the limits.
    #[must_use]
    pub fn worst(&self) -> Option<&(Limits, Quantity)> {
        self.margins
            .iter()
            .min_by(|a, b| a.0.low.total_cmp(&b.0.low))
    }
}

/// The limits of everything in a workspace that has them.
#[derive(Clone, Debug, Default)]
pub struct ToleranceAnalysis {
    /// The toleranced sizes, with their limits.
    pub sources: Vec<SourceSize>,
    /// The limits of results, by slot.
    pub limits: HashMap<u32, Limits>,
    /// The limits of each value of the lists that have them, by slot.
    pub items: HashMap<u32, Vec<Option<Limits>>>,
    /// What the checks come to, by slot.
    pub checks: HashMap<u32, CheckLimits>,
    /// What measured results may come out as, by slot.
    pub possible: HashMap<u32, Limits>,
    /// The slots that rest on a what-if table.
    varied: HashSet<u32>,
}

impl ToleranceAnalysis {
    /// The sizes that move: those without a reading.
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
    pub fn of_slots(workspace: &Workspace, slots: &[u32]) -> Self {
        let mut reached: HashSet<u32> = slots.iter().copied().collect();
        let mut next: Vec<u32> = slots.to_vec();
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
        wanted: Option<&HashSet<u32>>,
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
        wanted: Option<&HashSet<u32>>,
    ) {
        for slot in &workspace.measured {
            let own = |size: &SourceSize| size.source.slot == *slot;
            let is_size = workspace.value(*slot).and_then(Value::size_faces);
            let is_size = is_size.is_some_and(|size| size.limits.is_some());
            if is_size || wanted.is_some_and(|wanted| !wanted.contains(slot)) {
                continue;
            }
            let own = self.sources.iter().filter(|size| own(size));
            let sources: Vec<SourceSize> = active.iter().chain(own).cloned().collect();
            let mut found = Self {
                varied: self.varied.clone(),
                ..Self::default()
            };
            let trial = Trial::without_readings_of(workspace, *slot);
            let only = HashSet::from([*slot]);
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
        aside: Option<u32>,
        wanted: Option<&HashSet<u32>>,
    ) {
        let starts: Vec<u32> = sources.iter().map(|source| source.source.slot).collect();
        let affected = trial.order(&starts);
        let mut slots: Vec<u32> = affected.iter().flatten().copied().collect();
        slots.retain(|slot| {
            wanted.is_none_or(|wanted| wanted.contains(slot))
                && perturbation::counts(workspace, *slot)
        });
        // Checks come first: what one makes of a part matters more than a range.
        let is_check = |slot: u32| {
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
        let mut rest: HashSet<u32> = HashSet::new();
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
                    None => drop(rest.insert(slot)),
                }
            } else if !prover.counts(slot) {
                let items = prover.items(slot);
                self.items.extend(items.map(|items| (slot, items)));
            } else {
                match prover.limits(slot) {
                    Some(limits) => drop(self.limits.insert(slot, limits)),
                    None => drop(rest.insert(slot)),
                }
            }
        }
        if !rest.is_empty() {
            self.search(workspace, sources, trial, &rest);
        }
    }

    /// Says of a slot that rests on a what-if table that nothing is known between the limits.
    fn not_known(&mut self, trial: &Trial, slot: u32) {
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

    /// Searches the limits of slots that have no program: at corners and scattered
    /// places.
    fn search(
        &mut self,
        workspace: &Workspace,
        sources: &[SourceSize],
        trial: Trial,
        wanted: &HashSet<u32>,
    ) {
        let wanted = Some(wanted);
        let mut mover = perturbation::Perturbation::new(workspace, sources, trial, wanted);
        let (paths, upstream) = sensitivity::paths(&mut mover);
        let sets = corners::sets(&mover, upstream);
        let mut reaches = corners::reaches(&mut mover, &sets, &paths);
        corners::inside(&mut mover, &sets, POINTS, &mut reaches);
        let mut jumpers = monotonicity::Jumpers::default();
        let mut found: Vec<Option<Limits>> = vec![None; mover.targets.len()];
        for set in &sets {
            for slot in &set.slots {
                let groups = mover.between(&set.sources, &[*slot]);
                let may_step = jumpers.any(workspace, &groups);
                let one = corners::Set {
                    sources: set.sources.clone(),
                    slots: vec![*slot],
                    groups,
                };
                for target in mover.targets_of(*slot) {
                    let (Some(paths), Some(reach)) = (paths.get(target), reaches.get(target))
                    else {
                        continue;
                    };
                    let mut course =
                        monotonicity::course(&mut mover, &one, target, paths, reach, may_step);
                    if mover.untold {
                        course = Monotonicity::Untold;
                    }
                    if let Some(found) = found.get_mut(target) {
                        *found = limits(&mover, target, paths, reach, course);
                    }
                }
            }
        }
        let all = sets.iter().flat_map(|set| set.slots.iter());
        for slot in all {
            let here = mover.targets_of(*slot);
            let filled = workspace.slot(*slot).map(|slot| &slot.content);
            if !matches!(filled, Some(Definition::Check(_))) {
                let limits = here.clone().next().and_then(|target| found.get(target));
                let limits = limits.cloned().flatten();
                self.limits.extend(limits.map(|limits| (*slot, limits)));
                continue;
            }
            let Some(Value::Truth(holds)) = mover.at_rest(*slot).cloned() else {
                continue;
            };
            let margins: Vec<(Limits, Quantity)> = here
                .filter_map(|target| {
                    let limits = found.get(target).cloned().flatten()?;
                    Some((limits, mover.targets.get(target)?.nominal))
                })
                .collect();
            let holds_at_limits = !mover.untold && holds && !mover.broken.contains_key(slot);
            self.checks.insert(
                *slot,
                CheckLimits {
                    holds,
                    holds_at_limits,
                    known: if mover.untold {
                        Known::Unknown
                    } else {
                        Known::Searched
                    },
                    counterexample: mover.broken.get(slot).cloned(),
                    margins,
                },
            );
        }
    }

    /// Returns whether a slot rests on a what-if table, of which nothing is known between the
    /// limits.
    #[must_use]
    pub fn is_varied(&self, slot: u32) -> bool {
        self.varied.contains(&slot)
    }

    /// The limits to print for a slot: for a measured result what it may come out as.
    #[must_use]
    pub fn of_slot(&self, slot: u32) -> Option<&Limits> {
        self.possible.get(&slot).or_else(|| self.limits.get(&slot))
    }
}

/// The limits of a target from what was seen.
fn limits(
    mover: &perturbation::Perturbation,
    target: usize,
    paths: &[sensitivity::Path],
    reach: &corners::Extremes,
    course: Monotonicity,
) -> Option<Limits> {
    let found = mover.targets.get(target)?;
    let nominal = found.nominal.si;
    let source = |number: usize| mover.sources.get(number).map(|source| source.source);
    let mut shares: Vec<Share> = paths
        .iter()
        .filter_map(|path| {
            let (low, high) = path.ends()?;
            Some(Share {
                source: source(path.source)?,
                at_low: low - nominal,
                at_high: high - nominal,
            })
        })
        .collect();
    let bends = paths.iter().any(|path| path.bends(found.noise));
    let noise = found.noise;
    shares.retain(|share| share.at_low.abs() > noise || share.at_high.abs() > noise);
    shares.sort_by(|a, b| {
        b.half_swing()
            .total_cmp(&a.half_swing())
            .then(a.source.cmp(&b.source))
    });
    let corner = |parts: &perturbation::Parts| {
        let parts = parts.iter();
        parts
            .filter_map(|(number, part)| Some((source(*number)?, *part)))
            .collect()
    };
    let (mut low, mut high) = (reach.low, reach.high);
    if course == Monotonicity::Turns {
        low = low.min(reach.seen.0);
        high = high.max(reach.seen.1);
    }
    if low > high || high - low <= noise {
        (low, high) = (nominal, nominal);
    }
    let mut limits = Limits {
        nominal,
        low,
        high,
        low_at: corner(&reach.low_at),
        high_at: corner(&reach.high_at),
        shares,
        others: Others::default(),
        course,
        known: if course == Monotonicity::Untold {
            Known::Unknown
        } else {
            Known::Searched
        },
        bends,
    };
    limits.bends |= limits.is_no_sum();
    Some(limits)
}
