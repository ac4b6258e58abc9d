//! Limits with a proof: what has a program is searched by intervals.

use std::collections::{BTreeSet, HashMap};

use super::{CheckLimits, Known, Limits, Monotonicity, Others, Share, SourceSize};
use crate::language::{
    CLOSE, Decision, End, Interval, Range, Search, Slice, Source, Tape, Value, Work,
};
use crate::notebook::columns::Plan;
use crate::notebook::limits::check::margins;
use crate::notebook::recalculate::Deviations;
use crate::notebook::{Definition, Trial, Workspace};
use crate::quantity::{Quantity, System, slack};

/// The most steps that the limits of one result may take.
const ONE: u64 = 4_000_000;
/// The most steps that all limits of a notebook may take together.
const ALL: u64 = 200_000_000;
/// So many shares are kept for one result; what is left is counted together.
const SHARES: usize = 100;
/// On so many places of a line a jump is looked for, and so often where it changes most.
const LINE: u32 = 16;
const LOOKS: usize = 6;
/// What is left of a jump after looking so closely, at the least; next to nothing is of
/// a slope.
const JUMP: f64 = 0.02;

/// What has programs in a workspace, ready to be searched.
pub struct Prover<'a> {
    workspace: &'a Workspace,
    sources: &'a [SourceSize],
    plan: Plan<'a>,
    tape: Tape,
    work: Work,
    cube: Vec<Interval>,
    slopes: Vec<Interval>,
    /// Where each source stands at rest.
    rest: Vec<f64>,
    parts: Vec<f64>,
    trial: Trial<'a>,
    left: u64,
}

impl<'a> Prover<'a> {
    /// A prover for some slots; the readings of `aside` are set aside.
    pub fn new(
        workspace: &'a Workspace,
        sources: &'a [SourceSize],
        wanted: &[u32],
        aside: Option<u32>,
    ) -> Self {
        let plan = Plan::with_margins(workspace, sources, wanted, aside);
        let tape = plan.tape();
        let rest: Vec<f64> = sources
            .iter()
            .map(|size| at_rest(workspace, size))
            .collect();
        Self {
            work: tape.work(),
            trial: plan.trial(),
            workspace,
            sources,
            plan,
            tape,
            cube: vec![Interval::new(0.0, 1.0); sources.len()],
            slopes: vec![Interval::ZERO; sources.len()],
            parts: rest.clone(),
            rest,
            left: ALL,
        }
    }

    /// The limits of a slot's value; nothing where it has no program.
    pub fn limits(&mut self, slot: u32) -> Option<Limits> {
        let (column, _) = self.plan.column(slot)?;
        let slice = self.tape.slice(column)?;
        let nominal = self.trial.value(slot)?.quantity().ok()?;
        Some(self.of(&slice, nominal).0)
    }

    /// What a check comes to; nothing where it has no program.
    pub fn check(&mut self, slot: u32) -> Option<CheckLimits> {
        let (column, _) = self.plan.column(slot)?;
        let truth = self.tape.slice(column)?;
        let Some(Value::Truth(holds)) = self.trial.value(slot).cloned() else {
            return None;
        };
        let Some(Definition::Check(condition)) =
            self.workspace.slot(slot).map(|slot| &slot.content)
        else {
            return None;
        };
        let still = Deviations::default();
        let at_rest = self
            .trial
            .with_view(&still, |cells| margins(cells, condition));
        let columns = self.plan.margins(slot).to_vec();
        let mut found: Vec<(Limits, Quantity)> = Vec::new();
        let mut all = columns.len() == at_rest.len() && !columns.is_empty();
        let mut above = true;
        for (column, nominal) in columns.iter().zip(at_rest) {
            let slice = column.and_then(|(number, _)| self.tape.slice(number));
            match slice.zip(nominal) {
                Some((slice, nominal)) => {
                    let (limits, bound) = self.of(&slice, nominal);
                    above &= limits.known == Known::Proven && bound >= -slack(nominal);
                    found.push((limits, nominal));
                }
                None => all = false,
            }
        }
        let mut check = CheckLimits {
            holds,
            holds_at_limits: false,
            known: Known::Unknown,
            counterexample: None,
            margins: found,
        };
        // One margin's worst place is a part to be tried.
        let seen = check.margins.iter();
        let missing = seen.filter(|(limits, like)| limits.low < -slack(*like));
        let tried: Vec<Vec<(Source, f64)>> =
            missing.map(|(limits, _)| limits.low_at.clone()).collect();
        if !holds {
            check.known = Known::Proven;
            check.counterexample = Some(Vec::new());
            return Some(check);
        }
        for at in tried {
            if self.fails(slot, &truth, &at) {
                check.known = Known::Proven;
                check.counterexample = Some(at);
                return Some(check);
            }
        }
        if all && above && strict(condition) {
            check.known = Known::Proven;
            check.holds_at_limits = true;
            return Some(check);
        }
        let allowed = self.left.min(ONE);
        let search = Search::new(&self.tape, &truth, &mut self.work, &mut self.cube, allowed);
        let (decision, steps) = search.decide();
        self.left = self.left.saturating_sub(steps);
        match decision {
            Decision::Holds => {
                check.known = Known::Proven;
                check.holds_at_limits = true;
            }
            Decision::Fails(at) => {
                let at = self.named(&truth, &at);
                if self.fails(slot, &truth, &at) {
                    check.known = Known::Proven;
                    check.counterexample = Some(at);
                }
            }
            Decision::Gap(_) | Decision::Open => {}
        }
        Some(check)
    }

