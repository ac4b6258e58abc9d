//! Sampling: what comes out of many sets of parts, each size somewhere between its
//! limits by chance.

mod spread;
mod statistics;

use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

pub use spread::Spread;
pub use statistics::Statistics;

use super::columns::{Block, Plan};
use super::limits::SourceSize;
use super::trial::Trial;
use super::{Limits, ToleranceAnalysis, Workspace};
use crate::language::{BLOCK, Column, PageId, Shape, SlotId, Value};

/// The most samples of one run.
pub const MOST: u64 = 100_000_000;
/// The most values that may be sampled: samples times results.
const VALUES: u64 = 100_000_000;
/// The most steps of compiled formulas that all samples may take together.
const ALL: u64 = 4_000_000_000;
/// How many stretches a run is cut into; a thread takes one after another. The number
/// is fixed so that the sums are the same whatever the number of threads.
const STRETCHES: usize = 16;

/// From so many samples on, the first [`PILOT`] blocks tell which ones need not be kept.
const MANY: u64 = 1_000_000;
/// So many blocks are looked at first then.
const PILOT: u64 = 64;

/// The stack of a thread: what nests is bounded, but the ordinary evaluator calls
/// itself.
const STACK: usize = 256 * 1024 * 1024;

/// What is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Request {
    /// How many samples.
    pub count: u64,
    /// What decides the numbers: the same seed gives the same samples.
    pub seed: u64,
    /// How sizes lie between their limits.
    pub spread: Spread,
    /// How many threads; 0 for as many as the machine runs at once.
    pub threads: usize,
    /// Whether formulas are worked out a column at a time where that can be done;
    /// without, by the ordinary evaluator alone, with the same results.
    pub columns: bool,
}

impl Request {
    /// Samples of normally spread sizes.
    #[must_use]
    pub const fn new(count: u64, seed: u64) -> Self {
        Self {
            count,
            seed,
            spread: Spread::Normal,
            threads: 0,
            columns: true,
        }
    }
}

/// What the samples of a result came to.
#[derive(Clone, Debug, PartialEq)]
pub struct SampledRow {
    /// The slot.
    pub slot: SlotId,
    /// The figures.
    pub tally: Statistics,
}

/// How often a check held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SampledCheck {
    /// The slot.
    pub slot: SlotId,
    /// In how many samples it held.
    pub holds: u64,
    /// In how many it failed.
    pub fails: u64,
    /// In how many it had no answer.
    pub missing: u64,
}

impl SampledCheck {
    /// Returns the share of samples in which it does not hold, in parts per million.
    #[must_use]
    #[allow(clippy::cast_precision_loss)] // at most 10^8
    pub fn outside_ppm(&self) -> f64 {
        let all = self.holds + self.fails + self.missing;
        if all == 0 {
            return 0.0;
        }
        (self.fails + self.missing) as f64 / all as f64 * 1e6
    }
}

/// What sampling a notebook brought.
#[derive(Clone, Debug, PartialEq)]
pub struct Sampled {
    /// What was asked for.
    pub request: Request,
    /// The results that vary, in the order of their slots.
    pub rows: Vec<SampledRow>,
    /// The checks that depend on toleranced sizes.
    pub checks: Vec<SampledCheck>,
    /// How many slots were worked out a column at a time, and how many by the
    /// ordinary evaluator.
    pub share: (usize, usize),
}

/// Returns how many values a sample has: those of results, and those in the lists and tables
/// that follow from others.
fn values(workspace: &Workspace, wanted: &[SlotId]) -> u64 {
    let follows = |slot: &SlotId| {
        workspace
            .slot(*slot)
            .is_some_and(|slot| !slot.needs.is_empty())
    };
    let listed = SlotId::all()
        .zip(&workspace.values)
        .filter(|(slot, _)| follows(slot))
        .filter_map(|(_, outcome)| match outcome.as_ref().ok()? {
            Value::Quantity(_) | Value::Text(_) | Value::Truth(_) | Value::None => None,
            value => value.bounded().ok(),
        });
    (wanted.len() + listed.sum::<usize>()) as u64
}

/// Samples all results of the opened notebook that have limits.
///
/// # Errors
/// How many samples can be taken, where more are asked for: the more values a sample has,
/// and the more steps it takes, the fewer.
pub fn sample(
    workspace: &Workspace,
    travel: &ToleranceAnalysis,
    request: &Request,
) -> Result<Sampled, u64> {
    let sources = travel.moving(workspace);
    let wanted = wanted(workspace, travel);
    let values = values(workspace, &wanted).max(1);
    let middle = vec![vec![0.5]; sources.len()];
    // Where a value is unlike the others of its slot, all are computed one by one.
    for columns in [request.columns, false] {
        let plan = Plan::new(workspace, &sources, &wanted, columns);
        let Ok(steps) = plan.cost(&mut plan.trial(), &middle) else {
            continue;
        };
        let most = (VALUES / values).min(ALL / steps.max(1)).clamp(1, MOST);
        if request.count > most {
            return Err(most);
        }
        let run = Run {
            plan: &plan,
            sources: &sources,
            travel,
            wanted: &wanted,
            request,
        };
        if let Some(sampled) = run.all(true) {
            return Ok(sampled);
        }
    }
    Ok(Sampled {
        request: *request,
        rows: Vec::new(),
        checks: Vec::new(),
        share: (0, wanted.len()),
    })
}

