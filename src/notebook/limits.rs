//! How limits travel through formulas.
//!
//! Each toleranced size is a source. Moving one source at a time to its two limits
//! and computing what depends on it gives its share in every result and the
//! direction in which it acts. The worst corners follow: with up to six sources
//! all corners are computed; with more, the two that the directions name, and then
//! each source that seemed idle is tried at both its limits there. A result that
//! leaves the range of its ends between the limits (a turning point), or moves in
//! steps, is said to do so, and gets no range.

mod check;
mod corners;
mod sources;

use std::collections::{HashMap, HashSet};

pub use sources::{SourceSize, sources};

use super::workspace::Workspace;
use crate::language::Source;

/// What one source does to a result.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Share {
    /// The source.
    pub source: Source,
    /// The change of the result from the drawing size when the source alone stands
    /// at its lower limit, in coherent SI.
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
pub enum Course {
    /// It only rises or only falls.
    Steady,
    /// It turns: the ends are not its extremes.
    Turns,
    /// It jumps, as from one standard drill to the next.
    Steps,
    /// It has no value somewhere between the limits.
    Breaks,
}

/// The limits of a result.
#[derive(Clone, Debug, PartialEq)]
pub struct Limits {
    /// The value at the drawing sizes (or the readings), in coherent SI.
    pub nominal: f64,
    /// The least value at the worst corners.
    pub low: f64,
    /// The greatest value at the worst corners.
    pub high: f64,
    /// What each source does, the largest first.
    pub shares: Vec<Share>,
    /// How it behaves between the limits.
    pub course: Course,
}

impl Limits {
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
        let half = self
            .shares
            .iter()
            .map(|share| share.half_swing().powi(2))
            .sum::<f64>()
            .sqrt();
        (self.nominal + shift, half)
    }
}

/// What a check comes to at the limits.
#[derive(Clone, Debug, PartialEq)]
pub struct CheckLimits {
    /// Whether it holds at the drawing sizes.
    pub holds: bool,
    /// Whether it holds at every corner that was computed.
    pub holds_at_limits: bool,
    /// The worst margin (how much is to spare; negative where it misses), in
    /// coherent SI, with what it measures.
    pub margin: Option<(Limits, crate::quantity::Quantity)>,
}

/// The limits of everything in a workspace that has them.
#[derive(Clone, Debug, Default)]
pub struct Travel {
    /// The toleranced sizes, with their limits.
    pub sources: Vec<SourceSize>,
    /// The limits of results, by slot.
    pub limits: HashMap<u32, Limits>,
    /// What the checks come to, by slot.
    pub checks: HashMap<u32, CheckLimits>,
    /// The limits that the drawing gives to measured names, by slot.
    pub drawn: HashMap<u32, Limits>,
}

impl Travel {
    /// Works the limits of a whole workspace out.
    #[must_use]
    pub fn of(workspace: &Workspace) -> Self {
        Self::from_sources(workspace, sources(workspace))
    }

    /// Works the limits of some slots out; others may be missing.
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
        Self::from_sources(workspace, all)
    }

    fn from_sources(workspace: &Workspace, all: Vec<SourceSize>) -> Self {
        if all.is_empty() {
            return Self::default();
        }
        let mut travel = Self::default();
        let active: Vec<SourceSize> = all
            .iter()
            .filter(|source| {
                workspace
                    .slot(source.source.slot)
                    .is_none_or(|slot| slot.measured.is_empty())
            })
            .cloned()
            .collect();
        corners::travel(
            workspace,
            &active,
            true,
            &mut travel.limits,
            &mut travel.checks,
        );
        if !workspace.measured.is_empty() {
            let mut checks = HashMap::new();
            corners::travel(workspace, &all, false, &mut travel.drawn, &mut checks);
            travel
                .drawn
                .retain(|slot, _| workspace.measured.contains(slot));
        }
        travel.sources = all;
        travel
    }

    /// The limits to print for a slot: for a measured name those of the drawing.
    #[must_use]
    pub fn of_slot(&self, slot: u32) -> Option<&Limits> {
        self.drawn.get(&slot).or_else(|| self.limits.get(&slot))
    }
}