    /// Whether a check has a program.
    pub fn has(&self, slot: u32) -> bool {
        let column = self.plan.column(slot);
        column.is_some_and(|(number, _)| self.tape.slice(number).is_some())
    }

    /// One number of a target with its sources at `parts`, those not named at rest: the
    /// margin of a check at a place among its margins.
    pub fn margin_at(&mut self, slot: u32, place: usize, parts: &[(Source, f64)]) -> Option<f64> {
        let columns = self.plan.margins(slot).iter().flatten();
        let number = columns.map(|(number, _)| *number).nth(place)?;
        let slice = self.tape.slice(number)?;
        self.put(parts);
        self.tape.at(&slice, &self.parts, &mut self.work)
    }

    /// Whether a check fails with its sources there, by the ordinary evaluator too.
    fn fails(&mut self, slot: u32, truth: &Slice, at: &[(Source, f64)]) -> bool {
        self.put(at);
        if self.tape.at(truth, &self.parts, &mut self.work) != Some(0.0) {
            return false;
        }
        let starts: BTreeSet<u32> = at.iter().map(|(source, _)| source.slot).collect();
        let starts: Vec<u32> = starts.into_iter().collect();
        let groups = self.trial.order(&starts);
        let deviations = Deviations {
            parts: at.iter().copied().collect::<HashMap<_, _>>(),
        };
        self.trial.compute(&groups, &deviations);
        let fails = matches!(self.trial.value(slot), Some(Value::Truth(false)));
        self.trial.reset();
        fails
    }

    /// Puts sources somewhere, all others at rest.
    fn put(&mut self, at: &[(Source, f64)]) {
        self.parts.clone_from(&self.rest);
        for (source, part) in at {
            let number = self.sources.iter().position(|size| size.source == *source);
            if let Some(place) = number.and_then(|number| self.parts.get_mut(number)) {
                *place = *part;
            }
        }
    }

    /// Places of a slice's sources with their names.
    fn named(&self, slice: &Slice, at: &[f64]) -> Vec<(Source, f64)> {
        let name =
            |(number, part): (&usize, &f64)| Some((self.sources.get(*number)?.source, *part));
        slice.sources.iter().zip(at).filter_map(name).collect()
    }

