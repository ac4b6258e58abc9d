//! Limits of what has no program: the worst that is seen while its sizes stand at their
//! limits and at scattered places between them.
//!
//! Up to six sizes are put into all corners; more of them into those that each size by
//! itself points to, into some by chance, and from the worst one size after the other to
//! its other limit. Nothing is proven by it.

mod reach;

use foldhash::{HashMap, HashSet};

use reach::{PLACES, Reach};

use super::check::margins;
use super::jumps::jumps;
use super::results::{CheckLimits, Known, Limits, Monotonicity, Share};
use super::sources::SourceSize;
use crate::language::{Alone, Others, Scatter, SlotId, Source, Value, keep_largest};
use crate::notebook::order::Group;
use crate::notebook::step_budget::{exhausted, spend};
use crate::notebook::trial::Trial;
use crate::notebook::view::Deviations;
use crate::notebook::{Definition, Workspace};
use crate::quantity::Quantity;

/// Up to so many sources all corners are computed.
const ALL_CORNERS: usize = 6;
/// So many corners are taken by chance where there are more sources, and so many places
/// inside in any case.
const POINTS: usize = 64;
/// How far inward from a worst corner each source is tried.
const INWARD: [f64; 2] = [1.0 / 512.0, 0.5];
/// How many steps it counts to compute a slot once more, besides those of its formula.
const COMPUTED: u64 = 20;
/// The same for one that is solved for.
const SOLVED: u64 = 200;

/// A slot that is looked at from outside: a cell, or a check with its margins.
pub struct BlackBox<'a> {
    workspace: &'a Workspace,
    sources: &'a [SourceSize],
    trial: Trial<'a>,
    /// What depends on any source, in the order in which it is computed.
    affected: Vec<Group>,
    /// Where each slot stands there.
    places: HashMap<SlotId, usize>,
    /// The numbers of the sources of each slot.
    numbered: HashMap<SlotId, Vec<usize>>,
    slot: SlotId,
    /// The numbers of the sources that act on the slot.
    acting: Vec<usize>,
    /// What is computed when they move.
    groups: Vec<Group>,
    /// How many steps that counts.
    cost: u64,
    /// The numbers of the slot where everything is aimed.
    nominal: Vec<Option<Quantity>>,
    /// Where the check failed first.
    counterexample: Option<Vec<(Source, f64)>>,
    /// Whether the steps ran out, so that nothing can be said.
    untold: bool,
}

impl<'a> BlackBox<'a> {
    /// Returns a look at a slot while these sources move, from a trial's values.
    pub fn new(
        workspace: &'a Workspace,
        sources: &'a [SourceSize],
        trial: Trial<'a>,
        slot: SlotId,
    ) -> Self {
        let starts: Vec<SlotId> = sources.iter().map(|source| source.source.slot).collect();
        let affected = trial.order(&starts);
        let mut places = HashMap::default();
        for (place, group) in affected.iter().enumerate() {
            places.extend(group.iter().map(|slot| (*slot, place)));
        }
        let mut numbered: HashMap<SlotId, Vec<usize>> = HashMap::default();
        for (number, size) in sources.iter().enumerate() {
            numbered.entry(size.source.slot).or_default().push(number);
        }
        let mut new = Self {
            workspace,
            sources,
            affected,
            places,
            numbered,
            trial: trial.moving_sizes(),
            slot,
            acting: Vec::new(),
            groups: Vec::new(),
            cost: 0,
            nominal: Vec::new(),
            counterexample: None,
            untold: false,
        };
        new.turn_to(slot);
        new
    }

    /// Looks at another slot from now on.
    pub fn turn_to(&mut self, slot: SlotId) {
        (self.slot, self.counterexample) = (slot, None);
        self.acting.clear();
        self.groups.clear();
        self.untold |= exhausted();
        if self.untold {
            return;
        }
        let mut upstream: HashSet<SlotId> = HashSet::from_iter([slot]);
        let mut next = vec![slot];
        while let Some(slot) = next.pop() {
            let needs = self
                .workspace
                .slot(slot)
                .map_or(&[][..], |slot| &slot.needs);
            next.extend(needs.iter().copied().filter(|need| upstream.insert(*need)));
        }
        spend(upstream.len() as u64);
        let acting = upstream.iter().filter_map(|slot| self.numbered.get(slot));
        self.acting = acting.flatten().copied().collect();
        self.acting.sort_unstable();
        let places = upstream.iter().filter_map(|slot| self.places.get(slot));
        let mut places: Vec<usize> = places.copied().collect();
        places.sort_unstable();
        places.dedup();
        let groups = places
            .into_iter()
            .filter_map(|place| self.affected.get(place));
        self.groups = groups.cloned().collect();
        let slots = self.groups.iter().flat_map(|group| group.iter());
        let costs = slots.map(|slot| match self.workspace.slot(*slot) {
            Some(filled) if matches!(filled.content, Definition::Find(_)) => SOLVED,
            _ => COMPUTED,
        });
        self.cost = costs.sum();
    }

    /// Returns the limits of the slot's value; nothing where it is no number.
    pub fn limits(&mut self) -> Option<Limits> {
        let reach = self.reaches().into_iter().next()??;
        Some(self.limits_of(0, &reach))
    }

