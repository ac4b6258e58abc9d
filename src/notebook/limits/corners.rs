//! Moving the sources and looking at what comes of it.

use std::collections::{BTreeMap, HashMap};

use super::check::margins;
use super::{CheckLimits, Course, Limits, Share, SourceSize};
use crate::language::{Source, Value};
use crate::notebook::order::Group;
use crate::notebook::recalculate::Deviations;
use crate::notebook::trial::Trial;
use crate::notebook::{Content, Workspace};
use crate::quantity::{Quantity, nearly_equal};

/// Up to so many sources all corners are computed.
const ALL_CORNERS: usize = 6;
/// Where between its limits a source is looked at, beside the limits themselves.
const BETWEEN: [f64; 3] = [0.25, 0.5, 0.75];

/// Something whose limits are wanted: a slot, or one margin of a check.
type Target = (u32, usize);

/// What a trial gave for a target: nothing where there was no value.
type Seen = Option<f64>;

/// What moving one source alone did to a target.
struct Moved {
    source: usize,
    low: Seen,
    between: [Seen; 3],
    high: Seen,
}

/// Works the limits of all that depends on the sources out.
pub fn travel(
    workspace: &Workspace,
    sources: &[SourceSize],
    readings: bool,
    limits: &mut HashMap<u32, Limits>,
    checks: &mut HashMap<u32, CheckLimits>,
) {
    let trial = if readings {
        Trial::new(workspace)
    } else {
        Trial::of_drawing(workspace)
    };
    let mut trial = trial.moving_sizes();
    let still = Deviations::default();
    let mut nominal: HashMap<Target, Quantity> = HashMap::new();
    let mut moved: HashMap<Target, Vec<Moved>> = HashMap::new();
    let mut upstream: HashMap<u32, Vec<usize>> = HashMap::new();
    let mut broken: HashMap<u32, bool> = HashMap::new();
    for (number, source) in sources.iter().enumerate() {
        let groups = trial.order(&[source.source.slot]);
        let slots: Vec<u32> = groups
            .iter()
            .flatten()
            .copied()
            .filter(|slot| counts(workspace, *slot))
            .collect();
        for slot in &slots {
            upstream.entry(*slot).or_default().push(number);
            for (place, value) in look(workspace, &trial, &still, *slot)
                .into_iter()
                .enumerate()
            {
                nominal.entry((*slot, place)).or_insert(value);
            }
        }
        let mut at = |part: f64| -> HashMap<Target, f64> {
            let deviations = Deviations {
                parts: HashMap::from([(source.source, part)]),
            };
            trial.compute(&groups, &deviations);
            let mut seen = HashMap::new();
            for slot in &slots {
                for (place, value) in look(workspace, &trial, &deviations, *slot)
                    .into_iter()
                    .enumerate()
                {
                    seen.insert((*slot, place), value.si);
                }
                if let Some(Value::Truth(false)) = trial.value(*slot) {
                    broken.insert(*slot, true);
                }
            }
            trial.reset();
            seen
        };
        let (low, high) = (at(0.0), at(1.0));
        let between = BETWEEN.map(&mut at);
        for slot in &slots {
            for place in 0.. {
                let target = (*slot, place);
                if !nominal.contains_key(&target) {
                    break;
                }
                moved.entry(target).or_default().push(Moved {
                    source: number,
                    low: low.get(&target).copied(),
                    between: [0, 1, 2].map(|index| between[index].get(&target).copied()),
                    high: high.get(&target).copied(),
                });
            }
        }
    }
    let mut ranges: HashMap<Target, (f64, f64)> = HashMap::new();
    let job = Job {
        workspace,
        sources,
        moved: &moved,
    };
    job.corners(&mut trial, &upstream, &mut ranges, &mut broken);
    let mut found: HashMap<Target, Limits> = HashMap::new();
    for (target, value) in &nominal {
        let Some(moves) = moved.get(target) else {
            continue;
        };
        found.insert(*target, job.limits(value.si, moves, ranges.get(target)));
    }
    for (slot, _) in upstream {
        let check = matches!(
            workspace.slot(slot).map(|s| &s.content),
            Some(Content::Check(_))
        );
        if !check {
            if let Some(limit) = found.remove(&(slot, 0)) {
                limits.insert(slot, limit);
            }
            continue;
        }
        let Some(Value::Truth(holds)) = trial.value(slot).cloned() else {
            continue;
        };
        let worst = (0..)
            .map_while(|place| Some((found.get(&(slot, place))?, nominal.get(&(slot, place))?)));
        let worst = worst.min_by(|a, b| a.0.low.total_cmp(&b.0.low));
        let margin = worst.map(|(limits, quantity)| (limits.clone(), *quantity));
        let holds_at_limits = holds && !broken.contains_key(&slot);
        checks.insert(
            slot,
            CheckLimits {
                holds,
                holds_at_limits,
                margin,
            },
        );
    }
}