    /// The limits of a slice whose number is `nominal` at rest, with what no value lies
    /// below.
    fn of(&mut self, slice: &Slice, nominal: Quantity) -> (Limits, f64) {
        let unit = nominal.shown_unit(System::Metric);
        let noise = 1e-13 * nominal.si.abs() + 1e-12 * unit.factor();
        let allowed = self.left.min(ONE);
        let search = Search::new(&self.tape, slice, &mut self.work, &mut self.cube, allowed);
        let mut range = search.range(noise);
        self.left = self.left.saturating_sub(range.steps);
        let slack = noise + CLOSE * (range.high.found - range.low.found).abs();
        self.settle(slice, &mut range.low, slack);
        self.settle(slice, &mut range.high, slack);
        let (shares, others, bends) = self.shares(slice, nominal.si, noise);
        let known = match (range.whole, range.low.proven && range.high.proven) {
            (true, true) => Known::Proven,
            (true, false) if range.low.bound.is_finite() && range.high.bound.is_finite() => {
                Known::Enclosed
            }
            _ => Known::Unknown,
        };
        let course = self.course(slice, &range);
        let (mut low, mut high) = (range.low.bound, range.high.bound);
        if known != Known::Enclosed {
            (low, high) = (range.low.found, range.high.found);
        }
        let mut course = course;
        if low > high || high - low <= noise {
            (low, high) = (nominal.si, nominal.si);
            if known == Known::Proven {
                course = Monotonicity::Steady;
            }
        }
        let mut limits = Limits {
            nominal: nominal.si,
            low,
            high,
            low_at: self.named(slice, &range.low.at),
            high_at: self.named(slice, &range.high.at),
            shares,
            others,
            course,
            known,
            bends,
        };
        limits.bends |= limits.is_no_sum();
        (limits, range.low.bound)
    }

    /// Puts what may as well stand at a limit there: a size that does nothing at an end
    /// does not turn there.
    fn settle(&mut self, slice: &Slice, end: &mut End, slack: f64) {
        for (index, source) in slice.sources.iter().enumerate() {
            let part = end.at.get(index).copied().unwrap_or(0.0);
            if part <= 0.0 || part >= 1.0 {
                continue;
            }
            for (source, part) in slice.sources.iter().zip(&end.at) {
                if let Some(place) = self.parts.get_mut(*source) {
                    *place = *part;
                }
            }
            for limit in [0.0, 1.0] {
                if let Some(place) = self.parts.get_mut(*source) {
                    *place = limit;
                }
                let there = self.tape.at(slice, &self.parts, &mut self.work);
                if there.is_some_and(|there| (there - end.found).abs() <= slack)
                    && let Some(part) = end.at.get_mut(index)
                {
                    *part = limit;
                    break;
                }
            }
        }
    }

    fn course(&mut self, slice: &Slice, range: &Range) -> Monotonicity {
        if range.gap.is_some() {
            return Monotonicity::Breaks;
        }
        if !range.whole || !range.low.bound.is_finite() || !range.high.bound.is_finite() {
            return Monotonicity::Untold;
        }
        if range.jumps && self.steps(slice, range) {
            return Monotonicity::Steps;
        }
        let inside = |part: &f64| (1e-6..=1.0 - 1e-6).contains(part);
        let ends = [&range.low.at, &range.high.at];
        if !range.monotone && ends.iter().any(|at| at.iter().any(inside)) {
            return Monotonicity::Turns;
        }
        Monotonicity::Steady
    }

    /// Whether the value jumps on the way from its lowest to its highest place, or while
    /// one source moves.
    fn steps(&mut self, slice: &Slice, range: &Range) -> bool {
        let mut lines = vec![(range.low.at.clone(), range.high.at.clone())];
        let rest: Vec<f64> = slice
            .sources
            .iter()
            .map(|source| self.rest.get(*source).copied().unwrap_or(0.5))
            .collect();
        for index in 0..rest.len().min(SHARES) {
            let (mut from, mut to) = (rest.clone(), rest.clone());
            if let (Some(from), Some(to)) = (from.get_mut(index), to.get_mut(index)) {
                (*from, *to) = (0.0, 1.0);
            }
            lines.push((from, to));
        }
        lines.iter().any(|(from, to)| self.jumps(slice, from, to))
    }