    /// Returns what the slot comes to, a check; nothing where it is neither true nor false.
    pub fn check(&mut self) -> Option<CheckLimits> {
        let Some(Value::Truth(holds)) = self.trial.value(self.slot).cloned() else {
            return None;
        };
        let reaches = self.reaches();
        let mut margins: Vec<(Limits, Quantity)> = Vec::new();
        for (place, reach) in reaches.iter().enumerate() {
            let limits = reach.as_ref().map(|reach| self.limits_of(place, reach));
            margins.extend(limits.zip(reach.as_ref().map(|reach| reach.nominal)));
        }
        Some(CheckLimits {
            holds,
            holds_at_limits: holds && !self.untold && self.counterexample.is_none(),
            known: self.known(),
            counterexample: self.counterexample.take(),
            margins,
        })
    }

    /// Returns one number of the slot with its sources there, all others where they are aimed.
    pub fn margin_at(&mut self, place: usize, parts: &[(Source, f64)]) -> Option<f64> {
        let deviations = Deviations {
            parts: parts.iter().copied().collect(),
        };
        let found = self.with(deviations);
        found.get(place)?.map(|value| value.si)
    }

    fn known(&self) -> Known {
        if self.untold {
            Known::Unknown
        } else {
            Known::Searched
        }
    }

    /// Returns the numbers of the slot: its value, or the margins of a check.
    fn numbers(&self, deviations: &Deviations) -> Vec<Option<Quantity>> {
        match self.workspace.slot(self.slot).map(|slot| &slot.content) {
            Some(Definition::Check(condition)) => self
                .trial
                .with_view(deviations, |cells| margins(cells, condition)),
            _ => {
                let value = self.trial.value(self.slot);
                vec![value.and_then(|value| value.quantity().ok())]
            }
        }
    }

    /// Returns the numbers with the sources there; none when the steps have run out.
    fn with(&mut self, deviations: Deviations) -> Vec<Option<Quantity>> {
        if self.untold {
            return Vec::new();
        }
        self.trial.compute(&self.groups, &deviations);
        spend(self.cost + deviations.parts.len() as u64);
        self.untold = exhausted();
        let found = if self.untold {
            Vec::new()
        } else {
            self.numbers(&deviations)
        };
        let fails = matches!(self.trial.value(self.slot), Some(Value::Truth(false)));
        if fails && !self.untold && self.counterexample.is_none() {
            let mut at: Vec<(Source, f64)> = deviations.parts.into_iter().collect();
            at.sort_by_key(|(source, _)| *source);
            self.counterexample = Some(at);
        }
        self.trial.reset();
        found
    }

    /// Returns the same with some acting sources, by their places, at parts of their ways.
    fn at(&mut self, parts: impl IntoIterator<Item = (usize, f64)>) -> Vec<Option<f64>> {
        let named = |(place, part): (usize, f64)| Some((self.source(place)?, part));
        let deviations = Deviations {
            parts: parts
                .into_iter()
                .filter_map(named)
                .collect::<HashMap<_, _>>(),
        };
        let found = self.with(deviations).into_iter().zip(&self.nominal);
        // What measures something else there is no value of this one.
        let number = |(found, nominal): (Option<Quantity>, &Option<Quantity>)| {
            let (found, nominal) = found.zip(*nominal)?;
            let alike = found.dimension.agrees(nominal.dimension);
            alike.then_some(found.si)
        };
        found.map(number).collect()
    }

    fn source(&self, place: usize) -> Option<Source> {
        let number = self.acting.get(place)?;
        self.sources.get(*number).map(|size| size.source)
    }

    /// Shows what the numbers are there to those whose reaches are looked for.
    fn look(
        &mut self,
        parts: impl IntoIterator<Item = (usize, f64)>,
        reaches: &mut [Option<Reach>],
        mut take: impl FnMut(&mut Reach, Option<f64>),
    ) {
        let found = self.at(parts);
        for (reach, value) in reaches.iter_mut().zip(found) {
            if let Some(reach) = reach {
                take(reach, value);
            }
        }
    }

    fn corner(&mut self, at: &[f64], reaches: &mut [Option<Reach>]) {
        let parts = at.iter().copied().enumerate();
        self.look(parts, reaches, |reach, value| reach.corner(value, at));
    }