/// Whether limits are wanted for a slot.
fn counts(workspace: &Workspace, slot: u32) -> bool {
    matches!(
        workspace.slot(slot).map(|slot| &slot.content),
        Some(Content::Cell(_) | Content::Bare(_) | Content::Find(_) | Content::Check(_))
    )
}

/// The numbers of a slot: its value, or the margins of a check.
fn look(workspace: &Workspace, trial: &Trial, deviations: &Deviations, slot: u32) -> Vec<Quantity> {
    match workspace.slot(slot).map(|slot| &slot.content) {
        Some(Content::Check(condition)) => {
            trial.with_view(deviations, |cells| margins(cells, condition))
        }
        _ => trial
            .value(slot)
            .and_then(|value| value.quantity().ok())
            .into_iter()
            .collect(),
    }
}

struct Job<'a> {
    workspace: &'a Workspace,
    sources: &'a [SourceSize],
    moved: &'a HashMap<Target, Vec<Moved>>,
}

impl Job<'_> {
    /// Computes the worst corners of every target.
    fn corners(
        &self,
        trial: &mut Trial,
        upstream: &HashMap<u32, Vec<usize>>,
        ranges: &mut HashMap<Target, (f64, f64)>,
        broken: &mut HashMap<u32, bool>,
    ) {
        let mut together: BTreeMap<&[usize], Vec<u32>> = BTreeMap::new();
        for (slot, sources) in upstream {
            together.entry(sources).or_default().push(*slot);
        }
        for (numbers, mut slots) in together {
            slots.sort_unstable();
            let groups = self.between(trial, numbers, &slots);
            if numbers.len() <= ALL_CORNERS {
                for corner in 0..1_u32 << numbers.len() {
                    let parts = numbers.iter().enumerate().map(|(bit, number)| {
                        (self.sources[*number].source, f64::from(corner >> bit & 1))
                    });
                    self.corner(trial, &groups, &slots, parts.collect(), ranges, broken);
                }
            } else {
                self.worst_corners(trial, numbers, &groups, &slots, ranges, broken);
            }
        }
    }

    /// The slots between some sources and some targets, in order.
    fn between(&self, trial: &Trial, numbers: &[usize], targets: &[u32]) -> Vec<Group> {
        let starts: Vec<u32> = numbers
            .iter()
            .map(|number| self.sources[*number].source.slot)
            .collect();
        let groups = trial.order(&starts);
        let mut wanted: std::collections::HashSet<u32> = targets.iter().copied().collect();
        for group in groups.iter().rev() {
            if group.iter().any(|slot| wanted.contains(slot)) {
                for slot in group {
                    wanted.insert(*slot);
                    wanted.extend(
                        self.workspace
                            .slot(*slot)
                            .map(|slot| slot.needs.as_slice())
                            .unwrap_or_default(),
                    );
                }
            }
        }
        groups
            .into_iter()
            .filter(|group| group.iter().any(|slot| wanted.contains(slot)))
            .collect()
    }

    /// Computes one corner and widens the ranges of the targets by it; gives what
    /// was seen.
    fn corner(
        &self,
        trial: &mut Trial,
        groups: &[Group],
        slots: &[u32],
        parts: HashMap<Source, f64>,
        ranges: &mut HashMap<Target, (f64, f64)>,
        broken: &mut HashMap<u32, bool>,
    ) -> HashMap<Target, f64> {
        let deviations = Deviations { parts };
        trial.compute(groups, &deviations);
        let mut seen = HashMap::new();
        for slot in slots {
            for (place, value) in look(self.workspace, trial, &deviations, *slot)
                .into_iter()
                .enumerate()
            {
                let range = ranges.entry((*slot, place)).or_insert((value.si, value.si));
                *range = (range.0.min(value.si), range.1.max(value.si));
                seen.insert((*slot, place), value.si);
            }
            if let Some(Value::Truth(false)) = trial.value(*slot) {
                broken.insert(*slot, true);
            }
        }
        trial.reset();
        seen
    }

    /// With many sources: the two corners that the directions name, for all targets
    /// with the same directions at once, and then the idle sources tried there.
    fn worst_corners(
        &self,
        trial: &mut Trial,
        numbers: &[usize],
        groups: &[Group],
        slots: &[u32],
        ranges: &mut HashMap<Target, (f64, f64)>,
        broken: &mut HashMap<u32, bool>,
    ) {
        let mut alike: BTreeMap<Vec<i8>, Vec<Target>> = BTreeMap::new();
        for slot in slots {
            for place in 0.. {
                let Some(moves) = self.moved.get(&(*slot, place)) else {
                    break;
                };
                let signs = numbers.iter().map(|number| {
                    let moved = moves.iter().find(|moved| moved.source == *number);
                    moved.map_or(0, |moved| direction(moved.low, moved.high))
                });
                alike
                    .entry(signs.collect())
                    .or_default()
                    .push((*slot, place));
            }
        }
        for (signs, targets) in alike {
            let idle: Vec<usize> = (0..numbers.len())
                .filter(|index| signs[*index] == 0)
                .collect();
            for side in [-1_i8, 1] {
                let mut parts: HashMap<Source, f64> = HashMap::new();
                for (sign, number) in signs.iter().zip(numbers) {
                    if *sign != 0 {
                        parts.insert(
                            self.sources[*number].source,
                            if *sign == side { 1.0 } else { 0.0 },
                        );
                    }
                }
                let mut best = self.corner(trial, groups, slots, parts.clone(), ranges, broken);
                for index in &idle {
                    let source = self.sources[numbers[*index]].source;
                    for part in [0.0, 1.0] {
                        let mut tried = parts.clone();
                        tried.insert(source, part);
                        let seen = self.corner(trial, groups, slots, tried.clone(), ranges, broken);
                        let better = |target: &Target| match (seen.get(target), best.get(target)) {
                            (Some(new), Some(old)) => f64::from(side) * (new - old) > 0.0,
                            _ => false,
                        };
                        if targets.iter().any(better) {
                            parts = tried;
                            best = seen;
                        }
                    }
                }
            }
        }
    }

    /// The limits of a target from what was seen.
    fn limits(&self, nominal: f64, moves: &[Moved], range: Option<&(f64, f64)>) -> Limits {
        let mut shares: Vec<Share> = Vec::new();
        let mut course = Course::Steady;
        let (low, high) = range.copied().unwrap_or((nominal, nominal));
        let scale = (high - low).abs();
        for moved in moves {
            let (Some(low), Some(high)) = (moved.low, moved.high) else {
                course = Course::Breaks;
                continue;
            };
            let share = Share {
                source: self.sources[moved.source].source,
                at_low: low - nominal,
                at_high: high - nominal,
            };
            shares.push(share);
            if course == Course::Steady {
                course = between_limits(nominal, low, &moved.between, high, scale);
            }
        }
        if course == Course::Steady
            && (nominal < low - 1e-9 * scale || nominal > high + 1e-9 * scale)
        {
            course = Course::Turns;
        }
        shares.retain(|share| share.half_swing() > 0.0 || share.at_low != 0.0);
        shares.sort_by(|a, b| {
            b.half_swing()
                .total_cmp(&a.half_swing())
                .then(a.source.cmp(&b.source))
        });
        Limits {
            nominal,
            low,
            high,
            shares,
            course,
        }
    }
}