/// Returns the values of one slot in the first samples of a request, nothing where it has
/// none.
#[must_use]
pub fn sampled_values(
    workspace: &Workspace,
    travel: &ToleranceAnalysis,
    request: &Request,
    slot: SlotId,
) -> Vec<Option<f64>> {
    let sources = travel.moving(workspace);
    let plan = Plan::new(workspace, &sources, &[slot], request.columns);
    let mut trial = plan.trial();
    let mut block = Block::default();
    let mut found = Vec::new();
    let blocks = usize::try_from(request.count).unwrap_or(0).div_ceil(BLOCK);
    for number in 0..blocks {
        let (parts, count) = parts(request, sources.len(), number as u64);
        if plan.block(&mut trial, &parts, count, &mut block).is_err() {
            return Vec::new();
        }
        for sample in 0..count {
            let outcome = plan.outcome(slot, sample, &block);
            found.push(match outcome.and_then(Result::ok) {
                Some(Value::Quantity(quantity)) if quantity.si.is_finite() => Some(quantity.si),
                Some(Value::Truth(truth)) => Some(f64::from(u8::from(truth))),
                _ => None,
            });
        }
    }
    found
}

/// Returns the slots of the opened notebook that are sampled.
fn wanted(workspace: &Workspace, travel: &ToleranceAnalysis) -> Vec<SlotId> {
    let mut wanted: Vec<SlotId> = travel
        .limits
        .keys()
        .chain(travel.checks.keys())
        .copied()
        .collect();
    // A what-if table stays as it is while sizes move: samples of what rests on it would
    // be false.
    wanted.retain(|slot| {
        let own = workspace
            .slot(*slot)
            .is_some_and(|slot| slot.page == PageId::MAIN);
        own && !travel.is_varied(*slot)
    });
    wanted.sort_unstable();
    wanted.dedup();
    wanted
}

/// Returns where the sources stand in the samples of a block, and how many those are.
fn parts(request: &Request, sources: usize, block: u64) -> (Vec<Vec<f64>>, usize) {
    let first = block * BLOCK as u64;
    let count = request.count.saturating_sub(first).min(BLOCK as u64);
    let count = usize::try_from(count).unwrap_or(0);
    let column = |source: usize| {
        request
            .spread
            .column(request.seed, source as u64, first, count)
    };
    ((0..sources).map(column).collect(), count)
}

struct Run<'a> {
    plan: &'a Plan<'a>,
    sources: &'a [SourceSize],
    travel: &'a ToleranceAnalysis,
    wanted: &'a [SlotId],
    request: &'a Request,
}

/// What one stretch of samples came to: one entry a wanted slot.
type Stretch = Vec<Counted>;

enum Counted {
    Row(Box<Statistics>),
    Check(SampledCheck),
    Nothing,
}

