//! Sampling: what comes out of many sets of parts, each size somewhere between its
//! limits by chance.

mod run;
mod spread;
mod statistics;

use run::Run;
pub use spread::Spread;
pub use statistics::Statistics;

use super::columns::{Block, Plan};
use super::{ToleranceAnalysis, Workspace};
use crate::language::{BLOCK, PageId, SlotId, Value};

/// The most samples of one run.
pub const MOST: u64 = 100_000_000;
/// The most values that may be sampled: samples times results.
const VALUES: u64 = 100_000_000;
/// The most steps of compiled formulas that all samples may take together.
const ALL: u64 = 4_000_000_000;
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