/// -1, 0 or 1: how a result moves when a source goes from its lower to its upper
/// limit.
fn direction(low: Seen, high: Seen) -> i8 {
    match (low, high) {
        (Some(low), Some(high)) if high > low => 1,
        (Some(low), Some(high)) if high < low => -1,
        _ => 0,
    }
}

/// How a result behaves while one source goes from its lower to its upper limit.
fn between_limits(nominal: f64, low: f64, between: &[Seen; 3], high: f64, scale: f64) -> Course {
    let [Some(a), Some(b), Some(c)] = *between else {
        return Course::Breaks;
    };
    let path = [low, a, b, c, high];
    let slack = 1e-9 * scale + 4.0 * f64::EPSILON * nominal.abs();
    let steps: Vec<f64> = path.windows(2).map(|pair| pair[1] - pair[0]).collect();
    let rises = steps.iter().any(|step| *step > slack);
    let falls = steps.iter().any(|step| *step < -slack);
    if rises && falls {
        return Course::Turns;
    }
    let outside = nominal < low.min(high) - slack || nominal > low.max(high) + slack;
    if outside {
        return Course::Turns;
    }
    let still = steps.iter().filter(|step| step.abs() <= slack).count();
    let moving = steps.len() - still;
    // A result that stands still on most of the way and jumps once moves in steps;
    // one that begins to move at some place (a maximum of two) does not.
    let jump = moving == 1 && still >= 3 && {
        let at = steps
            .iter()
            .position(|step| step.abs() > slack)
            .unwrap_or(0);
        at != 0 && at != steps.len() - 1
    };
    if jump && !nearly_equal(low, high, scale) {
        Course::Steps
    } else {
        Course::Steady
    }
}