    fn jumps(&mut self, slice: &Slice, from: &[f64], to: &[f64]) -> bool {
        let mut at = |place: f64| {
            for ((source, from), to) in slice.sources.iter().zip(from).zip(to) {
                if let Some(part) = self.parts.get_mut(*source) {
                    *part = from + place * (to - from);
                }
            }
            self.tape.at(slice, &self.parts, &mut self.work)
        };
        let (mut low, mut high) = (0.0, 1.0);
        let mut whole: Option<f64> = None;
        let mut most = 0.0;
        for _ in 0..LOOKS {
            let mut seen: Vec<(f64, f64)> = Vec::new();
            for step in 0..=LINE {
                let place = low + (high - low) * f64::from(step) / f64::from(LINE);
                let Some(value) = at(place) else { return false };
                seen.push((place, value));
            }
            let changes = seen.windows(2).filter_map(|pair| match pair {
                [(a, at_a), (b, at_b)] => Some((*a, *b, (at_b - at_a).abs())),
                _ => None,
            });
            let Some((a, b, change)) = changes.max_by(|x, y| x.2.total_cmp(&y.2)) else {
                return false;
            };
            let first = *whole.get_or_insert(change);
            if change <= 0.0 || change < JUMP * first {
                return false;
            }
            (low, high, most) = (a, b, change);
        }
        most > 0.0
    }

    /// What each source does alone, the largest first; what is left out of them; and
    /// whether the value bends.
    fn shares(&mut self, slice: &Slice, nominal: f64, noise: f64) -> (Vec<Share>, Others, bool) {
        let mut found: Vec<Share> = Vec::new();
        let mut bends = false;
        let many = slice.sources.len() > SHARES;
        if many {
            // Slopes all over the box; a sum has the same everywhere.
            self.cube.fill(Interval::new(0.0, 1.0));
            self.tape.forward(slice, &self.cube, &[], &mut self.work);
            self.tape.backward(slice, &mut self.work, &mut self.slopes);
            self.left = self.left.saturating_sub(3 * slice.steps as u64);
        }
        self.parts.clone_from(&self.rest);
        for number in &slice.sources {
            let (Some(size), Some(rest)) = (self.sources.get(*number), self.rest.get(*number))
            else {
                continue;
            };
            let slope = self.slopes.get(*number).copied().unwrap_or(Interval::ALL);
            let share = if many && slope.width() <= 1e-9 * slope.magnitude() {
                Share {
                    source: size.source,
                    at_low: -slope.middle() * rest,
                    at_high: slope.middle() * (1.0 - rest),
                }
            } else {
                let mut at = |part: f64| {
                    if let Some(place) = self.parts.get_mut(*number) {
                        *place = part;
                    }
                    self.tape.at(slice, &self.parts, &mut self.work)
                };
                let seen = (at(0.0), at(0.5), at(1.0));
                at(*rest);
                self.left = self.left.saturating_sub(4 * slice.steps as u64);
                let (Some(low), Some(middle), Some(high)) = seen else {
                    bends = true;
                    continue;
                };
                let (below, above) = (middle - low, high - middle);
                let swing = below.abs().max(above.abs());
                bends |= swing > noise && (above - below).abs() > 0.5 * swing;
                Share {
                    source: size.source,
                    at_low: low - nominal,
                    at_high: high - nominal,
                }
            };
            if share.at_low.abs() > noise || share.at_high.abs() > noise {
                found.push(share);
            }
        }
        found.sort_by(|a, b| {
            b.half_swing()
                .total_cmp(&a.half_swing())
                .then(a.source.cmp(&b.source))
        });
        let mut others = Others::default();
        for share in found.drain(SHARES.min(found.len())..) {
            others.take(&share);
        }
        found.shrink_to_fit();
        (found, others, bends)
    }
}

/// Whether a condition holds exactly where all its margins are at least 0.
fn strict(condition: &crate::language::Node) -> bool {
    use crate::language::ResolvedExpr;
    use crate::syntax::Operator;
    let ResolvedExpr::Chain(first, rest) = &condition.code else {
        return false;
    };
    match rest.first().map(|(operator, _)| *operator) {
        Some(Operator::And) => strict(first) && rest.iter().all(|(_, node)| strict(node)),
        _ => rest
            .iter()
            .all(|(operator, _)| matches!(operator, Operator::AtMost | Operator::AtLeast)),
    }
}

/// The part of the way between its limits at which a size is aimed.
fn at_rest(workspace: &Workspace, size: &SourceSize) -> f64 {
    let value = workspace
        .value(size.source.slot)
        .and_then(Value::size_faces);
    match value.filter(|value| value.aim_set) {
        Some(value) => {
            let width = size.upper - size.lower;
            ((value.aim - value.drawn.si - size.lower) / width).clamp(0.0, 1.0)
        }
        None => 0.5,
    }
}
