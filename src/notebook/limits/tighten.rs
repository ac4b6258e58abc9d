//! What to tighten so that a check holds at the limits.

use super::ToleranceAnalysis;
use super::black_box::BlackBox;
use super::prove::Prover;
use super::sources::SourceSize;
use crate::language::{SlotId, Source};
use crate::notebook::Workspace;
use crate::notebook::step_budget::afresh;
use crate::notebook::trial::Trial;

/// How often the way between two limits is halved.
const HALVINGS: usize = 60;

/// One size and the tolerance with which a check would hold, all others as they are.
#[derive(Clone, Debug, PartialEq)]
pub struct Tightening {
    /// The size with its limits now.
    pub size: SourceSize,
    /// The lower and the upper deviation with which the check would hold, in coherent
    /// SI; nothing where this size alone can't do it.
    pub needed: Option<(f64, f64)>,
}

/// Returns for each size that acts on a check that misses at the limits: to what tolerance it
/// would have to shrink. The one that acts most comes first.
///
/// The other sizes stand at the worst corner of each margin that misses.
#[must_use]
pub fn tighten(
    workspace: &Workspace,
    travel: &ToleranceAnalysis,
    check: SlotId,
) -> Vec<Tightening> {
    let Some(found) = travel.checks.get(&check) else {
        return Vec::new();
    };
    afresh();
    let sources = travel.moving(workspace);
    let mut probe = Probe::new(workspace, &sources, check);
    let number = |source: Source| sources.iter().position(|known| known.source == source);
    let misses: Vec<(usize, Vec<(Source, f64)>)> = found
        .margins
        .iter()
        .enumerate()
        .filter(|(_, (limits, quantity))| limits.low < -crate::quantity::slack(*quantity))
        .map(|(place, (limits, _))| (place, limits.low_at.clone()))
        .collect();
    let mut acting: Vec<Source> = Vec::new();
    let worst = found.worst().map(|(limits, _)| &limits.shares);
    let others = found.margins.iter().map(|(limits, _)| &limits.shares);
    for share in worst.into_iter().chain(others).flatten() {
        if !acting.contains(&share.source) {
            acting.push(share.source);
        }
    }
    let mut tightenings = Vec::new();
    for source in acting {
        let Some(place) = number(source) else {
            continue;
        };
        let Some(size) = sources.get(place) else {
            continue;
        };
        let mut part = (0.0_f64, 1.0_f64);
        let mut alone = !misses.is_empty();
        for (target, corner) in &misses {
            let mut at = |part: f64| {
                let mut parts = corner.clone();
                match parts.iter_mut().find(|(known, _)| *known == source) {
                    Some((_, there)) => *there = part,
                    None => parts.push((source, part)),
                }
                probe.at(*target, &parts)
            };
            let bad = corner.iter().find(|(known, _)| *known == source);
            let bad = bad.map_or(0.0, |(_, part)| *part);
            if at(1.0 - bad).is_none_or(|margin| margin < 0.0) {
                alone = false;
                break;
            }
            let (mut misses, mut holds) = (bad, 1.0 - bad);
            for _ in 0..HALVINGS {
                let middle = f64::midpoint(misses, holds);
                if at(middle).is_some_and(|margin| margin >= 0.0) {
                    holds = middle;
                } else {
                    misses = middle;
                }
            }
            if bad < 0.5 {
                part.0 = part.0.max(holds);
            } else {
                part.1 = part.1.min(holds);
            }
        }
        let width = size.upper - size.lower;
        let needed = (size.lower + part.0 * width, size.lower + part.1 * width);
        tightenings.push(Tightening {
            size: size.clone(),
            needed: (alone && part.0 <= part.1).then_some(needed),
        });
    }
    tightenings
}

/// Where the margins of a check are looked at: in its program, or else by the ordinary
/// evaluator.
enum Probe<'a> {
    Program(Box<Prover<'a>>, SlotId),
    Tried(Box<BlackBox<'a>>),
}

impl<'a> Probe<'a> {
    fn new(workspace: &'a Workspace, sources: &'a [SourceSize], check: SlotId) -> Self {
        let prover = Prover::new(workspace, sources, &[check], None);
        if prover.has(check) {
            return Self::Program(Box::new(prover), check);
        }
        let trial = Trial::new(workspace);
        Self::Tried(Box::new(BlackBox::new(workspace, sources, trial, check)))
    }

    /// Returns a margin, by its place, with sources at `parts`.
    fn at(&mut self, place: usize, parts: &[(Source, f64)]) -> Option<f64> {
        match self {
            Self::Program(prover, check) => prover.margin_at(*check, place, parts),
            Self::Tried(tried) => tried.margin_at(place, parts),
        }
    }
}
