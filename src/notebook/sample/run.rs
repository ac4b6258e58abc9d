//! A run through all samples, cut into stretches that threads share.

use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use super::{Request, Sampled, SampledCheck, SampledRow, Statistics, parts};
use crate::language::{BLOCK, Column, Shape, SlotId};
use crate::notebook::columns::{Block, Plan};
use crate::notebook::limits::{Limits, SourceSize, ToleranceAnalysis};
use crate::notebook::trial::Trial;

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

/// Samples to be taken.
pub(super) struct Run<'a> {
    pub(super) plan: &'a Plan<'a>,
    pub(super) sources: &'a [SourceSize],
    pub(super) travel: &'a ToleranceAnalysis,
    pub(super) wanted: &'a [SlotId],
    pub(super) request: &'a Request,
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
    pub(super) fn all(&self, guess: bool) -> Option<Sampled> {
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