    /// Returns how far each number of the slot reaches; nothing for one that has no value where
    /// everything is aimed.
    fn reaches(&mut self) -> Vec<Option<Reach>> {
        let count = self.acting.len();
        self.nominal = self.numbers(&Deviations::default());
        let nominal = self.nominal.iter();
        let mut reaches: Vec<Option<Reach>> = nominal
            .map(|nominal| nominal.map(|nominal| Reach::new(nominal, count)))
            .collect();
        for place in 0..count {
            if self.untold {
                return reaches;
            }
            for (index, part) in PLACES.into_iter().enumerate() {
                self.look([(place, part)], &mut reaches, |reach, value| {
                    reach.inside(value);
                    if let Some(alone) = reach.alone.get_mut(place) {
                        alone[index] = value;
                    }
                });
            }
        }
        let mut scatter = Scatter::new(0);
        if count <= ALL_CORNERS {
            for corner in 0..1_u32 << count {
                let part = |place: usize| f64::from(corner >> place & 1);
                let at: Vec<f64> = (0..count).map(part).collect();
                self.corner(&at, &mut reaches);
            }
        } else {
            for number in 0..reaches.len() {
                for greatest in [false, true] {
                    let reach = reaches.get(number).and_then(Option::as_ref);
                    if let Some(at) = reach.map(|reach| reach.pointed_to(greatest)) {
                        self.corner(&at, &mut reaches);
                    }
                }
            }
            for _ in 0..POINTS {
                let at: Vec<f64> = (0..count).map(|_| scatter.side()).collect();
                self.corner(&at, &mut reaches);
            }
            self.away_from_worst(&mut reaches, |part| vec![1.0 - part], true);
        }
        for _ in 0..POINTS {
            let at: Vec<f64> = (0..count).map(|_| scatter.part()).collect();
            let at = at.into_iter().enumerate();
            self.look(at, &mut reaches, Reach::inside);
        }
        let inward = |part: f64| INWARD.map(|way| part + way * (1.0 - 2.0 * part)).to_vec();
        self.away_from_worst(&mut reaches, inward, false);
        reaches
    }

    /// Puts one source after the other elsewhere, from the worst corners of each number.
    fn away_from_worst(
        &mut self,
        reaches: &mut [Option<Reach>],
        elsewhere: impl Fn(f64) -> Vec<f64>,
        to_corners: bool,
    ) {
        for number in 0..reaches.len() {
            for highest in [false, true] {
                for place in 0..self.acting.len() {
                    if self.untold {
                        return;
                    }
                    let Some(Some(reach)) = reaches.get(number) else {
                        continue;
                    };
                    let worst = if highest {
                        &reach.high_at
                    } else {
                        &reach.low_at
                    };
                    let mut at = worst.clone();
                    let from = at.get(place).copied().unwrap_or(0.5);
                    for part in elsewhere(from) {
                        if let Some(there) = at.get_mut(place) {
                            *there = part;
                        }
                        if to_corners {
                            self.corner(&at, reaches);
                        } else {
                            let parts = at.iter().copied().enumerate();
                            self.look(parts, reaches, Reach::inside);
                        }
                    }
                }
            }
        }
    }

    fn course(&mut self, number: usize, reach: &Reach) -> Monotonicity {
        if self.untold {
            return Monotonicity::Untold;
        }
        if reach.gap {
            return Monotonicity::Breaks;
        }
        if reach.turns() {
            return Monotonicity::Turns;
        }
        let mut value = |parts: Vec<(usize, f64)>| self.at(parts).get(number).copied().flatten();
        let alone = (0..reach.alone.len())
            .any(|place| jumps(reach.noise, &mut |way| value(vec![(place, way)])));
        let across = |way: f64| {
            let ends = reach.low_at.iter().zip(&reach.high_at);
            let parts = ends.map(|(from, to)| from + way * (to - from));
            parts.enumerate().collect()
        };
        let steps = alone || jumps(reach.noise, &mut |way| value(across(way)));
        // The steps may have run out on the way: then nothing is known of it.
        match (self.untold, steps) {
            (true, _) => Monotonicity::Untold,
            (false, true) => Monotonicity::Steps,
            (false, false) => Monotonicity::Steady,
        }
    }

    fn limits_of(&mut self, number: usize, reach: &Reach) -> Limits {
        let course = self.course(number, reach);
        let nominal = reach.nominal.si;
        let mut found: Vec<Alone> = Vec::new();
        for (source, alone) in self.acting.iter().zip(&reach.alone) {
            if let [Some(low), .., Some(high)] = alone {
                let (at_low, at_high) = (low - nominal, high - nominal);
                if at_low.abs().max(at_high.abs()) > reach.noise {
                    found.push(Alone {
                        source: *source,
                        at_low,
                        at_high,
                    });
                }
            }
        }
        let mut others = Others::default();
        keep_largest(&mut found, &mut others);
        let share = |share: &Alone| {
            Some(Share {
                source: self.sources.get(share.source)?.source,
                at_low: share.at_low,
                at_high: share.at_high,
            })
        };
        let named = |at: &[f64]| {
            let parts = at.iter().enumerate();
            let named = parts.filter_map(|(place, part)| Some((self.source(place)?, *part)));
            named.collect()
        };
        let (mut low, mut high) = (reach.low, reach.high);
        if course == Monotonicity::Turns {
            (low, high) = (low.min(reach.seen.0), high.max(reach.seen.1));
        }
        if low > high || high - low <= reach.noise {
            (low, high) = (nominal, nominal);
        }
        let mut limits = Limits {
            nominal,
            low,
            high,
            low_at: named(&reach.low_at),
            high_at: named(&reach.high_at),
            shares: found.iter().filter_map(share).collect(),
            others,
            course,
            known: self.known(),
            bends: reach.bends(),
        };
        limits.bends |= limits.is_no_sum();
        limits
    }
}