impl Run<'_> {
    /// Computes all samples; nothing when the plan does not fit. `guess` is whether the
    /// first samples may tell which ones need not be kept.
    fn all(&self, guess: bool) -> Option<Sampled> {
        let blocks = self.request.count.div_ceil(BLOCK as u64);
        let fresh = self.pilot(guess)?;
        let next = AtomicUsize::new(0);
        let unfit = AtomicBool::new(false);
        let done: Mutex<Vec<Option<Stretch>>> = Mutex::new((0..STRETCHES).map(|_| None).collect());
        let work = || {
            let mut trial = self.plan.trial();
            loop {
                let stretch = next.fetch_add(1, Ordering::Relaxed);
                if stretch >= STRETCHES || unfit.load(Ordering::Relaxed) {
                    break;
                }
                let at = |place: usize| blocks * place as u64 / STRETCHES as u64;
                let mut counted = fresh();
                if self
                    .stretch(&mut trial, at(stretch)..at(stretch + 1), &mut counted)
                    .is_none()
                {
                    unfit.store(true, Ordering::Relaxed);
                    break;
                }
                if let Ok(mut done) = done.lock()
                    && let Some(place) = done.get_mut(stretch)
                {
                    *place = Some(counted);
                }
            }
        };
        let threads = match self.request.threads {
            0 => std::thread::available_parallelism().map_or(1, usize::from),
            threads => threads,
        };
        std::thread::scope(|scope| {
            for _ in 1..threads.min(STRETCHES) {
                // Where there is no room for another thread, this one does all.
                let thread = std::thread::Builder::new().stack_size(STACK);
                let _ = thread.spawn_scoped(scope, work);
            }
            work();
        });
        if unfit.load(Ordering::Relaxed) {
            return None;
        }
        let mut all = fresh();
        for stretch in done.into_inner().ok()?.into_iter().flatten() {
            for (all, counted) in all.iter_mut().zip(stretch) {
                match (all, counted) {
                    (Counted::Row(all), Counted::Row(more)) => all.join(*more),
                    (Counted::Check(all), Counted::Check(more)) => {
                        all.holds += more.holds;
                        all.fails += more.fails;
                        all.missing += more.missing;
                    }
                    _ => {}
                }
            }
        }
        let wrong = |counted: &Counted| match counted {
            Counted::Row(tally) => tally.guessed_wrong(),
            _ => false,
        };
        if guess && all.iter().any(wrong) {
            return self.all(false);
        }
        let mut sampled = Sampled {
            request: *self.request,
            rows: Vec::new(),
            checks: Vec::new(),
            share: self.plan.share(),
        };
        for (slot, counted) in self.wanted.iter().zip(all) {
            match counted {
                Counted::Row(tally) => sampled.rows.push(SampledRow {
                    slot: *slot,
                    tally: *tally,
                }),
                Counted::Check(check) => sampled.checks.push(check),
                Counted::Nothing => {}
            }
        }
        Some(sampled)
    }

    /// Looks at the first block, of many samples at the first ones, to know how wide the
    /// histograms are; gives what makes empty counts.
    fn pilot(&self, guess: bool) -> Option<impl Fn() -> Stretch + Sync + use<>> {
        let mut trial = self.plan.trial();
        let mut block = Block::default();
        let total = self.request.count;
        let mut first: Vec<Column> = vec![Column::default(); self.wanted.len()];
        let blocks = if total >= MANY { PILOT } else { 1 };
        for number in 0..blocks {
            let (parts, count) = parts(self.request, self.sources.len(), number);
            self.plan
                .block(&mut trial, &parts, count, &mut block)
                .ok()?;
            for (slot, first) in self.wanted.iter().zip(&mut first) {
                let column = self.plan.column(*slot);
                if let Some(column) = column.and_then(|(number, _)| block.columns.get(number)) {
                    first.extend(column);
                }
            }
        }
        let mut kinds: Vec<(SlotId, Option<Statistics>, bool)> = Vec::new();
        for (slot, first) in self.wanted.iter().zip(&first) {
            let column = self.plan.column(*slot);
            let limits = self.travel.limits.get(slot);
            let nominal = limits.map_or(0.0, |limits: &Limits| limits.nominal);
            let tally = column.and_then(|(_, shape)| match shape {
                Shape::Quantity(_) => {
                    let tally = Statistics::after(first, nominal, total);
                    Some(if guess { tally } else { tally.without_guess() })
                }
                Shape::Truth => None,
            });
            let truth = column.is_some_and(|(_, shape)| shape == Shape::Truth);
            kinds.push((*slot, tally, truth && self.travel.checks.contains_key(slot)));
        }
        Some(move || {
            kinds
                .iter()
                .map(|(slot, tally, check)| match (tally, check) {
                    (Some(tally), _) => Counted::Row(Box::new(tally.clone())),
                    (None, true) => Counted::Check(SampledCheck {
                        slot: *slot,
                        holds: 0,
                        fails: 0,
                        missing: 0,
                    }),
                    (None, false) => Counted::Nothing,
                })
                .collect()
        })
    }

    /// Computes a stretch of blocks.
    fn stretch(
        &self,
        trial: &mut Trial,
        blocks: std::ops::Range<u64>,
        counted: &mut Stretch,
    ) -> Option<()> {
        let mut block = Block::default();
        for number in blocks {
            let (parts, count) = parts(self.request, self.sources.len(), number);
            self.plan.block(trial, &parts, count, &mut block).ok()?;
            for (slot, counted) in self.wanted.iter().zip(counted.iter_mut()) {
                let column = self.plan.column(*slot);
                let Some(column) = column.and_then(|(number, _)| block.columns.get(number)) else {
                    continue;
                };
                match counted {
                    Counted::Row(tally) => tally.take(column),
                    Counted::Check(check) => {
                        for (sample, truth) in column.values.iter().enumerate() {
                            if column.missing.get(sample) == Some(&true) {
                                check.missing += 1;
                            } else if *truth != 0.0 {
                                check.holds += 1;
                            } else {
                                check.fails += 1;
                            }
                        }
                    }
                    Counted::Nothing => {}
                }
            }
        }
        Some(())
    }
}
